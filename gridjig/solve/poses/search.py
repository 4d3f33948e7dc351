"""The search behind `search_holes`: pose tables applied to the actual holes of a table.

A module of its own because numpy takes a tenth of a second to load.
"""

from collections.abc import Iterator

import numpy as np

from gridjig.geometry import Pose
from gridjig.model import Hole, Seat, Table
from gridjig.rack import MountFeature, Piece, Shank
from gridjig.solve.mounting.fit import radial_play
from gridjig.solve.mounting.leaf import on_scale
from gridjig.solve.mounting.mount import mount
from gridjig.solve.mounting.pair_arrays import about_all
from gridjig.solve.mounting.pairs import PinFit
from gridjig.solve.mounting.track import track_of
from gridjig.solve.mounting.ways import LeafWay, Way

from .attainable import AttainablePose, AttainablePoses, LeafLock, TakenHoles, unusable
from .faults import WhyUnusable
from .pose_table import PoseTable, first_feature, pair_poses, partners, ways_up


def search_poses(
    table: Table,
    piece: Piece,
    pin_diameter: float,
    hole: Hole,
    taken: TakenHoles,
    flipped: bool | None,
    first: MountFeature | None,
) -> AttainablePoses:
    """Implements `attainable_poses`."""
    first = first or first_feature(piece)
    if first is None:
        return AttainablePoses((), ())
    why = unusable(table, hole, taken)
    if why:
        return AttainablePoses((), ((hole, why),))
    seconds = partners(piece, first)
    found: list[AttainablePose] = []
    left: dict[Hole, WhyUnusable] = {}
    for over in ways_up(piece, flipped):
        if not seconds:
            found.extend(_mounted(table, piece, pin_diameter, (_seat(first, hole),), over, 0.0))
        for second in seconds:
            rows = pair_poses(table, first, second, pin_diameter, over)
            found.extend(_laid(table, piece, pin_diameter, rows, hole, taken, left))
    return AttainablePoses(tuple(found), tuple(left.items()))


def _seat(feature: MountFeature, hole: Hole) -> Seat:
    return Seat(feature=feature.id, hole=hole)


def _laid(
    table: Table,
    piece: Piece,
    pin_diameter: float,
    rows: PoseTable,
    hole: Hole,
    taken: TakenHoles,
    left: dict[Hole, WhyUnusable],
) -> Iterator[AttainablePose]:
    """The rows of a pose table applied at a hole; holes that cannot be used go into `left`."""
    over = rows.flipped
    first = Seat(feature=rows.first, hole=hole)
    shanks = [m for m in piece.mounts if m.body == 0 and isinstance(m, Shank)]
    exact = not rows.linked and all(m.id in (rows.first, rows.second) for m in shanks)
    base = np.hypot(rows.dx * table.pitch_x, rows.dy * table.pitch_y).tolist()
    columns = (rows.dx, rows.dy, rows.turn, rows.turn_high, rows.slide, rows.slide_high)
    seen: set[Hole] = set()
    lists = (*(c.tolist() for c in columns), rows.play_deg.tolist(), base)
    for dx, dy, low, high, slide, slide_high, play, length in zip(*lists, strict=True):
        other = Hole(hole.col + dx, hole.row + dy)
        why = left.get(other) or unusable(table, other, taken)
        if why:
            left[other] = why
            continue
        seats = (first, Seat(feature=rows.second, hole=other))
        if exact:
            yield AttainablePose(seats, over, low, high, slide, slide_high, play, length)
        elif rows.linked and other not in seen:
            seen.add(other)
            yield from _mounted(table, piece, pin_diameter, seats, over, length)
        elif not rows.linked:
            for way in mount(table, piece, seats, pin_diameter, over).ways:
                more = _all_shanks(table, shanks, way, seats, taken)
                yield from _mounted(table, piece, pin_diameter, more, over, length)


def _all_shanks(
    table: Table,
    shanks: list[Shank],
    way: Way,
    seats: tuple[Seat, ...],
    taken: TakenHoles,
) -> tuple[Seat, ...]:
    """The seats with a hole for each further shank; empty if one has no usable hole."""
    pose = way.pose(way.turn_low, way.slide_low)
    seated = {s.feature for s in seats}
    for shank in shanks:
        if shank.id not in seated:
            hole = table.nearest(*pose.point(shank.at))
            if unusable(table, hole, taken):
                return ()
            seats = (*seats, Seat(feature=shank.id, hole=hole))
    return seats


def _mounted(
    table: Table,
    piece: Piece,
    pin_diameter: float,
    seats: tuple[Seat, ...],
    flipped: bool,
    base: float,
) -> Iterator[AttainablePose]:
    """Poses from the mount kernel itself, where a pose table does not have everything."""
    ways = mount(table, piece, seats, pin_diameter, flipped).ways if seats else ()
    for way in ways:
        yield AttainablePose(
            seats,
            flipped,
            way.turn_low,
            way.turn_high,
            way.slide_low,
            way.slide_high,
            way.play_deg,
            base,
        )


def search_leaf_locks(
    table: Table, piece: Piece, base: Pose, pin_diameter: float, taken: TakenHoles
) -> tuple[tuple[LeafLock, ...], tuple[tuple[Hole, WhyUnusable], ...]]:
    """Implements `leaf_locks`."""
    pivot = piece.pivot
    if pivot is None:
        return ((), ())
    x, y = base.point(pivot.at)
    found: list[LeafLock] = []
    left: dict[Hole, WhyUnusable] = {}
    for feature in piece.mounts:
        play = radial_play(table, None, feature, pin_diameter)
        if feature.body == 0 or play < 0.0:
            continue
        track = track_of(feature, base.flipped)
        near = _near(table, x, y, track.span(0.0, 0.0)[1] + play)
        holes = np.array(near, dtype=np.float64).reshape(-1, 2)
        vx = table.first_x + holes[:, 0] * table.pitch_x - x
        vy = table.first_y + holes[:, 1] * table.pitch_y - y
        fits = about_all(0.0, 0.0, track, vx, vy, play)
        for k, *hit in zip(*(c.tolist() for c in fits), strict=True):
            hole = Hole(*near[int(k)])
            why = unusable(table, hole, taken)
            if why:
                left[hole] = why
                continue
            turn, high, slide, _, gap, swing = hit
            for a, b in on_scale(pivot, base, PinFit(turn, high, slide, gap, swing)):
                play_deg = swing if turn == high else pivot.accuracy
                way = LeafWay(a, b, hole, play_deg)
                found.append(LeafLock(Seat(feature=feature.id, hole=hole), way))
    return (tuple(found), tuple(left.items()))


def _near(table: Table, x: float, y: float, radius: float) -> list[tuple[int, int]]:
    """The holes of the table in the square of half-width `radius` about a point."""
    c0, c1 = (int(np.ceil((x + d - table.first_x) / table.pitch_x)) for d in (-radius, radius))
    r0, r1 = (int(np.ceil((y + d - table.first_y) / table.pitch_y)) for d in (-radius, radius))
    return [
        (c, r)
        for c in range(max(c0, 0), min(c1 + 1, table.columns))
        for r in range(max(r0, 0), min(r1 + 1, table.rows))
    ]
