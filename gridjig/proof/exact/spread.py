"""How the errors of many sources add up in one measure: worst case, root-sum-square, sigma.

A body's small motion is q = (dx, dy, omega), mm and radians; a point p of it moves by
(dx - omega py, dy + omega px).  A source is an error along a line, uniform between its limits, or
one in the plane, uniform over a disc.  Everything is linear: good to 0.2 % for errors of 0.1 mm.
"""

import math
from collections.abc import Iterable, Sequence
from functools import cached_property
from typing import NamedTuple

import numpy as np

from gridjig.contact.sides import Whole
from gridjig.proof.statics.rows import Floats
from gridjig.rack import Point

from .values import Spread

_HALF_ROUND = 18
"""How many directions are tried over half a turn; errors reach as far the opposite way."""
_STEPS = 8
_DIRECTIONS = np.array(
    [
        (math.cos(k * math.pi / _HALF_ROUND), math.sin(k * math.pi / _HALF_ROUND))
        for k in range(_HALF_ROUND)
    ]
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
        """One standard deviation along any line."""
        return float(Sources((self,)).sigmas[0])


class Sources:
    """Sources in a row, each with as many columns as its size: the columns of maps of errors."""

    def __init__(self, items: Iterable[ErrorSource]) -> None:
        self.items = tuple(items)
        self.at: dict[ErrorSource, int] = {}
        width = 0
        for source in self.items:
            self.at[source] = width
            width += source.size
        self.width = width

    @cached_property
    def _first(self) -> Whole:
        return np.array([self.at[source] for source in self.items], dtype=np.int64)

    @cached_property
    def _second(self) -> Whole:
        """The second column of each; of a line one past the last, which is always 0."""
        return np.array(
            [self.at[source] + 1 if source.size == 2 else self.width for source in self.items],
            dtype=np.int64,
        )

    @cached_property
    def _figures(self) -> Floats:
        """The size, the limit and the number of each, as three rows."""
        figures = [(source.size, source.limit, source.many) for source in self.items]
        return np.array(figures, dtype=np.float64).reshape(-1, 3).T

    @cached_property
    def worst(self) -> Floats:
        """The limit of each, all of its equal errors in one direction."""
        _, limit, many = self._figures
        worst: Floats = limit * many
        return worst

    @cached_property
    def limits(self) -> Floats:
        """The root-sum-square of the limits of each."""
        _, limit, many = self._figures
        limits: Floats = limit * np.sqrt(many)
        return limits

    @cached_property
    def sigmas(self) -> Floats:
        """One standard deviation of each along any line: a disc R has R/2, +- e has e/sqrt(3)."""
        size, limit, many = self._figures
        one = np.where(size == 2, limit / 2.0, limit / math.sqrt(3.0))
        sigmas: Floats = one * np.sqrt(many)
        return sigmas

    def by_source(self, values: Floats) -> Floats:
        """Rows of values (n x width) as pairs (n x sources x 2); a line has 0 for its second."""
        padded = np.concatenate((values, np.zeros((len(values), 1))), axis=1)
        return np.stack((padded[:, self._first], padded[:, self._second]), axis=2)

    def places(self, within: "Sources") -> Whole:
        """Where the columns of these sources are among those of others that have them all."""
        return np.array(
            [within.at[source] + k for source in self.items for k in range(source.size)],
            dtype=np.int64,
        )


def together(every: Iterable[Sources]) -> Sources:
    """All sources of several, each once."""
    return Sources(dict.fromkeys(source for some in every for source in some.items))


class Effects(NamedTuple):
    """What each source does to a body: 3 x width."""

    sources: Sources
    columns: Floats


class ErrorMap(NamedTuple):
    """One or two measures that follow from sources: n x width."""

    sources: Sources
    values: Floats


UNMOVED = Effects(Sources(()), np.zeros((3, 0)))


def at_point(effects: Effects, p: Point) -> ErrorMap:
    """How far a point of a body moves along x and along y."""
    x, y = p
    moved = np.array([[1.0, 0.0, -y], [0.0, 1.0, x]])
    return ErrorMap(effects.sources, moved @ effects.columns)


def row(p: Point, along: Point) -> Floats:
    """The row that gives how far a point moves along a unit vector."""
    return np.array([along[0], along[1], p[0] * along[1] - p[1] * along[0]])


def between(*terms: tuple[Effects, Floats]) -> ErrorMap:
    """The sum of a row applied to each body; a source that moves several counts once."""
    return total(ErrorMap(e.sources, (one @ e.columns)[None, :]) for e, one in terms)


def total(maps: Iterable[ErrorMap]) -> ErrorMap:
    """The sum of several maps of one row; a source in several counts once."""
    every = list(maps)
    if len(every) == 1:
        return every[0]
    sources = together(one.sources for one in every)
    values = np.zeros((1, sources.width))
    for one in every:
        values[:, one.sources.places(sources)] += one.values
    return ErrorMap(sources, values)


def spread(measure: ErrorMap) -> Spread:
    """The spread of a measure of one row."""
    sources = measure.sources
    if not sources.items:
        return Spread(0.0, 0.0, 0.0)
    times = np.hypot.reduce(sources.by_source(measure.values)[0], axis=1)
    return Spread(
        float(times @ sources.worst),
        float(np.linalg.norm(times * sources.limits)),
        float(np.linalg.norm(times * sources.sigmas)),
    )


def farthest(effects: Effects, points: Sequence[Point]) -> tuple[int, Spread]:
    """Which of some points of a body can be furthest out, and the spread of how far it moves.

    The greatest distance is that of the farthest corner of a zonotope: its support is sampled all
    round, and the corner found from the best direction by repeated projection.
    """
    sources = effects.sources
    if not sources.items:
        return 0, Spread(0.0, 0.0, 0.0)
    pairs = _pairs(effects, points)
    limits = pairs * sources.worst[:, None, None]
    shape = (*limits.shape[:2], -1)
    along_first = (limits[..., 0].reshape(-1, 2) @ _DIRECTIONS).reshape(shape)
    along_second = (limits[..., 1].reshape(-1, 2) @ _DIRECTIONS).reshape(shape)
    reach = np.sqrt(along_first**2 + along_second**2).sum(axis=1)
    # Of points that are equally far but for the last digit, always the first.
    which, turn = (int(k) for k in np.unravel_index(np.argmax(reach.round(9)), reach.shape))
    best, worst = _DIRECTIONS[:, turn], float(reach[which, turn])
    for _ in range(_STEPS):
        along = np.swapaxes(limits[which], 1, 2) @ best
        far = np.maximum(np.linalg.norm(along, axis=1, keepdims=True), 1e-300)
        corner = (limits[which] @ (along / far)[:, :, None]).sum(axis=0)[:, 0]
        length = float(np.hypot(*corner))
        if length <= worst * (1.0 + 1e-12):
            break
        worst, best = length, corner / length
    one = pairs[which]
    return which, Spread(worst, _axis(one, sources.limits), _axis(one, sources.sigmas))


def _pairs(effects: Effects, points: Sequence[Point]) -> Floats:
    """Each source as a map of a unit disc or line to a point: points x sources x (x, y) x 2."""
    values = np.concatenate([at_point(effects, p).values for p in points])
    pairs = effects.sources.by_source(values)
    return np.swapaxes(pairs.reshape(len(points), 2, -1, 2), 1, 2)


def spread_2d(effects: Effects, p: Point) -> Spread:
    """The spread of the distance that a point moves, in its worst direction."""
    return farthest(effects, [p])[1]


def ellipse(effects: Effects, p: Point) -> Floats:
    """The covariance of a point's two coordinates, mm2."""
    return _covariance(_pairs(effects, [p])[0], effects.sources.sigmas)


def _covariance(pairs: Floats, sizes: Floats) -> Floats:
    sized = pairs * sizes[:, None, None]
    covariance: Floats = (sized @ np.swapaxes(sized, 1, 2)).sum(axis=0)
    return covariance


def _axis(pairs: Floats, sizes: Floats) -> float:
    """The greatest semi-axis of the ellipse of errors."""
    (a, b), (_, d) = _covariance(pairs, sizes)
    mean, half = (a + d) / 2.0, (a - d) / 2.0
    return math.sqrt(max(mean + math.hypot(half, b), 0.0))
