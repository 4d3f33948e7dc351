"""Two pins in two features of one body: the turns and slides at which both fit.

Pure numbers in the frame of the body.  The first feature is a point P (a hole or an arm's pivot)
or a track; the second is a track; v is the vector from the first table hole to the second.
"""

import math
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from .track import EPS, NEAR, Track, tidy, turn_between

CONCENTRIC = 1e-3
"""An arc slot whose centre is this near (mm) to the hole is meant to be concentric with it."""


class PinFit(NamedTuple):
    """One fit: turns from `turn` to `turn_high`, and the pin at `slide` mm along the track.

    `gap` is by how much (mm) the table holes are further apart than the two points of the piece;
    play takes it up.  `swing` is the angle in degrees that play lets the body turn.
    """

    turn: float
    turn_high: float
    slide: float
    gap: float
    swing: float


def about(px: float, py: float, track: Track, vx: float, vy: float, play: float) -> list[PinFit]:
    """All fits with P in the first hole and the second pin anywhere in `track`.

    `play` is the sum of both radial plays in mm.
    """
    return list(_about(px, py, track, vx, vy, play))


@lru_cache(maxsize=1024)  # moving a piece keeps the vector from pin to pin
def _about(
    px: float, py: float, track: Track, vx: float, vy: float, play: float
) -> tuple[PinFit, ...]:
    distance = math.hypot(vx, vy)
    if track.kind == "arc" and math.hypot(track.x - px, track.y - py) <= CONCENTRIC:
        return tuple(_concentric(track, vx, vy, play))
    hits: list[PinFit] = []
    for t in crossings(px, py, track, distance):
        qx, qy = track.at(t)
        fx, fy = qx - px, qy - py
        far = math.hypot(fx, fy)
        gap = distance - far
        if abs(gap) > play + EPS or far <= EPS or any(abs(t - h.slide) < NEAR for h in hits):
            continue
        if abs(gap) < NEAR:
            gap = 0.0
        turn = turn_between(fx, fy, vx, vy)
        hits.append(PinFit(turn, turn, t, gap, _swing(px, py, track, distance, play)))
    return tuple(hits)


def _concentric(track: Track, vx: float, vy: float, play: float) -> list[PinFit]:
    """The arc is centred on P: the body turns while the pin runs along the slot."""
    gap = math.hypot(vx, vy) - track.radius
    if abs(gap) > play + EPS:
        return []
    ways = math.degrees(math.atan2(vy, vx))
    if abs(track.sweep) >= 360.0:
        return [PinFit(-180.0, 180.0, 0.0, gap, 0.0)]
    low = ways - track.start - max(track.sweep, 0.0)
    first = tidy(low)
    return [PinFit(first, first + abs(track.sweep), 0.0, 0.0 if abs(gap) < NEAR else gap, 0.0)]


def crossings(px: float, py: float, track: Track, distance: float) -> tuple[float, ...]:
    """Where the circle of radius `distance` about P meets the track, clamped to the track's length.

    If they do not meet, the point that comes nearest: the caller checks whether play allows it.
    """
    if track.kind == "point":
        return (0.0,)
    if track.kind == "line":
        foot = (px - track.x) * track.ux + (py - track.y) * track.uy
        offset = (py - track.y) * track.ux - (px - track.x) * track.uy
        square = distance * distance - offset * offset
        roots: tuple[float, ...] = (foot,)
        if square > 0.0:
            root = math.sqrt(square)
            roots = (foot - root, foot + root)
        return tuple(min(max(t, 0.0), track.length) for t in roots)
    dx, dy = track.x - px, track.y - py
    d = math.hypot(dx, dy)
    if d <= EPS:  # the arc is centred on P: all its points are equally near
        return (0.0, track.length)
    away = math.degrees(math.atan2(dy, dx))
    return tuple(track.along(away + a) for a in _arc_angles(d, track, distance))


def _arc_angles(d: float, track: Track, distance: float) -> tuple[float, ...]:
    """Directions of the crossings from the arc's centre, in degrees from the line P-centre."""
    cosine = (distance * distance - d * d - track.radius * track.radius) / (2.0 * d * track.radius)
    if cosine >= 1.0:
        return (0.0,)
    if cosine <= -1.0:
        return (180.0,)
    a = math.degrees(math.acos(cosine))
    return (a, -a)


def _swing(px: float, py: float, track: Track, distance: float, play: float) -> float:
    """How far play lets the body turn from a fit: degrees to one side, the larger of the two.

    Two holes: the triangle with sides D, L and play gives sin(a/2) = sqrt((s^2-(D-L)^2)/(4DL)).
    A slot at distance h from P: asin((h+s)/D) - asin(h/D).  An arc: the law of cosines for
    R - s and R + s.  Each is exact, and about s/L if s is small.
    """
    if play <= 0.0 or distance <= EPS:
        return 0.0
    if track.kind == "point":
        far = math.hypot(track.x - px, track.y - py)
        square = (play * play - (distance - far) ** 2) / (4.0 * distance * far)
        return math.degrees(2.0 * math.asin(min(1.0, math.sqrt(max(0.0, square)))))
    if track.kind == "line":
        offset = abs((py - track.y) * track.ux - (px - track.x) * track.uy)
        return slot_swing(offset, distance, play)
    d = math.hypot(track.x - px, track.y - py)
    now = _angle_at_p(d, distance, track.radius)
    return math.degrees(
        max(
            abs(_angle_at_p(d, distance, track.radius + play) - now),
            abs(_angle_at_p(d, distance, track.radius - play) - now),
        )
    )


def slot_swing(offset: float, distance: float, play: float) -> float:
    """Play as an angle in degrees: a pin at `distance`, in a slot that passes P at `offset`; mm."""
    base = math.asin(min(1.0, offset / distance))
    up = math.asin(min(1.0, (offset + play) / distance)) - base
    down = base - math.asin(max(-1.0, min(1.0, (offset - play) / distance)))
    return math.degrees(max(up, down))


def _angle_at_p(d: float, distance: float, radius: float) -> float:
    """The angle at P, radians, in a triangle with sides d, `distance` and, opposite P, `radius`."""
    cosine = (d * d + distance * distance - radius * abs(radius)) / (2.0 * d * distance)
    return math.acos(max(-1.0, min(1.0, cosine)))


class SlotFits(NamedTuple):
    """A family of fits of two slots: slides `low`..`high` in the first, on one of two branches.

    If `straight`, all have the same `turn`; otherwise the turn follows from the slide.  Play takes
    up `gap`.
    """

    low: float
    high: float
    branch: int
    straight: bool
    turn: float
    gap: float
    swing: float


def slot_fits(first: Track, second: Track, vx: float, vy: float, play: float) -> list[SlotFits]:
    """All families of fits with a pin in each of two slots, or two pins in one slot."""
    if linked(first, second):
        return _linked(first, second, math.hypot(vx, vy), play, vx, vy)
    return _parallel(first, second, vx, vy, play)


def linked(first: Track, second: Track) -> bool:
    """True if the turn follows from the slide: the two slots are not parallel."""
    if first.kind == "point" or second.kind == "point":
        return False
    if first.kind == second.kind == "line":
        return abs(first.ux * second.uy - first.uy * second.ux) >= NEAR
    return True


def _parallel(first: Track, second: Track, vx: float, vy: float, play: float) -> list[SlotFits]:
    """Parallel slots: the turn is fixed, and the piece slides along them."""
    ux, uy = first.ux, first.uy
    bx, by = second.x - first.x, second.y - first.y
    side = ux * by - uy * bx
    from_a = ux * bx + uy * by
    to_b = from_a + second.length * (ux * second.ux + uy * second.uy)
    distance = math.hypot(vx, vy)
    square = distance * distance - side * side
    root = math.sqrt(square) if square > 0.0 else 0.0
    swing = slot_swing(abs(side), distance, play)
    found: list[SlotFits] = []
    for branch, step in ((1, root), (-1, -root))[: 2 if root > 0.0 else 1]:
        low = max(0.0, min(from_a, to_b) - step)
        high = min(first.length, max(from_a, to_b) - step)
        at = step
        if low > high:  # past an end: both pins are at the ends, and play makes up the rest
            low = high = min(max((low + high) / 2.0, 0.0), first.length)
            at = min(max(low + step, min(from_a, to_b)), max(from_a, to_b)) - low
        gap = distance - math.hypot(at, side)
        if abs(gap) > play + EPS:
            continue
        turn = turn_between(ux * at - uy * side, uy * at + ux * side, vx, vy)
        gap = 0.0 if abs(gap) < NEAR else gap
        found.append(SlotFits(low, high, branch, True, turn, gap, swing))
    return found


def _linked(
    first: Track, second: Track, distance: float, play: float, vx: float, vy: float
) -> list[SlotFits]:
    """Slots that are not parallel: sliding one pin turns the piece.

    The slides at which the number of crossings changes have a closed form: there the circle about
    the first pin passes an end of the second slot, or is tangent to its line or circle.  Between
    two such slides a branch fits everywhere or nowhere.
    """
    marks = {0.0, first.length}
    for end in (second.at(0.0), second.at(second.length)):
        marks.update(crossings(*end, first, distance))
    marks.update(_touches(first, second, distance))
    rising = sorted(marks)
    cuts = [b for a, b in pairwise([-1.0, *rising]) if b - a > EPS]
    found: list[SlotFits] = []
    for branch in (1, -1):
        ends: list[tuple[float, float]] = []
        for a, b in pairwise(cuts):
            if not _fits(first, second, branch, a, b, distance):
                continue
            until = b - CONCENTRIC if _flips(first, second, b) else b
            if _flips(first, second, a):
                ends.append((a + CONCENTRIC, until))
            elif ends and ends[-1][1] == a:
                ends[-1] = (ends[-1][0], until)
            else:
                ends.append((a, until))
        found.extend(_run(first, second, branch, e, (distance, play, vx, vy)) for e in ends)
    return found


def _fits(first: Track, second: Track, branch: int, a: float, b: float, distance: float) -> bool:
    """True if the branch fits between two slides; branches that coincide count as the first."""
    other = linked_slide(first, second, branch, (a + b) / 2.0, distance)
    if other is None or branch > 0:
        return other is not None
    twin = linked_slide(first, second, 1, (a + b) / 2.0, distance)
    return twin is None or abs(other - twin) > EPS


def _flips(first: Track, second: Track, t: float) -> bool:
    """True where the first pin passes the centre of the second slot's arc: the branches swap.

    The turn is not defined at that point, so families end just (CONCENTRIC) to either side.
    """
    return second.kind == "arc" and math.dist(first.at(t), (second.x, second.y)) <= EPS


def _run(
    first: Track,
    second: Track,
    branch: int,
    ends: tuple[float, float],
    pins: tuple[float, float, float, float],
) -> SlotFits:
    """The family between two slides, with the turn in its middle and its worst swing."""
    distance, play, vx, vy = pins
    low, high = ends
    worst = 0.0
    for k in range(1, 8):
        t = low + (high - low) * k / 8.0
        worst = max(worst, _swing(*first.at(t), second, distance, play))
    turn = linked_turn(first, second, branch, (low + high) / 2.0, vx, vy)
    return SlotFits(low, high, branch, False, turn, 0.0, worst)


def _touches(first: Track, second: Track, distance: float) -> tuple[float, ...]:
    """Slides of the first pin at which its circle touches the second slot's line or circle."""
    if second.kind == "arc":
        far = math.hypot(first.x - second.x, first.y - second.y)
        if first.kind == "arc" and far <= CONCENTRIC:
            return ()
        reaches = (second.radius + distance, abs(second.radius - distance))
        return tuple(t for r in reaches for t in crossings(second.x, second.y, first, r))
    nx, ny = -second.uy, second.ux
    rise = nx * (first.x - second.x) + ny * (first.y - second.y)
    if first.kind == "line":
        slope = nx * first.ux + ny * first.uy
        every = ((distance - rise) / slope, (-distance - rise) / slope)
        return tuple(min(max(t, 0.0), first.length) for t in every)
    square = math.degrees(math.atan2(ny, nx))
    angles: list[float] = []
    for reach in (distance - rise, -distance - rise):
        if abs(reach) < first.radius:
            offset = math.degrees(math.acos(reach / first.radius))
            angles.extend((square + offset, square - offset))
    return tuple(first.along(a) for a in angles)


def linked_slide(
    first: Track, second: Track, branch: int, t: float, distance: float
) -> float | None:
    """Position of the second pin, mm along its slot, with the first at `t`; None if it misses."""
    px, py = first.at(t)
    if second.kind == "line":
        foot = (px - second.x) * second.ux + (py - second.y) * second.uy
        offset = (py - second.y) * second.ux - (px - second.x) * second.uy
        square = distance * distance - offset * offset
        other = foot + branch * math.sqrt(max(0.0, square))
        fits = square >= -EPS and -EPS <= other <= second.length + EPS
        return min(max(other, 0.0), second.length) if fits else None
    dx, dy = second.x - px, second.y - py
    d = math.hypot(dx, dy)
    if d <= EPS:
        return None
    angle = _arc_angles(d, second, distance)[0] * branch
    other = second.along(math.degrees(math.atan2(dy, dx)) + angle)
    qx, qy = second.at(other)
    return other if abs(math.hypot(qx - px, qy - py) - distance) <= EPS else None


def linked_turn(first: Track, second: Track, branch: int, t: float, vx: float, vy: float) -> float:
    """The turn in degrees that follows with the first pin at `t` mm along its slot."""
    other = linked_slide(first, second, branch, t, math.hypot(vx, vy))
    px, py = first.at(t)
    qx, qy = second.at(other if other is not None else second.nearest(px, py))
    return turn_between(qx - px, qy - py, vx, vy)
