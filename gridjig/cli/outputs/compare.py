"""What `gridjig compare --json` prints."""

from gridjig.edits.comparison import ChangeKind, Difference, Sort, face_moved, shift_of
from gridjig.model import Job, Member, Placement, Plate
from gridjig.sheets.text.change_text import ChangeLine, change_lines, whole_words
from gridjig.sheets.text.placed_text import place_words

from .base import Output, Pair


class ChangeOutput(Output, frozen=True):
    """One thing that differs: what happened to it, in which fields, and in words.

    `id` is empty for what has none.  `moved_mm` (to the right, to the back) and `turned_deg` are
    those of a part.  `holes` are those of a placed piece, before and after; `face_mm` is how far
    its face is from its hole before and after, null if that is the same.
    """

    what: Sort
    does: ChangeKind
    id: str
    group: str
    name: str
    fields: tuple[str, ...]
    said: tuple[str, ...]
    moved_mm: Pair | None
    turned_deg: float | None
    holes: tuple[str, str] | None
    face_mm: Pair | None


class CompareOutput(Output, frozen=True):
    """How the job NEW differs from OLD; `same` if the two are equal.

    `whole` says what became of all of it, in one sentence: it moved, was mirrored, has other ids;
    empty if it is no such change.
    """

    old: str
    new: str
    same: bool
    whole: str
    changes: tuple[ChangeOutput, ...]


def compare_output(old: Job, new: Job) -> CompareOutput:
    """The differences as they are printed."""
    lines = change_lines(old, new)
    changes = tuple(_change(old, new, line) for line in lines)
    return CompareOutput(
        old=old.name, new=new.name, same=not lines, whole=whole_words(old, new), changes=changes
    )


def _change(old: Job, new: Job, line: ChangeLine) -> ChangeOutput:
    one = line.difference
    moved, turned = _moved(one)
    return ChangeOutput(
        what=one.sort,
        does=one.does,
        id=str(getattr(one.thing, "id", "")),
        group=line.group,
        name=line.name,
        fields=one.fields,
        said=line.said,
        moved_mm=moved,
        turned_deg=turned,
        holes=_holes(old, new, one),
        face_mm=_face(old, new, one),
    )


def _moved(one: Difference) -> tuple[Pair | None, float | None]:
    before, after = one.old, one.new
    if not (isinstance(before, Member | Plate) and isinstance(after, Member | Plate)):
        return None, None
    by = shift_of(before, after)
    moved = (round(by.dx, 4), round(by.dy, 4))
    return (moved if any(moved) else None), (round(by.turn, 6) or None)


def _holes(old: Job, new: Job, one: Difference) -> tuple[str, str] | None:
    before, after = one.old, one.new
    if not (isinstance(before, Placement) and isinstance(after, Placement)):
        return None
    return place_words(old.table, before), place_words(new.table, after)


def _face(old: Job, new: Job, one: Difference) -> Pair | None:
    before, after = one.old, one.new
    if not (isinstance(before, Placement) and isinstance(after, Placement)):
        return None
    moved = face_moved(old, new, before, after)
    return None if moved is None else (round(moved.before, 4), round(moved.after, 4))
