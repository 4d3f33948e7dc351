"""Findings about the table itself: holes to use with care, and what hangs over an edge."""

from collections.abc import Iterator, Mapping

from gridjig.geometry.shapes import bounds
from gridjig.model import Job
from gridjig.model.labels import address
from gridjig.model.marks import mark_index
from gridjig.model.titles import title
from gridjig.rack import Point
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units import format_length

from .conflicts import DEPTH
from .finding import Finding, told_apart
from .neighbours import placed_part


def hole_findings(job: Job, placed_pieces: Mapping[str, PlacedPiece]) -> Iterator[Finding]:
    """Holes that can be used, but with care."""
    marks = mark_index(job.table)
    for placement in job.placements:
        stood = placed_pieces[placement.id]
        if stood.fault is not None:
            continue
        name = title(job, placement.id)
        for hole in stood.holes:
            mark = marks.get(hole)
            if mark is None or mark.closed:
                continue
            label, size = address(job.table, hole), format_length(mark.size, job.display)
            what, do = {
                "shallow": (
                    f"{name} is in {label}, which is only {size} deep.",
                    "Use a shorter pin or another hole.",
                ),
                "oversize": (
                    f"{name} is in {label}, which is worn to {size}, so it is loose there.",
                    "Use another hole if its position matters.",
                ),
                "reserved": (
                    f"{name} is in {label}, which is reserved.",
                    "Use another hole, or clear the mark on this one.",
                ),
            }[mark.state]
            yield Finding(
                f"{mark.state}/{placement.id}/{hole.col}/{hole.row}",
                "hole",
                "look",
                what,
                job.table.at(hole),
                (placement.id,),
                do,
            )


def edge_findings(job: Job, placed_pieces: Mapping[str, PlacedPiece]) -> Iterator[Finding]:
    """What hangs over the edge of the table."""
    for placement in job.placements:
        stood = placed_pieces[placement.id]
        points = [p for s in stood.solids if s.role != "handle" for p in s.points]
        if stood.fault is None and points:
            yield from _over(job, placement.id, points, "Make sure nobody can walk into it.")
    for part in job.parts:
        points = list(placed_part(part).points)
        yield from _over(job, part.id, points, "Move the work in, or support it from below.")


def _over(job: Job, thing_id: str, points: list[Point], do: str) -> Iterator[Finding]:
    x0, y0, x1, y1 = bounds(points)
    table = job.table
    sides = (
        ("left", -x0, (x0, (y0 + y1) / 2)),
        ("right", x1 - table.width, (x1, (y0 + y1) / 2)),
        ("front", -y0, ((x0 + x1) / 2, y0)),
        ("back", y1 - table.depth, ((x0 + x1) / 2, y1)),
    )
    for side, by, where in sides:
        if by > DEPTH:
            length = format_length(by, job.display)
            what = f"{told_apart(job, thing_id)} hangs over the {side} edge by {length}."
            mark = f"edge/{thing_id}/{side}"
            yield Finding(mark, "overhang", "look", what, where, (thing_id,), do, by, 0.0, "mm")
