"""Which stacks of risers raise which parts, shared out among what the rack has left."""

from collections.abc import Mapping, Sequence
from itertools import islice, product

from msgspec import Struct

from gridjig.rack import Piece

EXACT = 0.05
"""How far a stack may be from the height, mm: half of the last digit shown."""
MOST_PIECES = 6
"""The most risers in one stack: a taller one kicks out."""
MOST_TRIED = 20_000
"""The most ways of sharing out that are tried: about 0.1 s."""

Counts = tuple[int, ...]


class WantedStacks(Struct, frozen=True):
    """How many stacks of one height a part needs."""

    part: str
    height: float
    points: int


class Shared(Struct, frozen=True):
    """The stacks for each want, as pieces; None if there are not enough, after `tried` ways.

    `all` is False if there were more ways than were tried.
    """

    stacks: tuple[tuple[str, ...], ...] | None
    tried: int
    all: bool = True


def stacks_of(risers: Sequence[Piece], left: Sequence[int], height: float) -> list[Counts]:
    """Every stack of risers that is that high, as counts of each kind, fewest pieces first."""
    found: list[Counts] = []
    most = [min(many, MOST_PIECES, int((height + EXACT) / p.thickness))
            for p, many in zip(risers, left, strict=True)]  # fmt: skip

    def grow(k: int, made: Counts, total: float) -> None:
        if sum(made, 0) > MOST_PIECES or total > height + EXACT:
            return
        if k == len(risers):
            if abs(total - height) <= EXACT and any(made):
                found.append(made)
            return
        for many in range(most[k], -1, -1):
            grow(k + 1, (*made, many), total + many * risers[k].thickness)

    grow(0, (), 0.0)
    return sorted(found, key=lambda made: (sum(made), made))


def nearest(risers: Sequence[Piece], left: Sequence[int], height: float) -> tuple[float, float]:
    """The nearest total heights below and above; 0 and infinity if there are none."""
    below, above = 0.0, float("inf")
    kinds = [range(min(many, MOST_PIECES) + 1) for many in left]
    for made in islice(product(*kinds), MOST_TRIED):
        if 0 < sum(made) <= MOST_PIECES:
            total = sum(n * p.thickness for n, p in zip(made, risers, strict=True))
            if total <= height:
                below = max(below, total)
            else:
                above = min(above, total)
    return below, above


def share_out(
    risers: Sequence[Piece], left: Mapping[str, int], wanted: Sequence[WantedStacks]
) -> Shared:
    """Find stacks for all that is wanted; every stack of one want is made alike."""
    kinds = sorted((p for p in risers if left.get(p.id, 0) > 0), key=lambda p: (-p.thickness, p.id))
    start = tuple(left[p.id] for p in kinds)
    every = [stacks_of(kinds, start, one.height) for one in wanted]
    order = sorted(range(len(wanted)), key=lambda k: (len(every[k]), -wanted[k].points))
    failed: set[tuple[int, Counts]] = set()
    tried = 0

    def search(at: int, rest: Counts) -> list[Counts] | None:
        nonlocal tried
        if at == len(order):
            return []
        if (at, rest) in failed or tried > MOST_TRIED:
            return None
        want = wanted[order[at]]
        for made in every[order[at]]:
            tried += 1
            after = tuple(r - m * want.points for r, m in zip(rest, made, strict=True))
            if min(after, default=0) < 0:
                continue
            found = search(at + 1, after)
            if found is not None:
                return [made, *found]
        failed.add((at, rest))
        return None

    found = search(0, start)
    if found is None:
        return Shared(None, tried, tried <= MOST_TRIED)
    by_want = dict(zip(order, found, strict=True))
    return Shared(
        tuple(
            tuple(p.id for p, many in zip(kinds, by_want[k], strict=True) for _ in range(many))
            for k in range(len(wanted))
        ),
        tried,
    )
