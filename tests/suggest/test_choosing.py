"""One option of each group at the least cost: against brute force, another solver, and by rule."""

import itertools
import random
import time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import structs
from scipy.optimize import Bounds, LinearConstraint, milp  # type: ignore[import-untyped]

from gridjig.suggest.choosing import (
    Barred,
    BestChoice,
    Option,
    Puzzle,
    allowed,
    choose,
    cost_of,
    first_choice,
    least,
    options_apart,
)
from gridjig.units.progress import Cancelled, Progress


def puzzle(seed: int, groups: int, options: int, holes: int, stock: int = 99) -> Puzzle:
    """Options with one atom each, in holes: those in one hole, and some others, go not together."""
    chance = random.Random(seed)
    made: list[tuple[Option, ...]] = []
    places: list[int] = []
    for _ in range(groups):
        some = []
        for _ in range(options):
            atom = len(places)
            places.append(chance.randrange(holes))
            takes = {chance.choice("ab"): 1}
            some.append(Option(float(chance.randrange(10, 300)), frozenset((atom,)), takes))
        made.append(tuple(some))
    apart = {
        i: frozenset(
            j for j in range(len(places)) if j != i and abs(places[i] - places[j]) <= (i + j) % 2
        )
        for i in range(len(places))
    }
    return Puzzle(tuple(made), apart, {"a": stock, "b": stock})


def brute(asked: Puzzle) -> float | None:
    """The least cost of all choices that can be had."""
    every = itertools.product(*(range(len(group)) for group in asked.groups))
    return min((cost_of(asked, one) for one in every if allowed(asked, one)), default=None)


@pytest.mark.source("method", "brute force over every choice")
@settings(max_examples=12)
@given(
    st.integers(0, 10**6), st.integers(1, 4), st.integers(1, 5), st.integers(2, 9),
    st.integers(1, 4),
)  # fmt: skip
def test_it_is_the_cheapest_of_all(
    seed: int, groups: int, options: int, holes: int, stock: int
) -> None:
    asked = puzzle(seed, groups, options, holes, stock)
    found, wanted = choose(asked, starts=2), brute(asked)
    assert (None if found is None else found.cost) == wanted
    if found is not None:
        assert found.proven
        assert found.bound == found.cost
        assert allowed(asked, found.chosen)


@pytest.mark.source("method", "brute force over every choice, with what is barred")
@settings(max_examples=8)
@given(st.integers(0, 10**6), st.integers(0, 2))
def test_what_is_barred_is_not_chosen(seed: int, most: int) -> None:
    asked = puzzle(seed, 3, 4, 30)
    kinds = tuple(
        frozenset(atom for option in group[:2] for atom in option.atoms) for group in asked.groups
    )
    barred = Puzzle(asked.groups, asked.apart, asked.stock, (Barred(kinds, most),))
    found = choose(barred, starts=2)
    assert (None if found is None else found.cost) == brute(barred)
    assert found is None or sum(k < 2 for k in found.chosen) <= most


def needing(seed: int, groups: int, options: int) -> Puzzle:
    """A puzzle of which some options are free but need what another group may bring."""
    asked, chance = puzzle(seed, groups, options, 25, 3), random.Random(seed + 1)
    made = []
    for g, group in enumerate(asked.groups):
        others = [o for h, other in enumerate(asked.groups) if h != g for o in other]
        some = [
            Option(float(chance.randrange(20)), needs=chance.choice(others).atoms) for _ in range(2)
        ]
        made.append((*group, *some))
    return structs.replace(asked, groups=tuple(made))


@pytest.mark.source("method", "brute force over every choice, with what options need")
@settings(max_examples=12)
@given(st.integers(0, 10**6), st.integers(2, 4), st.integers(1, 4))
def test_what_an_option_needs_is_there(seed: int, groups: int, options: int) -> None:
    asked = needing(seed, groups, options)
    found, wanted = choose(asked, starts=4), brute(asked)
    assert (None if found is None else found.cost) == wanted
    first = first_choice(asked, seed, 6)
    assert first is None or allowed(asked, first)
    if found is not None:
        assert found.proven
        picked = [group[k] for group, k in zip(asked.groups, found.chosen, strict=True)]
        there = {atom for option in picked for atom in option.atoms}
        assert all(option.needs <= there for option in picked)


@pytest.mark.source("method", "brute force over every choice")
@settings(max_examples=12)
@given(st.integers(0, 10**6), st.integers(2, 4), st.integers(1, 4))
def test_no_choice_costs_less_than_what_is_said_to_be_least(
    seed: int, groups: int, options: int
) -> None:
    asked = needing(seed, groups, options)
    wanted = brute(asked)
    floor, plain = least(asked), sum(min(o.cost for o in group) for group in asked.groups)
    assert wanted is None or floor <= wanted + 1e-9
    assert floor >= plain - 1e-9  # what is paid for what is needed only raises it


def test_the_least_counts_what_a_free_option_needs() -> None:
    square, stop = Option(16.0, frozenset((0,))), Option(10.0, frozenset((1,)))
    end, also = Option(10.0, frozenset((2,))), Option(0.0, needs=frozenset((0,)))
    assert least(Puzzle(((square, stop), (end, also)))) == 16.0
    pair = Option(16.0, frozenset((0, 3)))
    other = Option(0.0, needs=frozenset((3,)))
    assert least(Puzzle(((pair, stop), (end, also), (end, other)))) == 16.0


def test_a_piece_that_does_two_things_is_chosen_though_it_costs_more() -> None:
    square, stop = Option(12.0, frozenset((0,))), Option(10.0, frozenset((1,)))
    end, also = Option(10.0, frozenset((2,))), Option(0.0, needs=frozenset((0,)))
    found = choose(Puzzle(((square, stop), (end, also))))
    assert found is not None
    assert (found.chosen, found.cost) == ((0, 1), 12.0)
    alone = choose(Puzzle(((stop,), (also,))))
    assert alone is None


@pytest.mark.source("library", "scipy 1.17", "milp on the same rows")
@pytest.mark.parametrize("seed", range(3))
def test_another_solver_finds_the_same_optimum(seed: int) -> None:
    """Eight members with sixteen candidates each on a crowded grid."""
    asked = puzzle(seed, 8, 16, 30)
    found = choose(asked, starts=24)
    assert found is not None
    assert found.proven
    flat = [(g, option) for g, group in enumerate(asked.groups) for option in group]
    rows, low, high = [], [], []
    for g in range(8):
        rows.append([1.0 if h == g else 0.0 for h, _ in flat])
        low.append(1.0)
        high.append(1.0)
    for i, j in itertools.combinations(range(len(flat)), 2):
        if flat[i][0] != flat[j][0] and options_apart(asked, flat[i][1], flat[j][1]):
            row = [0.0] * len(flat)
            row[i] = row[j] = 1.0
            rows.append(row)
            low.append(0.0)
            high.append(1.0)
    other = milp(
        [option.cost for _, option in flat],
        constraints=LinearConstraint(np.array(rows), low, high),
        bounds=Bounds(0, 1),
        integrality=np.ones(len(flat)),
    )
    assert found.cost == pytest.approx(other.fun)


def test_the_first_choice_can_be_had_and_is_no_better_than_the_best() -> None:
    asked = puzzle(5, 6, 12, 20)
    first = first_choice(asked, 0, 12)
    best = choose(asked)
    assert first is not None
    assert best is not None
    assert allowed(asked, first)
    assert least(asked) <= best.cost <= cost_of(asked, first)


def test_the_first_one_is_told_at_once() -> None:
    told: list[BestChoice] = []
    best = choose(puzzle(7, 6, 12, 24), told=told.append)
    assert best is not None
    assert len(told) == 1
    assert told[0].cost >= best.cost


def test_the_same_seed_gives_the_same_choice() -> None:
    asked = puzzle(11, 6, 12, 24)
    one, other = choose(asked, 3), choose(asked, 3)
    assert one is not None
    assert other is not None
    assert one.chosen == other.chosen


def test_where_nothing_goes_together_there_is_none() -> None:
    one, other = Option(1.0, frozenset((0,))), Option(1.0, frozenset((1,)))
    apart = {0: frozenset((1,)), 1: frozenset((0,))}
    assert choose(Puzzle(((one,), (other,)), apart)) is None
    assert choose(Puzzle(((one,), ()))) is None
    assert choose(Puzzle(((Option(1.0, frozenset((0,)), {"a": 2}),),), {}, {"a": 1})) is None


def test_cancelling_stops_it_within_a_fifth_of_a_second() -> None:
    """Cancelled as soon as there is a first choice, while the exact one is looked for."""
    told: list[float] = []
    with pytest.raises(Cancelled):
        choose(
            puzzle(1, 16, 40, 48),
            progress=Progress(is_cancelled=lambda: bool(told)),
            told=lambda _: told.append(time.monotonic()),
        )
    assert time.monotonic() - told[0] < 1.0  # on a machine that is busy with other tests


def test_it_prints_nothing(capfd: pytest.CaptureFixture[str]) -> None:
    assert choose(puzzle(7, 6, 12, 24)) is not None
    assert capfd.readouterr() == ("", "")
