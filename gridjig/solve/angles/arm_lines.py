"""Every line that the rack's pieces with a face make between holes of a grid, computed once.

A piece is pinned by a hole and a second feature of its base.  An arm's leaf is then locked by a
pin in a third hole, or set by its scale.
"""

import math
from collections.abc import Iterator
from functools import lru_cache
from typing import Literal

import numpy as np
from msgspec import Struct

from gridjig.geometry import unit, wrap
from gridjig.model import Table
from gridjig.rack import Face, MountFeature, Piece, Pivot, Point, Rack, Shank
from gridjig.rack.same import Same
from gridjig.solve.grid.directions import FloatArray, IntArray
from gridjig.solve.mounting.fit import radial_play
from gridjig.solve.mounting.pairs import about
from gridjig.solve.mounting.track import EPS, Track, track_of
from gridjig.solve.poses.pose_table import pair_poses
from gridjig.units.progress import look, looked_at

MEASURED = 0.5
"""The accuracy of a chord measured with a rule, mm; common practice, no source."""


class MountedFace(Struct, frozen=True, eq=False):
    """A piece held by some of its features, its way up, and a face on its base or its leaf.

    `face` has the piece on its left; it is already mirrored if the piece is flipped.
    """

    piece: Piece
    features: tuple[str, ...]
    flipped: bool
    face: tuple[Point, Point]
    pin: float
    locking: str
    leafed: bool

    @property
    def direction(self) -> float:
        """Direction of the face in its own body, degrees."""
        (ax, ay), (bx, by) = self.face
        return math.degrees(math.atan2(by - ay, bx - ax))

    @property
    def length(self) -> float:
        """Length of the face, mm."""
        return math.dist(*self.face)

    @property
    def needs(self) -> tuple[str, ...]:
        """The piece, and a locking pin for each feature that is not a shank."""
        pinned = sum(not isinstance(self.piece.mount(f), Shank) for f in self.features)
        return (self.piece.id, *([self.locking] * pinned if self.locking else ()))


class ArmLine(Struct, frozen=True):
    """One fit: a face at `low` to `high` degrees (full circle), in holes `holes` steps away.

    `holes` are the steps from the first hole to the others.  `base` mm is what steadies the face:
    from the pivot to the lock hole, or the face's own length if it is set by a scale.  `turn` is
    that of the base body; `leaf`, `play` and `setting` are also in degrees.
    """

    mounted: MountedFace
    low: float
    high: float
    holes: tuple[tuple[int, int], ...]
    base: float
    turn: float
    slide: float
    leaf: float
    play: float
    setting: float
    kind: Literal["locked", "set"]


class ArmLines(Struct, frozen=True, eq=False):
    """Many fits as columns; angles are line directions in degrees, spread = high - low."""

    fits: tuple[ArmLine, ...]
    angle: FloatArray
    spread: FloatArray
    base: FloatArray
    setting: FloatArray
    across: IntArray
    up: IntArray
    pieces: IntArray
    three: IntArray


def columns_of(fits: list[ArmLine]) -> ArmLines:
    """Return the fits as columns."""
    return ArmLines(
        tuple(fits),
        np.array([f.low % 180.0 for f in fits]),
        np.array([f.high - f.low for f in fits]),
        np.array([f.base for f in fits]),
        np.array([f.setting for f in fits]),
        np.array([f.holes[0][0] for f in fits], dtype=np.int64),
        np.array([f.holes[0][1] for f in fits], dtype=np.int64),
        np.array([len(f.mounted.needs) for f in fits], dtype=np.int64),
        np.array([k for k, f in enumerate(fits) if len(f.holes) > 1], dtype=np.int64),
    )


@lru_cache(maxsize=8)
def arm_lines(table: Same[Table], rack: Same[Rack]) -> tuple[ArmLines, ArmLines]:
    """Return all lines of the rack's pieces on a table: locked in holes, and set by hand."""
    made = [
        fit
        for piece in looked_at(rack.value.pieces)
        for fit in _piece_lines(table.value, rack.value, piece)
    ]
    look()
    return (
        columns_of([f for f in made if f.kind == "locked"]),
        columns_of([f for f in made if f.kind == "set"]),
    )


def _piece_lines(table: Table, rack: Rack, piece: Piece) -> Iterator[ArmLine]:
    locking = next((p for p in piece.takes if rack.find(p) is not None), "")
    pin = rack.pin_diameter(piece)
    for flipped in (False, True) if piece.flips else (False,):
        for first, second in _feature_pairs(piece):
            if min(radial_play(table, None, f, pin) for f in (first, second)) < 0:
                continue
            for face in _faces(piece, flipped):
                look()
                mounted = MountedFace(
                    piece, (first.id, second.id), flipped, face[0], pin, locking, bool(face[1])
                )
                if not mounted.leafed:
                    yield from _rigid(table, mounted, first, second)
                elif track_of(second).kind == "point":
                    for line in _leafed(table, mounted, first, second):
                        look()
                        yield line


def _feature_pairs(piece: Piece) -> Iterator[tuple[MountFeature, MountFeature]]:
    """Each hole or shank of the base with every other feature of the base, each pair once."""
    base = [m for m in piece.mounts if m.body == 0]
    points = [m for m in base if track_of(m).kind == "point"]
    for i, point in enumerate(points):
        for other in base:
            if other not in points[: i + 1]:
                yield point, other


def _faces(piece: Piece, flipped: bool) -> Iterator[tuple[tuple[Point, Point], int]]:
    """The longest face in each direction of each body, mirrored and reversed if flipped."""
    longest: dict[tuple[int, float], Face] = {}
    for face in piece.faces:
        way = math.atan2(face.b[1] - face.a[1], face.b[0] - face.a[0])
        at = (face.body, round(math.degrees(way) % 180.0, 6) % 180.0)
        if at not in longest or _size(face) > _size(longest[at]):
            longest[at] = face
    for face in longest.values():
        (ax, ay), (bx, by) = face.a, face.b
        yield (((bx, -by), (ax, -ay)) if flipped else ((ax, ay), (bx, by))), face.body


def _size(face: Face) -> float:
    return math.dist(face.a, face.b)


def distance(face: tuple[Point, Point], spot: Point) -> float:
    """Return the distance of a face's line from a point of its body, mm, positive outward."""
    (ax, ay), (bx, by) = face
    length = math.hypot(bx - ax, by - ay)
    return ((by - ay) * (ax - spot[0]) - (bx - ax) * (ay - spot[1])) / length


def _fits(
    table: Table, first: MountFeature, second: MountFeature, pin: float, flipped: bool
) -> Iterator[tuple[tuple[int, int], float, float, float, float, float]]:
    """Steps, base mm, turn, highest turn, slide mm and play, for one of each two opposite poses.

    A piece turned half round makes the same line.
    """
    p = pair_poses(table, first, second, pin, flipped)
    one = (p.dy > 0) | ((p.dy == 0) & (p.dx > 0))
    base = np.hypot(p.dx * table.pitch_x, p.dy * table.pitch_y)
    columns = (p.dx, p.dy, base, p.turn, p.turn_high, p.slide, p.play_deg)
    for m, n, *rest in zip(*(c[one].tolist() for c in columns), strict=True):
        d, turn, high, slide, play = rest
        yield (m, n), d, turn, high, slide, play


def _rigid(
    table: Table, mounted: MountedFace, first: MountFeature, second: MountFeature
) -> Iterator[ArmLine]:
    """Lines of a face on the base itself, pinned by a hole and another feature."""
    face = mounted.direction
    by_hand = math.degrees(MEASURED / mounted.length)
    fits = _fits(table, first, second, mounted.pin, mounted.flipped)
    for steps, d, turn, high, slide, play in fits:
        free = high > turn
        yield ArmLine(
            mounted,
            turn + face,
            high + face,
            (steps,),
            d,
            turn,
            slide,
            0.0,
            play,
            by_hand if free else 0.0,
            "set" if free else "locked",
        )


def _leafed(
    table: Table, mounted: MountedFace, first: MountFeature, second: MountFeature
) -> Iterator[ArmLine]:
    """Lines of a face on the leaf of an arm whose base is pinned in two holes."""
    anchor = track_of(first, mounted.flipped)
    fits = _fits(table, first, second, mounted.pin, mounted.flipped)
    for steps, _, turn, _, _, play in fits:
        yield _scaled(mounted, steps, turn, play)
        yield from _locked(table, mounted, steps, turn, play, anchor)


def _scaled(held: MountedFace, steps: tuple[int, int], turn: float, swing: float) -> ArmLine:
    """The leaf set by its scale: all angles from its lowest to its highest."""
    pivot = held.piece.pivot
    assert pivot is not None
    low, high = (-pivot.high, -pivot.low) if held.flipped else (pivot.low, pivot.high)
    start = turn + held.direction
    chord = math.degrees(MEASURED / held.length)
    return ArmLine(
        held,
        start + low,
        start + high,
        (steps,),
        held.length,
        turn,
        0.0,
        -low if held.flipped else low,
        swing,
        pivot.accuracy or chord,
        "set",
    )


def _locked(
    table: Table, held: MountedFace, steps: tuple[int, int], turn: float, swing: float, a: Track
) -> Iterator[ArmLine]:
    """The leaf locked by a pin in a third hole of the table."""
    piece, pivot = held.piece, held.piece.pivot
    assert pivot is not None
    c, s = unit(turn)
    px, py = pivot.at[0] - a.x, (-pivot.at[1] if held.flipped else pivot.at[1]) - a.y
    px, py = c * px - s * py, s * px + c * py
    for feature in piece.mounts:
        play = radial_play(table, None, feature, held.pin)
        if feature.body != 1 or play < 0:
            continue
        track = track_of(feature, held.flipped)
        low, high = track.span(0.0, 0.0)
        mounted = MountedFace(
            piece,
            (*held.features, feature.id),
            held.flipped,
            held.face,
            held.pin,
            held.locking,
            True,
        )
        for m, n in _around(table, px, py, low - play, high + play):
            if (m, n) in ((0, 0), steps):
                continue
            vx, vy = m * table.pitch_x - px, n * table.pitch_y - py
            for hit in about(0.0, 0.0, track, vx, vy, play):
                leaf = wrap(hit.turn - turn) * (-1.0 if held.flipped else 1.0)
                on = next((x for x in (leaf, leaf - 360, leaf + 360) if _on(pivot, x)), None)
                if on is None or hit.turn_high > hit.turn:
                    continue
                yield ArmLine(
                    mounted,
                    hit.turn + held.direction,
                    hit.turn + held.direction,
                    (steps, (m, n)),
                    math.hypot(vx, vy),
                    turn,
                    0.0,
                    on,
                    hit.swing + swing,
                    0.0,
                    "locked",
                )


def _on(pivot: Pivot, leaf: float) -> bool:
    return pivot.low - EPS <= leaf <= pivot.high + EPS


def _around(
    table: Table, px: float, py: float, low: float, high: float
) -> Iterator[tuple[int, int]]:
    """Steps to the holes that are low to high mm from a point, given from the first hole."""
    m = np.arange(
        math.ceil((px - high) / table.pitch_x), math.floor((px + high) / table.pitch_x) + 1
    )
    n = np.arange(
        math.ceil((py - high) / table.pitch_y), math.floor((py + high) / table.pitch_y) + 1
    )
    mm, nn = (g.ravel() for g in np.meshgrid(m, n))
    d = np.hypot(mm * table.pitch_x - px, nn * table.pitch_y - py)
    on = (d >= low - EPS) & (d <= high + EPS)
    on &= (np.abs(mm) < table.columns) & (np.abs(nn) < table.rows)
    yield from zip(mm[on].tolist(), nn[on].tolist(), strict=True)
