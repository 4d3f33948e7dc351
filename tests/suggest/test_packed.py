"""Twelve members with a hundred candidates each on a plate of holes, roomy and tight.

Each candidate is a body with a box over its holes; two go together unless they share a hole or
their boxes overlap, with or without a hole in common.
"""

import random
from collections.abc import Sequence

import numpy as np
import pytest
from msgspec import Struct

from gridjig.suggest.choosing import Option, Puzzle, allowed, choose, first_choice, least

MEMBERS, EACH = 12, 100


class Body(Struct, frozen=True):
    """A candidate: its box in pitches, the holes that it takes, and what it costs."""

    box: tuple[float, float, float, float]
    holes: frozenset[tuple[int, int]]
    cost: int


def bodies(seed: int, columns: int, rows: int) -> list[list[Body]]:
    chance = random.Random(seed)
    made = []
    for _ in range(MEMBERS):
        some = []
        for _ in range(EACH):
            wide, deep = chance.randint(1, 4), chance.randint(1, 3)
            x, y = chance.randrange(columns - wide + 1), chance.randrange(rows - deep + 1)
            over = chance.choice((0.3, 0.45, 0.7))  # some reach beyond the middle between holes
            box = (x - over, y - over, x + wide - 1 + over, y + deep - 1 + over)
            ends = frozenset({(x, y), (x + wide - 1, y + deep - 1)})
            some.append(Body(box, ends, chance.randrange(100, 300)))
        made.append(some)
    return made


def apart(one: Body, other: Body) -> bool:
    (a0, b0, a1, b1), (c0, d0, c1, d1) = one.box, other.box
    meet = a0 < c1 and c0 < a1 and b0 < d1 and d0 < b1
    return meet or bool(one.holes & other.holes)


def puzzle_of(made: Sequence[Sequence[Body]]) -> tuple[Puzzle, list[Body]]:
    flat = [body for some in made for body in some]
    low, high = np.array([b.box[:2] for b in flat]), np.array([b.box[2:] for b in flat])
    meets = np.all((low[:, None] < high[None]) & (low[None] < high[:, None]), axis=2)
    taking: dict[tuple[int, int], list[int]] = {}
    for k, body in enumerate(flat):
        for hole in body.holes:
            taking.setdefault(hole, []).append(k)
    for some in taking.values():
        meets[np.ix_(some, some)] = True
    np.fill_diagonal(meets, False)
    rows = {k: frozenset(map(int, np.flatnonzero(meets[k]))) for k in range(len(flat))}
    groups = tuple(
        tuple(Option(float(body.cost), frozenset((m * EACH + k,))) for k, body in enumerate(some))
        for m, some in enumerate(made)
    )
    return Puzzle(groups, rows), flat


def branch_and_bound(made: Sequence[Sequence[Body]]) -> int | None:
    """The least cost, member by member: a branch ends where the cheapest candidates that are left
    to the others cost as much as the best so far.  It looks at the bodies, not at the puzzle.
    """
    best: list[int] = []

    def down(cost: int, left: list[list[Body]]) -> None:
        if not left:
            best[:] = [cost]
            return
        if any(not some for some in left):
            return
        if best and cost + sum(some[0].cost for some in left) >= best[0]:
            return
        first = min(left, key=len)
        rest = [some for some in left if some is not first]
        for body in first:
            if best and cost + body.cost + sum(some[0].cost for some in rest) >= best[0]:
                return
            down(cost + body.cost, [[b for b in some if not apart(body, b)] for some in rest])

    down(0, [sorted(some, key=lambda body: body.cost) for some in made])
    return best[0] if best else None


@pytest.mark.untraced
@pytest.mark.source("method", "branch and bound over the bodies, written for the test")
@pytest.mark.parametrize(
    ("seed", "columns", "rows"),
    [(0, 48, 24), (1, 48, 24), (2, 48, 24), (0, 24, 12), (1, 24, 12), (2, 24, 12)],
)
def test_the_optimum_of_a_packing(seed: int, columns: int, rows: int) -> None:
    made = bodies(seed, columns, rows)
    asked, flat = puzzle_of(made)
    wanted = branch_and_bound(made)
    found = choose(asked, seconds=100.0, starts=24)
    assert wanted is not None
    assert found is not None
    assert found.proven
    assert found.cost == wanted == found.bound
    picked = [flat[m * EACH + k] for m, k in enumerate(found.chosen)]
    assert not any(apart(a, b) for n, a in enumerate(picked) for b in picked[:n])
    assert least(asked) <= wanted


def test_a_hole_in_common_is_enough_to_exclude() -> None:
    """What touches nowhere but wants one hole does not go together: an overlap is not all."""
    thin = [
        [Body((0.0, 0.0, 0.2, 0.2), frozenset({(0, 0)}), 10), *_far(1)],
        [Body((0.3, 0.3, 0.5, 0.5), frozenset({(0, 0)}), 10), *_far(2)],
    ]
    flat = [body for some in thin for body in some]
    rows = {
        i: frozenset(j for j, b in enumerate(flat) if j != i and apart(a, b))
        for i, a in enumerate(flat)
    }
    groups = tuple(
        tuple(Option(float(b.cost), frozenset((flat.index(b),))) for b in some) for some in thin
    )
    asked = Puzzle(groups, rows)
    first, found = first_choice(asked, 0, 2), choose(asked)
    assert first is not None
    assert allowed(asked, first)
    assert not allowed(asked, (0, 0))
    assert found is not None
    assert found.cost == 30.0


def _far(n: int) -> list[Body]:
    return [Body((10.0 * n, 0.0, 10.0 * n + 1.0, 1.0), frozenset({(10 * n, 0)}), 20)]
