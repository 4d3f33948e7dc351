"""How pins with different play share a gap, and the exact ends of a linked range."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gridjig.geometry import Pose
from gridjig.model import Hole, HoleMark
from gridjig.rack import ArcSlot, Piece, Shank
from gridjig.solve.mounting.mount import mount
from gridjig.solve.mounting.ways import Way
from tests.solve.grid_kit import PIN, grid, hole, mounted, piece, seats, slot


def misses(way: Way, thing: Piece, off: dict[str, tuple[float, float]]) -> list[float]:
    """The distance of each pin's hole from its feature's point, in the way's own pose."""
    pose: Pose = way.pose(0, 0)
    table = grid()
    return [math.dist(pose.point(off[s.feature]), table.at(s.hole)) for s in way.seats]


@pytest.mark.source("method", "definition: a pin fits within its own play and no more")
@given(
    st.floats(0.0, 0.8),
    st.floats(0.0, 0.8),
    st.floats(-1.0, 1.0),
    st.sampled_from([(2, 0), (0, 2), (-2, 0), (3, 4), (-5, 1)]),
)
def test_each_pin_keeps_within_its_own_play(
    first: float, second: float, share: float, step: tuple[int, int]
) -> None:
    """The piece is as much too long or too short as both plays together allow."""
    apart = math.hypot(*step) * 50.0
    gap = (first + second) * share
    thing = piece(
        Shank(id="a", at=(0, 0), diameter=PIN - 2 * first),
        Shank(id="b", at=(apart + gap, 0), diameter=PIN - 2 * second),
    )
    at = {"a": (12, 12), "b": (12 + step[0], 12 + step[1])}
    found = mount(grid(), thing, seats(**at), 0.0)
    (way,) = found.ways
    one, two = misses(way, thing, {"a": (0.0, 0.0), "b": (apart + gap, 0.0)})
    assert one <= first + 1e-6
    assert two <= second + 1e-6
    assert one + two == pytest.approx(abs(gap), abs=2e-6)
    if abs(gap) > 1e-3:  # both are equally far in, relative to their play
        assert one * second == pytest.approx(two * first, abs=2e-6)


def test_beyond_both_plays_together_it_does_not_go_on() -> None:
    for gap, fits in ((0.2999, True), (-0.2999, True), (0.301, False), (-0.301, False)):
        thing = piece(
            Shank(id="a", at=(0, 0), diameter=PIN - 0.2),
            Shank(id="b", at=(100 + gap, 0), diameter=PIN - 0.4),
        )
        assert bool(mount(grid(), thing, seats(a=(5, 5), b=(7, 5)), 0.0).ways) == fits


@pytest.mark.source("method", "formula: both pins' play over their distance, a small angle")
def test_the_swing_of_two_pins_and_none_of_what_turns_freely() -> None:
    thing = piece(
        Shank(id="a", at=(0, 0), diameter=PIN - 0.2), Shank(id="b", at=(100, 0), diameter=PIN - 0.4)
    )
    (way,) = mount(grid(), thing, seats(a=(5, 5), b=(7, 5)), 0.0).ways
    assert way.play_deg == pytest.approx(math.degrees(0.3 / 100), rel=1e-3)
    assert way.play_mm == pytest.approx(0.2)
    worn = grid(marks=[HoleMark(hole=Hole(7, 5), state="oversize", size=PIN + 1.0)])
    ring = ArcSlot(id="b", centre=(0, 0), radius=100, start=-20, end=20, width=PIN)
    arm = piece(hole("a", 0, 0), ring)
    for table, play in ((grid(), 0.0), (worn, 0.5)):
        (way,) = mount(table, arm, seats(a=(5, 5), b=(7, 5)), PIN).ways
        assert (way.kind, way.play_deg, round(way.play_mm, 9)) == ("turns", 0.0, play)
        assert (way.turn_low, way.turn_high) == (-20.0, 20.0)
        assert way.slide_low == 0.0
        assert way.slide_high == pytest.approx(100 * math.radians(40))


@pytest.mark.source(
    "method", "geometry: a rod whose ends run in two slots at a right angle, x^2 + y^2 = L^2"
)
@pytest.mark.parametrize("flipped", [False, True])
def test_the_ends_of_a_linked_range(flipped: bool) -> None:
    """A slot along x from 0 to 200, one along y from 60 to 120; the pins are 150 mm apart."""
    cross = piece(slot("s", 0, 0, 200, 0), slot("t", 0, 60, 0, 120))
    ways = mounted(cross, None, flipped, s=(12, 12), t=(15, 12)).ways
    (way,) = [w for w in ways if w.kind == "slides"]
    low, high = math.sqrt(150**2 - 120**2), math.sqrt(150**2 - 60**2)
    assert (way.slide_low, way.slide_high) == pytest.approx((low, high), abs=1e-6)
    # In the piece the way from pin to pin is (-s, t); on the table it is (1, 0).
    turns = sorted(-math.degrees(math.atan2(t, -s)) for s, t in ((low, 120), (high, 60)))
    if flipped:
        turns = sorted(-t for t in turns)
    assert way.turn_high - way.turn_low == pytest.approx(turns[1] - turns[0], abs=1e-6)
    assert math.remainder(way.turn_low - turns[0], 360) == pytest.approx(0, abs=1e-6)
