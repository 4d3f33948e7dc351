"""What tools draw over the table: ghosts, rings on holes, distances, boxes.  Values only."""

from collections.abc import Iterable, Mapping

from gridjig.geometry.display import Circle, Dimension, Drawing, Line, Role, Words
from gridjig.geometry.parts import part_ring
from gridjig.model import Hole, Job, Part, Table
from gridjig.rack import Point
from gridjig.solve.stood import Stand

from .catch import Ring, placement_rings
from .pointer import Pointer
from .snapping import Snap
from .wording import hole_name


def rings_of(job: Job, stands: Mapping[str, Stand], thing_id: str) -> tuple[Ring, ...]:
    """Plan rings of one thing on the table, mm."""
    thing = job.find(thing_id)
    if isinstance(thing, Part):
        return (part_ring(thing),)
    there = stands[thing_id]
    return placement_rings(job.table, there.placement, there)


def ghosts(
    job: Job, stands: Mapping[str, Stand], ids: Iterable[str], role: Role = "ghost"
) -> Drawing:
    """These things as bare rings."""
    return tuple(
        Line(ring, role, closed=True)
        for thing_id in sorted(ids)
        for ring in rings_of(job, stands, thing_id)
    )


def bare_ring(table: Table, hole: Hole, role: Role = "selected") -> Circle:
    """A ring round a hole."""
    return Circle(table.at(hole), 0.9 * table.hole_diameter, role)


def hole_ring(table: Table, hole: Hole, role: Role = "selected") -> Drawing:
    """A ring round a hole with its address beside it."""
    ring = bare_ring(table, hole, role)
    return (
        ring,
        Words(
            (ring.centre[0], ring.centre[1] + ring.radius),
            hole_name(table, hole),
            role,
            anchor="above",
            size="large",
            cleared=True,
        ),
    )


def point_ring(at: Point, text: str, pointer: Pointer) -> Drawing:
    """A ring round a point that is no hole, with a word beside it."""
    radius = 1.5 * pointer.table_mm
    ring = Circle(at, radius, "selected")
    if not text:
        return (ring,)
    return (ring, Words((at[0], at[1] + radius), text, "selected", anchor="above", cleared=True))


def snap_ring(table: Table, snap: Snap, pointer: Pointer) -> Drawing:
    """A ring round what was caught: round a whole hole, or round the point that is none."""
    if snap.hole is not None:
        return hole_ring(table, snap.hole)
    return point_ring(snap.at, snap.what, pointer)


def moved_line(a: Point, b: Point, text: str) -> Drawing:
    """The way from the start to the new place, with the distance."""
    return () if a == b else (Dimension(a, b, text, "ghost"),)


def box(a: Point, b: Point, role: Role = "selected") -> Drawing:
    """A box by two corners."""
    return (Line((a, (b[0], a[1]), b, (a[0], b[1])), role, closed=True),)
