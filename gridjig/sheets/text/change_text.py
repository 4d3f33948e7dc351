"""What changed between two jobs, as lines of a list and as text for the notes of a revision."""

from collections.abc import Iterable, Sequence
from itertools import groupby

from msgspec import Struct, structs

from gridjig.edits.comparison import Difference, Sort, compare
from gridjig.edits.whole_change import whole_change
from gridjig.model import (
    FaceOf,
    HoleMark,
    Job,
    Member,
    Placement,
    Plate,
    Weld,
    Weldment,
)
from gridjig.model.by_weldment import several
from gridjig.model.labels import address
from gridjig.model.titles import hand_words, title, weldment_title
from gridjig.rack import Piece
from gridjig.units import format_count

from .field_changes import field_words, hole_steps, mark_words
from .pair_words import Between
from .part_changes import side_words, weld_size
from .piece_change_text import count_words, differences
from .placed_text import part_place, part_words, place_words

_ORDER: dict[Sort, str] = {
    "job": "Job",
    "weldment": "Weldments",
    "part": "Parts",
    "weld": "Welds",
    "critical face": "Critical faces",
    "placed piece": "Placed pieces",
    "table": "Table",
    "hole": "Marked holes",
    "rack": "Rack",
    "piece of the rack": "Pieces of the rack",
}
"""What all things of a sort are called together."""
_FEW = 4
"""How many names are listed where the same happened to several things."""


class ChangeLine(Struct, frozen=True):
    """One difference in words.

    `group` is the heading that it comes under, `name` what the thing is called, `said` what
    happened to it, one phrase each.  `ids` are what it is about in the new job.
    """

    difference: Difference
    group: str
    name: str
    said: tuple[str, ...]
    ids: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """What happened, as one text."""
        return "; ".join(self.said)

    @property
    def text(self) -> str:
        """The line as one text."""
        return f"{self.name}: {self.words}"


def change_lines(old: Job, new: Job) -> tuple[ChangeLine, ...]:
    """Return everything in which `new` differs from `old`; empty only if the two are equal."""
    between = Between(old, new)
    return tuple(_line(between, difference) for difference in compare(old, new))


def gathered(lines: Sequence[ChangeLine]) -> tuple[ChangeLine, ...]:
    """Return the lines with things of one sort to which the same happened in one line."""
    alike: dict[tuple[object, ...], list[ChangeLine]] = {}
    for line in lines:
        key = (line.group, line.difference.sort, line.difference.does, line.said)
        alike.setdefault(key, []).append(line)
    made = []
    for some in alike.values():
        first = some[0]
        ids = tuple(one for line in some for one in line.ids)
        names = _listed([line.name for line in some])
        made.append(ChangeLine(first.difference, first.group, names, first.said, ids))
    return tuple(sorted(made, key=lambda line: _groups(made).index(line.group)))


def _groups(lines: Iterable[ChangeLine]) -> list[str]:
    return list(dict.fromkeys(line.group for line in lines))


def _listed(names: list[str]) -> str:
    """Several names: all of a few, else the first ones and how many more."""
    if len(names) <= _FEW + 1:
        return ", ".join(names)
    return f"{', '.join(names[:_FEW])} + {format_count(len(names) - _FEW)} more"


def count_of_changes(lines: Sequence[ChangeLine]) -> str:
    """Return how many things differ: 1 change, 12 changes, nothing changed."""
    if not lines:
        return "nothing changed"
    return "1 change" if len(lines) == 1 else f"{format_count(len(lines))} changes"


def changes_text(lines: Sequence[ChangeLine]) -> str:
    """Return the lines as text: with the headings if there are several, one line each."""
    shown = gathered(lines)
    if len(_groups(shown)) == 1:
        return "\n".join(f"- {line.text}" for line in shown)
    said = []
    for group, some in groupby(shown, key=lambda line: line.group):
        said += [group, *(f"- {line.text}" for line in some)]
    return "\n".join(said)


def whole_words(old: Job, new: Job) -> str:
    """Return what became of the job as a whole, in one sentence; "" if it is no such change."""
    found = whole_change(old, new)
    if found is None:
        return ""
    if found.what == "renamed":
        return "Everything is where it was, under other ids."
    if found.what == "moved":
        assert found.holes is not None
        return f"Everything moved {hole_steps(found.holes)}; nothing is set otherwise."
    ways = "left and right" if found.what == "mirrored x" else "front and back"
    return f"The whole set-up is mirrored: {ways} are swapped."


def for_the_notes(lines: Sequence[ChangeLine], since: str) -> str:
    """Return the lines as a paragraph for the notes; "" if nothing but the notes changed.

    That the notes changed is left out.  `since` says what the job is compared with.
    """
    kept = []
    for line in lines:
        said = tuple(words for words in line.said if not _of_notes(line, words))
        if said:
            kept.append(structs.replace(line, said=said))
    return f"Changes since {since}:\n{changes_text(kept)}" if kept else ""


def _of_notes(line: ChangeLine, words: str) -> bool:
    return line.difference.sort == "job" and words.startswith("notes ")


# -- one difference --------------------------------------------------------------------------------


def _line(between: Between, difference: Difference) -> ChangeLine:
    sort, old, new = difference.sort, difference.old, difference.new
    group = _group(between, difference)
    if difference.does == "order":
        return ChangeLine(difference, group, _ORDER[sort], ("now in another order",))
    name = _name(between, difference)
    if isinstance(old, Piece) and isinstance(new, Piece):
        return ChangeLine(difference, group, name, (differences(old, new, between.display),))
    if old is not None and new is not None and not isinstance(new, tuple | Piece):
        assert not isinstance(old, tuple)
        said = tuple(field_words(between, old, new, difference.fields))
    elif new is not None:
        said = (_added(between, new),)
    else:
        assert old is not None
        said = (_removed(between, old),)
    ids = (new.id,) if isinstance(new, Member | Plate | Placement) else ()
    return ChangeLine(difference, group, name, said, ids)


def _group(between: Between, difference: Difference) -> str:
    job, thing = _where(between, difference), difference.thing
    match difference.sort:
        case "weldment" | "part" | "weld" | "critical face":
            if not several(between.old) and not several(between.new):
                return "Weldment"
            return _of_weldment(job, thing)
        case "placed piece":
            return "Pieces on the table"
        case "table" | "hole":
            return "Table"
        case "rack" | "piece of the rack":
            return "Rack"
        case _:
            return "Job"


def _of_weldment(job: Job, thing: object) -> str:
    """The weldment that a thing belongs to; all of them for what belongs to none."""
    if isinstance(thing, Weldment):
        return weldment_title(job, thing.id)
    part = thing
    if isinstance(thing, Weld | FaceOf):
        part = job.find(thing.a if isinstance(thing, Weld) else thing.part)
    return weldment_title(job, part.weldment) if isinstance(part, Member | Plate) else "Weldments"


def _where(between: Between, difference: Difference) -> Job:
    """The job that the thing is in: the new one, unless it is gone."""
    return between.old if difference.new is None and difference.old is not None else between.new


def _name(between: Between, difference: Difference) -> str:
    job, thing = _where(between, difference), difference.thing
    name = _ORDER[difference.sort]
    match thing:
        case Weldment():
            called = weldment_title(job, thing.id)
            name = called[:1].upper() + called[1:]
        case Member() | Plate():
            # A part is known by the name that it had before.
            name = title(between.new if difference.old is None else between.old, thing.id)
        case Placement():
            name = _piece_name(between, difference)
        case Weld():
            name = _weld_name(job, thing)
        case FaceOf():
            name = side_words(job, thing)
        case HoleMark():
            name = address(job.table, thing.hole)
        case Piece():
            name = " ".join(filter(None, (thing.name, thing.size)))
    return name


def _piece_name(between: Between, difference: Difference) -> str:
    """A placed piece with the holes that it had before, as several are called the same."""
    job, placement = (between.old, difference.old)
    if placement is None:
        job, placement = (between.new, difference.new)
    assert isinstance(placement, Placement)
    called = title(job, placement.id)
    if difference.does != "changed":
        return called
    return f"{called} at {place_words(job.table, placement)}"


def _weld_name(job: Job, weld: Weld) -> str:
    parts = f"{title(job, weld.a)} + {title(job, weld.b)}"
    nth = f", seam {format_count(weld.nth + 1)}" if weld.nth else ""
    return f"{weld.name}, {parts}{nth}" if weld.name else f"Joint of {parts}{nth}"


def _added(between: Between, thing: object) -> str:
    job, display = between.new, between.display
    said = "added"
    match thing:
        case Member() | Plate():
            said = f"added, {part_words(thing, display)}, at {part_place(thing, display)}"
        case Placement():
            said = f"added in {place_words(job.table, thing)}"
        case Weldment():
            made = f", quantity {format_count(thing.quantity)}" if thing.quantity > 1 else ""
            said = f"added, {hand_words(job, thing)}{made}"
        case Weld() if _only_named(thing):
            said = f"named {thing.name}"  # by the user, or kept where an edit would have changed it
        case Weld():
            kind = thing.kind or "suggested weld"
            said = f"weld chosen: {kind}, size {weld_size(thing, display)}, {thing.sides}"
        case FaceOf():
            said = "critical face now"
        case HoleMark():
            said = f"marked {mark_words(thing, display)}"
        case Piece():
            said = f"added, {count_words(structs.replace(thing, size=''))}"
    return said


def _only_named(weld: Weld) -> bool:
    """True if nothing is chosen for a joint but what it is called."""
    return bool(weld.name) and weld == Weld(a=weld.a, b=weld.b, nth=weld.nth, name=weld.name)


def _removed(between: Between, thing: object) -> str:
    match thing:
        case Placement():
            return f"removed from {place_words(between.old.table, thing)}"
        case Weld() if _only_named(thing):
            return f"no longer named {thing.name}"
        case Weld():
            return "chosen weld taken away"
        case FaceOf():
            return "no longer a critical face"
        case HoleMark():
            return f"no longer marked {mark_words(thing, between.display)}"
        case _:
            return "removed"
