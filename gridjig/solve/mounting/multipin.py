"""Three pins or more: one pose that suits all of them within their play, or none."""

import math
from collections.abc import Callable

from gridjig.geometry import unit

from .fit import Seating
from .track import EPS, NEAR, tidy
from .ways import Way, least

Stance = tuple[float, float, float]
"""x and y in mm and turn in degrees of a body frame, already mirrored if the body is flipped."""


def worst(stance: Stance, seatings: list[Seating]) -> float:
    """The most (mm) by which a pin is further from its feature than its play allows."""
    return max(gap - s.play for gap, s in zip(gaps(stance, seatings), seatings, strict=True))


def gaps(stance: Stance, seatings: list[Seating]) -> list[float]:
    """The distance in mm of each table hole from its feature, with the body in that stance."""
    x, y, turn = stance
    c, s = unit(turn)
    return [
        k.track.gap(c * (k.x - x) + s * (k.y - y), -s * (k.x - x) + c * (k.y - y)) for k in seatings
    ]


def settle(stance: Stance, seatings: list[Seating]) -> Stance | None:
    """The stance near this one that fits all pins best (least squares); None if a play is exceeded.

    A stance that fits exactly is returned as it is, so that iterating does not blur it.
    """
    if max(gaps(stance, seatings)) < NEAR:
        return stance
    for _ in range(4):
        stance = _step(stance, seatings)
    return stance if worst(stance, seatings) <= EPS else None


def _step(stance: Stance, seatings: list[Seating]) -> Stance:
    """One Gauss-Newton step on the distances from the holes to the features."""
    x, y, turn = stance
    c, s = unit(turn)
    m = [[0.0] * 4 for _ in range(3)]
    for k in seatings:
        qx, qy = c * (k.x - x) + s * (k.y - y), -s * (k.x - x) + c * (k.y - y)
        t = k.track.nearest(qx, qy)
        tx, ty = k.track.at(t)
        px, py = c * tx - s * ty, s * tx + c * ty
        rx, ry = k.x - x - px, k.y - y - py
        normals = ((1.0, 0.0), (0.0, 1.0))
        if 0.0 < t < k.track.length:
            a = math.radians(turn) + _along(k, t) + math.pi / 2.0
            normals = ((math.cos(a), math.sin(a)), (0.0, 0.0))
        for nx, ny in normals:
            row = (nx, ny, ny * px - nx * py, nx * rx + ny * ry)
            for i in range(3):
                for j in range(4):
                    m[i][j] += row[i] * row[j]
    dx, dy, da = _solve(m)
    return (x + dx, y + dy, tidy(turn + math.degrees(da)))


def _along(k: Seating, t: float) -> float:
    """The direction of the track at `t`, in radians."""
    if k.track.kind == "line":
        return math.atan2(k.track.uy, k.track.ux)
    return math.radians(k.track.angle(t)) + math.pi / 2.0


def _solve(m: list[list[float]]) -> tuple[float, float, float]:
    """Solves three equations (rows of 4), slightly damped in case a freedom is left."""
    for i in range(3):
        m[i][i] = m[i][i] * (1.0 + 1e-12) + 1e-12
    for i in range(3):
        for j in range(i + 1, 3):
            f = m[j][i] / m[i][i]
            for k in range(i, 4):
                m[j][k] -= f * m[i][k]
    c = m[2][3] / m[2][2]
    b = (m[1][3] - m[1][2] * c) / m[1][1]
    return ((m[0][3] - m[0][1] * b - m[0][2] * c) / m[0][0], b, c)


PARTS = 96


def narrowed(way: Way, others: list[Seating]) -> list[tuple[float, float]]:
    """The ranges of slide of a sliding way at which the further pins go in too.

    A pin that moves along its feature with the slide leaves a range.  A pin that meets its feature
    only at certain slides leaves those, each as a range of length 0.
    """

    def miss(t: float) -> float:
        pose = way.pose(way.turn_low, t)
        return max(gaps((pose.x, pose.y, pose.turn), others))

    def over(t: float) -> float:
        pose = way.pose(way.turn_low, t)
        return worst((pose.x, pose.y, pose.turn), others)

    low, high = way.slide_low, way.slide_high
    step = (high - low) / PARTS
    at = [low + step * k for k in range(PARTS)] + [high]
    value = [miss(t) for t in at]
    found: list[tuple[float, float]] = []
    k = 0
    while k <= PARTS:
        if value[k] <= EPS:
            first = k
            while k < PARTS and value[k + 1] <= EPS:
                k += 1
            left = at[0] if first == 0 else _edge(miss, at[first], at[first - 1])
            right = at[PARTS] if k == PARTS else _edge(miss, at[k], at[k + 1])
            found.append((left, right))
        elif value[k] <= min(value[max(k - 1, 0)], value[min(k + 1, PARTS)]):
            t = least(miss, at[max(k - 1, 0)], at[min(k + 1, PARTS)], 2)
            if over(t) <= EPS and not any(a - step <= t <= b + step for a, b in found):
                found.append((t, t))
        k += 1
    return found


def _edge(miss: Callable[[float], float], inside: float, outside: float) -> float:
    """Where a range of fitting slides ends, by bisection."""
    for _ in range(60):
        middle = (inside + outside) / 2.0
        if miss(middle) <= EPS:
            inside = middle
        else:
            outside = middle
    return inside
