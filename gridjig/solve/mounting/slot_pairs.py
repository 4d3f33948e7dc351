"""Two pins in two slots of one body, or in one: the turns and slides at which both fit.

As in `pairs.py`, but both features are tracks, so that a family of fits is left.
"""

import math
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from .nearest_pairs import nearest_pairs
from .pairs import CONCENTRIC, arc_angles, crossings, slot_swing, turn_by_play
from .track import EPS, NEAR, Track, tidy, turn_between


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
        ahead = math.degrees(math.atan2(vy, vx))
        every = _ahead(first, second, math.hypot(vx, vy), play)
        return [run._replace(turn=tidy(run.turn + ahead)) for run in every]
    return _parallel(first, second, vx, vy, play)


@lru_cache(maxsize=4096)  # a grid has few distances, each in many directions
def _ahead(first: Track, second: Track, distance: float, play: float) -> tuple[SlotFits, ...]:
    """The families of slots that are not parallel, with the second hole in direction 0."""
    return tuple(_linked(first, second, distance, play, distance, 0.0))


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
    two such slides a branch fits everywhere or nowhere.  Where the pins fit at a single point, or
    only by their play, two points of the slots are nearest or furthest apart.
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
    return found + _points(first, second, found, (distance, play, vx, vy))


def _points(
    first: Track,
    second: Track,
    runs: list[SlotFits],
    pins: tuple[float, float, float, float],
) -> list[SlotFits]:
    """Fits outside those families: at one slide only, with play taking up what is missing."""
    distance, play, vx, vy = pins
    found: list[SlotFits] = []
    for pair in nearest_pairs(first, second):
        gap = distance - pair.apart
        beyond = -gap if pair.least else gap
        if not -EPS <= beyond <= play + EPS:
            continue
        if any(_holds(first, second, run, pair.t, pair.s, distance) for run in runs):
            continue
        at = [second_slide(first, second, b, pair.t, distance) for b in (1, -1)]
        branch = 1 if abs(at[0] - pair.s) <= abs(at[1] - pair.s) else -1
        turn = linked_turn(first, second, branch, pair.t, vx, vy)
        swing = turn_by_play(*first.at(pair.t), second, distance, play)
        gap = 0.0 if abs(gap) < NEAR else gap
        found.append(SlotFits(pair.t, pair.t, branch, False, turn, gap, swing))
    return _joined(first, second, found, pins)


def _joined(
    first: Track,
    second: Track,
    points: list[SlotFits],
    pins: tuple[float, float, float, float],
) -> list[SlotFits]:
    """Points with the same gap between them as well, of arcs about one centre, as one family."""
    distance, _, vx, vy = pins
    joined: list[SlotFits] = []
    for point in sorted(points, key=lambda f: (f.branch, f.low)):
        last = joined[-1] if joined else None
        if last is not None and last.branch == point.branch:
            middle = (last.high + point.low) / 2.0
            far = math.dist(
                first.at(middle),
                second.at(second_slide(first, second, point.branch, middle, distance)),
            )
            if max(abs(distance - far - f.gap) for f in (last, point)) <= NEAR:
                turn = linked_turn(first, second, point.branch, middle, vx, vy)
                joined[-1] = last._replace(high=point.high, turn=turn)
                continue
        joined.append(point)
    return joined


def _holds(first: Track, second: Track, run: SlotFits, t: float, s: float, distance: float) -> bool:
    """True if a family has the pins at `t` in the first slot and `s` in the second."""
    if not run.low - EPS <= t <= run.high + EPS:
        return False
    at = min(max(t, run.low), run.high)
    here = second.at(second_slide(first, second, run.branch, at, distance))
    return math.dist(here, second.at(s)) <= CONCENTRIC


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
        worst = max(worst, turn_by_play(*first.at(t), second, distance, play))
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
    angle = arc_angles(d, second, distance)[0] * branch
    other = second.along(math.degrees(math.atan2(dy, dx)) + angle)
    qx, qy = second.at(other)
    return other if abs(math.hypot(qx - px, qy - py) - distance) <= EPS else None


def second_slide(first: Track, second: Track, branch: int, t: float, distance: float) -> float:
    """The position of the second pin like `linked_slide`, or the nearest to it in the slot."""
    other = linked_slide(first, second, branch, t, distance)
    if other is not None:
        return other
    near = crossings(*first.at(t), second, distance)  # of a line the smaller, of an arc branch 1
    last = (branch > 0) == (second.kind == "line")
    return near[-1 if last else 0]


def linked_turn(first: Track, second: Track, branch: int, t: float, vx: float, vy: float) -> float:
    """The turn in degrees that follows with the first pin at `t` mm along its slot."""
    px, py = first.at(t)
    qx, qy = second.at(second_slide(first, second, branch, t, math.hypot(vx, vy)))
    return turn_between(qx - px, qy - py, vx, vy)
