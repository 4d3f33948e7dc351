"""What a suggested jig is, in words: its numbers, and why each piece stands where it does."""

from collections.abc import Iterator

from gridjig.model import Job
from gridjig.model.labels import address
from gridjig.model.titles import title, weldment_title
from gridjig.suggest.values import Alternative, Moved, Suggestion
from gridjig.units import format_count, format_percent, format_points
from gridjig.words.moved_text import shifted_words, turned_words

from .finding_text import counts_words
from .list_line import ListLine

ONLY_PLANNED = (
    "Every set-up listed has been through the check. It is a plan: it qualifies nothing, and the"
    " last word is yours."
)

_LEAST = 0.001
"""The least distance from the bound that is told: a tenth of a per cent."""

_NAMED = 3
"""So many parts are named where set-ups are told apart."""


def alternative_lines(suggestion: Suggestion) -> tuple[ListLine, ...]:
    """Return a line for each alternative, the best first."""
    first = suggestion.alternatives[:1]
    return tuple(_alternative(n, one, *first) for n, one in enumerate(suggestion.alternatives))


def _alternative(number: int, one: Alternative, first: Alternative) -> ListLine:
    left = f"{_many(len(one.missing), 'contact')} missing. " if one.missing else ""
    found = counts_words(one.report.findings) or "nothing to look at"
    return ListLine(
        key=f"alternative {number}",
        head=f"{number + 1}: {_added(one)}",
        right=f"{format_points(one.score)} points",
        under="\n".join(
            filter(
                None,
                (
                    f"{left}{_bound(one)}",
                    moved_text(one),
                    _unlike(first, one),
                    f"The check: {found}",
                ),
            )
        ),
        level="look" if one.missing or one.report.verdict == "look" else "fine",
    )


def _unlike(first: Alternative, one: Alternative) -> str:
    """At which parts a set-up has other pieces than the first one."""
    differ = {part for part, *_ in {*one.sorts} ^ {*first.sorts}}
    parts = [title(one.job, part.id) for part in one.job.parts if part.id in differ]
    if not parts:
        return ""
    more = f" and {format_count(len(parts) - _NAMED)} more" if len(parts) > _NAMED else ""
    return f"Unlike 1: other pieces, or other sides, at {', '.join(parts[:_NAMED])}{more}"


def _added(one: Alternative) -> str:
    if not one.pieces:
        return "nothing to add"
    count = one.packings
    shims = _many(count, "shim or riser" if count == 1 else "shims or riser")
    return f"{_many(one.pieces, 'piece')}, {shims if count else 'no packing'}"


def _many(count: int, word: str) -> str:
    return f"{format_count(count)} {word}{'' if count == 1 else 's'}"


def _bound(one: Alternative) -> str:
    if one.score <= one.bound * (1.0 + 1e-6) + 1e-6:
        return "Proved the cheapest of the places considered, with the work like this"
    over = (one.score - one.bound) / max(one.bound, 1e-9)
    if over < _LEAST:
        by = f"Within {format_percent(_LEAST)} of"
    else:
        by = f"At most {format_percent(over, at_most=True)} dearer than"
    return f"{by} the cheapest of the places considered"


def moved_text(one: Alternative) -> str:
    """Return how the work moves, as a sentence without its full stop."""
    if one.still:
        return "The work stays where it is"
    if len(one.moves) == 1:
        (each,) = one.moves
        return f"{weldment_title(one.job, each.weldment)} moves: {_of_each(one, each)}"
    if one.moves:
        named = ((weldment_title(one.job, each.weldment), each) for each in one.moves)
        told = "; ".join(f"{name} {_of_each(one, each)}" for name, each in named)
        return f"Each weldment moves by itself: {told}"
    return f"The work moves: {', '.join(_together(one))}"


def _together(one: Alternative, towards: str = "to the ") -> list[str]:
    down = ["face down"] if one.face_down else []
    return [*down, *_by(one.job, one.shift, one.turn, towards)]


def _of_each(one: Alternative, each: Moved, towards: str = "to the ") -> str:
    return ", ".join(_by(one.job, each.shift, each.turn, towards))


def _by(job: Job, shift: tuple[float, float], turn: float, towards: str) -> list[str]:
    turned = turned_words(turn)
    return [*([turned] if turned else []), *shifted_words(shift, job.display, towards)]


def card_lines(suggestion: Suggestion) -> tuple[tuple[str, ...], ...]:
    """Return the numbers of each alternative, to stand under its picture."""
    first = suggestion.alternatives[:1]
    return tuple(_card(n, one, *first) for n, one in enumerate(suggestion.alternatives))


def _card(number: int, one: Alternative, first: Alternative) -> tuple[str, ...]:
    line = _alternative(number, one, first)
    missing = f"{format_count(len(one.missing))} missing" if one.missing else "nothing missing"
    return (line.head, f"{line.right}, {missing}", _moved_briefly(one))


def _moved_briefly(one: Alternative) -> str:
    """How the work moves, for the room under a picture."""
    if one.still:
        return moved_text(one)
    if len(one.moves) == 1:
        (each,) = one.moves
        return f"{weldment_title(one.job, each.weldment)} moves: {_of_each(one, each, '')}"
    if one.moves:
        return f"{_many(len(one.moves), 'weldment')} move, each by itself"
    return f"Moves: {', '.join(_together(one, ''))}"


PART, PIECE = "part ", "piece "
"""What the keys of lines begin with: a part with all that holds it, or one piece at a part."""


def reason_lines(one: Alternative) -> tuple[ListLine, ...]:
    """Return a line for each part, then those for its pieces and for what it is left without."""
    return tuple(_reasons(one))


def pieces_of_line(one: Alternative, key: str) -> frozenset[str]:
    """Return the placements that a line of `reason_lines` stands for, by its key."""
    if key.startswith(PART):
        return frozenset(why.placement for why in one.why if why.part == key.removeprefix(PART))
    return frozenset({key.removeprefix(PIECE).split()[0]} if key.startswith(PIECE) else ())


def _reasons(one: Alternative) -> Iterator[ListLine]:
    job: Job = one.job
    if not one.added:
        head = "Nothing can be added" if one.missing else "There is nothing to add"
        yield ListLine(key="nothing", head=head, under=_nothing(one))
    by_id = {p.id: p for p in job.placements}
    for part in job.parts:
        mine = [why for why in one.why if why.part == part.id]
        lacks = [lack for lack in one.missing if lack.part == part.id]
        if mine:
            yield ListLine(
                key=f"{PART}{part.id}",
                head=title(job, part.id),
                right=_many(len({why.placement for why in mine}), "piece"),
                under="All that holds it",
                ids=(part.id, *dict.fromkeys(why.placement for why in mine)),
            )
        for why in mine:
            hole = address(job.table, by_id[why.placement].seats[0].hole)
            yield ListLine(
                key=f"{PIECE}{why.placement} {part.id} {why.kind}",
                head=title(job, why.placement),
                right=hole,
                under=why.words,
                ids=(why.placement, why.part),
            )
        for number, lack in enumerate(lacks):
            yield ListLine(
                key=f"missing {part.id} {number}",
                head=f"Missing at {title(job, lack.part)}",
                under=lack.words,
                level="look",
                ids=(lack.part,),
            )


def _nothing(one: Alternative) -> str:
    """Why a set-up adds no piece."""
    if one.missing:
        return "What is missing cannot be set with what the rack has left."
    return "The pieces on the table do all that is asked for."


def none_lines(suggestion: Suggestion) -> tuple[ListLine, ...]:
    """Return a line for each reason why there is no set-up, and for what would help."""
    return tuple(
        ListLine(key=f"none {n}", head=words, level="stop" if n == 0 else "look")
        for n, words in enumerate(suggestion.none_because)
    )
