"""Reading a wanted angle: what drawings say, what it is measured from, the two usual mix-ups."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gridjig.solve.angles.faults import AngleFault
from gridjig.solve.angles.wanted import as_edge, between_faces, read_wanted, slope_angle
from tests.anglekit import worded


@pytest.mark.parametrize(
    ("text", "angle"),
    [
        ("37.5", 37.5),
        ("37 30'", 37.5),
        ("37° 30'", 37.5),
        ("-15", 165.0),
        ("180", 0.0),
        ("15.524 from y", 74.476),
        ("15.524 off plumb", 74.476),
        ("30 from the table x", 30.0),
        ("60 included", 30.0),
        ("60 included from y", 60.0),
        ("30 each side", 30.0),
        ("30° per side, from y", 60.0),
        ("52.5 complement", 37.5),
        ("37.5 mirrored", 142.5),
        ("37.5 complement mirror", 127.5),
        ("rise 300 run 400", 36.869898),
        ("Rise 4 in run 12 in", 18.434949),
        ("rise 3, run 4 from y", 53.130102),
    ],
)
def test_what_is_read(text: str, angle: float) -> None:
    assert read_wanted(text).angle_deg == pytest.approx(angle, abs=1e-6)


@pytest.mark.source("published", "a page of roof pitches", "table of x in 12, degrees")
@pytest.mark.parametrize(
    ("rise", "angle"),
    [
        (1, 4.7636),
        (2, 9.4623),
        (3, 14.0362),
        (4, 18.4349),
        (5, 22.6199),
        (6, 26.5651),
        (7, 30.2564),
        (8, 33.6901),
        (9, 36.8699),
        (10, 39.8056),
        (11, 42.5104),
        (12, 45.0),
    ],
)
def test_roof_pitches(rise: int, angle: float) -> None:
    assert read_wanted(f"{rise}:12").angle_deg == pytest.approx(angle, abs=5e-5)
    assert read_wanted(f"{rise} in 12").angle_deg == pytest.approx(angle, abs=5e-5)
    assert slope_angle(rise, 12) == pytest.approx(angle, abs=5e-5)


@pytest.mark.source("method", "trigonometry: the 3-4-5 triangle")
def test_three_four_five() -> None:
    assert read_wanted("3:4").angle_deg == pytest.approx(36.8699, abs=5e-5)
    assert read_wanted("4:3").angle_deg == pytest.approx(53.1301, abs=5e-5)
    # One millimetre on the long side of 300/400/500, by the law of cosines.
    for scale, minutes in ((100, 14.32), (1000, 1.43)):
        long = 5 * scale + 1
        corner = math.acos((25 * scale**2 - long**2) / (24 * scale**2))
        assert (math.degrees(corner) - 90) * 60 == pytest.approx(minutes, abs=0.02)


def test_complement_and_mirror_stand_beside_it() -> None:
    wanted = read_wanted("37.5")
    assert (wanted.complement, wanted.mirror) == (52.5, 142.5)
    assert (wanted.origin, wanted.drawn) == ("table x", 37.5)
    leaning = read_wanted("15", origin="table y")
    assert (leaning.angle_deg, leaning.complement, leaning.mirror) == (75.0, 15.0, 105.0)
    assert (leaning.origin, leaning.drawn) == ("table y", 15.0)
    halved = read_wanted("75 included")
    assert (halved.angle_deg, halved.mirror) == (37.5, 142.5)
    assert (halved.drawn, halved.typed, halved.halved) == (37.5, 75.0, True)
    both = read_wanted("75 included complement")
    assert (both.drawn, both.typed, both.halved, both.complemented) == (52.5, 75.0, True, True)
    other = read_wanted("37.5 complement")
    assert (other.drawn, other.typed, other.halved, other.complemented) == (52.5, 37.5, False, True)


def test_from_a_chosen_face_and_between_two() -> None:
    wanted = read_wanted("30", origin="face", face=200.0)
    assert wanted.angle_deg == pytest.approx(50.0)
    assert wanted.mirror == pytest.approx(170.0)
    assert (wanted.origin, wanted.base, wanted.drawn) == ("face", 200.0, 30.0)
    assert as_edge(217.5).angle_deg == pytest.approx(37.5)
    between = between_faces(10.0, 235.0)
    assert between.angle_deg == pytest.approx(55.0)
    assert between.drawn == pytest.approx(45.0)


@given(st.floats(-360, 360), st.sampled_from(["table x", "table y"]))
def test_every_direction_is_a_line_from_0_to_180(angle: float, origin: str) -> None:
    wanted = read_wanted(f"{angle:.6f}", origin="table x" if origin == "table x" else "table y")
    for direction in (wanted.angle_deg, wanted.complement, wanted.mirror):
        assert 0 <= direction < 180


@pytest.mark.expectation(30, 85, 86, 87)
@pytest.mark.parametrize(
    "text", ["", "steep", "37,5", "400", "rise 0 run 0", "rise x run 3", "from y", "5/8", "0:0"]
)
def test_what_is_no_angle_is_refused_in_one_sentence(text: str) -> None:
    with pytest.raises(AngleFault) as fault:
        read_wanted(text)
    assert fault.value.field == "wanted"
    assert worded(fault.value).endswith(".")
    assert "\n" not in worded(fault.value)
