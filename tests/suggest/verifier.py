"""Looks at a finished set-up from the numbers in the job alone.

It shares nothing with the search, the placed pieces, the contacts or the proof: poses, overlaps,
contacts and what is taken are reckoned here again, from the pieces of the rack and shapely.
"""

import math
from collections import Counter
from itertools import pairwise

import numpy as np
import shapely
from msgspec import Struct
from shapely import affinity

from gridjig.model import Hole, Job, Part, Placement
from gridjig.rack import ArcSlot, Face, Piece, RoundHole, Shank, StraightSlot

OPEN = 0.5
"""Locating pieces stand at most this far from the work, mm."""
SLACK = 0.06
"""Overlaps up to this deep, mm, are rounding or contact."""


SLIVER = 1.0
"""Outlines that share less than this, mm2, only graze each other."""


class Body(Struct, frozen=True):
    """A prism: its plan, and from where to where it is high, mm."""

    plan: shapely.Polygon
    low: float
    high: float


def faults(job: Job) -> list[str]:
    """All that is wrong with a set-up; nothing if it can be set up and locates the work."""
    found: list[str] = []
    found += _holes(job)
    found += _taken(job)
    found += _clashes(job)
    for placement in job.placements:
        found += _does_something(job, placement)
    if not found:
        found += _loose(job)
    return found


def _holes(job: Job) -> list[str]:
    closed = {mark.hole for mark in job.table.marks if mark.closed}
    used: Counter[Hole] = Counter()
    found = []
    for placement in job.placements:
        for seat in placement.seats:
            used[seat.hole] += 1
            here = 0 <= seat.hole.col < job.table.columns and 0 <= seat.hole.row < job.table.rows
            if not here or seat.hole in closed:
                found.append(f"{placement.id}: no pin goes into {seat.hole}")
        found += _pinned(job, placement)
    return found + [f"{hole} is taken twice" for hole, many in used.items() if many > 1]


def _at(job: Job, hole: Hole) -> tuple[float, float]:
    table = job.table
    return (table.first_x + hole.col * table.pitch_x, table.first_y + hole.row * table.pitch_y)


def _own(placement: Placement, p: tuple[float, float]) -> tuple[float, float]:
    """A point of a piece, on its other side if it is turned over."""
    return (p[0], -p[1]) if placement.flipped else p


def _pose(job: Job, placement: Placement) -> tuple[float, float, float]:
    """Where the frame of a piece lies: its origin and turn, from its first seat."""
    piece = job.rack.piece(placement.piece)
    mount = piece.mount(placement.seats[0].feature)
    if isinstance(mount, StraightSlot):
        length = math.dist(mount.a, mount.b)
        x, y = (
            a + (b - a) * placement.slide / length for a, b in zip(mount.a, mount.b, strict=True)
        )
    else:
        assert isinstance(mount, RoundHole | Shank)
        x, y = mount.at
    x, y = _own(placement, (x, y))
    (hx, hy), turn = _at(job, placement.seats[0].hole), math.radians(placement.turn)
    c, s = math.cos(turn), math.sin(turn)
    return (hx - c * x + s * y, hy - s * x - c * y, placement.turn)


def _on_table(
    job: Job, placement: Placement, p: tuple[float, float], body: int = 0
) -> tuple[float, float]:
    """A point of a piece where it stands; `body` 1 is an arm's leaf, about its pivot."""
    x, y, turn = _pose(job, placement)
    pivot = job.rack.piece(placement.piece).pivot
    if body and pivot is not None:
        (x, y) = _on_table(job, placement, pivot.at)
        turn += -placement.leaf if placement.flipped else placement.leaf
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    px, py = _own(placement, p)
    return (x + c * px - s * py, y + s * px + c * py)


def _ends(job: Job, placement: Placement, face: Face) -> list[tuple[float, float]]:
    return [_on_table(job, placement, p, face.body) for p in (face.a, face.b)]


def _pinned(job: Job, placement: Placement) -> list[str]:
    """Every seat of a piece lies over its hole."""
    piece = job.rack.piece(placement.piece)
    for seat in placement.seats:
        mount, hole = piece.mount(seat.feature), _at(job, seat.hole)
        if isinstance(mount, StraightSlot):
            a, b = (_on_table(job, placement, p, mount.body) for p in (mount.a, mount.b))
            off = float(shapely.distance(shapely.LineString([a, b]), shapely.Point(hole)))
        elif isinstance(mount, ArcSlot):
            off = _off_the_arc(job, placement, mount, hole)
        else:
            off = math.dist(_on_table(job, placement, mount.at, mount.body), hole)
        if off > 0.05:
            return [f"{placement.id}: {seat.feature} is {off:.2f} mm beside {seat.hole}"]
    return []


def _off_the_arc(job: Job, placement: Placement, arc: ArcSlot, hole: tuple[float, float]) -> float:
    """How far a hole is from the middle line of an arc slot."""
    turns = [math.radians(arc.start + (arc.end - arc.start) * k / 720.0) for k in range(721)]
    (x, y), r = arc.centre, arc.radius
    line = [(x + r * math.cos(t), y + r * math.sin(t)) for t in turns]
    there = shapely.LineString([_on_table(job, placement, p, arc.body) for p in line])
    return float(shapely.distance(there, shapely.Point(hole)))


def _taken(job: Job) -> list[str]:
    """No more is used than the rack has."""
    used: Counter[str] = Counter()
    for placement in job.placements:
        piece = job.rack.piece(placement.piece)
        used[piece.id] += 1
        used.update(placement.lift)
        used.update(placement.packing)
        pins = [s for s in placement.seats if not isinstance(piece.mount(s.feature), Shank)]
        known = {p.id for p in job.rack.pieces}
        locking = next((name for name in piece.takes if name in known), None)
        if locking is not None:
            used[locking] += len(pins)
    owned = {p.id: p.owned for p in job.rack.pieces}
    return [f"{many} of {name} used" for name, many in used.items() if many > owned.get(name, 0)]


def _raised(job: Job, placement: Placement) -> float:
    return sum(job.rack.piece(name).thickness for name in placement.lift)


def bodies(job: Job, placement: Placement) -> list[Body]:
    """The solids of a piece where it stands; without packing, clamp bars and handles."""
    piece, up = job.rack.piece(placement.piece), _raised(job, placement)
    return [
        Body(
            shapely.Polygon([_on_table(job, placement, p, solid.body) for p in solid.outline]),
            solid.z_low + up,
            solid.z_high + up,
        )
        for solid in piece.solids
    ]


def _part_body(part: Part) -> Body:
    plan = shapely.Polygon(part.corners)
    plan = affinity.rotate(plan, part.turn, origin=(0, 0))
    return Body(affinity.translate(plan, part.x, part.y), part.z_low, part.z_high)


def overlap(one: Body, other: Body) -> bool:
    """True if two bodies are in one another, deeper than by SLACK."""
    if min(one.high, other.high) - max(one.low, other.low) <= SLACK:
        return False
    if not one.plan.intersection(other.plan).area > SLIVER:
        return False
    # An arm is as near to its face as its holes allow; along a long face that is an area too.
    inside = one.plan.buffer(-SLACK, join_style="mitre")
    return bool(inside.intersection(other.plan).area > SLIVER)


def _clashes(job: Job) -> list[str]:
    things = [(p.id, bodies(job, p)) for p in job.placements]
    parts = [(part.id, _part_body(part)) for part in job.parts]
    found = []
    for n, (name, mine) in enumerate(things):
        for other, theirs in things[n + 1 :]:
            if any(overlap(a, b) for a in mine for b in theirs):
                found.append(f"{name} and {other} overlap")
        for part, body in parts:
            if any(overlap(a, body) for a in mine):
                found.append(f"{name} and {part} overlap")
    return found


def _does_something(job: Job, placement: Placement) -> list[str]:
    piece = job.rack.piece(placement.piece)
    if piece.tip is not None:
        return _presses(job, placement, piece)
    if piece.rests:
        x, y = _on_table(job, placement, piece.rests[0].centre)
        z = piece.rests[0].z + _raised(job, placement)
        under = [p for p in job.parts if _part_body(p).plan.contains(shapely.Point(x, y))]
        if any(abs(p.z_low - z) <= SLACK for p in under):
            return []
        return [f"{placement.id} carries nothing"]
    return [] if rows_of(job, placement) else [f"{placement.id} touches nothing"]


def _presses(job: Job, placement: Placement, piece: Piece) -> list[str]:
    assert piece.tip is not None
    tip, turn = piece.tip, math.radians(piece.tip.direction)
    if not tip.reach_min - 1e-6 <= placement.reach <= tip.reach_max + 1e-6:
        return [f"{placement.id} does not reach so far"]
    out = (
        tip.at[0] + placement.reach * math.cos(turn),
        tip.at[1] + placement.reach * math.sin(turn),
    )
    at = shapely.Point(_on_table(job, placement, out))
    aside = (-tip.pad_radius * math.sin(turn), tip.pad_radius * math.cos(turn))
    ends = [(out[0] + k * aside[0], out[1] + k * aside[1]) for k in (-1.0, 1.0)]
    pad = shapely.LineString([_on_table(job, placement, p) for p in ends])
    for part in job.parts:
        body = _part_body(part)
        if tip.push == "down":
            if body.plan.buffer(SLACK).contains(at) and tip.z_low <= body.high <= tip.z_high:
                return []
            continue
        up = _raised(job, placement)
        level = min(tip.z_high + up, body.high) - max(tip.z_low + up, body.low) > SLACK
        into = body.plan.intersection(pad).length > 1.0 and body.plan.buffer(-SLACK).intersects(pad)
        if level and body.plan.exterior.distance(pad) <= SLACK and not into:
            return []
    return [f"{placement.id} presses nothing"]


LocatingRow = tuple[float, float, float]


def rows_of(job: Job, placement: Placement) -> list[LocatingRow]:
    """How a piece pushes the parts that it stands against: rows of the locating matrix."""
    piece = job.rack.piece(placement.piece)
    packed = sum(job.rack.piece(name).thickness for name in placement.packing)
    up = _raised(job, placement)
    found: list[LocatingRow] = []
    for part in job.parts:
        body = _part_body(part)
        ring = list(body.plan.exterior.coords)
        for a, b in pairwise(ring):
            length = math.dist(a, b)
            if length < 1e-6:
                continue
            normal = ((b[1] - a[1]) / length, (a[0] - b[0]) / length)
            if not body.plan.exterior.is_ccw:
                normal = (-normal[0], -normal[1])
            for face in piece.faces:
                if min(face.z_high + up, body.high) - max(face.z_low + up, body.low) > SLACK:
                    found += _flat(a, b, normal, _ends(job, placement, face), packed)
            for body_round in piece.rounds:
                heights = (body_round.z_low + up, body_round.z_high + up)
                if min(heights[1], body.high) - max(heights[0], body.low) > SLACK:
                    centre = _on_table(job, placement, body_round.centre)
                    found += _flat(a, b, normal, [centre], packed + body_round.radius)
    return found


def _flat(
    a: tuple[float, ...],
    b: tuple[float, ...],
    normal: tuple[float, float],
    ends: list[tuple[float, float]],
    out: float,
) -> list[LocatingRow]:
    """The row of a face or pin that stands parallel to a side of the work and near it."""
    off = [(x - a[0]) * normal[0] + (y - a[1]) * normal[1] - out for x, y in ends]
    length = math.dist(a, b)
    u = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    along = [(x - a[0]) * u[0] + (y - a[1]) * u[1] for x, y in ends]
    low, high = max(min(along), 0.0), min(max(along), length)
    if high < low or (len(ends) > 1 and high - low < 1.0):
        return []
    share = (high - low) / max(abs(along[-1] - along[0]), 1e-9) if len(ends) > 1 else 1.0
    if (max(off) - min(off)) * share > 0.055 or not -SLACK <= min(off) <= OPEN:
        return []
    found = []
    for at in {low, high}:  # what lies flat over some length stops the work at both ends of it
        x, y = a[0] + u[0] * at, a[1] + u[1] * at
        nx, ny = -normal[0], -normal[1]
        found.append((nx, ny, x * ny - y * nx))
    return found


def _loose(job: Job) -> list[str]:
    """Each weldment, once tacked, is located in plan; its pieces are told by what they touch."""
    rows = [row for p in job.placements if not _tip(job, p) for row in rows_of(job, p)]
    middle = shapely.union_all([_part_body(part).plan for part in job.parts]).centroid
    matrix = np.array(
        [(nx, ny, t - (middle.x * ny - middle.y * nx)) for nx, ny, t in rows] or [(0.0, 0.0, 0.0)]
    )
    matrix[:, 2] /= max(np.abs(matrix[:, 2]).max(), 1.0)
    rank = int(np.linalg.matrix_rank(matrix, tol=1e-3))
    return [] if rank == 3 else [f"the work is located in {rank} of 3 ways"]


def _tip(job: Job, placement: Placement) -> bool:
    return job.rack.piece(placement.piece).tip is not None
