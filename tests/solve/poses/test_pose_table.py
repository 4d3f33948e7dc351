"""Pose tables compared with the scalar solver at every offset, and which features they use."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gridjig.model import Hole, Seat
from gridjig.rack import ArcSlot, MountFeature, Shank
from gridjig.solve.mounting.mount import mount
from gridjig.solve.poses.pose_table import first_feature, pair_poses, partners, poses
from tests.solve.grid_kit import PIN, grid, hole, piece, slot

PAIRS: tuple[tuple[MountFeature, MountFeature], ...] = (
    (hole("a", 3, -4), hole("b", 253, -4)),
    (hole("a", 3, -4), slot("b", 100, 10, 300, 10)),
    (hole("a", 0, 0), slot("b", -80, 0, 120, 0)),
    (slot("a", 100, 10, 300, 10), hole("b", 3, -4)),
    (hole("a", 0, 0), ArcSlot(id="b", centre=(0, 0), radius=250, start=10, end=100, width=PIN)),
    (hole("a", 0, 0), ArcSlot(id="b", centre=(0, 0), radius=100, start=0, end=360, width=PIN)),
    (hole("a", 0, 0), ArcSlot(id="b", centre=(50, 9), radius=150, start=-90, end=80, width=PIN)),
    (slot("a", 0, 0, 200, 0), slot("b", 20, 60, 180, 60)),
    (slot("a", 0, 0, 200, 0), slot("b", 0, 60, 0, 200)),
)


@pytest.mark.source("method", "brute force: every offset asked of the scalar solver one by one")
@pytest.mark.parametrize("flipped", [False, True])
@pytest.mark.parametrize("play", [0.0, 0.3])
@pytest.mark.parametrize("pair", PAIRS)
def test_the_table_says_what_the_solver_says(
    pair: tuple[MountFeature, MountFeature], play: float, flipped: bool
) -> None:
    table = grid(columns=8, rows=8, hole=PIN + play)
    wide = grid(columns=15, rows=15, hole=PIN + play)
    thing = piece(*pair)
    found = pair_poses(table, *pair, PIN, flipped)
    rows: dict[tuple[int, int], list[tuple[float, ...]]] = {}
    for k in range(len(found)):
        here = (int(found.dx[k]), int(found.dy[k]))
        rows.setdefault(here, []).append((float(found.turn[k]), float(found.play_deg[k])))
    offsets = [(dx, dy) for dx in range(-7, 8) for dy in range(-7, 8) if (dx, dy) != (0, 0)]
    assert len(offsets) == 15 * 15 - 1
    for dx, dy in offsets:
        placed = (
            Seat(feature="a", hole=Hole(7, 7)),
            Seat(feature="b", hole=Hole(7 + dx, 7 + dy)),
        )
        ways = mount(wide, thing, placed, PIN, flipped).ways
        mine = sorted(rows.get((dx, dy), []))
        assert len(mine) == len(ways)
        if not found.linked:
            theirs = sorted((w.turn_low, w.play_deg) for w in ways)
            for m, t in zip(mine, theirs, strict=True):
                assert m == pytest.approx(t, abs=1e-9)


def test_rows_lie_by_turn_and_places_are_counted() -> None:
    (found,) = poses(grid(columns=9, rows=7), piece(hole("a", 0, 0), hole("b", 250, 0)), PIN, False)
    assert list(found.turn) == sorted(found.turn)
    assert int(found.places().sum()) == 2 * (4 * 7 + 9 * 2) + 4 * 5 * 4 + 4 * 6 * 3


def test_each_way_up_and_each_partner_has_its_table() -> None:
    square = piece(hole("o", 0, 0), hole("x", 100, 0), hole("y", 0, 100))
    found = poses(grid(), square, PIN)
    assert [(t.first, t.second, t.flipped) for t in found] == [
        ("o", "x", False),
        ("o", "y", False),
        ("o", "x", True),
        ("o", "y", True),
    ]
    stiff = piece(hole("o", 0, 0), hole("x", 100, 0), flips=False)
    assert [t.flipped for t in poses(grid(), stiff, PIN)] == [False]


def test_pins_that_do_not_go_in_give_no_rows() -> None:
    (found,) = poses(grid(), piece(hole("a", 0, 0), hole("b", 50, 0)), 17.0, False)
    assert len(found) == 0
    assert poses(grid(), piece(), PIN) == ()


def test_which_feature_is_first_and_which_are_partners() -> None:
    a, b = slot("a", 0, 0, 50, 0), hole("b", 90, 0)
    shank = Shank(id="c", at=(0, 0), diameter=PIN)
    other = Shank(id="d", at=(50, 0), diameter=PIN)
    assert first_feature(piece(a, b)) is b
    assert first_feature(piece(a, b, shank)) is shank
    assert partners(piece(a, b, shank), shank) == (a, b)
    assert partners(piece(a, b, shank, other), shank) == (other,)
    assert partners(piece(a), a) == (a,)
    assert partners(piece(b), b) == ()
    assert first_feature(piece()) is None


@settings(max_examples=40)
@given(
    st.floats(40, 400),
    st.floats(-60, 60),
    st.floats(0, 200),
    st.floats(1, 300),
    st.booleans(),
)
def test_every_row_puts_the_pin_in_the_slot(
    length: float, x: float, start: float, off: float, flipped: bool
) -> None:
    a, b = hole("a", x, 0), slot("b", start, off, start + length, off)
    found = pair_poses(grid(), a, b, PIN, flipped)
    m = -1.0 if flipped else 1.0
    turn = np.radians(found.turn)
    lx = start + found.slide - x
    ly = np.full(len(found), off * m)
    px, py = np.cos(turn) * lx - np.sin(turn) * ly, np.sin(turn) * lx + np.cos(turn) * ly
    assert np.allclose(np.hypot(px - found.dx * 50, py - found.dy * 50), 0, atol=2e-6)
    assert math.isfinite(float(found.play_deg.sum()))
