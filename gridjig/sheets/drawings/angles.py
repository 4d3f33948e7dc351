"""What the angle finder draws while an answer is highlighted: ghosts, rings, lines.

Pure composition; nothing here changes the job.
"""

import math
from collections.abc import Iterable

from gridjig.angle.moving import WeldmentMove, with_move
from gridjig.geometry import unit
from gridjig.geometry.display import Circle, DisplayList, DrawingRole, Polyline, Shape, TextLabel
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Hole, Job, Placement, Table
from gridjig.model.labels import address
from gridjig.rack import Point, Rack
from gridjig.solve.angles.answers import AngleAnswer, AngleLimits
from gridjig.solve.angles.finder import answer_placements
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.placed.solver import solve_placement
from gridjig.solve.reach.reach import ReachAngle
from gridjig.units import Display, format_angle

from .plan import draw_ghost, draw_reach


def draw_answer(
    table: Table, rack: Rack, answer: AngleAnswer, holes: tuple[Hole, ...], limits: AngleLimits
) -> DisplayList:
    """Draw an answer in some holes: its pieces as ghosts, rings on the holes, the line it makes.

    `limits.side` is as seen along the wanted direction (`solve.angle.faced`).
    """
    ids = [f"shown-{k}" for k in range(len(answer.standing))]
    placed_pieces = [solve_placement(table, rack, p) for p in answer_placements(answer, ids, holes)]
    shapes: list[Shape] = [s for one in placed_pieces for s in draw_ghost(one, table)]
    a, b = line_of(table, answer, holes, placed_pieces, limits)
    if answer.plate is not None:
        x, y = table.at(holes[0])
        corners = tuple((x + dx, y + dy) for dx, dy in answer.plate.corners)
        shapes.append(Polyline(corners, "ghost", closed=True))
    shapes += ringed(table, holes)
    long = max(math.dist(a, b), min(limits.leg, math.hypot(table.width, table.depth)))
    c, s = unit(math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])))
    far = (a[0] + long * c, a[1] + long * s)
    shapes.append(Polyline((a, far), "centre"))
    shapes.append(Polyline((a, b), "selected"))
    above = (b[0], b[1] + 0.9 * table.hole_diameter)  # addresses stand below their holes
    shapes.append(_said(above, format_angle(answer.angle_deg)))
    return tuple(shapes)


def draw_move(job: Job, move: WeldmentMove) -> tuple[DisplayList, tuple[Point, ...]]:
    """Draw the weldment after a move, with the pins it then touches; return their holes too."""
    after, ids = with_move(job, move)
    placed = PlacedPieces().of(after)
    shapes: list[Shape] = [Polyline(part_ring(part), "ghost", closed=True) for part in after.parts]
    for one in sorted(ids):
        shapes += draw_ghost(placed[one], job.table)
    holes = tuple(hole for answer in move.answers for hole in answer.holes)
    shapes += ringed(job.table, holes)
    return tuple(shapes), tuple(job.table.at(hole) for hole in holes)


def line_of(
    table: Table,
    answer: AngleAnswer,
    holes: tuple[Hole, ...],
    placed_pieces: Iterable[PlacedPiece],
    limits: AngleLimits,
) -> tuple[Point, Point]:
    """Return the line of an answer: along the face that makes it, or else beside the pins."""
    for one in placed_pieces:
        for face in one.faces[:1]:
            return (face.a, face.b)
    p, q = table.at(holes[0]), table.at(holes[1])
    c, s = unit(answer.angle_deg)
    if (q[0] - p[0]) * c + (q[1] - p[1]) * s < 0:
        c, s = -c, -s
    side = 1.0 if limits.side == "right" else -1.0
    first = answer.line_mm[0] if answer.line_mm else 0.0
    foot = (p[0] - side * s * first, p[1] + side * c * first)
    run = (q[0] - p[0]) * c + (q[1] - p[1]) * s
    return foot, (foot[0] + run * c, foot[1] + run * s)


def ringed(table: Table, holes: Iterable[Hole], role: DrawingRole = "selected") -> DisplayList:
    """Draw rings round holes with their addresses."""
    shapes: list[Shape] = []
    for hole in holes:
        x, y = table.at(hole)
        radius = 0.9 * table.hole_diameter
        shapes.append(Circle((x, y), radius, role))
        shapes.append(
            TextLabel(
                (x, y - radius),
                address(table, hole),
                role,
                anchor="below",
                size="large",
                cleared=True,
            )
        )
    return tuple(shapes)


def _said(at: Point, words: str) -> TextLabel:
    return TextLabel(at, words, "selected", anchor="above", size="large", cleared=True)


def draw_through(table: Table, holes: tuple[Hole, Hole], angle_deg: float) -> DisplayList:
    """Draw two holes and the line through them."""
    a, b = (table.at(h) for h in holes)
    above = (b[0], b[1] + 0.9 * table.hole_diameter)
    return (Polyline((a, b), "reach"), *ringed(table, holes), _said(above, format_angle(angle_deg)))


def draw_reached(
    table: Table,
    rack: Rack,
    placement: Placement,
    every: Iterable[ReachAngle],
    chosen: Placement | None,
    display: Display,
) -> DisplayList:
    """Draw everything that an arm reaches about its first hole, and its chosen setting."""
    here = solve_placement(table, rack, placement)
    centre = table.at(placement.seats[0].hole)
    reach = 3.0 * table.hole_diameter
    for face in here.faces[:1]:
        reach = max(reach, math.dist(centre, face.a), math.dist(centre, face.b))
    shown = draw_reach(centre, reach, [(a.low, a.high) for a in every])
    if chosen is None:
        return shown
    there = solve_placement(table, rack, chosen)
    lines = tuple(Polyline((f.a, f.b), "selected") for f in there.faces[:1])
    return (
        *shown,
        *draw_ghost(there, table, refused=there.fault is not None),
        *ringed(table, [seat.hole for seat in chosen.seats]),
        *lines,
    )
