"""Two pins in two features of one body: the turns and slides at which both fit.

Pure numbers in the frame of the body.  The first feature is a point P (a hole or an arm's pivot);
the second is a track; v is the vector from the first table hole to the second.
"""

import math
from functools import lru_cache
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
        hits.append(PinFit(turn, turn, t, gap, turn_by_play(px, py, track, distance, play)))
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
    return tuple(track.along(away + a) for a in arc_angles(d, track, distance))


def arc_angles(d: float, track: Track, distance: float) -> tuple[float, ...]:
    """Directions of the crossings from the arc's centre, in degrees from the line P-centre."""
    cosine = (distance * distance - d * d - track.radius * track.radius) / (2.0 * d * track.radius)
    if cosine >= 1.0:
        return (0.0,)
    if cosine <= -1.0:
        return (180.0,)
    a = math.degrees(math.acos(cosine))
    return (a, -a)


def turn_by_play(px: float, py: float, track: Track, distance: float, play: float) -> float:
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
    if d <= EPS:  # the arc runs about P: nothing stops the body before the arc's ends
        return abs(track.sweep)
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
