"""Random set-ups: how a measure comes out if every error falls where it likes within its limits."""

import math

import numpy as np
import numpy.typing as npt

from gridjig.units.progress import SILENT, Progress

from .spread import ErrorMap
from .values import Sampled

Singles = npt.NDArray[np.float32]
"""Seven digits are plenty for random errors, and twice as fast."""

COUNT = 200_000
"""Samples: the share outside is then known to about 0.1 %."""

_AT_ONCE = 20_000
_SEED = 20_000


def sampled(
    measure: ErrorMap, limit: float, progress: Progress = SILENT, count: int = COUNT
) -> Sampled:
    """Try that many set-ups; the same measure gives the same answer.

    A measure of one row is a length; one of two rows is how far a point is out.  Raises Cancelled
    through `progress`.
    """
    random = np.random.default_rng(_SEED)
    rows, sources = len(measure.values), measure.sources
    values = measure.values.astype(np.float32)
    off: list[Singles] = []
    spoiled = 0.0
    for done in range(0, count, _AT_ONCE):
        progress.report(done, count, "Trying set-ups")
        many = min(_AT_ONCE, count - done)
        total = np.zeros((rows, many), dtype=np.float32)
        for source, at in sources.at.items():
            columns = values[:, at : at + source.size]
            if columns.any():
                for _ in range(source.many):
                    total += columns @ _errors(random, source.size, source.limit, many)
        far = np.abs(total[0]) if rows == 1 else np.hypot(total[0], total[1])
        spoiled += float(np.square(total[0], dtype=np.float64).sum())
        off.append(far)
    progress.report(count, count, "Trying set-ups")
    every = np.sort(np.concatenate(off)).astype(np.float64)
    half, most, nearly = (float(every[min(int(share * count), count - 1)]) for share in _SHARES)
    return Sampled(
        count,
        math.sqrt(spoiled / count),
        half,
        most,
        nearly,
        float(every[-1]),
        float((every > limit).mean()),
        int((every > limit).sum()),
    )


_SHARES = (0.5, 0.95, 0.997)


def _errors(random: np.random.Generator, size: int, limit: float, many: int) -> Singles:
    """Errors of one source: uniform on a line, or over a disc."""
    if size == 1:
        return limit * (random.random((1, many), dtype=np.float32) * 2.0 - 1.0)
    far = limit * np.sqrt(random.random(many, dtype=np.float32))
    turn = math.tau * random.random(many, dtype=np.float32)
    return np.stack((far * np.cos(turn), far * np.sin(turn)))
