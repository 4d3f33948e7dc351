"""Two slots whose pins fit at one point only, or only by their play: nothing is left out."""

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from gridjig.rack import ArcSlot, StraightSlot
from gridjig.solve.mounting.nearest_pairs import nearest_pairs
from gridjig.solve.mounting.slot_pairs import SlotFits, linked, second_slide, slot_fits
from gridjig.solve.mounting.track import Track, track_of

SPAN = st.integers(-150, 150).map(float)
POINTS = st.tuples(SPAN, SPAN)


@st.composite
def slots(draw: st.DrawFn) -> Track:
    """A straight or an arc slot, at times a full circle, mirrored or not."""
    at, over = draw(POINTS), draw(st.booleans())
    if draw(st.booleans()):
        other = draw(POINTS.filter(lambda p: p != at))
        return track_of(StraightSlot("m", at, other, 16.0), over)
    start, wide = draw(st.integers(-180, 180)), draw(st.sampled_from([5, 40, 150, 270, 360]))
    radius = draw(st.sampled_from([50.0, 64.0, 100.0]))
    return track_of(ArcSlot("m", at, radius, start, start + wide, 16.0), over)


def line(a: tuple[float, float], b: tuple[float, float]) -> Track:
    return track_of(StraightSlot("m", a, b, 16.0))


def arc(centre: tuple[float, float], radius: float, start: float, end: float) -> Track:
    return track_of(ArcSlot("m", centre, radius, start, end, 16.0))


def partner(one: Track, other: Track, run: SlotFits, t: float, wide: float) -> tuple[float, float]:
    """Where the second pin is in a family with the first at `t`."""
    at = min(max(t, run.low), run.high)
    return other.at(second_slide(one, other, run.branch, at, wide))


def missed(one: Track, other: Track, run: SlotFits, t: float, wide: float) -> float:
    """By how much (mm) the pins at `t` and its partner miss the distance that the family tells."""
    far = math.dist(one.at(t), partner(one, other, run, t, wide))
    return abs(wide - far - run.gap)


@pytest.mark.source("method", "brute force: distances between 401 points of each of two tracks")
@settings(max_examples=60)
@given(slots(), slots())
def test_the_least_and_the_greatest_distance_are_found(one: Track, other: Track) -> None:
    assume(linked(one, other) and one != other)
    points = [
        np.array([complex(*k.at(k.length * n / 400.0)) for n in range(401)]) for k in (one, other)
    ]
    far = np.abs(points[0][:, None] - points[1][None, :])
    step = (one.length + other.length) / 800.0
    found = nearest_pairs(one, other)
    most = [k.apart for k in found if not k.least]
    least = [k.apart for k in found if k.least]
    assert float(far.max()) - 1e-9 <= max(most) <= float(far.max()) + step
    if float(far.min()) > step:  # otherwise the tracks may cross
        assert float(far.min()) - step <= min(least) <= float(far.min()) + 1e-9
    for pair in found:
        assert math.dist(one.at(pair.t), other.at(pair.s)) == pytest.approx(pair.apart, abs=1e-9)


@pytest.mark.source("method", "brute force: the points in a small circle about each pair")
@settings(max_examples=60)
@given(slots(), slots())
def test_no_points_beside_a_pair_are_nearer_or_further(one: Track, other: Track) -> None:
    assume(linked(one, other))
    found = nearest_pairs(one, other)
    assert found
    for pair in found:
        for k in range(24):
            t = pair.t + 1e-3 * math.cos(math.pi * k / 12.0)
            s = pair.s + 1e-3 * math.sin(math.pi * k / 12.0)
            if abs(one.sweep) < 360.0:
                t = min(max(t, 0.0), one.length)
            if abs(other.sweep) < 360.0:
                s = min(max(s, 0.0), other.length)
            far = math.dist(one.at(t), other.at(s))
            assert (far - pair.apart) * (1.0 if pair.least else -1.0) >= -1e-7


@pytest.mark.source("method", "arithmetic: the holes as far apart as the two points, or play more")
@settings(max_examples=100)
@given(slots(), slots(), st.sampled_from([0.0, 0.25]), st.integers(0, 7))
def test_a_fit_at_one_point_is_kept(one: Track, other: Track, play: float, pick: int) -> None:
    assume(linked(one, other))
    every = [k for k in nearest_pairs(one, other) if k.apart > 1.0]
    assume(every)
    pair = every[pick % len(every)]
    wide = pair.apart + (-0.8 if pair.least else 0.8) * play
    found = slot_fits(one, other, wide, 0.0, play)
    near = [
        run
        for run in found
        if run.low - 1e-5 <= pair.t <= run.high + 1e-5
        and math.dist(partner(one, other, run, pair.t, wide), other.at(pair.s)) < 0.01
    ]
    assert near
    for run in found:
        assert abs(run.gap) <= play + 1e-6
        for t in (run.low, (run.low + run.high) / 2.0, run.high):
            assert missed(one, other, run, t, wide) <= 2e-6


@pytest.mark.source("method", "arithmetic: slots at right angles, their ends 30 and 40 mm away")
def test_slots_at_right_angles_fit_at_their_nearest_ends() -> None:
    one, other = line((30.0, 0.0), (80.0, 0.0)), line((0.0, 40.0), (0.0, 90.0))
    (only,) = slot_fits(one, other, 50.0, 0.0, 0.0)
    assert (only.low, only.high, only.gap) == (0.0, 0.0, 0.0)
    (tight,) = slot_fits(one, other, 49.8, 0.0, 0.25)
    assert tight.gap == pytest.approx(-0.2)
    assert slot_fits(one, other, 49.7, 0.0, 0.25) == []
    (wide,) = slot_fits(one, other, math.hypot(80.0, 90.0) + 0.2, 0.0, 0.25)
    assert (wide.low, wide.high) == (50.0, 50.0)
    assert wide.gap == pytest.approx(0.2)


@pytest.mark.source("method", "arithmetic: two arcs about one centre, 30 mm apart all along")
def test_arcs_about_one_centre_keep_their_slide_when_play_makes_up_the_rest() -> None:
    one, other = arc((0.0, 0.0), 50.0, 0.0, 200.0), arc((0.0, 0.0), 80.0, 10.0, 50.0)
    for wide, gap in ((30.0, 0.0), (29.8, -0.2)):
        (run,) = slot_fits(one, other, wide, 0.0, 0.25)
        assert run.low == pytest.approx(50.0 * math.radians(10.0))
        assert run.high == pytest.approx(50.0 * math.radians(50.0))
        assert run.gap == pytest.approx(gap)


@pytest.mark.source("method", "symmetry: an arc moved along by the distance between the holes")
def test_short_arcs_of_one_radius_have_the_moved_family_and_its_mirror() -> None:
    """Each point has its own moved image, and another past the line between the two centres."""
    for start in range(-180, 180):
        one, other = (arc(c, 50.0, start, start + 5.0) for c in ((0.0, 0.0), (-150.0, 80.0)))
        found = slot_fits(one, other, -150.0, 80.0, 0.0)
        for t in (0.01, 1.1, 2.2, 3.3, one.length - 0.01):
            slides = {
                round(second_slide(one, other, run.branch, t, 170.0), 6)
                for run in found
                if run.low <= t <= run.high
            }
            assert round(t, 6) in slides
            base = complex(*one.at(t))
            line_to_centre = complex(other.x, other.y) - base
            image = complex(*other.at(t)) - complex(other.x, other.y)
            unit = line_to_centre / abs(line_to_centre)
            mirrored = complex(other.x, other.y) + unit * unit * image.conjugate()
            on = other.nearest(mirrored.real, mirrored.imag)
            inside = math.dist(other.at(on), (mirrored.real, mirrored.imag)) < 1e-6
            assert len(slides) == (2 if inside and abs(on - t) > 1e-5 else 1)
