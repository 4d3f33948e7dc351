"""Every pair of features against a search that knows nothing of the solver's formulas.

The body is turned in fine steps; the distance of the second hole from its feature is measured by
shapely (for arcs: by hand), and scipy refines every least distance.
"""

import cmath
import math
from collections.abc import Callable

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar  # type: ignore[import-untyped]
from shapely.geometry import LineString
from shapely.geometry import Point as Dot

from gridjig.geometry import Pose
from gridjig.model import Hole, Table
from gridjig.rack import ArcSlot, MountFeature, Point, RoundHole, StraightSlot
from gridjig.solve.mounting.mount import mount
from gridjig.solve.mounting.ways import Way
from tests.solve.grid_kit import PIN, grid, hole, piece, seats, slot

SEARCH = "brute force: rotation scan, distances by shapely 2.1, minima by scipy.optimize"
Distance = Callable[[complex], float]


def distance_to(feature: MountFeature, flipped: bool) -> Distance:
    """How far a point of the (mirrored) body frame is from where the feature's pin may be."""
    m = -1.0 if flipped else 1.0
    if isinstance(feature, StraightSlot):
        line = LineString([(x, y * m) for x, y in (feature.a, feature.b)])
        return lambda z: float(line.distance(Dot(z.real, z.imag)))
    if isinstance(feature, ArcSlot):
        arc = feature

        def to_arc(z: complex) -> float:
            z = complex(z.real, z.imag * m) - complex(*arc.centre)
            on = (math.degrees(cmath.phase(z)) - arc.start) % 360.0
            if on <= arc.end - arc.start:
                return abs(abs(z) - arc.radius)
            ends = (cmath.rect(arc.radius, math.radians(a)) for a in (arc.start, arc.end))
            return min(abs(z - e) for e in ends)

        return to_arc
    at = complex(feature.at[0], feature.at[1] * m)
    return lambda z: abs(z - at)


def turns_found(
    p: complex, v: complex, to: Distance, allowed: float, step: float = 0.5
) -> list[float]:
    """All turns, degrees, at which the second pin comes within `allowed` of its feature, each least
    distance once.  `p` is the body's point in the first hole, `v` the way to the second."""

    def miss(turn: float) -> float:
        return to(p + v * cmath.exp(-1j * math.radians(turn)))

    count = round(360.0 / step)
    values = [miss(k * step) for k in range(count)]
    found: list[float] = []
    for k in range(count):
        if values[k] <= values[k - 1] and values[k] < values[(k + 1) % count]:
            least = minimize_scalar(
                lambda off, at=k * step: miss(at + off),
                bounds=(-step, step),
                method="bounded",
                options={"xatol": 1e-10},
            )
            if least.fun <= allowed:
                found.append(math.remainder(k * step + float(least.x), 360.0))
    return sorted(found)


def same_turns(mine: list[float], theirs: list[float], within: float) -> bool:
    left = list(theirs)
    for turn in mine:
        near = [t for t in left if abs(math.remainder(t - turn, 360.0)) <= within]
        if not near:
            return False
        left.remove(near[0])
    return not left


SECONDS: tuple[MountFeature, ...] = (
    hole("b", 250, 0),
    hole("b", 150, 200),
    hole("b", 90, 75),
    slot("b", 100, 10, 300, 10),
    slot("b", 100, 0, 240, 0),
    slot("b", -120, 0, 120, 0),
    slot("b", 60, 40, 60, 260),
    slot("b", -80, 70, 190, 130),
    ArcSlot(id="b", centre=(50, 0), radius=150, start=-90, end=90, width=PIN),
    ArcSlot(id="b", centre=(-30, 40), radius=120, start=10, end=350, width=PIN),
    ArcSlot(id="b", centre=(200, 0), radius=60, start=100, end=260, width=PIN),
)


@pytest.mark.source("method", SEARCH)
@pytest.mark.parametrize("flipped", [False, True])
@pytest.mark.parametrize("second", SECONDS, ids=lambda f: f"{type(f).__name__}")
def test_hole_and_second_feature(second: MountFeature, flipped: bool) -> None:
    table = grid()
    thing = piece(hole("a", 12, -7), second)
    for dx, dy in ((1, 0), (2, 1), (0, -3), (-3, 4), (5, 0), (4, 2), (-2, -3), (3, 3), (-4, 1)):
        placed = seats(a=(12, 12), b=(12 + dx, 12 + dy))
        ways = mount(table, thing, placed, PIN, flipped).ways
        p = complex(12, 7 if flipped else -7)
        theirs = turns_found(p, complex(50 * dx, 50 * dy), distance_to(second, flipped), 1e-5)
        assert same_turns([w.turn_low for w in ways], theirs, 1e-3), (dx, dy)


def within_play(way: Way, table: Table, features: dict[str, MountFeature], play: float) -> None:
    """The pinned features are within play of their holes in all poses of the way."""
    for k in range(9):
        turn = way.turn_low + (way.turn_high - way.turn_low) * k / 8
        slide = way.slide_low + (way.slide_high - way.slide_low) * k / 8
        pose = way.pose(turn, slide)
        for seat in way.seats:
            x, y = pose.back(table.at(seat.hole))
            off = distance_to(features[seat.feature], False)(complex(x, y))
            assert off <= play + 2e-6


coordinate = st.floats(-300, 300).map(lambda x: round(x, 2))
steps = st.tuples(st.integers(-8, 8), st.integers(-8, 8)).filter(lambda d: d != (0, 0))
slots = st.builds(
    lambda x, y, a, n: slot(
        "s",
        x,
        y,
        x + n * math.cos(math.radians(a)),
        y + n * math.sin(math.radians(a)),
        PIN + 0.5,
    ),
    coordinate,
    coordinate,
    st.integers(0, 359),
    st.floats(20, 400),
)


@st.composite
def passing(draw: st.DrawFn, name: str, at: Point) -> MountFeature:
    """A feature of any kind whose pin may be at that point of the body, not just at an end."""
    x, y = at
    angle = math.radians(draw(st.integers(0, 359)))
    c, s = math.cos(angle), math.sin(angle)
    match draw(st.sampled_from(["hole", "slot", "arc"])):
        case "hole":
            return hole(name, x, y, PIN + 0.5)
        case "slot":
            back, on = draw(st.floats(5, 200)), draw(st.floats(20, 200))
            return slot(name, x - back * c, y - back * s, x + on * c, y + on * s, PIN + 0.5)
        case _:
            r, before = draw(st.floats(30, 400)), draw(st.floats(5, 170))
            start, after = math.degrees(angle) - before, draw(st.floats(5, 170))
            return ArcSlot(
                id=name,
                centre=(x - r * c, y - r * s),
                radius=r,
                start=math.remainder(start, 360.0),
                end=math.remainder(start, 360.0) + before + after,
                width=PIN + 0.5,
            )


@pytest.mark.source(
    "method", "brute force: every posed feature measured by shapely against its hole"
)
@settings(max_examples=200)
@given(
    st.data(),
    st.floats(-180, 180),
    st.tuples(coordinate, coordinate),
    st.lists(steps, min_size=1, max_size=2, unique=True),
    st.booleans(),
)
def test_every_pose_keeps_every_feature_within_play(
    data: st.DataObject, turn: float, off: Point, away: list[tuple[int, int]], flipped: bool
) -> None:
    """The features are chosen so that the piece fits in at least one pose."""
    table = grid(hole=PIN + 0.3)
    cells = [(12, 12), *((12 + dx, 12 + dy) for dx, dy in away)]
    x, y = table.at(Hole(12, 12))
    pose = Pose(x + off[0], y + off[1], turn, flipped)
    named = [
        data.draw(passing(name, pose.back(table.at(Hole(*cell)))))
        for name, cell in zip("abc", cells, strict=False)
    ]
    placed = seats(**{f.id: cell for f, cell in zip(named, cells, strict=True)})
    ways = mount(table, piece(*named), placed, PIN, flipped).ways
    assert len(ways) >= 1
    for way in ways:
        within_play(way, table, {f.id: f for f in named}, 0.4)


def _named(feature: MountFeature, name: str) -> MountFeature:
    if isinstance(feature, RoundHole):
        return RoundHole(id=name, at=feature.at, diameter=feature.diameter)
    if isinstance(feature, StraightSlot):
        return StraightSlot(id=name, a=feature.a, b=feature.b, width=feature.width)
    assert isinstance(feature, ArcSlot)
    return ArcSlot(
        id=name,
        centre=feature.centre,
        radius=feature.radius,
        start=feature.start,
        end=feature.end,
        width=feature.width,
    )


SLOT_PAIRS: tuple[tuple[MountFeature, MountFeature], ...] = (
    (
        slot("a", 0, 0, 200, 0),
        ArcSlot(id="b", centre=(100, 0), radius=150, start=5, end=355, width=PIN),
    ),
    (
        slot("a", -50, -50, 50, 50),
        ArcSlot(id="b", centre=(-50, -50), radius=100, start=90, end=440, width=PIN),
    ),
    (slot("a", 0, 0, 200, 0), slot("b", 250, 0, 400, 0)),
    (slot("a", 0, 0, 200, 0), slot("b", 400, 60, 150, 60)),
    (slot("a", 0, 0, 200, 0), slot("b", 0, 60, 0, 260)),
    (slot("a", 0, 0, 200, 0), slot("b", 60, -100, 160, 140)),
    (
        slot("a", 0, 0, 200, 0),
        ArcSlot(id="b", centre=(80, 60), radius=110, start=-40, end=200, width=PIN),
    ),
    (
        ArcSlot(id="a", centre=(80, 60), radius=110, start=-40, end=200, width=PIN),
        slot("b", 0, 0, 200, 0),
    ),
    (
        ArcSlot(id="a", centre=(0, 0), radius=150, start=0, end=120, width=PIN),
        ArcSlot(id="b", centre=(0, 0), radius=250, start=0, end=120, width=PIN),
    ),
    (
        ArcSlot(id="a", centre=(0, 0), radius=150, start=0, end=120, width=PIN),
        ArcSlot(id="b", centre=(60, 20), radius=180, start=-100, end=120, width=PIN),
    ),
)


@pytest.mark.source("method", SEARCH)
@pytest.mark.parametrize("flipped", [False, True])
@pytest.mark.parametrize("pair", SLOT_PAIRS)
@pytest.mark.untraced
def test_two_slots_at_every_slide(pair: tuple[MountFeature, MountFeature], flipped: bool) -> None:
    table = grid()
    first, second = pair
    thing = piece(first, second)
    to = distance_to(second, flipped)
    for dx, dy in ((2, 0), (0, 3), (-2, 2), (3, -4), (6, 1)):
        ways = mount(table, thing, seats(a=(12, 12), b=(12 + dx, 12 + dy)), PIN, flipped).ways
        for k in range(1, 12):
            part = k / 12.0 + 0.001
            p, slide = point_along(first, part, flipped)
            theirs = turns_found(p, complex(50 * dx, 50 * dy), to, 1e-5)
            mine = [w.nearest(0.0, slide)[0] for w in ways if w.slide_low <= slide <= w.slide_high]
            assert same_turns(mine, theirs, 1e-3), (dx, dy, part)


def point_along(feature: MountFeature, part: float, flipped: bool) -> tuple[complex, float]:
    """A point at a part of a slot's length, and how many mm that is from its first end."""
    m = -1.0 if flipped else 1.0
    if isinstance(feature, StraightSlot):
        a, b = (complex(x, y * m) for x, y in (feature.a, feature.b))
        return a + (b - a) * part, abs(b - a) * part
    assert isinstance(feature, ArcSlot)
    span = math.radians(feature.end - feature.start)
    z = cmath.rect(feature.radius, math.radians(feature.start) + span * part)
    z += complex(*feature.centre)
    return complex(z.real, z.imag * m), feature.radius * span * part


@pytest.mark.source("method", "brute force: every hole of a small table, distances by shapely")
def test_one_slot_takes_two_pins_wherever_they_are_near_enough() -> None:
    table = grid(columns=7, rows=7)
    thing = piece(slot("a", 0, 0, 140, 0))
    line = LineString([(0, 0), (140, 0)])
    others = [(col, row) for col in range(7) for row in range(7) if (col, row) != (3, 3)]
    assert len(others) == 48
    for col, row in others:
        ways = mount(table, thing, seats(a=(3, 3), a_=(col, row)), PIN).ways
        far = math.dist(table.at(Hole(3, 3)), table.at(Hole(col, row)))
        assert len(ways) == (2 if far <= line.length else 0)
        for way in ways:
            assert way.slide_high - way.slide_low == pytest.approx(line.length - far)


@pytest.mark.source("method", "brute force: rotation scan with play, distances by shapely 2.1")
@settings(max_examples=60)
@given(slots, steps)
def test_a_slot_is_only_refused_where_no_turn_comes_within_play(
    second: StraightSlot, step: tuple[int, int]
) -> None:
    table = grid(hole=PIN + 0.3)
    thing = piece(hole("h", 0, 0, PIN + 0.5), second)
    placed = seats(h=(12, 12), s=(12 + step[0], 12 + step[1]))
    fits = bool(mount(table, thing, placed, PIN).ways)
    to = distance_to(second, False)
    v = complex(50 * step[0], 50 * step[1])
    near = turns_found(0j, v, to, 1e9)
    least = min(to(v * cmath.exp(-1j * math.radians(t))) for t in near) if near else 0.0
    assume(abs(least - 0.8) > 1e-3)
    assert fits == (least <= 0.8)
