"""The search over many holes at once agrees with the solver for a single pair."""

import cmath
import math

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from gridjig.rack import ArcSlot, MountFeature, RoundHole, StraightSlot
from gridjig.solve.mounting.pair_arrays import about_all, slots_all
from gridjig.solve.mounting.pairs import about
from gridjig.solve.mounting.slot_pairs import linked, slot_fits
from gridjig.solve.mounting.track import Track, apart, tidy, track_of, turned_to

Complex = npt.NDArray[np.complex128]
SPAN = st.integers(-150, 150).map(float)
POINTS = st.tuples(SPAN, SPAN)
PLAYS = st.sampled_from([0.0, 0.25, 2.0])
STEPS = [(50.0 * m, 40.0 * n) for m in range(-6, 7) for n in range(-7, 8) if (m, n) != (0, 0)]
VX, VY = (np.array(column) for column in zip(*STEPS, strict=True))


@st.composite
def tracks(
    draw: st.DrawFn, kinds: tuple[str, ...] = ("hole", "slot", "arc")
) -> tuple[Track, tuple[float, float]]:
    """A feature's track, mirrored or not, and the pinned point: at times an arc's own centre."""
    at = draw(POINTS)
    made: MountFeature
    match draw(st.sampled_from(kinds)):
        case "hole":
            made = RoundHole("m", at, 16.0)
        case "slot":
            other = draw(POINTS.filter(lambda p: p != at))
            made = StraightSlot("m", at, other, 16.0)
        case _:
            start, wide = draw(st.integers(-180, 180)), draw(st.integers(5, 360))
            radius = draw(st.sampled_from([50.0, 64.03124237432849, 100.0, 163.0]))
            made = ArcSlot("m", at, radius, start, start + wide, 16.0)
    track = track_of(made, draw(st.booleans()))
    pinned = draw(st.one_of(POINTS, st.just((track.x, track.y))))
    return track, pinned


@pytest.mark.source(
    "method", "the solver of a single pair of features, built apart from the search"
)
@settings(max_examples=150)
@given(tracks(), PLAYS)
@pytest.mark.untraced
def test_all_offsets_at_once_and_one_by_one(
    case: tuple[Track, tuple[float, float]], play: float
) -> None:
    track, (px, py) = case
    found = about_all(px, py, track, VX, VY, play)
    mine: dict[int, list[tuple[float, ...]]] = {}
    rows = zip(
        found.row.tolist(),
        found.turn.tolist(),
        found.turn_high.tolist(),
        found.slide.tolist(),
        found.gap.tolist(),
        found.swing.tolist(),
        strict=True,
    )
    for row, *hit in rows:
        mine.setdefault(row, []).append(tuple(hit))
    assert len(STEPS) == 13 * 15 - 1
    for k, (vx, vy) in enumerate(STEPS):
        theirs = [
            (h.turn, h.turn_high, h.slide, h.gap, h.swing)
            for h in about(px, py, track, vx, vy, play)
        ]
        got = sorted(mine.get(k, []), key=lambda h: h[2])
        assert len(got) == len(theirs)
        for one, other in zip(got, sorted(theirs, key=lambda h: h[2]), strict=True):
            assert apart(one[0], other[0]) < 1e-6
            assert one[1] - one[0] == pytest.approx(other[1] - other[0], abs=1e-6)
            assert one[2:] == pytest.approx(other[2:], abs=1e-5)


def along(track: Track, count: int = 801) -> Complex:
    """Points all along a track, as complex numbers."""
    t = np.linspace(0.0, track.length, count)
    if track.kind == "line":
        return np.asarray(complex(track.x, track.y) + complex(track.ux, track.uy) * t)
    angle = np.radians(track.start + track.sweep * t / track.length)
    return np.asarray(complex(track.x, track.y) + track.radius * np.exp(1j * angle))


@pytest.mark.source("method", "brute force: distances between 801 points of each of two tracks")
@settings(max_examples=40)
@given(tracks(("slot", "arc")), tracks(("slot", "arc")), PLAYS)
@pytest.mark.untraced
def test_two_slots_take_every_offset_as_long_as_two_of_their_points_are_apart(
    a: tuple[Track, tuple[float, float]], b: tuple[Track, tuple[float, float]], play: float
) -> None:
    """Distances between two lines without a gap have no gap, so the least and the most decide.

    Play adds as much at either end.
    """
    one, other = a[0], b[0]
    found = slots_all(one, other, VX, VY, play)
    between = along(other)[None, :] - along(one)[:, None]
    far, step = np.abs(between), (one.length + other.length) / 800.0
    low, high = float(far.min()), float(far.max())
    wide = np.hypot(VX, VY)
    out = np.maximum(low - wide, wide - high)
    sure = (out < play - step) | (out > play + step)
    fits = out < play
    assert sure.any()
    assert np.isin(np.flatnonzero(sure), found.row).tolist() == fits[sure].tolist()
    for row, turn in list(zip(found.row.tolist(), found.turn.tolist(), strict=True))[::7]:
        wanted = complex(*STEPS[row]) * cmath.exp(-1j * math.radians(turn))
        assert np.abs(between - wanted).min() <= play + 2.0 * step


@pytest.mark.source("method", "definition: the shorter way round, by vectors")
@given(st.floats(-1000, 1000), st.floats(-1000, 1000))
def test_how_far_two_directions_are_apart(a: float, b: float) -> None:
    s, t = math.radians(a), math.radians(b)
    dot = math.cos(s) * math.cos(t) + math.sin(s) * math.sin(t)
    cross = math.cos(s) * math.sin(t) - math.sin(s) * math.cos(t)
    assert apart(a, b) == pytest.approx(math.degrees(abs(math.atan2(cross, dot))), abs=1e-6)


@pytest.mark.source("method", "brute force: every full turn up and down, and both ends")
@given(st.floats(-720, 720), st.floats(-360, 360), st.floats(0, 350))
def test_an_angle_brought_into_a_range(wish: float, low: float, wide: float) -> None:
    got = turned_to(wish, low, low + wide)
    assert low - 1e-9 <= got <= low + wide + 1e-9
    every = [wish + 360.0 * k for k in range(-4, 5)]
    nearest = min(max(low - v, v - low - wide, 0.0) for v in every)
    assert apart(got, wish) == pytest.approx(min(nearest, 180.0), abs=1e-6)


def crossings_of(track: Track, x: float, y: float, wide: float) -> int | None:
    """How often a track crosses the circle, sampled every 1/1000 of it; None if unsure.

    A sample that lies on the circle, or a nanometre off it, counts as outside: once, not twice.
    """
    t = np.linspace(0.0, track.length, 1001)
    if track.kind == "line":
        qx, qy = track.x + track.ux * t, track.y + track.uy * t
    else:
        angle = np.radians(track.start + track.sweep * t / track.length)
        qx, qy = track.x + track.radius * np.cos(angle), track.y + track.radius * np.sin(angle)
    off = np.hypot(qx - x, qy - y) - wide
    least = np.abs(off) < 0.2
    turning = np.abs(np.gradient(off)) < track.length / 1000 * 0.05
    if abs(off[0]) < 0.2 or abs(off[-1]) < 0.2 or bool(np.any(least & turning)):
        return None
    return int(np.count_nonzero(np.diff(off >= -1e-6)))


@pytest.mark.source(
    "method", "brute force: a track looked at in 1000 steps, its crossings with a circle"
)
@pytest.mark.parametrize(
    ("first", "second"), [("slot", "slot"), ("slot", "arc"), ("arc", "slot"), ("arc", "arc")]
)
@settings(max_examples=120)
@given(data=st.data(), step=st.sampled_from(STEPS))
@pytest.mark.untraced
def test_families_of_slides_leave_out_nothing(
    first: str, second: str, data: st.DataObject, step: tuple[float, float]
) -> None:
    """At every slide there is a family for each place that the second pin can be in its slot."""
    one, other = data.draw(tracks((first,)))[0], data.draw(tracks((second,)))[0]
    assume(linked(one, other))
    wide = math.hypot(*step)
    found = slot_fits(one, other, *step, 0.0)
    told, counted = [], []
    for k in range(1, 40, 2):
        t = one.length * k / 40.0
        count = crossings_of(other, *one.at(t), wide)
        at_an_end = any(abs(t - end) < 0.3 for run in found for end in (run.low, run.high))
        if count is not None and not at_an_end:
            told.append(sum(run.low <= t <= run.high for run in found))
            counted.append(count)
    assume(len(counted) >= 10)
    assert told == counted


@given(st.integers(-7, 7), st.floats(-9e-10, 9e-10))
def test_a_quarter_turn_is_set_exactly(quarter: int, off: float) -> None:
    got = tidy(90.0 * quarter + off)
    assert got in (-90.0, 0.0, 90.0, 180.0)
    assert (got - 90.0 * quarter) % 360.0 == 0.0
    assert tidy(90.0 * quarter + 1e-6) not in (-90.0, 0.0, 90.0, 180.0)
