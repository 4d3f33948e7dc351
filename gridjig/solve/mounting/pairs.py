"""Two pins against two features of one body: the turns and slides at which both fit.

Pure numbers in the frame of the body.  The first feature is a point P (a hole or the pivot of an
arm) or a track; the second a track; v is the way from the first table hole to the second.  What
a person reads is worded elsewhere.
"""

import math
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from .track import EPS, NEAR, Track, tidy, turn_between

CONCENTRIC = 1e-3
"""An arc slot this near (mm) to being struck from the hole was meant to be."""


class PinFit(NamedTuple):
    """One way of fitting: turn (to `turn_high` if it goes on), pin at `slide` mm in the track.

    `gap` is how much further (mm) the table holes are apart than the two points of the piece: play
    takes it up.  `swing` is the angle in degrees by which play lets the body turn.
    """

    turn: float
    turn_high: float
    slide: float
    gap: float
    swing: float


def about(px: float, py: float, track: Track, vx: float, vy: float, play: float) -> list[PinFit]:
    """All fits with P in the first hole and the second pin somewhere in `track`.

    `play` is the sum of both radial plays, mm.
    """
    return list(_about(px, py, track, vx, vy, play))


@lru_cache(maxsize=1024)  # a piece that is moved keeps the way from pin to pin
def _about(
    px: float, py: float, track: Track, vx: float, vy: float, play: float
) -> tuple[PinFit, ...]:
    wide = math.hypot(vx, vy)
    if track.kind == "arc" and math.hypot(track.x - px, track.y - py) <= CONCENTRIC:
        return tuple(_concentric(track, vx, vy, play))
    hits: list[PinFit] = []
    for t in crossings(px, py, track, wide):
        qx, qy = track.at(t)
        fx, fy = qx - px, qy - py
        far = math.hypot(fx, fy)
        gap = wide - far
        if abs(gap) > play + EPS or far <= EPS or any(abs(t - h.slide) < NEAR for h in hits):
            continue
        if abs(gap) < NEAR:
            gap = 0.0
        turn = turn_between(fx, fy, vx, vy)
        hits.append(PinFit(turn, turn, t, gap, _swing(px, py, track, wide, play)))
    return tuple(hits)


def _concentric(track: Track, vx: float, vy: float, play: float) -> list[PinFit]:
    """The arc is struck from P: the body turns while the pin runs along the slot."""
    gap = math.hypot(vx, vy) - track.radius
    if abs(gap) > play + EPS:
        return []
    ways = math.degrees(math.atan2(vy, vx))
    if abs(track.sweep) >= 360.0:
        return [PinFit(-180.0, 180.0, 0.0, gap, 0.0)]
    low = ways - track.start - max(track.sweep, 0.0)
    first = tidy(low)
    return [PinFit(first, first + abs(track.sweep), 0.0, 0.0 if abs(gap) < NEAR else gap, 0.0)]


def crossings(px: float, py: float, track: Track, wide: float) -> tuple[float, ...]:
    """Where the circle of radius `wide` about P meets the track, set back into the track's length.

    Where it misses, the place that comes nearest: play may allow it, and the caller looks.
    """
    if track.kind == "point":
        return (0.0,)
    if track.kind == "line":
        foot = (px - track.x) * track.ux + (py - track.y) * track.uy
        off = (py - track.y) * track.ux - (px - track.x) * track.uy
        square = wide * wide - off * off
        roots: tuple[float, ...] = (foot,)
        if square > 0.0:
            root = math.sqrt(square)
            roots = (foot - root, foot + root)
        return tuple(min(max(t, 0.0), track.length) for t in roots)
    dx, dy = track.x - px, track.y - py
    d = math.hypot(dx, dy)
    if d <= EPS:  # the arc is struck from P: no place on it is nearer than another
        return (0.0, track.length)
    away = math.degrees(math.atan2(dy, dx))
    return tuple(track.along(away + a) for a in _arc_angles(d, track, wide))


def _arc_angles(d: float, track: Track, wide: float) -> tuple[float, ...]:
    """Directions from the arc's centre, counted from the line P-centre, of the crossings."""
    cosine = (wide * wide - d * d - track.radius * track.radius) / (2.0 * d * track.radius)
    if cosine >= 1.0:
        return (0.0,)
    if cosine <= -1.0:
        return (180.0,)
    a = math.degrees(math.acos(cosine))
    return (a, -a)


def _swing(px: float, py: float, track: Track, wide: float, play: float) -> float:
    """How far (degrees, to one side, the worse one) play lets the body turn from a fit.

    Two holes: the triangle with sides D, L and play gives sin(a/2) = sqrt((s^2-(D-L)^2)/(4DL)).
    A slot at distance h from P: asin((h+s)/D) - asin(h/D).  An arc: the law of cosines for
    R - s and R + s.  Each is exact, and about s/L where s is small.
    """
    if play <= 0.0 or wide <= EPS:
        return 0.0
    if track.kind == "point":
        far = math.hypot(track.x - px, track.y - py)
        square = (play * play - (wide - far) ** 2) / (4.0 * wide * far)
        return math.degrees(2.0 * math.asin(min(1.0, math.sqrt(max(0.0, square)))))
    if track.kind == "line":
        off = abs((py - track.y) * track.ux - (px - track.x) * track.uy)
        return slot_swing(off, wide, play)
    d = math.hypot(track.x - px, track.y - py)
    now = _bend(d, wide, track.radius)
    return math.degrees(
        max(
            abs(_bend(d, wide, track.radius + play) - now),
            abs(_bend(d, wide, track.radius - play) - now),
        )
    )


def slot_swing(off: float, wide: float, play: float) -> float:
    """Play as an angle in degrees: a pin at `wide` mm, a slot passing at `off` mm, play s."""
    base = math.asin(min(1.0, off / wide))
    up = math.asin(min(1.0, (off + play) / wide)) - base
    down = base - math.asin(max(-1.0, min(1.0, (off - play) / wide)))
    return math.degrees(max(up, down))


def _bend(d: float, wide: float, radius: float) -> float:
    """Angle at P, in radians, of the triangle with sides d, `wide` and, facing P, `radius`."""
    cosine = (d * d + wide * wide - radius * abs(radius)) / (2.0 * d * wide)
    return math.acos(max(-1.0, min(1.0, cosine)))


class SlotFits(NamedTuple):
    """A family of fits of two slots: slide `low`..`high` in the first, by one of two branches.

    `turn` holds for all of them if `straight`; otherwise it follows from the slide.  `gap` is taken
    up by play.
    """

    low: float
    high: float
    branch: int
    straight: bool
    turn: float
    gap: float
    swing: float


def slot_fits(first: Track, second: Track, vx: float, vy: float, play: float) -> list[SlotFits]:
    """All families of fits with one pin in each of two slots (which may be the same slot)."""
    if linked(first, second):
        return _linked(first, second, math.hypot(vx, vy), play, vx, vy)
    return _parallel(first, second, vx, vy, play)


def linked(first: Track, second: Track) -> bool:
    """True if the turn follows from the slide: two slots that do not run one way."""
    if first.kind == "point" or second.kind == "point":
        return False
    if first.kind == second.kind == "line":
        return abs(first.ux * second.uy - first.uy * second.ux) >= NEAR
    return True


def _parallel(first: Track, second: Track, vx: float, vy: float, play: float) -> list[SlotFits]:
    """Both slots run one way: the turn is held, and the piece slides along them."""
    ux, uy = first.ux, first.uy
    bx, by = second.x - first.x, second.y - first.y
    side = ux * by - uy * bx
    from_a = ux * bx + uy * by
    to_b = from_a + second.length * (ux * second.ux + uy * second.uy)
    wide = math.hypot(vx, vy)
    square = wide * wide - side * side
    root = math.sqrt(square) if square > 0.0 else 0.0
    swing = slot_swing(abs(side), wide, play)
    found: list[SlotFits] = []
    for branch, step in ((1, root), (-1, -root))[: 2 if root > 0.0 else 1]:
        low = max(0.0, min(from_a, to_b) - step)
        high = min(first.length, max(from_a, to_b) - step)
        at = step
        if low > high:  # an end is passed: both pins at the ends, and play makes up the rest
            low = high = min(max((low + high) / 2.0, 0.0), first.length)
            at = min(max(low + step, min(from_a, to_b)), max(from_a, to_b)) - low
        gap = wide - math.hypot(at, side)
        if abs(gap) > play + EPS:
            continue
        turn = turn_between(ux * at - uy * side, uy * at + ux * side, vx, vy)
        gap = 0.0 if abs(gap) < NEAR else gap
        found.append(SlotFits(low, high, branch, True, turn, gap, swing))
    return found


def _linked(
    first: Track, second: Track, wide: float, play: float, vx: float, vy: float
) -> list[SlotFits]:
    """Slots that run different ways: sliding one pin turns the piece.

    The slides at which the number of crossings changes are known in closed form: the circle about
    the first pin passes an end of the second slot, or just touches its line or circle.  Between two
    neighbours of them a branch fits everywhere or nowhere.
    """
    marks = {0.0, first.length}
    for end in (second.at(0.0), second.at(second.length)):
        marks.update(crossings(*end, first, wide))
    marks.update(_touches(first, second, wide))
    rising = sorted(marks)
    cuts = [b for a, b in pairwise([-1.0, *rising]) if b - a > EPS]
    found: list[SlotFits] = []
    for branch in (1, -1):
        ends: list[tuple[float, float]] = []
        for a, b in pairwise(cuts):
            if not _fits(first, second, branch, a, b, wide):
                continue
            until = b - CONCENTRIC if _flips(first, second, b) else b
            if _flips(first, second, a):
                ends.append((a + CONCENTRIC, until))
            elif ends and ends[-1][1] == a:
                ends[-1] = (ends[-1][0], until)
            else:
                ends.append((a, until))
        found.extend(_run(first, second, branch, e, (wide, play, vx, vy)) for e in ends)
    return found


def _fits(first: Track, second: Track, branch: int, a: float, b: float, wide: float) -> bool:
    """True if the branch fits between two slides; where both branches are one, the first is it."""
    other = linked_slide(first, second, branch, (a + b) / 2.0, wide)
    if other is None or branch > 0:
        return other is not None
    twin = linked_slide(first, second, 1, (a + b) / 2.0, wide)
    return twin is None or abs(other - twin) > EPS


def _flips(first: Track, second: Track, t: float) -> bool:
    """True where the first pin passes the centre of the second slot's arc: branches change over.

    The turn is not defined just there, so families end a hair (CONCENTRIC) to either side.
    """
    return second.kind == "arc" and math.dist(first.at(t), (second.x, second.y)) <= EPS


def _run(
    first: Track,
    second: Track,
    branch: int,
    ends: tuple[float, float],
    pins: tuple[float, float, float, float],
) -> SlotFits:
    """A family between two slides, with its turn in the middle and its worst swing."""
    wide, play, vx, vy = pins
    low, high = ends
    worst = 0.0
    for k in range(1, 8):
        t = low + (high - low) * k / 8.0
        worst = max(worst, _swing(*first.at(t), second, wide, play))
    turn = linked_turn(first, second, branch, (low + high) / 2.0, vx, vy)
    return SlotFits(low, high, branch, False, turn, 0.0, worst)


def _touches(first: Track, second: Track, wide: float) -> tuple[float, ...]:
    """Slides of the first pin whose circle just touches the second slot's line or whole circle."""
    if second.kind == "arc":
        far = math.hypot(first.x - second.x, first.y - second.y)
        if first.kind == "arc" and far <= CONCENTRIC:
            return ()
        reaches = (second.radius + wide, abs(second.radius - wide))
        return tuple(t for r in reaches for t in crossings(second.x, second.y, first, r))
    nx, ny = -second.uy, second.ux
    rise = nx * (first.x - second.x) + ny * (first.y - second.y)
    if first.kind == "line":
        slope = nx * first.ux + ny * first.uy
        every = ((wide - rise) / slope, (-wide - rise) / slope)
        return tuple(min(max(t, 0.0), first.length) for t in every)
    square = math.degrees(math.atan2(ny, nx))
    angles: list[float] = []
    for reach in (wide - rise, -wide - rise):
        if abs(reach) < first.radius:
            off = math.degrees(math.acos(reach / first.radius))
            angles.extend((square + off, square - off))
    return tuple(first.along(a) for a in angles)


def linked_slide(first: Track, second: Track, branch: int, t: float, wide: float) -> float | None:
    """Where the second pin is, mm along its slot, with the first at `t`; None where it misses."""
    px, py = first.at(t)
    if second.kind == "line":
        foot = (px - second.x) * second.ux + (py - second.y) * second.uy
        off = (py - second.y) * second.ux - (px - second.x) * second.uy
        square = wide * wide - off * off
        other = foot + branch * math.sqrt(max(0.0, square))
        fits = square >= -EPS and -EPS <= other <= second.length + EPS
        return min(max(other, 0.0), second.length) if fits else None
    dx, dy = second.x - px, second.y - py
    d = math.hypot(dx, dy)
    if d <= EPS:
        return None
    angle = _arc_angles(d, second, wide)[0] * branch
    other = second.along(math.degrees(math.atan2(dy, dx)) + angle)
    qx, qy = second.at(other)
    return other if abs(math.hypot(qx - px, qy - py) - wide) <= EPS else None


def linked_turn(first: Track, second: Track, branch: int, t: float, vx: float, vy: float) -> float:
    """The turn in degrees that the second pin gives with the first at `t` mm in its slot."""
    other = linked_slide(first, second, branch, t, math.hypot(vx, vy))
    px, py = first.at(t)
    qx, qy = second.at(other if other is not None else second.nearest(px, py))
    return turn_between(qx - px, qy - py, vx, vy)
