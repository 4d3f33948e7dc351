"""The prisms of a part against its section, its plan and plain geometry."""

import math

import pytest
import shapely
from msgspec import structs
from shapely.geometry.base import BaseGeometry

from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.part_solids import Flat, PartFace, clipped, hollow_holds, part_solids
from gridjig.model import EndCut, Member, Plate, Section, WayUp
from gridjig.rack import Point
from tests.stock import ANGLE, BAR, CHANNEL, EVEN_ANGLE, EVERY, FLAT, OBLONG, ROUND, SQUARE, bar

WAYS: tuple[WayUp, ...] = (0, 90, 180, 270)


def cross_section(member: Member) -> BaseGeometry:
    """What its prisms take across it, seen from its start: left is -x, up is y."""
    return shapely.union_all(
        [shapely.box(-s.across[1], s.z_low, -s.across[0], s.z_high) for s in part_solids(member)]
    )


@pytest.mark.source(
    "method", "arithmetic: an angle has t (w + h - t), a channel t (h - 2f) + 2 w f, less fillets"
)
@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("section", [ANGLE, EVEN_ANGLE, CHANNEL])
def test_legs_add_up_to_the_section(section: Section, mirrored: bool, way: WayUp) -> None:
    member = bar(section, way_up=way, mirrored=mirrored, z_low=7.0)
    w, h, t, f = section.width, section.height, section.wall, section.flange
    area = t * (w + h - t) if section.kind == "angle" else t * (h - 2 * f) + 2 * w * f
    taken = cross_section(member)
    assert taken.area == pytest.approx(area)
    assert taken.bounds == pytest.approx((-member.width / 2, 7, member.width / 2, 7 + member.depth))


@pytest.mark.source(
    "method", "the way a member lies, as it is described: heel on the right, at 90 on the left"
)
@pytest.mark.parametrize(
    ("way", "mirrored", "corner"),
    [(0, False, (1, -1)), (90, False, (-1, -1)), (180, False, (-1, 1)), (270, False, (1, 1)),
     (0, True, (-1, -1)), (90, True, (1, -1))],
)  # fmt: skip
def test_where_the_heel_of_an_angle_lies(way: WayUp, mirrored: bool, corner: Point) -> None:
    member = bar(ANGLE, way_up=way, mirrored=mirrored)
    taken = cross_section(member)
    for right in (-1, 1):
        for up in (-1, 1):
            x = right * (member.width / 2 - 4.9)
            z = member.depth / 2 + up * (member.depth / 2 - 4.9)
            legs = {(corner[0], corner[1]), (-corner[0], corner[1]), (corner[0], -corner[1])}
            assert taken.contains(shapely.Point(x, z)) == ((right, up) in legs)


@pytest.mark.source("method", "the plan of the member")
@pytest.mark.parametrize("section", EVERY, ids=lambda s: s.kind)
def test_the_prisms_fill_the_plan_and_the_height(section: Section) -> None:
    member = structs.replace(
        bar(section, x=30.0, y=-20.0, turn=33.0, z_low=12.0),
        start=EndCut("mitre", 30.0),
        end=EndCut("notch", along=40, across=9, side="right"),
    )
    solids = part_solids(member)
    plan = shapely.union_all([shapely.Polygon(s.ring) for s in solids])
    assert plan.symmetric_difference(shapely.Polygon(part_ring(member))).area < 1e-6
    assert min(s.z_low for s in solids) == pytest.approx(12.0)
    assert max(s.z_high for s in solids) == pytest.approx(member.z_high)
    for solid in solids:
        assert shapely.Polygon(solid.ring).exterior.is_ccw
        assert len(solid.ring) == len(solid.faces) == len(solid.flats) == len(solid.corners)
        for p, number in zip(solid.ring, solid.corners, strict=True):
            if number is not None:
                assert p == pytest.approx(part_ring(member)[number])
    assert part_solids(member) is solids


@pytest.mark.parametrize("section", EVERY, ids=lambda s: s.kind)
def test_every_side_is_a_face_of_some_prism(section: Section) -> None:
    member = bar(section, start=EndCut("mitre", 20.0))
    named = {face for solid in part_solids(member) for face in solid.faces if face is not None}
    assert {f.number for f in named if f.kind == "side"} == {0, 1, 2, 3}
    open_ = section.kind in ("angle", "channel")
    assert any(face.kind == "inside" for face in named) == open_


@pytest.mark.source("method", "plane geometry: a chord of the rounding")
@pytest.mark.parametrize("section", [SQUARE, OBLONG, ROUND, BAR])
def test_how_much_narrower_it_is_below_its_flat(section: Section) -> None:
    member = bar(section)
    (solid,) = part_solids(member)
    r = section.radius or section.width / 2.0
    for height in (0.1 * r, 0.5 * r, 0.9 * r):
        back = r - math.sqrt(r * r - (r - height) ** 2)
        assert solid.recess(-5.0, height) == pytest.approx(back)
        assert solid.recess(member.depth - height, 500.0) == pytest.approx(back)
        ring = solid.narrowed(back)
        ys = sorted({round(p[1], 9) for p in ring})
        assert ys == pytest.approx([-member.width / 2 + back, member.width / 2 - back])
    assert solid.recess(0.0, member.depth) == 0.0
    assert solid.rounded
    flat = member.width / 2 - r
    assert {round(p[1], 9) for p in solid.bottom} == {-flat + 0.0, flat}


def test_a_plate_and_a_flat_are_square() -> None:
    for part in (bar(FLAT), Plate(id="o", name="o", corners=((0, 0), (9, 0), (0, 9)))):
        (solid,) = part_solids(part)
        assert not solid.rounded
        assert solid.recess(0.0, 0.001) == 0.0
        assert solid.narrowed(3.0) == solid.ring
        assert all(flat == Flat(part.z_low, part.z_high) for flat in solid.flats)


def test_a_plate_drawn_clockwise_keeps_the_numbers_of_its_sides() -> None:
    corners = ((0.0, 0.0), (0.0, 50.0), (80.0, 50.0), (80.0, 0.0))
    part = Plate(id="o", name="o", corners=corners, x=5.0, y=6.0, turn=20.0)
    (solid,) = part_solids(part)
    ring = part_ring(part)
    assert shapely.Polygon(solid.ring).exterior.is_ccw
    for k, face in enumerate(solid.faces):
        assert face is not None
        ends = {solid.ring[k], solid.ring[(k + 1) % 4]}
        assert ends == {ring[face.number], ring[(face.number + 1) % 4]}
        number = solid.corners[k]
        assert number is not None
        assert solid.ring[k] == ring[number]


def test_labels() -> None:
    assert PartFace("side", 2).label == "side:2"
    assert PartFace("top").label == "top"
    assert PartFace("bottom").label == "bottom"
    assert PartFace("inside", 1).label == "inside:1"


@pytest.mark.source("library", "shapely 2", "intersection with a strip")
def test_clipping_keeps_the_numbers_of_the_sides() -> None:
    ring = ((0.0, -10.0), (60.0, -10.0), (40.0, 10.0), (10.0, 10.0))
    made = clipped([(p, k) for k, p in enumerate(ring)], -4.0, 5.0)
    strip = shapely.Polygon(ring).intersection(shapely.box(-99, -4, 99, 5))
    assert shapely.Polygon([p for p, _ in made]).symmetric_difference(strip).area < 1e-9
    assert [side for _, side in made] == [-1, 1, -2, 3] or sorted(s for _, s in made) == [
        -2,
        -1,
        1,
        3,
    ]
    assert clipped([(p, k) for k, p in enumerate(ring)], -10.0, 10.0) == [
        (p, k) for k, p in enumerate(ring)
    ]


PIPE = Section(name="p", kind="round tube", width=60.0, height=60.0, wall=5.0)


@pytest.mark.source("method", "arithmetic: a 44 x 44 hollow, and a bore of 50")
def test_what_goes_into_a_hollow() -> None:
    tube = bar(SQUARE, length=300)

    def fits(inner: Member, outer: Member) -> bool:
        return hollow_holds(outer, inner, part_ring(inner), 0.01)

    def square(size: float, **more: object) -> Member:
        section = Section(name="s", kind="square tube", width=size, height=size, wall=2.0)
        made = bar(section, 100, z_low=25.0 - size / 2)
        return structs.replace(made, **more)

    assert fits(square(44.0), tube)
    assert not fits(square(44.2), tube)
    assert not fits(square(40.0, y=3.0), tube)
    assert not fits(square(40.0, z_low=2.0), tube)
    pipe = bar(PIPE, length=300)
    rod = Section(name="r", kind="round bar", width=50.0, height=50.0)
    assert fits(bar(rod, 100, z_low=5.0), pipe)
    assert not fits(bar(rod, 100, z_low=6.0), pipe)
    assert not fits(bar(rod, 100, z_low=5.0, y=1.0), pipe)
    assert fits(square(35.0, z_low=30.0 - 17.5), pipe)
    assert not fits(square(36.0, z_low=30.0 - 18.0), pipe)
    assert not fits(square(10.0), bar(FLAT))
    assert not hollow_holds(Plate(id="o", name="o", corners=((0, 0), (9, 0), (0, 9))), tube, (), 0)
