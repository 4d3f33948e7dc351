"""The second body of an arm: free on its pivot, set by its scale, or locked by pins.

It uses the pairs of the whole piece; the pivot counts as a round hole without play, anywhere.
"""

import math

from gridjig.geometry import Pose
from gridjig.model import Seat, Table
from gridjig.rack import Piece, Pivot

from .faults import HoleUsedTwice, PieceFault
from .fit import out_of_reach, prepare
from .multipin import worst
from .pairs import PinFit, about
from .track import EPS, tidy
from .ways import LeafMounting, LeafWay


def leaf_pose(piece: Piece, base: Pose, leaf: float) -> Pose:
    """The pose of the second body, turned by `leaf` degrees from the base.  Needs a pivot."""
    assert piece.pivot is not None
    x, y = base.point(piece.pivot.at)
    return Pose(x, y, base.direction(leaf), base.flipped)


def mount_leaf(
    table: Table,
    piece: Piece,
    base: Pose,
    seats: tuple[Seat, ...],
    pin_diameter: float,
) -> LeafMounting:
    """The positions of the second body that are possible with the base in this pose.

    Only seats of features on that body hold it; without any it turns through the whole range of its
    scale.  A hole that pins the base takes no second pin.  Angles are in degrees from the base's x
    axis, mirrored with it.
    """
    if piece.pivot is None:
        return LeafMounting((), PieceFault(piece.name, "no second body"))
    pivot = piece.pivot
    on_leaf = {m.id for m in piece.mounts if m.body}
    pinned = tuple(s for s in seats if s.feature in on_leaf)
    if not pinned:
        return LeafMounting((LeafWay(pivot.low, pivot.high, None, pivot.accuracy),))
    under = {s.hole for s in seats if s.feature not in on_leaf}
    shared = next((HoleUsedTwice(s.hole) for s in pinned if s.hole in under), None)
    ready = shared or prepare(table, piece, pinned, pin_diameter, base.flipped)
    if not isinstance(ready, list):
        return LeafMounting((), ready)
    x, y = base.point(pivot.at)
    first = max(ready, key=lambda s: math.hypot(s.x - x, s.y - y))
    hits = about(0.0, 0.0, first.track, first.x - x, first.y - y, first.play)
    if not hits:
        return LeafMounting((), out_of_reach(first, x, y))
    ways: list[LeafWay] = []
    for hit in hits:
        for low, high in on_scale(pivot, base, hit):
            middle = leaf_pose(piece, base, (low + high) / 2.0).turn
            if len(ready) > 1 and worst((x, y, middle), ready) > EPS:
                continue
            play = hit.swing if hit.turn == hit.turn_high else pivot.accuracy
            ways.append(LeafWay(low, high, first.seat.hole, play))
    if not ways:
        return LeafMounting((), PieceFault(piece.name, "outside its scale"))
    return LeafMounting(tuple(ways))


def on_scale(pivot: Pivot, base: Pose, hit: PinFit) -> list[tuple[float, float]]:
    """The ranges of leaf angle in degrees that belong to a fit and lie on the pivot's scale."""
    low, width = hit.turn - base.turn, hit.turn_high - hit.turn
    if base.flipped:
        low = -low - width
    low = pivot.low + math.fmod(low - pivot.low, 360.0) - 720.0
    found: list[tuple[float, float]] = []
    for whole in range(4):
        a = max(low + 360.0 * whole, pivot.low)
        b = min(low + 360.0 * whole + width, pivot.high)
        if width == 0.0 and abs(b - a) <= EPS:
            angle = min(max(tidy(a) if abs(a) < 180.0 else a, pivot.low), pivot.high)
            found.append((angle, angle))
        elif width > 0.0 and b - a >= -EPS:
            found.append((a, max(a, b)))
    return found
