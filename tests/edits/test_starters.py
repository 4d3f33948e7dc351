"""Starters: each with its defaults, the sizes it promises, and what it refuses."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import structs
from shapely import Point, Polygon, affinity, union_all

from gridjig.edits.starters import STARTERS, Starter, build, put_starter, starter
from gridjig.files.jobs.job_file import read_job, write_job
from gridjig.files.library.sections import find_section
from gridjig.geometry.part_mass import mass
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Member, Part, Plate, Section, require_whole
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


@pytest.mark.source("method", "trial weldment T08, reckoned by hand: plans, long and short points")
def test_the_trestle_matches_the_hand_calculation() -> None:
    one = starter("trestle")
    numbers = {s.key: s.inches for s in one.sizes}
    parts = build(one, stock(one, inches=True), numbers, None, {"spreaders": (9 * INCH, 24 * INCH)})
    clear(parts)
    members = load("T08")["members"]
    for part, wanted in zip(parts, members, strict=True):
        found = [(x / INCH, y / INCH) for x, y in part_ring(part)]
        for corner in wanted["plan"]:
            assert min(math.dist(corner, p) for p in found) < 1e-3
    legs, *others = [p for p in parts if isinstance(p, Member)][1:]
    assert legs.length / INCH == pytest.approx(members[1]["cut_length"], abs=5e-5)
    sawn = [(p.long_point / INCH, p.short_point / INCH) for p in others]
    assert [long for long, _ in sawn] == pytest.approx([14, 21.8864, 13.5531], abs=5e-5)
    assert [short for _, short in sawn] == pytest.approx([14, 21.0531, 12.7197], abs=5e-5)


def test_a_trestle_refuses_sizes_that_do_not_go_together() -> None:
    one = starter("trestle")
    sections = stock(one)
    for numbers, places, said in (
        ({"bar": 200.0}, (), "beside the top bar"),
        ({"top": 60.0}, (), "legs overlap"),
        ({}, (870.0,), "outside the legs"),
        ({}, (200.0, 230.0), "spreaders overlap"),
    ):
        with pytest.raises(ValueError, match=said):
            build(one, sections, numbers, None, {"spreaders": places})
    straight = build(one, sections, {"feet": 600.0, "top": 600.0, "bar": 700.0}, None,
                     {"spreaders": ()})  # fmt: skip
    clear(straight)
    assert [p.name for p in straight] == ["Left leg", "Right leg", "Top bar"]
    low_x, low_y, *_ = union_all([Polygon(part_ring(p)) for p in straight]).bounds
    assert (low_x, low_y) == pytest.approx((0.0, 0.0))


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
    "method", "plane geometry: a truss's rafters are cut to the pitch and its complement"
)
@pytest.mark.parametrize("post", ["runs to the ridge", "none"])
def test_a_truss_is_cut_to_its_pitch(post: str) -> None:
    one = starter("gable")
    parts = build(one, stock(one), {"span": 2000, "pitch": 18.4349}, {"post": post})
    rafter = parts[1]
    assert isinstance(rafter, Member)
    assert sorted((abs(rafter.start.angle), abs(rafter.end.angle))) == pytest.approx(
        [18.4349, 90 - 18.4349]
    )
    ridge = max(y for p in parts for _, y in part_ring(p))
    under = 1000 - (20 if post == "runs to the ridge" else 0)
    assert ridge == pytest.approx(50 + under * math.tan(math.radians(18.4349)), abs=1e-3)


@pytest.mark.source(
    "method", "plane geometry: the apex lies one rafter depth, square to it, below the ridge"
)
@pytest.mark.parametrize("pitch", [15.0, 30.0, 45.0])
def test_a_king_post_under_the_rafters_is_pointed(pitch: float) -> None:
    one = starter("gable")
    sections = stock(one)
    flat = find_section("40x10", "flat")
    assert flat is not None
    sections["post"] = flat
    parts = build(one, sections, {"span": 2000, "pitch": pitch}, {"post": "rafters meet over it"})
    clear(parts)
    *_, post = parts
    assert isinstance(post, Member)
    slope = math.radians(pitch)
    ridge = 50.0 + 1000.0 * math.tan(slope)
    apex = ridge - 50.0 / math.cos(slope)
    tips = sorted(part_ring(post), key=lambda p: -p[1])
    assert tips[0] == pytest.approx((1000.0, apex), abs=1e-6)
    shoulder = apex - 20.0 * math.tan(slope)
    assert [p[1] for p in tips[1:3]] == pytest.approx([shoulder, shoulder], abs=1e-6)
    # A flat of 40 x 10: the mean of its length is that at a quarter of its width.
    mean = apex - 50.0 - 10.0 * math.tan(slope)
    assert mass(post) == pytest.approx(40.0 * 10.0 * mean * 7850e-9, rel=1e-8)
    rafters = [p for p in parts if "rafter" in p.name]
    assert [max(y for _, y in part_ring(p)) for p in rafters] == pytest.approx([ridge, ridge])


@pytest.mark.source("method", "mirrored about the middle of its box, point by point")
def test_a_bracket_in_its_four_positions() -> None:
    one = starter("bracket")
    numbers = {"upright": 500.0, "arm": 400.0}
    first = build(one, stock(one), numbers)
    plan = union_all([Polygon(part_ring(p)) for p in first])
    flips = {"front right": (-1, 1), "back left": (1, -1), "back right": (-1, -1)}
    assert set(flips) < set(one.choices[0].options)
    for position, (fx, fy) in flips.items():
        parts = build(one, stock(one), numbers, {"position": position})
        clear(parts)
        wanted = affinity.scale(plan, fx, fy, origin=(200.0, 250.0))
        found = union_all([Polygon(part_ring(p)) for p in parts])
        assert found.symmetric_difference(wanted).area < 1e-3
        assert [p.name for p in parts] == ["Upright", "Arm", "Brace"]


def test_a_gate_has_its_rails_where_they_are_typed() -> None:
    one = starter("gate")
    numbers = {"width": 1000.0, "height": 1200.0}
    parts = build(one, stock(one), numbers, None, {"rails": (1150.0, 0.0, 300.0, 700.0)})
    clear(parts)
    names = [p.name for p in parts]
    assert names == ["Left stile", "Right stile", "Bottom rail", "Rail 2", "Rail 3", "Top rail"]
    under = [min(y for _, y in part_ring(p)) for p in parts[2:]]
    assert under == pytest.approx([0.0, 300.0, 700.0, 1150.0])
    assert [p.long_point for p in parts[2:] if isinstance(p, Member)] == pytest.approx([900.0] * 4)
    middle = build(one, stock(one), numbers)
    assert [p.name for p in middle[2:]] == ["Bottom rail", "Middle rail", "Top rail"]


@pytest.mark.parametrize("way", ["rises to the right", "rises to the left"])
def test_the_brace_of_a_gate_fits_both_corners(way: str) -> None:
    one = starter("gate")
    parts = build(one, stock(one), {"width": 1000.0, "height": 1100.0}, {"brace": way})
    clear(parts)
    brace = parts[-1]
    corners = part_ring(brace)
    left, right = (50.0, 950.0) if way == "rises to the right" else (950.0, 50.0)
    for wanted in ((left, 50.0), (right, 500.0)):
        assert min(math.dist(wanted, p) for p in corners) < 1e-6


def test_a_ladder_with_rungs_where_they_are_typed() -> None:
    one = starter("ladder")
    numbers = {"length": 1500.0, "first": 100.0}
    parts = build(one, stock(one), numbers, None, {"places": (0.0, 600.0, 1200.0, 1300.0)})
    clear(parts)
    assert [p.x for p in parts[2:]] == pytest.approx([100.0, 700.0, 1300.0, 1400.0])
    with pytest.raises(ValueError, match="sticks out past the rails"):
        build(one, stock(one), numbers, None, {"places": (0.0, 1390.0)})
    with pytest.raises(ValueError, match="stands there twice"):
        build(one, stock(one), numbers, None, {"places": (0.0, 600.0, 600.0)})


@pytest.mark.parametrize(
    ("lie", "rails", "low"),
    [
        ("between the rails, flush below", "flat", 0.0),
        ("between the rails, flush above", "on edge", 20.0),
        ("between the rails, centred in height", "on edge", 10.0),
        ("on top of the rails", "flat", 30.0),
        ("on top of the rails", "on edge", 50.0),
    ],
)
def test_rungs_flush_or_on_top_and_rails_on_edge(lie: str, rails: str, low: float) -> None:
    one = starter("ladder")
    parts = build(one, stock(one), None, {"rungs_lie": lie, "rails_lie": rails})
    clear(parts)
    rail, rung = parts[0], parts[2]
    assert isinstance(rail, Member)
    assert isinstance(rung, Member)
    assert (rail.width, rail.depth) == ((50.0, 30.0) if rails == "flat" else (30.0, 50.0))
    assert rung.z_low == low
    wide = 400.0 - (0.0 if "on top" in lie else 2.0 * rail.width)
    assert rung.length == pytest.approx(wide)


@pytest.mark.source("method", "a triangle with two legs of 80 mm has half their square")
@pytest.mark.parametrize(
    ("height", "low", "x"),
    [
        ("inside, flush below", 0.0, 50.0),
        ("inside, centred in height", 22.0, 50.0),
        ("on top", 50.0, 0.0),
    ],
)
def test_gussets_in_the_corners_of_a_frame(height: str, low: float, x: float) -> None:
    one = starter("gusset-frame")
    parts = build(one, stock(one), {"leg": 80.0, "thick": 6.0}, {"height": height})
    clear(parts)
    plates = [p for p in parts if isinstance(p, Plate)]
    assert [p.name for p in plates] == [
        "Front left gusset", "Front right gusset", "Back right gusset", "Back left gusset",
    ]  # fmt: skip
    for plate in plates:
        assert (plate.z_low, plate.z_high) == (low, low + 6.0)
        assert Polygon(part_ring(plate)).area == pytest.approx(3200.0)
    assert min(p[0] for p in part_ring(plates[0])) == pytest.approx(x)


def test_names_read_well() -> None:
    names = [p.name for p in build(starter("frame"), stock(starter("frame")))]
    assert names == ["Front rail", "Right stile", "Back rail", "Left stile"]


def test_one_rung_stands_in_the_middle() -> None:
    one = starter("ladder")
    assert build(one, stock(one), {"rungs": 1})[2].x == 500
    assert [p.x for p in build(one, stock(one), {"rungs": 3})[2:]] == [150, 500, 850]


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
    ("gusset-frame", {"leg": 160}, {}, "the gussets meet"),
    ("gate", {"width": 90}, {}, "no room for rails"),
    ("gate", {"height": 1000}, {}, "a rail sticks out of the gate"),
    ("gable", {"pitch": 10, "span": 600}, {"post": "rafters meet over it"}, "no room for a king"),
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


def test_a_section_goes_unused_with_exactly_the_option_that_says_so() -> None:
    """Of every starter and option: a section that is asked for is that of some part."""
    asked = 0
    for one in STARTERS:
        sections = stock(one)
        named = {key: structs.replace(s, name=f"{s.name} {key}") for key, s in sections.items()}
        for choice in one.choices:
            for option in choice.options:
                chosen = {choice.key: option}
                parts = build(one, named, chosen=chosen)
                made = {part.section.name for part in parts if isinstance(part, Member)}
                for each in one.stock:
                    asked += not each.used(chosen)
                    assert (named[each.key].name in made) == each.used(chosen), (one.key, option)
    assert asked == 2
