"""The pairs of `pairs.py` and `slot_pairs.py` for many hole offsets at once, on arrays.

They exist beside the scalar ones because a drag asks for one pair at a time and a table for
thousands; the tests compare the two.
"""

import math
import operator
from typing import NamedTuple

import numpy as np

from gridjig.solve.grid.directions import FloatArray, IntArray

from .pairs import CONCENTRIC
from .slot_pairs import slot_fits
from .track import EPS, NEAR, Track


class Fits(NamedTuple):
    """Fits as columns: the index of the offset, and the fields of `PinFit` or `SlotFits`."""

    row: IntArray
    turn: FloatArray
    turn_high: FloatArray
    slide: FloatArray
    slide_high: FloatArray
    gap: FloatArray
    swing: FloatArray


def about_all(
    px: float, py: float, track: Track, vx: FloatArray, vy: FloatArray, play: float
) -> Fits:
    """`pairs.about` for many offsets (vx, vy) in mm."""
    distance = np.hypot(vx, vy)
    low, high = track.span(px, py)
    near = np.flatnonzero(
        (distance >= low - play - EPS) & (distance <= high + play + EPS) & (distance > EPS)
    )
    vx, vy, distance = vx[near], vy[near], distance[near]
    if track.kind == "arc" and math.hypot(track.x - px, track.y - py) <= CONCENTRIC:
        return _concentric(track, near, vx, vy, distance)
    swing = _swing(px, py, track, distance, play)
    roots = _crossings(px, py, track, distance)
    found: list[Fits] = []
    for k, t in enumerate(roots):
        qx, qy = _at(track, t)
        fx, fy = qx - px, qy - py
        far = np.hypot(fx, fy)
        gap = distance - far
        good = (np.abs(gap) <= play + EPS) & (far > EPS)
        if k:
            good &= np.abs(t - roots[0]) >= NEAR
        turn = _tidy(np.degrees(np.arctan2(fx * vy - fy * vx, fx * vx + fy * vy)))
        gap = np.where(np.abs(gap) < NEAR, 0.0, gap)
        every = Fits(near, turn, turn, t, t, gap, swing)
        found.append(Fits(*map(operator.itemgetter(good), every)))
    if len(found) == 1:
        return found[0]
    return Fits(*(np.concatenate(both) for both in zip(*found, strict=True)))


def _concentric(
    track: Track, near: IntArray, vx: FloatArray, vy: FloatArray, distance: FloatArray
) -> Fits:
    gap = distance - track.radius
    gap = np.where(np.abs(gap) < NEAR, 0.0, gap)
    none = np.zeros(len(near))
    all_round = np.full(len(near), track.length)
    if abs(track.sweep) >= 360.0:
        return Fits(near, none - 180.0, none + 180.0, none, all_round, gap, none)
    low = _tidy(np.degrees(np.arctan2(vy, vx)) - track.start - max(track.sweep, 0.0))
    return Fits(near, low, low + abs(track.sweep), none, all_round, gap, none)


def _tidy(degrees: FloatArray) -> FloatArray:
    """Each angle in (-180, 180], snapped to a quarter turn if within 1e-9 degree of it."""
    quarter = np.round(degrees / 90.0) * 90.0
    degrees = np.where(np.abs(degrees - quarter) < NEAR, quarter, degrees)
    turned: FloatArray = 180.0 - np.mod(180.0 - degrees, 360.0) + 0.0
    return turned


def _at(track: Track, t: FloatArray) -> tuple[FloatArray, FloatArray]:
    if track.kind == "arc":
        angle = np.radians(track.start + track.sweep * (t / track.length))
        return track.x + track.radius * np.cos(angle), track.y + track.radius * np.sin(angle)
    return track.x + track.ux * t, track.y + track.uy * t


def _crossings(px: float, py: float, track: Track, distance: FloatArray) -> tuple[FloatArray, ...]:
    if track.kind == "point":
        return (np.zeros(len(distance)),)
    if track.kind == "line":
        foot = (px - track.x) * track.ux + (py - track.y) * track.uy
        offset = (py - track.y) * track.ux - (px - track.x) * track.uy
        root = np.sqrt(np.maximum(0.0, distance * distance - offset * offset))
        ends = (0.0, track.length)
        return (np.clip(foot - root, *ends), np.clip(foot + root, *ends))
    dx, dy = track.x - px, track.y - py
    d = math.hypot(dx, dy)
    cosine = (distance * distance - d * d - track.radius * track.radius) / (2.0 * d * track.radius)
    angle = np.degrees(np.arccos(np.clip(cosine, -1.0, 1.0)))
    away = math.degrees(math.atan2(dy, dx))
    return (_along(track, away + angle), _along(track, away - angle))


def _along(track: Track, direction: FloatArray) -> FloatArray:
    span = abs(track.sweep)
    on = np.mod((direction - track.start) * math.copysign(1.0, track.sweep), 360.0)
    past = np.where(on - span <= 360.0 - on, span, 0.0)
    t: FloatArray = np.where(on > span, past, on) / span * track.length
    return t


def _swing(px: float, py: float, track: Track, distance: FloatArray, play: float) -> FloatArray:
    if play <= 0.0:
        return np.zeros(len(distance))
    if track.kind == "point":
        far = math.hypot(track.x - px, track.y - py)
        square = (play * play - (distance - far) ** 2) / (4.0 * distance * far)
        return np.degrees(2.0 * np.arcsin(np.minimum(1.0, np.sqrt(np.maximum(0.0, square)))))
    if track.kind == "line":
        offset = abs((py - track.y) * track.ux - (px - track.x) * track.uy)
        return slot_swings(offset, distance, play)
    d = math.hypot(track.x - px, track.y - py)
    now, *others = (
        np.arccos(
            np.clip((d * d + distance * distance - r * abs(r)) / (2.0 * d * distance), -1.0, 1.0)
        )
        for r in (track.radius, track.radius + play, track.radius - play)
    )
    worst: FloatArray = np.degrees(np.maximum(np.abs(others[0] - now), np.abs(others[1] - now)))
    return worst


def slot_swings(offset: float, distance: FloatArray, play: float) -> FloatArray:
    """`pairs.slot_swing` for many distances in mm."""
    base, up, down = (
        np.arcsin(np.clip(h / distance, -1.0, 1.0)) for h in (offset, offset + play, offset - play)
    )
    worst: FloatArray = np.degrees(np.maximum(up - base, base - down))
    return worst


def slots_all(first: Track, second: Track, vx: FloatArray, vy: FloatArray, play: float) -> Fits:
    """`slot_pairs.slot_fits` for many offsets.

    For a family whose turn follows from the slide, only the turn in its middle is given.
    """
    distance = np.hypot(vx, vy)
    ends = [second.span(*first.at(first.length * k / 64.0)) for k in range(65)]
    low, high = min(e[0] for e in ends), max(e[1] for e in ends)
    slack = play + EPS + (first.length / 128.0 if first != second else 0.0)
    near = np.flatnonzero((distance >= low - slack) & (distance <= high + slack) & (distance > EPS))
    rows = [
        (float(k), run.turn, run.turn, run.low, run.high, run.gap, run.swing)
        for k in near.tolist()
        for run in slot_fits(first, second, float(vx[k]), float(vy[k]), play)
    ]
    columns = np.array(rows, dtype=np.float64).reshape(-1, 7).T
    return Fits(columns[0].astype(np.int64), *columns[1:])
