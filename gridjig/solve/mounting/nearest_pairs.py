"""Where two tracks are nearest to each other, or furthest apart: in closed form.

Two pins whose distance lies beyond all that two slots allow fit only there, by their play; if it is
exactly the least or the most, they fit there alone.
"""

import math
from functools import lru_cache
from typing import NamedTuple

from .track import EPS, NEAR, Track


class NearestPair(NamedTuple):
    """Points at `t` mm along the first track and `s` along the second, `apart` mm from each other.

    No points beside them are nearer (`least`) or further apart (not `least`).
    """

    t: float
    s: float
    apart: float
    least: bool


@lru_cache(maxsize=256)
def nearest_pairs(first: Track, second: Track) -> tuple[NearestPair, ...]:
    """All pairs of points at which the distance of two lines or arcs is least or most."""
    tried = [(t, s) for t in (0.0, first.length) for s in (0.0, second.length)]
    for end in (0.0, first.length):
        tried += [(end, s) for s in _square_to(second, *first.at(end))]
    for end in (0.0, second.length):
        tried += [(t, end) for t in _square_to(first, *second.at(end))]
    tried += _inside(first, second)
    found: list[NearestPair] = []
    for t, s in tried:
        if any(abs(t - k.t) <= EPS and abs(s - k.s) <= EPS for k in found):
            continue
        (px, py), (qx, qy) = first.at(t), second.at(s)
        far = math.hypot(qx - px, qy - py)
        found += [
            NearestPair(t, s, far, sign > 0.0)
            for sign in (1.0, -1.0)
            if far > EPS and _extreme(first, second, t, s, sign)
        ]
    return tuple(found)


def _square_to(track: Track, px: float, py: float) -> list[float]:
    """Where a line from P meets the track at a right angle."""
    if track.kind == "line":
        t = (px - track.x) * track.ux + (py - track.y) * track.uy
        return [t] if 0.0 <= t <= track.length else []
    if math.hypot(px - track.x, py - track.y) <= EPS:
        return []
    return _at_directions(track, math.atan2(py - track.y, px - track.x))


def _at_directions(track: Track, radians: float) -> list[float]:
    """Where an arc crosses the line through its centre in that direction."""
    found = []
    for direction in (math.degrees(radians), math.degrees(radians) + 180.0):
        t = track.along(direction)
        off = math.fmod(track.angle(t) - direction, 360.0)
        if min(abs(off), 360.0 - abs(off)) < NEAR:
            found.append(t)
    return found


def _inside(first: Track, second: Track) -> list[tuple[float, float]]:
    """Pairs inside both tracks whose line is square to both; lines alone have none."""
    if first.kind == second.kind == "line":
        return []
    if first.kind == "line":
        centre = (second.x, second.y)
        across = math.atan2(first.ux, -first.uy)
        return [(t, s) for t in _square_to(first, *centre) for s in _at_directions(second, across)]
    if second.kind == "line":
        return [(t, s) for s, t in _inside(second, first)]
    dx, dy = second.x - first.x, second.y - first.y
    if math.hypot(dx, dy) <= EPS:
        return []
    along = math.atan2(dy, dx)
    return [(t, s) for t in _at_directions(first, along) for s in _at_directions(second, along)]


def _extreme(first: Track, second: Track, t: float, s: float, sign: float) -> bool:
    """True if the square of the distance has a minimum (sign 1) or maximum (-1) at t, s.

    By its slopes and curvatures; at an end of a track it may fall, or rise, past the end.
    """
    (px, py), (qx, qy) = first.at(t), second.at(s)
    dx, dy = px - qx, py - qy
    (ax, ay), (bx, by) = _heading(first, t), _heading(second, s)
    tracks, at = (first, second), (t, s)
    slopes = (sign * (dx * ax + dy * ay), -sign * (dx * bx + dy * by))
    level = [abs(slope) <= EPS for slope in slopes]
    for track, where, slope, flat in zip(tracks, at, slopes, level, strict=True):
        end = 0.0 if slope > 0.0 else track.length
        if not flat and (abs(where - end) > NEAR or abs(track.sweep) >= 360.0):
            return False
    bends = (
        sign * (1.0 + _bend(first, px, py, dx, dy)),
        sign * (1.0 + _bend(second, qx, qy, -dx, -dy)),
    )
    if any(bend < -EPS for bend, flat in zip(bends, level, strict=True) if flat):
        return False
    return not all(level) or bends[0] * bends[1] - (ax * bx + ay * by) ** 2 >= -EPS


def _heading(track: Track, t: float) -> tuple[float, float]:
    """The direction of a track at `t`, of length 1."""
    if track.kind == "line":
        return (track.ux, track.uy)
    angle = math.radians(track.angle(t)) + math.copysign(math.pi / 2.0, track.sweep)
    return (math.cos(angle), math.sin(angle))


def _bend(track: Track, px: float, py: float, dx: float, dy: float) -> float:
    """How much the curve of an arc adds to the curvature of the squared distance along (dx, dy)."""
    if track.kind == "line":
        return 0.0
    return -(dx * (px - track.x) + dy * (py - track.y)) / (track.radius * track.radius)
