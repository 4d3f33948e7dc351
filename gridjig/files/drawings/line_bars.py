"""Bars drawn as two parallel lines that no line closes at their ends, as many drawings have them.

Works on points in drawing units.  Whether a bar is as wide as a section is for `member` to say.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
from msgspec import Struct

from gridjig.rack import Point
from gridjig.units.progress import look

MOST_LINES = 1_000
"""The most straight lines of one direction on a layer that are compared with one another: 50 ms and
50 MB; where there are more, they are counted as left out."""
MOST_ON_LAYER = 20_000
"""The most straight lines on a layer that are looked at for bars, about 1 s; more are left out."""
SLENDER = 2.0
"""A bar is at least this many times as long as wide."""
_TURN = 0.1  # degrees between lines that count as parallel, before their ends are measured


class LineBar(Struct, frozen=True):
    """A bar between lines: its outline, counter-clockwise, which open paths draw it, and of which
    closed rings a side does.
    """

    ring: tuple[Point, ...]
    paths: tuple[int, ...]
    rings: tuple[tuple[Point, ...], ...] = ()


def line_bars(paths: Sequence[Sequence[Point]], reach: float) -> tuple[tuple[LineBar, ...], int]:
    """Return the bars that open paths draw, and how many lines were too many to be compared.

    A bar is a path of three lines round one end, or two lines that are each the nearest parallel
    line to the other, for at least half of the longer.
    """
    plain = [corners_of(path, reach) for path in paths]
    made = [
        LineBar(_turned(points), (k,))
        for k, points in enumerate(plain)
        if len(points) == 4 and _is_bar(points, reach)
    ]
    straight = [(k, points) for k, points in enumerate(plain) if len(points) == 2]
    if len(straight) > MOST_ON_LAYER:
        return tuple(made), len(straight)
    left_out = 0
    for some in by_direction(straight):
        look()
        if len(some) > MOST_LINES:
            left_out += len(some)
        else:
            made += pairs(some, reach)
    return tuple(sorted(made, key=lambda bar: bar.paths)), left_out


def corners_of(path: Sequence[Point], reach: float) -> list[Point]:
    """Return a path without the points that lie on a straight stretch of it."""
    kept = list(path[:1])
    for p, after in pairwise(path[1:]):
        if _off(p, kept[-1], after) > reach:
            kept.append(p)
    return [*kept, path[-1]]


def _off(p: Point, a: Point, b: Point) -> float:
    """The distance of p from the line through a and b."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    long = math.hypot(dx, dy)
    return abs(dx * (p[1] - a[1]) - dy * (p[0] - a[0])) / long if long else math.dist(p, a)


def _is_bar(points: Sequence[Point], reach: float) -> bool:
    """True if the first and the last line of three are parallel, and long enough."""
    a, b, c, d = points
    (ux, uy), (vx, vy) = (b[0] - a[0], b[1] - a[1]), (d[0] - c[0], d[1] - c[1])
    width = _off(c, a, b)
    return (
        ux * vx + uy * vy < 0.0
        and abs(_off(d, a, b) - width) <= 2.0 * reach
        and min(math.dist(a, b), math.dist(c, d)) >= SLENDER * width > reach
    )


def _turned(ring: Sequence[Point]) -> tuple[Point, ...]:
    """A ring counter-clockwise."""
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, (*ring[1:], ring[0]), strict=True))
    return tuple(ring) if area > 0.0 else tuple(reversed(ring))


NumberedLine = tuple[int, list[Point]]


def by_direction(lines: Sequence[NumberedLine]) -> Iterator[list[NumberedLine]]:
    """Yield the lines in groups of nearly one direction; the first goes on over 180 degrees."""

    def turn(line: NumberedLine) -> float:
        (ax, ay), (bx, by) = line[1]
        return math.degrees(math.atan2(by - ay, bx - ax)) % 180.0

    ordered = sorted(((turn(line), line) for line in lines), key=lambda one: one[0])
    groups: list[list[tuple[float, NumberedLine]]] = []
    for one in ordered:
        if groups and one[0] - groups[-1][-1][0] <= _TURN:
            groups[-1].append(one)
        else:
            groups.append([one])
    if len(groups) > 1 and groups[0][0][0] + 180.0 - groups[-1][-1][0] <= _TURN:
        groups[0] += groups.pop()
    for group in groups:
        if len(group) > 1:
            yield [line for _, line in group]


def pairs(lines: Sequence[NumberedLine], reach: float) -> Iterator[LineBar]:
    """Yield the bars between lines of one direction that are the nearest to each other."""
    a, b = (np.array([points[k] for _, points in lines]) for k in (0, 1))
    way = b - a
    length = np.hypot(way[:, 0], way[:, 1])
    unit = way / np.maximum(length, 1e-300)[:, None]

    def seen(p: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """How far along and how far left of each line (row) each point (column) is."""
        d = p[None, :, :] - a[:, None, :]
        ux, uy = unit[:, :1], unit[:, 1:]
        return d[:, :, 0] * ux + d[:, :, 1] * uy, d[:, :, 1] * ux - d[:, :, 0] * uy

    (on_a, off_a), (on_b, off_b) = seen(a), seen(b)
    shared = np.minimum(np.maximum(on_a, on_b), length[:, None]) - np.maximum(
        np.minimum(on_a, on_b), 0.0
    )
    apart = np.abs(off_a + off_b) / 2.0
    longer = np.maximum(length[:, None], length[None, :])
    good = (np.abs(off_a - off_b) <= 2.0 * reach) & (shared >= longer / 2.0)
    good &= (apart > 2.0 * reach) & (longer >= SLENDER * apart)
    away = np.where(good, apart, np.inf)
    best = np.argmin(away, axis=1)
    for i, j in enumerate(best.tolist()):
        if i < j and best[j] == i and math.isfinite(away[i, j]):
            (k, (p, q)), (m, (r, s)) = lines[i], lines[j]
            same = bool(np.dot(unit[i], unit[j]) > 0.0)
            ring = (p, q, s, r) if same else (p, q, r, s)
            yield LineBar(_turned(ring), (k, m))
