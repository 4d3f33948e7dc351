"""A mirrored copy of the selected pieces, on the other side of the weldment's middle."""

from collections.abc import Mapping

from gridjig.edits import weldment as whole
from gridjig.edits.setup_mirror import MirroredPieces, mirror_line, mirror_pieces
from gridjig.model import Job
from gridjig.model.by_weldment import parts_of
from gridjig.model.titles import titles
from gridjig.solve.placed.solver import PlacedPiece
from gridjig.solve.weldment.faces import Axis
from gridjig.tools.core.refusals import first_refusal
from gridjig.tools.core.tool import Commit, Nothing, Outcome
from gridjig.tools.core.wording import capital, sentence, several
from gridjig.units import format_length

from .commands import NOTHING_SELECTED

_OFF = 0.01
"""A mirror line within this distance of the middle, mm, counts as the middle."""
_WAYS: dict[Axis, tuple[str, str]] = {"x": ("left", "right"), "y": ("in front", "behind")}


def mirror_copy(
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    ids: frozenset[str],
    axis: Axis,
    weldment: str | None = None,
) -> Outcome:
    """Place mirrored copies of the pieces among these in the holes across the middle.

    Axis "x" mirrors left to right.  All of them are copied, or none and the reason is given: half
    a mirrored set-up would look complete.  The line is the middle of the weldment (of
    all of them by default), or of the table without one, moved so that holes mirror onto holes; a
    piece stands in for its opposite hand only if it is exactly that.
    """
    chosen = frozenset(p.id for p in job.placements if p.id in ids)
    if not chosen:
        return Nothing(
            "This mirrors pieces only; mirror parts of the weldment in their form."
            if ids
            else NOTHING_SELECTED
        )
    middle = _middle(job, axis, weldment)
    line = mirror_line(job, axis, middle)
    try:
        made = mirror_pieces(job, chosen, axis, line)
    except ValueError as fault:
        return Nothing(f"{sentence(str(fault))} Nothing was copied.")
    if not made.made:
        return Nothing("The selection lies on the mirror line, so there is nothing to mirror.")
    why = first_refusal(job, placed_pieces, made.job, made.made)
    if why is not None:
        return Nothing(f"The mirrored copy does not fit: {why}")
    name = titles(job, sorted(chosen - made.single))
    return Commit(
        made.job,
        f"Mirror a copy of {name}",
        made.made,
        said=f"{capital(several(made.job, sorted(made.made)))} mirrored "
        f"{_about(job, axis, line - middle)}.{_more(made)}",
    )


def _middle(job: Job, axis: Axis, weldment: str | None) -> float:
    if job.parts if weldment is None else parts_of(job, weldment):
        return whole.middle(job, weldment)[0 if axis == "x" else 1]
    table = job.table
    if axis == "x":
        return table.first_x + (table.columns - 1) * table.pitch_x / 2
    return table.first_y + (table.rows - 1) * table.pitch_y / 2


def _about(job: Job, axis: Axis, off: float) -> str:
    what = "the weldment's middle" if job.parts else "the table's middle"
    if abs(off) < _OFF:
        return f"about {what}"
    side = _WAYS[axis][off > 0]
    far = format_length(abs(off), job.display)
    of = {"left": "left of", "right": "right of", "in front": "in front of"}.get(side, side)
    return f"about the hole line {far} {of} {what}"


def _more(made: MirroredPieces) -> str:
    words = ""
    if made.single:
        one = len(made.single) == 1
        words += f" {len(made.single)} on the line {'was' if one else 'were'} not copied."
    if made.exchanged:
        one = len(made.exchanged) == 1
        words += f" {len(made.exchanged)} {'was' if one else 'were'} swapped for the opposite hand."
    return words
