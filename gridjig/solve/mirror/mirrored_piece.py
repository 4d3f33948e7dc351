"""The opposite hand of a piece: which piece of the rack is its mirror image, and how to place it.

Most stops and squares are symmetric in plan, so they are mirrored by turning them in the mirrored
holes.  Others are turned over, or have a twin on the rack; what has neither is handed.
"""

import math
from collections.abc import Callable, Sequence
from typing import TypeVar

from msgspec import Struct

from gridjig.geometry import unit
from gridjig.rack import (
    ArcSlot,
    ClampTip,
    Face,
    MountFeature,
    Piece,
    Point,
    Rack,
    Rest,
    Round,
    RoundHole,
    Shank,
    Solid,
    StraightSlot,
)

T = TypeVar("T")

SAME = 1e-3
"""Features this close, in mm, coincide."""


class MirroredPiece(Struct, frozen=True):
    """A piece that does what another does, mirrored.

    `mounts` maps the other's features to its own.  Where the other is turned by `turn` degrees, it
    is turned by -turn - 2 * `axis`; with `over`, it is turned over instead.
    """

    piece: str
    mounts: tuple[tuple[str, str], ...]
    axis: float
    over: bool


def mirrored_piece(rack: Rack, piece: Piece) -> MirroredPiece | None:
    """The piece that does what this one does, mirrored; None if the rack has none."""
    others = [piece, *(p for p in rack.pieces if p.kind == piece.kind and p is not piece)]
    if piece.pivot is None:
        for other in others:
            for axis in (0.0, 90.0):
                mounts = _alike(piece, other, axis)
                if mounts is not None:
                    return MirroredPiece(other.id, mounts, axis, over=False)
    if piece.flips:
        return MirroredPiece(piece.id, tuple((m.id, m.id) for m in piece.mounts), 0.0, over=True)
    return None


def _alike(piece: Piece, other: Piece, axis: float) -> tuple[tuple[str, str], ...] | None:
    """The pairs of corresponding features if `other` is the piece's mirror image in that axis."""
    if other.pivot is not None or len(piece.mounts) != len(other.mounts) or not piece.mounts:
        return None
    first = piece.mounts[0]
    for candidate in other.mounts:
        image = _image(axis, _middle(first), _middle(candidate))
        mounts = _mounts(piece, other, image)
        if mounts is not None and _works(piece, other, image, axis):
            return mounts
    return None


Image = Callable[[Point], Point]


def _image(axis: float, start: Point, end: Point) -> Image:
    """A reflection in an axis at that angle, moved so that `start` lands on `end`."""
    c, s = unit(2.0 * axis)

    def turned(p: Point) -> Point:
        return (c * p[0] + s * p[1], s * p[0] - c * p[1])

    x, y = turned(start)
    dx, dy = end[0] - x, end[1] - y

    def image(p: Point) -> Point:
        px, py = turned(p)
        return (px + dx, py + dy)

    return image


def _middle(mount: MountFeature) -> Point:
    if isinstance(mount, RoundHole | Shank):
        return mount.at
    if isinstance(mount, ArcSlot):
        return mount.centre
    return ((mount.a[0] + mount.b[0]) / 2.0, (mount.a[1] + mount.b[1]) / 2.0)


def _mounts(piece: Piece, other: Piece, image: Image) -> tuple[tuple[str, str], ...] | None:
    found: list[tuple[str, str]] = []
    for mount in piece.mounts:
        match = next((m.id for m in other.mounts if _same_mount(mount, m, image)), None)
        if match is None:
            return None
        found.append((mount.id, match))
    return tuple(found)


def _same_mount(one: MountFeature, other: MountFeature, image: Image) -> bool:
    """True if a feature's image is the other; a slot's ends keep their order, arcs never match."""
    match one, other:
        case RoundHole(), RoundHole():
            return one.diameter == other.diameter and _near(image(one.at), other.at)
        case Shank(), Shank():
            return one.diameter == other.diameter and _near(image(one.at), other.at)
        case StraightSlot(), StraightSlot():
            same_width = one.width == other.width
            return same_width and _near(image(one.a), other.a) and _near(image(one.b), other.b)
    return False


def _works(piece: Piece, other: Piece, image: Image, axis: float) -> bool:
    """True if everything that touches the work, and the room taken, is the mirror image."""

    def faces(f: Face, g: Face) -> bool:
        return _levels(f) == _levels(g) and _near(image(f.b), g.a) and _near(image(f.a), g.b)

    def rounds(r: Round, q: Round) -> bool:
        alike = (r.radius, *_levels(r)) == (q.radius, *_levels(q))
        return alike and _near(image(r.centre), q.centre)

    def rests(r: Rest, q: Rest) -> bool:
        return (r.radius, r.z) == (q.radius, q.z) and _near(image(r.centre), q.centre)

    def solids(s: Solid, t: Solid) -> bool:
        return (
            _levels(s) == _levels(t)
            and _mirrored(s.outline, t.outline)
            and _paired(s.openings, t.openings, _mirrored)
        )

    def _mirrored(ring: Sequence[Point], other: Sequence[Point]) -> bool:
        return _paired([image(p) for p in ring], other, _near)

    return (
        _paired(piece.faces, other.faces, faces)
        and _paired(piece.rounds, other.rounds, rounds)
        and _paired(piece.rests, other.rests, rests)
        and _paired(piece.solids, other.solids, solids)
        and _same_tip(piece.tip, other.tip, image, axis)
    )


def _levels(one: Face | Round | Solid) -> Point:
    return (one.z_low, one.z_high)


def _paired(ones: Sequence[T], others: Sequence[T], same: Callable[[T, T], bool]) -> bool:
    """True if the items can be paired off so that each pair is the same."""
    if len(ones) != len(others):
        return False
    left = list(others)
    for one in ones:
        match = next((k for k, other in enumerate(left) if same(one, other)), None)
        if match is None:
            return False
        left.pop(match)
    return True


def _same_tip(one: ClampTip | None, other: ClampTip | None, image: Image, axis: float) -> bool:
    if one is None or other is None:
        return one is other
    handles = one.handle_radius == other.handle_radius and (
        not one.handle_radius
        or (
            _same_way(2.0 * axis - one.handle_end, other.handle_start)
            and _same_way(2.0 * axis - one.handle_start, other.handle_end)
        )
    )
    return (
        handles
        and _near(image(one.at), other.at)
        and _same_way(2.0 * axis - one.direction, other.direction)
        and _sizes(one) == _sizes(other)
    )


def _sizes(tip: ClampTip) -> tuple[object, ...]:
    return (
        tip.push,
        tip.reach_min,
        tip.reach_max,
        tip.z_low,
        tip.z_high,
        tip.pad_radius,
        tip.bar_width,
        tip.bar_z_low,
        tip.bar_z_high,
    )


def _same_way(one: float, other: float) -> bool:
    return abs(math.remainder(one - other, 360.0)) < SAME


def _near(p: Point, q: Point) -> bool:
    return math.dist(p, q) < SAME
