"""How the errors of many sources add up in one measure: worst case, root-sum-square, sigma.

A body's small motion is q = (dx, dy, omega), mm and radians; a point p of it moves by
(dx - omega py, dy + omega px).  A source is an error along a line, uniform between its limits, or
one in the plane, uniform over a disc.  Everything is linear: good to 0.2 % for errors of 0.1 mm.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

import numpy as np

from gridjig.proof.statics.rows import Floats
from gridjig.rack import Point

from .values import Spread

_AROUND = 72
_STEPS = 8
_DIRECTIONS = np.array(
    [(math.cos(k * math.tau / _AROUND), math.sin(k * math.tau / _AROUND)) for k in range(_AROUND)]
).T


class ErrorSource(NamedTuple):
    """One error: `size` 1 along a line, +- `limit`; 2 in the plane, within a disc of that radius.

    `many` equal errors in a row, each with that limit, count as one source: a pack of shims.
    """

    key: str
    size: int
    limit: float
    many: int = 1

    @property
    def sigma(self) -> float:
        """One standard deviation along any line: a disc R has R/2, +- e has e/sqrt(3)."""
        one = self.limit / 2.0 if self.size == 2 else self.limit / math.sqrt(3.0)
        return one * math.sqrt(self.many)


Scale = Callable[[ErrorSource], float]

Effects = Mapping[ErrorSource, Floats]
"""What each source does to a body: 3 x size."""


class ErrorMap(NamedTuple):
    """One or two measures that follow from sources: for each, `rows` x size coefficients."""

    parts: Sequence[tuple[ErrorSource, Floats]]


def at_point(effects: Effects, p: Point) -> ErrorMap:
    """How far a point of a body moves along x and along y."""
    x, y = p
    map_ = np.array([[1.0, 0.0, -y], [0.0, 1.0, x]])
    return ErrorMap([(source, map_ @ columns) for source, columns in effects.items()])


def row(p: Point, along: Point) -> Floats:
    """The row that gives how far a point moves along a unit vector."""
    return np.array([along[0], along[1], p[0] * along[1] - p[1] * along[0]])


def between(*terms: tuple[Effects, Floats]) -> ErrorMap:
    """The sum of a row applied to each body; a source that moves several counts once."""
    found: dict[ErrorSource, Floats] = {}
    for effects, one in terms:
        for source, columns in effects.items():
            more = one @ columns
            found[source] = found[source] + more if source in found else more
    return ErrorMap([(source, value[None, :]) for source, value in found.items()])


def spread(measure: ErrorMap) -> Spread:
    """The spread of a measure of one row."""
    worst = square = variance = 0.0
    for source, values in measure.parts:
        times = float(np.hypot.reduce(values[0]))
        worst += times * source.limit * source.many
        square += (times * source.limit) ** 2 * source.many
        variance += (times * source.sigma) ** 2
    return Spread(worst, math.sqrt(square), math.sqrt(variance))


def spread_2d(measure: ErrorMap) -> Spread:
    """The spread of the distance that a point moves: in its worst direction.

    The greatest distance is that of the farthest corner of a zonotope: its support is sampled all
    round, and the corner found from the best direction by repeated projection.
    """
    lines, discs = _split(measure, lambda source: source.limit * source.many)
    support = np.abs(lines @ _DIRECTIONS).sum(axis=0)
    support += np.linalg.norm(np.swapaxes(discs, 1, 2) @ _DIRECTIONS, axis=1).sum(axis=0)
    best = _DIRECTIONS[:, int(np.argmax(support))]
    worst = float(support.max(initial=0.0))
    for _ in range(_STEPS):
        corner = np.where(lines @ best >= 0.0, 1.0, -1.0) @ lines
        along = np.swapaxes(discs, 1, 2) @ best
        far = np.linalg.norm(along, axis=1, keepdims=True)
        corner = corner + (discs @ (along / np.maximum(far, 1e-300))[:, :, None]).sum(axis=0)[:, 0]
        length = float(np.hypot(*corner))
        if length <= worst * (1.0 + 1e-12):
            break
        worst, best = length, corner / length
    return Spread(
        worst,
        _axis(measure, lambda source: source.limit * math.sqrt(source.many)),
        _axis(measure, lambda source: source.sigma),
    )


def ellipse(measure: ErrorMap) -> Floats:
    """The covariance of a point's two coordinates, mm2."""
    return _covariance(measure, lambda source: source.sigma)


def _split(measure: ErrorMap, size: Scale) -> tuple[Floats, Floats]:
    """The errors along lines (n x 2) and those over discs (m x 2 x 2), at their limits."""
    lines = [value[:, 0] * size(source) for source, value in measure.parts if source.size == 1]
    discs = [value * size(source) for source, value in measure.parts if source.size == 2]
    return np.array(lines).reshape(-1, 2), np.array(discs).reshape(-1, 2, 2)


def _covariance(measure: ErrorMap, size: Scale) -> Floats:
    total: Floats = np.zeros((2, 2))
    for source, value in measure.parts:
        total = total + value @ value.T * size(source) ** 2
    return total


def _axis(measure: ErrorMap, size: Scale) -> float:
    """The greatest semi-axis of the ellipse of errors."""
    (a, b), (_, d) = _covariance(measure, size)
    mean, half = (a + d) / 2.0, (a - d) / 2.0
    return math.sqrt(max(mean + math.hypot(half, b), 0.0))
