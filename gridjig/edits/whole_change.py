"""Whether one job is another as a whole: moved by whole holes, mirrored, or with other ids only.

What a comparison would list piece by piece is then one fact.
"""

from typing import Literal

from msgspec import Struct, structs

from gridjig.geometry.part_outline import part_ring
from gridjig.model import Hole, Job, Part, Placement
from gridjig.solve.layout.remainders import grid_along
from gridjig.solve.weldment.faces import Axis

from .comparison import holes_moved, shift_of
from .setup_mirror import mirror_setup

_SAME = 1e-3


class WholeChange(Struct, frozen=True):
    """ "moved": everything by `holes`; "mirrored": left and right (axis x) or front and back (y)
    swapped; "renamed": the same things under other ids.
    """

    what: Literal["moved", "mirrored x", "mirrored y", "renamed"]
    holes: Hole | None = None


def whole_change(old: Job, new: Job) -> WholeChange | None:
    """Return what became of a job as a whole; None if it is not one change of all of it.

    Both jobs must be on the same grid with the same rack; names, notes and texts do not matter.
    """
    grid = ("pitch_x", "pitch_y", "first_x", "first_y", "columns", "rows")
    if any(getattr(old.table, name) != getattr(new.table, name) for name in grid):
        return None
    if len(old.placements) != len(new.placements) or len(old.parts) != len(new.parts):
        return None
    if not (old.placements or old.parts):
        return None
    return _moved(old, new) or _mirrored(old, new) or _renamed(old, new)


def _pairs(old: Job, new: Job) -> list[tuple[Placement, Placement]] | None:
    now = {placement.id: placement for placement in new.placements}
    if now.keys() != {placement.id for placement in old.placements}:
        return None
    return [(placement, now[placement.id]) for placement in old.placements]


def _parts(old: Job, new: Job) -> list[tuple[Part, Part]] | None:
    now = {part.id: part for part in new.parts}
    if now.keys() != {part.id for part in old.parts}:
        return None
    return [(part, now[part.id]) for part in old.parts]


def _moved(old: Job, new: Job) -> WholeChange | None:
    pairs, parts = _pairs(old, new), _parts(old, new)
    if not pairs or parts is None:
        return None
    steps = {holes_moved(a, b) for a, b in pairs}
    step = steps.pop()
    if steps or step is None or not any(step):
        return None
    if any(
        structs.replace(a, seats=b.seats) != structs.replace(b, seats=b.seats) for a, b in pairs
    ):
        return None
    dx, dy = step.col * old.table.pitch_x, step.row * old.table.pitch_y
    for a, b in parts:
        by = shift_of(a, b)
        if max(abs(by.dx - dx), abs(by.dy - dy), abs(by.turn)) > _SAME:
            return None
        if structs.replace(a, x=b.x, y=b.y, turn=b.turn) != b:
            return None
    return WholeChange("moved", step)


def _mirrored(old: Job, new: Job) -> WholeChange | None:
    pairs = _pairs(old, new)
    if not pairs or pairs == [(a, a) for a, _ in pairs]:
        return None
    first, other = pairs[0]
    axes: tuple[tuple[Axis, Literal["mirrored x", "mirrored y"], int], ...] = (
        ("x", "mirrored x", 0),
        ("y", "mirrored y", 1),
    )
    for axis, what, k in axes:
        start, pitch = grid_along(old.table, axis)
        # Either of its holes may have become either: its features can change places.
        sums = {seat.hole[k] + image.hole[k] for seat in first.seats for image in other.seats}
        for sum_ in sorted(sums):
            try:
                made = mirror_setup(old, axis, start + sum_ * pitch / 2.0)
            except ValueError:
                continue
            if not made.stayed and _alike(made.job, new):
                return WholeChange(what)
    return None


def _alike(a: Job, b: Job) -> bool:
    """True if the pieces stand in the same holes, and the parts cover the same plan."""
    holes = [
        {
            placement.id: frozenset(seat.hole for seat in placement.seats)
            for placement in job.placements
        }
        for job in (a, b)
    ]
    if holes[0] != holes[1]:
        return False

    def plan(job: Job) -> dict[str, list[tuple[float, float]]]:
        return {
            part.id: sorted((round(x, 2) + 0.0, round(y, 2) + 0.0) for x, y in part_ring(part))
            for part in job.parts
        }

    return plan(a) == plan(b)


def _renamed(old: Job, new: Job) -> WholeChange | None:
    """The same things in the same places, under other ids."""
    if _pairs(old, new) is not None and _parts(old, new) is not None:
        return None

    def bare(job: Job) -> tuple[list[str], list[str]]:
        placed = [repr(structs.replace(p, id="x", name="")) for p in job.placements]
        parts = [repr(structs.replace(part, id="x", name="", weldment="x")) for part in job.parts]
        return sorted(placed), sorted(parts)

    return WholeChange("renamed") if bare(old) == bare(new) else None
