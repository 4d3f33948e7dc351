"""Values of the trade and of plane geometry that whole weldments have to come out with."""

import math

import pytest
from msgspec import structs
from shapely import Polygon, affinity

from gridjig.edits import copies, joining
from gridjig.edits.members import between
from gridjig.files.library.sections import find_section
from gridjig.geometry.part_mass import mass
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.plate_holes import part_openings
from gridjig.model import Drilled, EndCut, Job, Member, Part, Plate, Slotted
from gridjig.model.by_weldment import parts_of
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
