"""Form closure: three methods against each other, against a library and against brute force."""

import random
from collections import Counter

import numpy as np
import pytest
import shapely
import shapely.affinity
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog  # type: ignore[import-untyped]

from gridjig.proof.statics.closure import _opens, closed, closed_by_minors, margin
from gridjig.proof.statics.rank import rank_of
from gridjig.proof.statics.rows import BodyFrame, Push
from tests.proof.statics.shapes import (
    BLOCK,
    CLAMP,
    DOWN,
    LEFT,
    PINS,
    RECTANGLE,
    RIGHT,
    UP,
    at_random,
    inward,
    rows_at_random,
)


def pinwheel(low: float, high: float) -> list[Push]:
    """Four pins on a square of 100, the two at its sides at these heights."""
    return [
        Push((25.0, 0.0), UP),
        Push((75.0, 100.0), DOWN),
        Push((0.0, low), RIGHT),
        Push((100.0, high), LEFT),
    ]


@pytest.mark.source("method", "torques about the centre by hand: all alike, or two against two")
def test_a_pinwheel_holds_only_if_its_torques_oppose() -> None:
    frame = BodyFrame((0.0, 0.0), 100.0)
    same, opposed = frame.rows(pinwheel(75.0, 25.0)), frame.rows(pinwheel(25.0, 75.0))
    centre = BodyFrame((50.0, 50.0), 1.0)
    assert centre.rows(pinwheel(75.0, 25.0))[:, 2] == pytest.approx((-25, -25, -25, -25))
    assert centre.rows(pinwheel(25.0, 75.0))[:, 2] == pytest.approx((-25, -25, 25, 25))
    assert not closed(same)
    assert closed(opposed)
    assert margin(opposed) == pytest.approx(0.25)
    assert (closed_by_minors(same), closed_by_minors(opposed)) == (False, True)


@pytest.mark.source(
    "method", "equal weights of 1/4 balance the four middles, but they hold no angle"
)
def test_four_middles_have_a_margin_but_no_rank() -> None:
    rows = BodyFrame((0.0, 0.0), 100.0).rows(
        [Push((50, 0), UP), Push((50, 100), DOWN), Push((0, 50), RIGHT), Push((100, 50), LEFT)]
    )
    assert margin(rows) == pytest.approx(0.25)
    assert rank_of(rows).held == 2
    assert not closed(rows)


@pytest.mark.source("method", "weights of three pins and a clamp at 45 degrees, by hand")
def test_a_rectangle_with_its_clamp_is_closed() -> None:
    rows = BLOCK.rows((*PINS, CLAMP))
    assert closed(rows)
    assert closed_by_minors(rows)
    # 0.5, 0.5 and sqrt(0.5)·sqrt(2) to a clamp of sqrt(2): weights 1 : 1 : 2 : 2 sqrt 2.
    assert margin(rows) == pytest.approx(1.0 / (4.0 + 2.0 * 2.0**0.5))
    assert margin(rows) == pytest.approx(0.146447, abs=1e-6)


def margin_by_library(rows: np.ndarray) -> float:
    """The greatest d with k >= d, sum k = 1, k.rows = 0, by another solver."""
    n = len(rows)
    found = linprog(
        [0.0] * n + [-1.0],
        A_ub=np.hstack((-np.eye(n), np.ones((n, 1)))),
        b_ub=np.zeros(n),
        A_eq=np.vstack((np.hstack((rows.T, np.zeros((3, 1)))), [1.0] * n + [0.0])),
        b_eq=[0.0, 0.0, 0.0, 1.0],
        bounds=[(None, None)] * (n + 1),
    )
    return float(-found.fun) if found.status == 0 else -np.inf


@pytest.mark.source("library", "scipy 1.17", "linprog: the same linear programme by another solver")
@given(st.integers(0, 10**6), st.integers(4, 9))
def test_the_methods_agree(seed: int, count: int) -> None:
    rows = rows_at_random(seed, count)
    reference = margin_by_library(rows)
    assert margin(rows) == pytest.approx(reference, abs=1e-7)
    if abs(reference) < 1e-6:
        return  # on the border, where rounding decides
    assert closed(rows) == (reference > 0.0)
    assert _opens(rows) == (reference <= 0.0)
    if count == 4:
        assert closed_by_minors(rows) == (reference > 0.0)


@pytest.mark.source("library", "scipy 1.17", "linprog: the same linear programme by another solver")
def test_many_contacts_are_asked_by_their_margin() -> None:
    rng = random.Random(4)
    seen = set()
    for _ in range(6):
        pushes = at_random(rng, 30)
        if rng.random() < 0.5:
            pushes = [Push(p.at, (p.way[0], abs(p.way[1]))) for p in pushes]
        rows = BodyFrame((0.0, 0.0), 60.0).rows(pushes)
        seen.add(closed(rows))
        assert closed(rows) == (margin_by_library(rows) > 1e-9)
    assert seen == {True, False}


@pytest.mark.source(
    "method", "Wendel 1962, counted: 1/8, 5/16, 1/2 of random sets of 4, 5, 6 close"
)
def test_as_many_random_sets_close_as_chance_has_it() -> None:
    rng = np.random.default_rng(11)
    for count, chance in ((4, 1 / 8), (5, 5 / 16), (6, 1 / 2)):
        tries = 400
        found = sum(closed(rows) for rows in rng.normal(size=(tries, count, 3)))
        spread = (chance * (1.0 - chance) / tries) ** 0.5
        assert abs(found / tries - chance) < 4.0 * spread


@pytest.mark.source("library", "shapely 2", "a polygon moved a little between round pins")
@pytest.mark.untraced
def test_rows_tell_which_small_motions_run_into_a_pin() -> None:
    """What opens every gap is free of the pins, what closes one overlaps it; what is closed has no
    motion of the first kind.
    """
    rng = random.Random(3)
    counted: Counter[str] = Counter()
    for _ in range(30):
        pushes, pins = [], []
        for _ in range(rng.choice((3, 4, 5))):
            k, share = rng.randrange(4), rng.uniform(0.05, 0.95)
            a, b = RECTANGLE[k], RECTANGLE[(k + 1) % 4]
            at = (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
            way = inward(a, b)
            pushes.append(Push(at, way))
            pins.append(shapely.Point(at[0] - 8.0 * way[0], at[1] - 8.0 * way[1]))
        rows = BLOCK.rows(pushes)
        free = False
        for _ in range(40):
            motion = np.array([rng.gauss(0, 1) for _ in range(3)])
            motion /= np.linalg.norm(motion)
            opening = float((rows @ motion).min())
            if abs(opening) < 0.05:
                continue
            moved = shapely.affinity.rotate(
                shapely.Polygon(RECTANGLE),
                0.05 * motion[2] / BLOCK.radius,
                origin=BLOCK.centre,
                use_radians=True,
            )
            moved = shapely.affinity.translate(moved, 0.05 * motion[0], 0.05 * motion[1])
            clear = min(moved.distance(pin) for pin in pins) >= 8.0
            assert clear == (opening > 0.0)
            free = free or clear
            counted["clear" if clear else "overlaps"] += 1
        counted["closed" if closed(rows) else "open"] += 1
        assert not (free and closed(rows))
    assert min(counted[k] for k in ("clear", "overlaps", "closed", "open")) >= 2
