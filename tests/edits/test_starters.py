"""Starters: each with its defaults, the sizes it promises, and what it refuses."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Point, Polygon, affinity, union_all

from gridjig.edits.starters import STARTERS, Starter, build, put_starter, starter
from gridjig.files.jobs.job_file import read_job, write_job
from gridjig.files.library.sections import find_section
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Member, Part, Section, require_whole
from tests.trials.layout import INCH, load
from tests.workshop import EMPTY, laid, pin


def stock(one: Starter, *, inches: bool = False) -> dict[str, Section]:
    found = {s.key: find_section(s.inches if inches else s.metric) for s in one.stock}
    assert None not in found.values()
    return {key: section for key, section in found.items() if section is not None}


def clear(parts: tuple[Part, ...]) -> None:
    """No two parts overlap, and each touches another."""
    shapes = [Polygon(part_ring(p)) for p in parts]
    for i, a in enumerate(parts):
        for j, b in enumerate(parts):
            if i < j and a.z_low < b.z_high - 1e-6 and b.z_low < a.z_high - 1e-6:
                assert shapes[i].intersection(shapes[j]).area < 1e-3, (a.name, b.name)
    assert union_all([s.buffer(1e-4) for s in shapes]).geom_type == "Polygon"


@pytest.mark.source("library", "shapely 2.1", "intersections and union of the plan shapes")
@pytest.mark.parametrize("inches", [False, True])
@pytest.mark.parametrize("one", STARTERS, ids=lambda s: s.key)
def test_every_starter_makes_whole_parts_from_its_defaults(one: Starter, inches: bool) -> None:
    numbers = {s.key: s.inches if inches else s.default for s in one.sizes}
    parts = build(one, stock(one, inches=inches), numbers)
    clear(parts)
    assert len({p.name for p in parts}) == len(parts)
    bounds = union_all([Polygon(part_ring(p)) for p in parts]).bounds
    assert bounds[:2] == pytest.approx((0, 0), abs=1e-6)
    assert min(p.z_low for p in parts) == 0
    job, ids = put_starter(laid(pin("p", 2, 2)), parts, (100, 200), 5)
    require_whole(job)
    assert read_job(write_job(job)) == job
    assert {p.id for p in job.parts} == ids
    assert min(p.z_low for p in job.parts) == 5
    again, more = put_starter(job, parts, (900, 200))
    require_whole(again)
    assert not ids & more


@pytest.mark.parametrize("one", STARTERS, ids=lambda s: s.key)
def test_every_option_of_every_starter_can_be_made(one: Starter) -> None:
    for choice in one.choices:
        for option in choice.options:
            clear(build(one, stock(one), chosen={choice.key: option}))
    assert len(one.sizes) >= 2  # a width and a height at least
    for size in one.sizes:
        assert size.low <= size.default <= size.high
        assert size.low <= size.inches <= size.high
        assert size.label


@pytest.mark.source("library", "shapely 2.1", "union of the plan shapes")
@settings(max_examples=60)
@given(
    st.floats(150, 3000),
    st.floats(150, 3000),
    st.sampled_from(starter("frame").choices[0].options),
)
def test_a_frame_has_its_size_over_all_and_a_window(w: float, d: float, corners: str) -> None:
    one = starter("frame")
    parts = build(one, stock(one), {"width": w, "depth": d}, {"corners": corners})
    whole = union_all([Polygon(part_ring(p)).buffer(1e-4, join_style="mitre") for p in parts])
    assert whole.bounds == pytest.approx((0, 0, w, d), abs=1e-3)
    assert whole.area == pytest.approx(w * d - (w - 100) * (d - 100), abs=0.002 * (w + d))


def test_who_runs_through() -> None:
    one = starter("frame")

    def lengths(corners: str) -> list[float]:
        parts = build(one, stock(one), {"width": 600, "depth": 400}, {"corners": corners})
        return [p.long_point for p in parts if isinstance(p, Member)]

    assert lengths("mitred") == pytest.approx([600, 400, 600, 400])
    assert lengths("front and back run through") == pytest.approx([600, 300, 600, 300])
    assert lengths("sides run through") == pytest.approx([500, 400, 500, 400])
    assert lengths("each runs past the next") == pytest.approx([550, 350, 550, 350])


def test_mid_rails_leave_equal_gaps() -> None:
    one = starter("railed-frame")
    parts = build(one, stock(one), {"rails": 3})
    xs = sorted(x for p in parts[4:] for x in (p.x - 25, p.x + 25))
    edges = [50, *xs, 550]
    gaps = [b - a for a, b in zip(edges[::2], edges[1::2], strict=True)]
    assert gaps == pytest.approx([87.5] * 4)
    assert all(isinstance(p, Member) and p.long_point == pytest.approx(300) for p in parts[4:])


@pytest.mark.source(
    "method", "trial weldment T04, reckoned by hand: brace, middle 10 in from the corner"
)
def test_the_bracket_matches_the_hand_calculation() -> None:
    one = starter("bracket")
    sections = {"frame": find_section("2x2x1/4"), "brace": find_section("1-1/2x1-1/2x1/8")}
    numbers = {"upright": 18 * INCH, "arm": 18 * INCH, "up": 10 * INCH, "out": 10 * INCH}
    parts = build(one, sections, numbers)  # type: ignore[arg-type]
    assert len(parts) == 3  # upright, arm and brace
    for part, wanted in zip(parts, load("T04")["members"], strict=True):
        found = [(x / INCH, y / INCH) for x, y in part_ring(part)]
        for corner in wanted["plan"]:
            assert min(math.dist(corner, p) for p in found) < 1e-3
        assert (part.z_low / INCH, part.z_high / INCH) == pytest.approx(tuple(wanted["z"]))


def test_a_brace_higher_than_the_frame_stands_on_the_table() -> None:
    one = starter("bracket")
    sections = {"frame": find_section("40x40x3"), "brace": find_section("50x50x3")}
    parts = build(one, sections)  # type: ignore[arg-type]
    assert [p.z_low for p in parts] == [5, 5, 0]
    flush = build(one, sections, chosen={"height": "flush at the bottom"})  # type: ignore[arg-type]
    assert [p.z_low for p in flush] == [0, 0, 0]


@pytest.mark.source(
    "method", "plane geometry, reckoned apart: regular polygons, saw each end at 180/n"
)
@pytest.mark.parametrize(("sides", "saw"), [(3, 60), (4, 45), (5, 36), (6, 30), (8, 22.5)])
def test_a_polygon_ring_is_sawn_at_180_over_n(sides: int, saw: float) -> None:
    one = starter("ring")
    for part in build(one, stock(one), {"sides": sides}):
        assert isinstance(part, Member)
        assert (abs(part.start.angle), abs(part.end.angle)) == pytest.approx((saw, saw))
        assert part.start.angle * part.end.angle > 0


@pytest.mark.source(
    "method", "plane geometry, reckoned apart: hexagon 24 across flats, 1.5 wide, four decimals"
)
def test_a_hexagon_24_across_flats() -> None:
    one = starter("ring")
    section = find_section("1-1/2x1-1/2x1/8")
    assert section is not None
    parts = build(one, {"frame": section}, {"sides": 6, "across": 24 * INCH})
    for part in parts:
        assert isinstance(part, Member)
        assert part.long_point / INCH == pytest.approx(13.8564, abs=5e-5)
        assert part.short_point / INCH == pytest.approx(12.1244, abs=5e-5)
    low_x, low_y, high_x, high_y = union_all([Polygon(part_ring(p)) for p in parts]).bounds
    assert (high_x - low_x) / INCH == pytest.approx(27.7128, abs=5e-5)
    assert (high_y - low_y) / INCH == pytest.approx(24)


@pytest.mark.source(
    "method", "plane geometry: a gable's rafters are cut to the pitch and its complement"
)
@pytest.mark.parametrize("post", ["yes", "no"])
def test_a_gable_is_cut_to_its_pitch(post: str) -> None:
    one = starter("gable")
    parts = build(one, stock(one), {"span": 2000, "pitch": 18.4349}, {"post": post})
    rafter = parts[1]
    assert isinstance(rafter, Member)
    assert sorted((abs(rafter.start.angle), abs(rafter.end.angle))) == pytest.approx(
        [18.4349, 90 - 18.4349]
    )
    ridge = max(y for p in parts for _, y in part_ring(p))
    under = 1000 - (20 if post == "yes" else 0)
    assert ridge == pytest.approx(50 + under * math.tan(math.radians(18.4349)), abs=1e-3)


def test_one_rung_stands_in_the_middle() -> None:
    one = starter("ladder")
    assert build(one, stock(one), {"rungs": 1})[2].x == 750
    assert [p.x for p in build(one, stock(one), {"rungs": 3})[2:]] == [150, 750, 1350]


REFUSED: list[tuple[str, dict[str, float], dict[str, str], str]] = [
    ("frame", {"width": 5}, {}, "Overall width: type a value from 10 mm to 20000 mm"),
    ("frame", {"width": 60}, {}, "meet|nothing would be left|too short"),
    ("frame", {}, {"corners": "glued"}, "Corners: choose one of mitred, front"),
    ("railed-frame", {"rails": 12}, {}, "the mid-rails do not fit"),
    ("railed-frame", {"rails": 1.5}, {}, "Mid-rails: type a whole number"),
    ("bracket", {"up": 440}, {}, "past the top of the upright"),
    ("bracket", {"out": 440}, {}, "past the end of the arm"),
    ("a-frame", {"bar": 790}, {}, "no room for the crossbar"),
    ("ladder", {"width": 60}, {}, "no room for rungs"),
    ("ladder", {"rungs": 90}, {}, "the rungs do not fit"),
    ("gable", {"pitch": 85}, {}, "Pitch: type a value from 3° to 80°"),
    ("ring", {"sides": 2}, {}, "Sides: type a value from 3 to 60"),
    ("tripod", {"reach": 10, "thick": 40}, {}, "thicker than they are long"),
]


@pytest.mark.parametrize(("key", "numbers", "chosen", "says"), REFUSED)
def test_sizes_that_make_nothing_are_refused_in_words(
    key: str, numbers: dict[str, float], chosen: dict[str, str], says: str
) -> None:
    one = starter(key)
    with pytest.raises(ValueError, match=says):
        build(one, stock(one), numbers, chosen)


def test_a_starter_needs_its_sections_and_its_name() -> None:
    with pytest.raises(ValueError, match="choose a section for Tie and rafters, King post"):
        build(starter("gable"), {})
    with pytest.raises(KeyError):
        starter("pyramid")
    job, ids = put_starter(EMPTY, (), (0, 0))
    assert (job, ids) == (EMPTY, frozenset())


@pytest.mark.source("method", "Pythagoras, reckoned apart, four decimals")
@pytest.mark.parametrize(
    ("w", "d", "unit", "diagonal"),
    [
        (24, 24, INCH, 33.9411),
        (36, 23, INCH, 42.7200),
        (42.375, 30.625, INCH, 52.2832),
        (3000, 800, 1.0, 3104.8349),
        (192, 96, INCH, 214.6625),
    ],
)
def test_diagonals_over_all_of_a_frame(w: float, d: float, unit: float, diagonal: float) -> None:
    one = starter("frame")
    front, right, back, left = build(one, stock(one), {"width": w * unit, "depth": d * unit})
    corners = [part_ring(p)[0] for p in (front, right, back, left)]
    for a, b in ((0, 2), (1, 3)):
        assert math.dist(corners[a], corners[b]) / unit == pytest.approx(diagonal, abs=6e-5)


@pytest.mark.source(
    "method", "plane geometry: an isosceles triangle, its own mirror image; shapely 2.1"
)
@pytest.mark.parametrize(("spread", "high", "at"), [(800.0, 1000.0, 300.0), (1500.0, 700.0, 120.0)])
def test_an_a_frame_stands_on_its_feet_and_meets_at_its_ridge(
    spread: float, high: float, at: float
) -> None:
    one = starter("a-frame")
    parts = build(one, stock(one), {"spread": spread, "height": high, "bar": at})
    left, right, bar = (Polygon(part_ring(p)) for p in parts)
    whole = union_all([left, right, bar])
    assert whole.bounds == pytest.approx((0, 0, spread, high), abs=1e-3)
    mirrored = affinity.scale(left, -1, 1, origin=(spread / 2, 0))
    assert mirrored.symmetric_difference(right).area < 0.01
    ridge = Point(spread / 2, high)
    assert left.distance(ridge) < 1e-3
    assert left.exterior.distance(Point(spread / 4, high / 2)) < 1e-3  # its outer face
    assert (bar.bounds[1], bar.bounds[3]) == pytest.approx((at, at + parts[2].width), abs=1e-3)  # type: ignore[union-attr]
    for leg in (left, right):
        assert leg.intersection(bar).area < 0.01
        assert leg.distance(bar) < 1e-3


@pytest.mark.source("method", "plane geometry: three legs a third of a turn apart; shapely 2.1")
def test_a_tripods_legs_are_a_third_of_a_turn_apart() -> None:
    one = starter("tripod")
    parts = build(one, stock(one), {"reach": 300, "high": 250, "thick": 12, "top": 120})
    *legs, top = parts
    plans = [Polygon(part_ring(p)) for p in legs]
    hub = Polygon(part_ring(top))
    centre = hub.centroid
    for k, plan in enumerate(plans):
        turned = affinity.rotate(plans[0], 120 * k, origin=centre)
        assert turned.symmetric_difference(plan).area < 0.01
        assert max(centre.distance(Point(p)) for p in plan.exterior.coords) == pytest.approx(
            math.hypot(300, 6), abs=1e-3
        )
        assert plan.distance(plans[k - 1]) < 1e-3
        assert plan.intersection(plans[k - 1]).area < 0.01
    assert hub.area == pytest.approx(120**2 * math.sqrt(3) / 2, rel=1e-6)
    assert union_all([*plans, hub]).bounds[:2] == pytest.approx((0, 0), abs=1e-3)
    assert {(p.z_low, p.z_high) for p in legs} == {(0, 250)}
    assert (top.z_low, top.z_high) == (250, 262)
