"""Changes of a piece's shape that keep its features together.  Lengths in mm.

A stretch cuts through a body and moves everything on the far side: outline, holes, faces.
"""

import math
from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from msgspec import structs

from gridjig.geometry import unit
from gridjig.rack import (
    ArcSlot,
    ClampTip,
    Face,
    MountFeature,
    Piece,
    Pivot,
    Point,
    RoundHole,
    Shank,
    Solid,
    StraightSlot,
)

SAME = 1e-4
"""Lengths closer than this (mm) are the same size, rounded differently."""

Map = Callable[[Point], Point]


def along(p: Point, way: Point) -> float:
    """The position of a point along a direction."""
    return p[0] * way[0] + p[1] * way[1]


def apart(a: Point, b: Point) -> float:
    """The distance between two points."""
    return math.hypot(b[0] - a[0], b[1] - a[1])


def arrow(a: Point, b: Point) -> Point:
    """The unit vector from a to b."""
    distance = apart(a, b)
    return ((b[0] - a[0]) / distance, (b[1] - a[1]) / distance)


def angle_of(way: Point) -> float:
    """A direction in degrees, rounded to what a rack file stores."""
    return round(math.degrees(math.atan2(way[1], way[0])), 5)


def turner(about: Point, turn: Point) -> Map:
    """A function that turns points about a centre by the angle with this cosine and sine."""

    def turned(p: Point) -> Point:
        dx, dy = p[0] - about[0], p[1] - about[1]
        return (about[0] + turn[0] * dx - turn[1] * dy, about[1] + turn[1] * dx + turn[0] * dy)

    return turned


def extent(piece: Piece, body: int, way: Point) -> tuple[float, float]:
    """The range of the outlines of a body along a direction."""
    marks = [along(p, way) for s in piece.solids if s.body == body for p in s.outline]
    return (min(marks), max(marks))


def mount_extent(piece: Piece, body: int, way: Point) -> tuple[float, float] | None:
    """The range of the holes and slots of a body along a direction; None if there are none.

    An arc slot counts with twice its width of steel around it, so that a stretch spares its rim.
    """
    marks: list[float] = []
    for mount in piece.mounts:
        if mount.body != body:
            continue
        for p, r in _discs(mount):
            marks += (along(p, way) - r, along(p, way) + r)
    if body and piece.pivot is not None:
        marks.append(0.0)
    return (min(marks), max(marks)) if marks else None


def _discs(mount: MountFeature) -> Iterable[tuple[Point, float]]:
    match mount:
        case RoundHole() | Shank():
            return ((mount.at, mount.diameter / 2),)
        case StraightSlot():
            return ((mount.a, mount.width / 2), (mount.b, mount.width / 2))
        case _:
            steps = max(4, round(mount.end - mount.start))
            turns = (
                unit(mount.start + (mount.end - mount.start) * i / steps) for i in range(steps + 1)
            )
            x, y = mount.centre
            r = mount.radius
            return tuple(((x + r * c, y + r * s), 2 * mount.width) for c, s in turns)


def disc_of(ring: tuple[Point, ...]) -> tuple[Point, float] | None:
    """The centre and radius of an outline that is a circle; None if it is not."""
    if len(ring) < 12:
        return None
    centre = (sum(x for x, _ in ring) / len(ring), sum(y for _, y in ring) / len(ring))
    radii = [apart(centre, p) for p in ring]
    if max(radii) - min(radii) > SAME:
        return None
    return ((round(centre[0], 6) + 0.0, round(centre[1], 6) + 0.0), sum(radii) / len(radii))


def mapped(piece: Piece, body: int, move: Map) -> Piece:
    """The piece with every point of one body mapped."""

    def tidy(p: Point) -> Point:
        x, y = move(p)
        return (round(x, 6) + 0.0, round(y, 6) + 0.0)

    def mount(m: MountFeature) -> MountFeature:
        if m.body != body:
            return m
        match m:
            case RoundHole() | Shank():
                return structs.replace(m, at=tidy(m.at))
            case StraightSlot():
                return structs.replace(m, a=tidy(m.a), b=tidy(m.b))
            case _:
                return structs.replace(m, centre=tidy(m.centre))

    base = body == 0
    return structs.replace(
        piece,
        solids=tuple(
            _ringed(s, lambda ring: tuple(map(tidy, ring))) if s.body == body else s
            for s in piece.solids
        ),
        mounts=tuple(map(mount, piece.mounts)),
        faces=tuple(
            structs.replace(f, a=tidy(f.a), b=tidy(f.b)) if f.body == body else f
            for f in piece.faces
        ),
        rounds=tuple(
            structs.replace(r, centre=tidy(r.centre)) if r.body == body else r for r in piece.rounds
        ),
        rests=tuple(structs.replace(r, centre=tidy(r.centre)) if base else r for r in piece.rests),
        tip=structs.replace(piece.tip, at=tidy(piece.tip.at)) if piece.tip and base else piece.tip,
        pivot=(
            structs.replace(piece.pivot, at=tidy(piece.pivot.at))
            if piece.pivot and base
            else piece.pivot
        ),
    )


def _ringed(solid: Solid, change: Callable[[tuple[Point, ...]], tuple[Point, ...]]) -> Solid:
    """The solid with its outline and its openings changed."""
    openings = tuple(map(change, solid.openings))
    return structs.replace(solid, outline=change(solid.outline), openings=openings)


def stretched(piece: Piece, body: int, way: Point, cut: float, by: float) -> Piece:
    """Everything of a body beyond `cut` along a direction, moved by `by`.

    A slanting face that the cut would go through keeps its position and angle.
    """
    kept = [p for f in piece.faces if f.body == body and _bends(f, way, cut) for p in (f.a, f.b)]

    def move(p: Point) -> Point:
        if along(p, way) <= cut or any(apart(p, k) < SAME for k in kept):
            return p
        return (p[0] + way[0] * by, p[1] + way[1] * by)

    return mapped(piece, body, move)


def _bends(face: Face, way: Point, cut: float) -> bool:
    split = (along(face.a, way) > cut) != (along(face.b, way) > cut)
    run = arrow(face.a, face.b)
    return split and abs(run[0] * way[1] - run[1] * way[0]) > 1e-6


class BodyEnd(NamedTuple):
    """An end of a body: its direction outwards, where it begins beyond the holes, and how far it
    goes on from there, mm.
    """

    way: Point
    cut: float
    overhang: float


def moving_ends(piece: Piece, body: int, axis: Point) -> list[BodyEnd]:
    """The ends of a body that move when it is made longer along an axis.

    It grows at both ends if they overhang equally, else at the longer one.  An end with a locating
    face across the axis stays, unless both have one.  Empty if no end can move, or none without
    bending a slanting face.
    """
    low, high = extent(piece, body, axis)
    span = mount_extent(piece, body, axis) or (low + SAME, high - SAME)
    back = (-axis[0], -axis[1])
    both = (BodyEnd(axis, span[1], high - span[1]), BodyEnd(back, -span[0], span[0] - low))
    faced = [e for e in both if _faces_end(piece, body, e.way, e.cut + e.overhang)]
    on_body = [f for f in piece.faces if f.body == body]
    ends = [
        e
        for e in both
        if e.overhang > SAME / 2
        and (len(faced) == 2 or e not in faced)
        and not any(_bends(f, e.way, e.cut) for f in on_body)
    ]
    if len(ends) == 2 and abs(ends[0].overhang - ends[1].overhang) >= SAME:
        return [max(ends, key=lambda e: e.overhang)]
    return ends


def widened(piece: Piece, body: int, ends: Sequence[BodyEnd], by: float) -> Piece:
    """A body made longer at its moving ends, by the same at each."""
    for end in ends:
        piece = stretched(piece, body, end.way, end.cut, by / len(ends))
    return piece


def _faces_end(piece: Piece, body: int, way: Point, at: float) -> bool:
    """True if there is a locating face across the direction at that end of the body."""
    return any(
        f.body == body and abs(along(f.a, way) - at) < SAME and abs(along(f.b, way) - at) < SAME
        for f in piece.faces
    )


def rounded(piece: Piece, body: int, centre: Point, radius: float, new: float) -> Piece:
    """The piece with every circle of that radius and centre of a body resized."""
    scale = new / radius

    def ring(points: tuple[Point, ...]) -> tuple[Point, ...]:
        disc = disc_of(points)
        if disc is None or apart(disc[0], centre) > SAME or abs(disc[1] - radius) > SAME:
            return points
        x, y = centre
        return tuple(
            (round(x + (px - x) * scale, 6), round(y + (py - y) * scale, 6)) for px, py in points
        )

    is_pin = abs(piece.pin_diameter - 2 * radius) < SAME
    return structs.replace(
        piece,
        solids=tuple(_ringed(s, ring) if s.body == body else s for s in piece.solids),
        rounds=tuple(
            structs.replace(r, radius=new)
            if r.body == body and abs(r.radius - radius) < SAME
            else r
            for r in piece.rounds
        ),
        rests=tuple(
            structs.replace(r, radius=max(r.radius + new - radius, 0.1)) for r in piece.rests
        ),
        pin_diameter=2 * new if is_pin else piece.pin_diameter,
    )


def with_mount(piece: Piece, mount: MountFeature) -> Piece:
    """The piece with the mount feature in place of the one with its id."""
    return structs.replace(
        piece, mounts=tuple(mount if m.id == mount.id else m for m in piece.mounts)
    )


def with_part(piece: Piece, part: ClampTip | Pivot, field: str, value: float) -> Piece:
    """The piece with one value of its tip or pivot changed."""
    name = "tip" if isinstance(part, ClampTip) else "pivot"
    return structs.replace(piece, **{name: structs.replace(part, **{field: value})})


def slot_moved(piece: Piece, slot: StraightSlot, way: Point, by: float) -> Piece:
    """The piece with a slot moved."""

    def move(p: Point) -> Point:
        return (round(p[0] + way[0] * by, 6), round(p[1] + way[1] * by, 6))

    return with_mount(piece, structs.replace(slot, a=move(slot.a), b=move(slot.b)))


def arc_scaled(piece: Piece, arc: ArcSlot, radius: float) -> Piece:
    """The piece with another radius of an arc slot, and of the part of the outline around it.

    Corners within 25 degrees of the slot's ends and further out than 0.55 of its radius move too.
    """
    x, y = arc.centre
    middle, half = (arc.start + arc.end) / 2, (arc.end - arc.start) / 2 + 25.0
    towards = unit(middle)
    by = radius - arc.radius

    def move(p: Point) -> Point:
        dx, dy = p[0] - x, p[1] - y
        far = math.hypot(dx, dy)
        if far <= 0.55 * arc.radius:
            return p
        turn = math.degrees(
            math.atan2(towards[0] * dy - towards[1] * dx, towards[0] * dx + towards[1] * dy)
        )
        if abs(turn) > half:
            return p
        scale = (far + by) / far
        return (x + dx * scale, y + dy * scale)

    def ring(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((round(u, 6), round(v, 6)) for u, v in map(move, points))

    shaped = structs.replace(
        piece,
        solids=tuple(_ringed(s, ring) if s.body == arc.body else s for s in piece.solids),
    )
    return with_mount(shaped, structs.replace(arc, radius=radius))


def face_moved(piece: Piece, face: Face, move: Map) -> Piece:
    """The piece with a face moved, and the corners of the outline at its ends."""

    def tidy(p: Point) -> Point:
        x, y = move(p)
        return (round(x, 6) + 0.0, round(y, 6) + 0.0)

    def corner(p: Point) -> Point:
        return tidy(p) if min(apart(p, face.a), apart(p, face.b)) < SAME else p

    def end(f: Face) -> Face:
        return structs.replace(f, a=corner(f.a), b=corner(f.b)) if f.body == face.body else f

    return structs.replace(
        piece,
        solids=tuple(
            structs.replace(s, outline=tuple(map(corner, s.outline))) if s.body == face.body else s
            for s in piece.solids
        ),
        faces=tuple(map(end, piece.faces)),
    )


def bored(piece: Piece, diameter: float) -> Piece:
    """The piece with all holes and slots at one size; shanks stay."""

    def bore(m: MountFeature) -> MountFeature:
        match m:
            case RoundHole():
                return structs.replace(m, diameter=diameter)
            case StraightSlot() | ArcSlot():
                return structs.replace(m, width=diameter)
            case _:
                return m

    return structs.replace(piece, mounts=tuple(map(bore, piece.mounts)))


def shanked(piece: Piece, diameter: float) -> Piece:
    """The piece with all shanks at one size."""
    return structs.replace(
        piece,
        mounts=tuple(
            structs.replace(m, diameter=diameter) if isinstance(m, Shank) else m
            for m in piece.mounts
        ),
    )


def topped(piece: Piece, top: float) -> Piece:
    """The piece with its top at another height, with everything that reached the old one."""
    old = piece.height

    def lift(z: float) -> float:
        return top if abs(z - old) < SAME else z

    return structs.replace(
        piece,
        solids=tuple(structs.replace(s, z_high=lift(s.z_high)) for s in piece.solids),
        faces=tuple(structs.replace(f, z_high=lift(f.z_high)) for f in piece.faces),
        rounds=tuple(structs.replace(r, z_high=lift(r.z_high)) for r in piece.rounds),
        rests=tuple(structs.replace(r, z=lift(r.z)) for r in piece.rests),
        thickness=lift(piece.thickness) if piece.thickness else 0.0,
    )
