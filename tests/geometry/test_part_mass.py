"""Masses and centres of gravity, compared with library sections summed in thin strips."""

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon
from shapely.affinity import rotate, scale, translate
from shapely.geometry.base import BaseGeometry

from gridjig.geometry.part_mass import Load, load, mass, total
from gridjig.model import EndCut, Member, Plate, SawCut, Section, WayUp
from gridjig.model.endcut import CutSide
from tests.sectionkit import drawn
from tests.stock import ANGLE, BAR, CHANNEL, EVERY, FLAT, OBLONG, ROUND, SQUARE, bar
from tests.workshop import plate

DENSITY = 7850e-9


def seen(member: Member) -> BaseGeometry:
    """Its section as it lies, x to the left: turned clockwise by its way up, then mirrored.

    Looking along the bar with x to the left, clockwise is the way from up to right, against the
    library's turn from x to y drawn with x to the left.
    """
    shape = rotate(drawn(member.section), member.way_up, origin=(0, 0))
    return scale(shape, -1 if member.mirrored else 1, 1, origin=(0, 0))


def sliced(member: Member, slices: int = 400) -> Load:
    """The same, by cutting the plan polygon and the drawn section into thin upright strips."""
    section, plan = seen(member), Polygon(member.corners)
    volume = along = left = up = 0.0
    wide = member.width / slices
    for k in range(slices):
        at = -member.width / 2 + wide * (k + 0.5)
        strip = section.intersection(shapely.box(at - wide / 2, -1e3, at + wide / 2, 1e3))
        line = plan.intersection(LineString([(-1e4, at), (1e4, at)]))
        if strip.is_empty:
            continue
        low, _, high, _ = line.bounds
        part = strip.area * line.length
        volume += part
        along += part * (low + high) / 2
        left += part * strip.centroid.x
        up += part * strip.centroid.y
    middle = member.z_low + member.depth / 2
    return Load(volume * DENSITY, along / volume, left / volume, middle + up / volume)


SIDES: tuple[CutSide, ...] = ("left", "right")
WAYS: tuple[WayUp, ...] = (0, 90, 180, 270)
CUTS = st.one_of(
    st.floats(-50, 50).map(lambda a: EndCut("mitre", round(a, 3))),
    st.just(EndCut()),
    st.tuples(st.floats(-50, 50), st.floats(-50, 50), st.floats(-5, 5)).map(
        lambda v: EndCut("mitre", round(v[0], 3), more=(SawCut(round(v[1], 3), round(v[2], 3)),))
    ),
    st.sampled_from(SIDES).map(lambda s: EndCut("notch", 0.0, 0.0, 40.0, 3.0, s)),
)


@pytest.mark.source("library", "shapely 2.1", "section areas and centroids summed over thin strips")
@settings(max_examples=40)
@given(
    st.sampled_from([s for s in EVERY if "round" not in s.kind]),
    CUTS,
    CUTS,
    st.sampled_from(WAYS),
    st.booleans(),
)
@pytest.mark.untraced
def test_mass_and_centre_of_a_cut_bar(
    section: Section, start: EndCut, end: EndCut, way: WayUp, mirrored: bool
) -> None:
    made = bar(section, 300, start=start, end=end, way_up=way, mirrored=mirrored, z_low=12)
    found, wanted = load(made), sliced(made)
    assert found.mass == pytest.approx(wanted.mass, rel=1e-3)
    assert (found.x, found.y, found.z) == pytest.approx((wanted.x, wanted.y, wanted.z), abs=0.1)


@pytest.mark.source("library", "shapely 2.1", "section areas and centroids summed over thin strips")
@pytest.mark.parametrize("section", [ROUND, BAR], ids=lambda s: s.kind)
@pytest.mark.parametrize(
    ("end", "exact"),
    [
        (EndCut("mitre", 40), 1e-4),
        # A notch cuts through the points that a round is made of.
        (EndCut("notch", along=40, across=6), 2e-3),
    ],
    ids=["mitred", "notched"],
)
def test_mass_and_centre_of_a_cut_round(section: Section, end: EndCut, exact: float) -> None:
    made = bar(section, 300, start=EndCut("mitre", 20), end=end)
    found, wanted = load(made), sliced(made)
    assert found.mass == pytest.approx(wanted.mass, rel=exact)
    assert (found.x, found.y, found.z) == pytest.approx((wanted.x, wanted.y, wanted.z), abs=0.1)


@pytest.mark.source("library", "shapely 2.1", "centroid of the drawn section")
@pytest.mark.parametrize("section", EVERY, ids=lambda s: s.name)
def test_centre_of_a_square_cut_bar_is_that_of_its_section(section: Section) -> None:
    for way in WAYS:
        made = bar(section, way_up=way)
        shape = seen(made)
        found = load(made)
        assert found.mass == pytest.approx(shape.area * 500 * DENSITY, rel=1e-4)
        assert found.x == pytest.approx(250)
        assert found.y == pytest.approx(shape.centroid.x, abs=1e-3)
        assert found.z - made.depth / 2 == pytest.approx(shape.centroid.y, abs=1e-3)


def test_which_side_an_angle_and_a_channel_lie_on() -> None:
    """Way up 0: heel or web on the right; 90: heel below on the left, web below."""
    for section, quarter in ((ANGLE, (1, -1)), (CHANNEL, (0, -1))):
        flat = load(bar(section))
        assert flat.y < 0
        assert load(bar(section, mirrored=True)).y == pytest.approx(-flat.y)
        turned = bar(section, way_up=90)
        found = load(turned)
        assert math.copysign(1, found.z - turned.depth / 2) == quarter[1]
        assert (round(found.y, 6) > 0) == (quarter[0] > 0)


@pytest.mark.source(
    "method", "plane geometry: area times the mean of both edges, reckoned apart in the trials"
)
@given(st.floats(-60, 60), st.floats(-60, 60))
def test_tubes_weigh_their_area_times_the_mean_of_both_edges(a: float, b: float) -> None:
    made = bar(OBLONG, start=EndCut("mitre", a), end=EndCut("mitre", b))
    mean = sum(made.edges) / 2
    assert mass(made) == pytest.approx(OBLONG.mass() * mean / 1000)


@pytest.mark.source(
    "method", "numerical integration of the saddle formula over the wall, 4,000 x 40 points"
)
@pytest.mark.parametrize("angle", [0.0, 30.0])
def test_a_coped_tube_weighs_what_its_saddle_leaves(angle: float) -> None:
    made = bar(ROUND, end=EndCut("cope", angle, 60.3))
    header, outer, wall = 60.3 / 2, 48.3 / 2, 3.2
    t = math.radians(90 - angle)
    volume = 0.0
    for i in range(40):
        r = outer - wall * (i + 0.5) / 40
        ring = wall / 40 * 2 * math.pi * r / 4000
        for k in range(4000):
            p = 2 * math.pi * (k + 0.5) / 4000
            saddle = r * math.cos(p) / math.tan(t) + math.sqrt(
                header**2 - r**2 * math.sin(p) ** 2
            ) / math.sin(t)
            volume += ring * (made.length + header / math.sin(t) - saddle)
    assert mass(made) == pytest.approx(volume * DENSITY, rel=5e-5)


def test_a_square_tube_coped_to_a_round_weighs_more_than_one_cut_square() -> None:
    made = bar(SQUARE, end=EndCut("cope", 0, 100))
    # Fibres at height h run on by R - sqrt(R2 - h2), between none at the middle and 6.7 mm.
    longer = (mass(made) - mass(bar(SQUARE))) / (SQUARE.mass() / 1000)
    assert 0 < longer < made.long_point - made.length


@pytest.mark.source("library", "shapely 2.1", "area and centroid")
def test_a_plate_weighs_its_plan_area_times_its_thickness() -> None:
    made = plate("p", 100, 50)
    flat = load(made)
    assert (flat.mass, flat.x, flat.y, flat.z) == pytest.approx((36000 * DENSITY, 150, 80, 3))
    shape = ((0.0, 0.0), (90.0, 0.0), (0.0, 60.0))
    tri = Plate(id="t", name="t", corners=shape, z_low=5, z_high=13, x=10, y=20, turn=90)
    found = load(tri, 7930)
    centre = translate(rotate(Polygon(shape), 90, origin=(0, 0)), 10, 20).centroid
    assert found.mass == pytest.approx(90 * 60 / 2 * 8 * 7930e-9)
    assert (found.x, found.y, found.z) == pytest.approx((centre.x, centre.y, 9))


def test_a_bar_lies_where_it_lies_on_the_table() -> None:
    found = load(bar(FLAT, x=100, y=200, turn=90, z_low=10))
    assert (found.x, found.y, found.z) == pytest.approx((100, 450, 13))


def test_several_loads_make_one() -> None:
    both = total([Load(1, 0, 0, 0), Load(3, 40, 8, 4)])
    assert both == Load(4, 30, 6, 3)
    with pytest.raises(ValueError, match="draw a part"):
        total([])


def test_loads_too_small_to_weigh_lie_at_the_mean_of_their_places() -> None:
    assert total([Load(0.0, 0.0, 0.0, 0.0), Load(0.0, 4.0, 2.0, 1.0)]) == Load(0.0, 2.0, 1.0, 0.5)
    with pytest.raises(ValueError, match="nothing to weigh"):
        total([])
