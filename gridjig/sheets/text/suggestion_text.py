"""What a suggested jig is, in words: its numbers, and why each piece stands where it does."""

from collections.abc import Iterator

from gridjig.model import Job
from gridjig.model.labels import address
from gridjig.model.titles import title
from gridjig.suggest.values import Alternative, Suggestion
from gridjig.units import format_angle, format_count, format_figures, format_length

from .finding_text import counts_words
from .list_line import ListLine

ONLY_PLANNED = (
    "Every set-up listed has been through the check. It is a plan: it qualifies nothing, and the"
    " last word is yours."
)

_LEAST = 0.1
"""The least distance from the bound that is told, %."""


def alternative_lines(suggestion: Suggestion) -> tuple[ListLine, ...]:
    """Return a line for each alternative, the best first."""
    return tuple(_alternative(n, one) for n, one in enumerate(suggestion.alternatives))


def _alternative(number: int, one: Alternative) -> ListLine:
    pieces = _many(one.pieces, "piece")
    count = one.packings
    shims = f", {_many(count, 'shim or riser' if count == 1 else 'shims or riser')}"
    left = f"{format_count(len(one.missing))} missing. " if one.missing else ""
    found = counts_words(one.report.findings) or "nothing to look at"
    return ListLine(
        key=f"alternative {number}",
        head=f"{number + 1}: {pieces}{shims if count else ', no packing'}",
        right=f"{format_figures(one.score)} points",
        under="\n".join((f"{left}{_bound(one)}", _moved(one), f"The check: {found}")),
        level="look" if one.missing or one.report.verdict == "look" else "fine",
    )


def _many(count: int, word: str) -> str:
    return f"{format_count(count)} {word}{'' if count == 1 else 's'}"


def _bound(one: Alternative) -> str:
    if one.score <= one.bound * (1.0 + 1e-6) + 1e-6:
        return "No set-up of these candidates costs less with the work lying like this"
    over = 100.0 * (one.score - one.bound) / max(one.bound, 1e-9)
    if over < _LEAST:
        return f"Less than {format_figures(_LEAST)} % above the proven bound"
    return f"At most {format_figures(over)} % above the proven bound"


def _moved(one: Alternative) -> str:
    dx, dy = one.shift
    display = one.job.display
    told = ["face down"] if one.face_down else []
    if one.turn:
        told.append(f"turned {format_angle(one.turn)}")
    if abs(dx) > 0.005:
        told.append(f"{format_length(abs(dx), display)} to the {'right' if dx > 0 else 'left'}")
    if abs(dy) > 0.005:
        told.append(f"{format_length(abs(dy), display)} to the {'back' if dy > 0 else 'front'}")
    return f"The work moves: {', '.join(told)}" if told else "The work stays where it is"


def reason_lines(one: Alternative) -> tuple[ListLine, ...]:
    """Return a line for each piece added, then one for each thing that a part is left without."""
    return tuple(_reasons(one))


def _reasons(one: Alternative) -> Iterator[ListLine]:
    job: Job = one.job
    by_id = {p.id: p for p in job.placements}
    for number, why in enumerate(one.why):
        hole = address(job.table, by_id[why.placement].seats[0].hole)
        yield ListLine(
            key=f"{why.placement} {number}",
            head=title(job, why.placement),
            right=hole,
            under=why.words,
            ids=(why.placement, why.part),
        )
    for number, lack in enumerate(one.missing):
        yield ListLine(
            key=f"missing {number}",
            head=f"Missing at {title(job, lack.part)}",
            under=lack.words,
            level="look",
            ids=(lack.part,),
        )


def none_lines(suggestion: Suggestion) -> tuple[ListLine, ...]:
    """Return a line for each reason why there is no set-up, and for what would help."""
    return tuple(
        ListLine(key=f"none {n}", head=words, level="stop" if n == 0 else "look")
        for n, words in enumerate(suggestion.none_because)
    )
