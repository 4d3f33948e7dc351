"""Values of the trade and of plane geometry that whole weldments have to come out with."""

import math

import pytest
from msgspec import structs
from shapely import Polygon, affinity

from gridjig.edits import copies, joining
from gridjig.edits.members import between
from gridjig.edits.parts import polygon
from gridjig.files.library.sections import find_section
from gridjig.geometry.part_mass import mass
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.plate_holes import part_openings
from gridjig.model import Drilled, EndCut, Job, Member, Part, Plate, Slotted
from gridjig.model.by_weldment import parts_of
from gridjig.proof.exact.measures import skew_of, squareness
from gridjig.sheets.lists.cut_list import cut_list
from gridjig.solve.weldment.welding import weld_lines_of
from gridjig.units import INCH, parse_angle
from gridjig.units.masses import POUND
from tests.stock import FLAT, SQUARE, bar
from tests.workshop import laid, plate

FOOT = 12 * INCH


@pytest.mark.source("published", "a steel stockist's table of square tube", "12.21 lb per foot")
def test_the_heaviest_square_tube_of_the_table() -> None:
    section = find_section("4x4x1/4")
    assert section is not None
    cut = Member(id="a", name="a", section=section, length=FOOT)
    assert mass(cut) / POUND == pytest.approx(12.21, abs=0.006)


@pytest.mark.source(
    "published", "a steel stockist's table of flat bar", "4 x 1/4 in: 3.40 lb per foot"
)
def test_a_foot_of_the_flat_of_the_table_less_its_holes() -> None:
    """As a flat bar, as a plate of that size, and as that plate with four holes of 9/16 in."""
    section = find_section("4x1/4")
    assert section is not None
    flat = Member(id="a", name="a", section=section, length=FOOT)
    whole = structs.replace(plate("p", 100, 100, FOOT, 4 * INCH), z_high=0.25 * INCH)
    holes = tuple(Drilled((k * 2 * INCH, 2 * INCH), 9 / 16 * INCH) for k in range(1, 5))
    drilled = structs.replace(whole, holes=holes)
    assert mass(flat) / POUND == pytest.approx(3.40, abs=0.005)
    assert mass(whole) == pytest.approx(mass(flat), rel=1e-9)
    left = 1 - 4 * math.pi / 4 * (9 / 16) ** 2 / (12 * 4)
    assert mass(drilled) / POUND == pytest.approx(3.40 * left, abs=0.005)
    assert mass(drilled) == pytest.approx(mass(whole) * left, rel=1e-4)


@pytest.mark.source("method", "plane geometry: d1^2 - d2^2 = 4 a b sin(skew), worked by hand")
@pytest.mark.parametrize(
    ("a", "b", "diagonals", "minutes", "across_b"),
    [
        (1200, 800, (1443, 1441), 5.16, 1.202),
        (600, 600, (849.5, 847.5), 8.1, 1.414),
        (2000, 500, (2062.5, 2060.5), 7.09, 1.031),
        (36, 24, (43.300, 43.230), 6.03, 0.042),
        (192, 96, (214.6625 + 0.5, 214.6625 - 0.5), 20.0, 0.559),
    ],
)
def test_how_far_two_diagonals_say_that_a_frame_is_out_of_square(
    a: float, b: float, diagonals: tuple[float, float], minutes: float, across_b: float
) -> None:
    skew = skew_of(a, b, diagonals[0] - diagonals[1], sum(diagonals))
    assert skew * 60 == pytest.approx(minutes, abs=0.05)
    assert b * math.sin(math.radians(skew)) == pytest.approx(across_b, abs=6e-4)


@pytest.mark.source("method", "plane geometry: sides 1200 x 800 at 90 deg 20'")
def test_the_diagonals_of_a_frame_twenty_minutes_out_of_square() -> None:
    lean = math.radians(20 / 60)
    x, y = 800 * math.sin(lean), 800 * math.cos(lean)
    skewed = polygon("p", "p", [(0, 0), (1200, 0), (1200 + x, y), (x, y)], (0.0, 10.0))
    job = laid(skewed)
    said = squareness(job, job.weldments[0].id, {}, job.parts)
    assert said is not None
    found = sorted((said.first.nominal, said.second.nominal))
    assert found == pytest.approx([1438.343, 1446.088], abs=6e-4)
    assert skew_of(1200, 800, found[1] - found[0], sum(found)) == pytest.approx(1 / 3)


@pytest.mark.source(
    "method", "plane geometry: w / cos a along the cut, 2 w tan a between the points"
)
@pytest.mark.parametrize(
    ("angle", "along", "between_points"), [(45.0, 2.1213, 3.0), (30.0, 1.7321, 1.7321)]
)
def test_a_mitre_an_inch_and_a_half_wide(angle: float, along: float, between_points: float) -> None:
    wide = structs.replace(FLAT, width=1.5 * INCH)
    cut = bar(wide, 500, start=EndCut("mitre", angle), end=EndCut("mitre", angle))
    assert (cut.long_point - cut.short_point) / INCH == pytest.approx(between_points, abs=5e-5)
    right, left = cut.corners[1], cut.corners[2]
    assert math.dist(right, left) / INCH == pytest.approx(along, abs=5e-5)


@pytest.mark.source("published", "a carpenter's rafter table", "length of rafter per run")
@pytest.mark.parametrize(
    ("pitch", "factor"),
    [("1:12", 1.00347), ("4:12", 1.05409), ("6:12", 1.11803), ("9:12", 1.25), ("12:12", 1.41421)],
)
def test_a_rafter_is_as_much_longer_than_its_run_as_the_pitch_makes_it(
    pitch: str, factor: float
) -> None:
    rise = 1200 * math.tan(math.radians(parse_angle(pitch)))
    rafter = between("a", "a", SQUARE, (0, 0), (1200, rise))
    assert rafter.length / 1200 == pytest.approx(factor, abs=1e-5)


def bracket() -> Job:
    """A base plate with two holes and a slot, and on it a post that is pointed at one end."""
    base = structs.replace(
        plate("base", 300, 300, 200, 120),
        z_high=10,
        holes=(Drilled((30, 30), 18), Drilled((170, 40), 14), Slotted((90, 90), (130, 100), 12)),
    )
    post = between("post", "post", SQUARE, (350, 340), (620, 410))
    rails = [
        between("one", "one", SQUARE, (600, 250), (700, 450)),
        between("two", "two", SQUARE, (700, 350), (560, 560)),
    ]
    parts = [structs.replace(part, z_low=10.0) for part in (post, *rails)]
    job = laid(base, *parts)
    return joining.trim(joining.trim(job, "post", "one"), "post", "two")


@pytest.mark.source("library", "shapely 2.1", "affinity.scale, areas and hausdorff distances")
def test_the_opposite_hand_of_holes_and_pointed_ends() -> None:
    """The other hand mirrored is the first again: outlines, holes, mass, seams, cut list."""
    job = bracket()
    post = job.find("post")
    assert isinstance(post, Member)
    assert post.end.more or post.start.more
    both, fresh = copies.mirror_copy(job, frozenset({"base", "post"}), (800, 0), (800, 1))
    twins = [part for part in both.parts if part.id in fresh]
    assert len(twins) == 2
    pairs = [(one, other) for one in job.parts for other in twins if match(one, other)]
    assert len(pairs) == 2
    for one, other in pairs:
        assert mass(other) == pytest.approx(mass(one), rel=1e-9)
    other_hand = copies.mirror(both, fresh, (800, 0), (800, 1))
    for thing_id in fresh:
        back = other_hand.find(thing_id)
        assert isinstance(back, Member | Plate)
        assert any(same(back, one) for one in job.parts)


def match(one: Part, other: Part) -> bool:
    """True if one part is the mirror image of the other about x = 800."""
    there = affinity.scale(steel(one), -1, 1, origin=(800, 0))
    return near(there, steel(other)) and (one.z_low, one.z_high) == (other.z_low, other.z_high)


def same(one: Part, other: Part) -> bool:
    return near(steel(one), steel(other))


def near(one: Polygon, other: Polygon) -> bool:
    return bool(one.symmetric_difference(other).area < 1e-3)


def steel(part: Part) -> Polygon:
    return Polygon(part_ring(part), part_openings(part))


@pytest.mark.source("method", "symmetry: the other hand has the same seams and the same mass")
def test_a_whole_weldment_and_its_opposite_hand_have_the_same_seams_and_cuts() -> None:
    job = bracket()
    every = frozenset(part.id for part in job.parts)
    both, fresh = copies.mirror_copy(job, every, (900, 0), (900, 1))
    assert len(fresh) == len(every)
    one, other = both.weldments
    assert other.opposite_of == one.id
    seams = [
        sorted(round(line.length, 6) for line in weld_lines_of(both, hand.id))
        for hand in (one, other)
    ]
    assert len(seams[0]) >= 3
    assert seams[0] == seams[1]
    weights = [sum(mass(part) for part in parts_of(both, hand.id)) for hand in (one, other)]
    assert weights[0] == pytest.approx(weights[1], rel=1e-12)
    lists = [cut_list(both, hand.id) for hand in (one, other)]
    assert lists[0].mass == pytest.approx(lists[1].mass, rel=1e-12)
    assert [line.cuts for line in lists[0].bars] == [line.cuts for line in lists[1].bars]
    together = cut_list(both)
    post = [line for line in together.bars if any("post" in name for name in line.names)]
    assert sum(line.count for line in post) == 2
