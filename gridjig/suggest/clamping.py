"""Clamps that press a part down where something carries it, or push it against its stops."""

import math
from collections.abc import Iterator, Sequence

from gridjig.contact.carrying import weight_of
from gridjig.contact.touching import to_touch
from gridjig.geometry import unit
from gridjig.model import Hole, Job, Member, Part, Placement, Seat
from gridjig.rack import Piece, Point
from gridjig.solve.weldment.faces import WorkFace
from gridjig.units.progress import look

from .rigid import on_holes, seats_at
from .site import Atom, Site, long_and_ends
from .stops import holes_before, raised_to

POSTS = 5
"""How many holes are considered for the post of each kind of clamp at each point to press."""


def clamp_atoms(site: Site, part: Part, over: Sequence[Point]) -> list[Atom]:
    """Clamps for a part, the nearest to a point to press first; `over` are those points.

    Without any, that is the middle of the part.
    """
    long, _ = long_and_ends(part, site.faces[part.id])
    if not long:
        return []
    target = long[0].of
    points = list(over) or [_middle(part)]
    found: list[Atom] = []
    for piece in site.job.rack.pieces:
        if piece.tip is None or piece.tip.push != "down" or site.left(piece) < 1:
            continue
        if not piece.tip.z_low <= part.z_high <= piece.tip.z_high:
            continue
        for at in points:
            count = 0
            for hole in _posts(site, part, piece, at):
                if count == POSTS:
                    break
                look()
                x, y = site.job.table.at(hole)
                aim = math.degrees(math.atan2(at[1] - y, at[0] - x)) - piece.tip.direction
                placement = Placement(
                    id="new",
                    piece=piece.id,
                    seats=(Seat(piece.mounts[0].id, hole),),
                    turn=math.remainder(aim, 360.0) + 0.0,
                    reach=math.dist(at, (x, y)),
                )
                made = to_touch(site.job, placement, target)
                if not made.touches:
                    continue
                here = site.standing(made.placement)
                if here is None or here.tip is None:
                    continue
                count += 1
                found.append(site.atom(here, part.id, "clamp", here.tip.at))
    return found


def clamps_reach(job: Job, part: Part) -> bool:
    """True if a clamp of the rack can be set to the height of a part."""
    tips = [piece.tip for piece in job.rack.pieces if piece.tip is not None and piece.owned]
    return any(
        tip.z_low <= part.z_high <= tip.z_high
        if tip.push == "down"
        else tip.z_low < part.z_high and part.z_low < tip.z_high
        for tip in tips
    )


def push_atoms(site: Site, part: Part, before: Sequence[WorkFace]) -> list[Atom]:
    """Clamps that push at a long face of a part, straight along the grid, from outside the work.

    `before` are its long faces; one is pushed at if the work is free behind the other one too.
    """
    found: list[Atom] = []
    if len(before) != 2 or not all(face.outer for face in before):
        return found
    for piece in site.job.rack.pieces:
        tip = piece.tip
        if tip is None or tip.push != "along" or site.left(piece) < 1:
            continue
        for face in before:
            lift = raised_to(site, face, tip.z_low, tip.z_high)
            wanted = math.degrees(math.atan2(-face.normal[1], -face.normal[0]))
            turn = math.remainder(wanted - tip.direction, 360.0) + 0.0
            steps = on_holes(site.job.table, piece, turn)
            if face.axis is None or lift is None or steps is None:
                continue
            near = [
                (abs(along - face.length / 2.0), out, hole)
                for along, out, hole in holes_before(site, face, tip.reach_max)
                if out >= tip.reach_min
            ]
            near.sort(key=lambda one: (round(one[0], 3), one[1]))
            count = 0
            for _, out, hole in near:
                if count == POSTS:
                    break
                look()
                placement = Placement(
                    id="new",
                    piece=piece.id,
                    seats=seats_at(piece, hole, steps),
                    turn=turn,
                    reach=out,
                    lift=lift,
                )
                made = to_touch(site.job, placement, face.of)
                here = site.standing(made.placement) if made.touches else None
                if here is not None and here.tip is not None:
                    count += 1
                    atom = site.atom(here, part.id, "clamp", here.tip.at, side=face.of.side)
                    found.append(atom)
    return found


def _middle(part: Part) -> Point:
    if isinstance(part, Member):
        ux, uy = unit(part.turn)
        return (part.x + ux * part.length / 2.0, part.y + uy * part.length / 2.0)
    weight = weight_of(part)
    return (weight.x, weight.y)


def _posts(site: Site, part: Part, piece: Piece, at: Point) -> Iterator[Hole]:
    """Free holes within reach of a point, beside the work: those square to the part first."""
    assert piece.tip is not None
    table, (ux, uy) = site.job.table, unit(part.turn)
    low = table.nearest(at[0] - piece.tip.reach_max, at[1] - piece.tip.reach_max)
    high = table.nearest(at[0] + piece.tip.reach_max, at[1] + piece.tip.reach_max)
    half = _half(piece)
    some: list[tuple[float, Hole]] = []
    x0, y0, x1, y1 = site.box
    for col in range(low.col, high.col + 1):
        for row in range(low.row, high.row + 1):
            hole = Hole(col, row)
            if not site.free(hole):
                continue
            x, y = table.at(hole)
            far = math.dist((x, y), at)
            if not piece.tip.reach_min <= far <= piece.tip.reach_max:
                continue
            if site.covered(x, y, half):
                continue
            askew = abs((x - at[0]) * ux + (y - at[1]) * uy)
            inside = 25.0 if x0 < x < x1 and y0 < y < y1 else 0.0
            some.append((far + askew + inside, hole))
    yield from (hole for _, hole in sorted(some))


def _half(piece: Piece) -> float:
    """Half the smallest width of a clamp's body, mm."""
    rings = [solid.outline for solid in piece.solids]
    if not rings:
        return 0.0
    xs, ys = [p[0] for p in rings[0]], [p[1] for p in rings[0]]
    return min(max(xs) - min(xs), max(ys) - min(ys)) / 2.0
