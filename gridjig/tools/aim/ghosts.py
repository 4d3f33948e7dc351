"""What tools draw over the table: ghosts, rings on holes, distances, boxes.  Plain values."""

from collections.abc import Iterable, Mapping

from gridjig.geometry.display import (
    Circle,
    Dimension,
    DisplayList,
    DrawingRole,
    Polyline,
    TextLabel,
)
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Hole, Job, Part, Table
from gridjig.rack import Point
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.tools.core.pointer import Pointer
from gridjig.tools.core.wording import hole_name

from .hit_test import PlanRing, placement_rings
from .snapping import Snap


def rings_of(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], thing_id: str
) -> tuple[PlanRing, ...]:
    """Return the plan rings of one thing on the table, mm."""
    thing = job.find(thing_id)
    if isinstance(thing, Part):
        return (part_ring(thing),)
    there = placed_pieces[thing_id]
    return placement_rings(job.table, there.placement, there)


def ghosts(
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    ids: Iterable[str],
    role: DrawingRole = "ghost",
) -> DisplayList:
    """Draw these things as plain outlines."""
    return tuple(
        Polyline(ring, role, closed=True)
        for thing_id in sorted(ids)
        for ring in rings_of(job, placed_pieces, thing_id)
    )


def bare_ring(table: Table, hole: Hole, role: DrawingRole = "selected") -> Circle:
    """A ring round a hole."""
    return Circle(table.at(hole), 0.9 * table.hole_diameter, role)


def hole_ring(table: Table, hole: Hole, role: DrawingRole = "selected") -> DisplayList:
    """A ring round a hole with its address beside it."""
    ring = bare_ring(table, hole, role)
    return (
        ring,
        TextLabel(
            (ring.centre[0], ring.centre[1] + ring.radius),
            hole_name(table, hole),
            role,
            anchor="above",
            size="large",
            cleared=True,
        ),
    )


def point_ring(at: Point, text: str, pointer: Pointer) -> DisplayList:
    """A ring round a point that is not a hole, with a word beside it."""
    radius = 1.5 * pointer.table_mm
    ring = Circle(at, radius, "selected")
    if not text:
        return (ring,)
    return (
        ring,
        TextLabel((at[0], at[1] + radius), text, "selected", anchor="above", cleared=True),
    )


def snap_ring(table: Table, snap: Snap, pointer: Pointer) -> DisplayList:
    """A ring round what the pointer snapped to: the whole hole, or a point that is not a hole."""
    if snap.hole is not None:
        return hole_ring(table, snap.hole)
    return point_ring(snap.at, snap.what, pointer)


def moved_line(a: Point, b: Point, text: str) -> DisplayList:
    """A line from the start to the new place, with the distance."""
    return () if a == b else (Dimension(a, b, text, "ghost"),)


def box(a: Point, b: Point, role: DrawingRole = "selected") -> DisplayList:
    """A box given by two corners."""
    return (Polyline((a, (b[0], a[1]), b, (a[0], b[1])), role, closed=True),)
