"""Parts of a drawing: plates and members in their place, their names, and what is said of them."""

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from gridjig.files.drawings.curves import DrawnCurve, LineArcPath, circle
from gridjig.files.drawings.drawing import Drawing, Sketch, outlined
from gridjig.files.drawings.member import member_of
from gridjig.files.drawings.parts import LayerUse, step_name, to_job, to_parts
from gridjig.files.drawings.report import (
    accuracy_words,
    size_words,
    sizes_words,
    unused_words,
    used_words,
)
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Display, EndCut, Member, Plate, Section
from gridjig.model.job import require_whole
from gridjig.rack import Point
from tests.workshop import EMPTY

TUBE = Section(name="60x40x3", kind="rectangular tube", width=60, height=40, wall=3)
INCHES, MM = Display(), Display(unit="millimetres")


def ring(*points: Point) -> LineArcPath:
    return LineArcPath(tuple((x, y, 0.0) for x, y in points), closed=True)


def drawing(*drawn: tuple[str, LineArcPath], unit: str | None = "mm") -> Drawing:
    return outlined(Sketch("gate.dxf", unit, tuple(DrawnCurve(*one) for one in drawn)))


PLATE = ring((10, 20), (110, 20), (110, 70), (10, 70))
BAR = ring((200, 0), (800, 0), (760, 40), (240, 40))


# -- plates ----------------------------------------------------------------------------------------


@pytest.mark.source("library", "shapely 2.2", "area and bounds")
@pytest.mark.parametrize(("unit", "mm"), [("mm", 1.0), ("in", 25.4), ("cm", 10.0)])
def test_plates_have_their_size_and_lie_where_they_were_put(unit: str, mm: float) -> None:
    source = drawing(("0", PLATE), ("0", circle((200, 45), 10)), unit=unit)
    brought = to_parts(EMPTY, source, [LayerUse("0", 5.0, 8.0)], at=(30.0, 40.0))
    shapes = [shapely.Polygon(part_ring(part)) for part in brought.parts]
    assert shapely.union_all(shapes).bounds[:2] == pytest.approx((30, 40), abs=1e-5)
    assert (brought.width, brought.depth) == pytest.approx((200 * mm, 50 * mm))
    assert max(s.area for s in shapes) == pytest.approx(5000 * mm * mm, rel=1e-6)
    assert all((p.z_low, p.z_high) == (5.0, 13.0) for p in brought.parts)
    assert (brought.plates, brought.members, brought.unlike, brought.lost) == (2, 0, 0, 0)


def test_without_a_place_they_come_to_the_middle_of_the_table() -> None:
    table = EMPTY.table
    brought = to_parts(EMPTY, drawing(("0", PLATE)), [LayerUse("0")])
    middle = shapely.Polygon(part_ring(brought.parts[0])).centroid
    assert (middle.x, middle.y) == pytest.approx((table.width / 2, table.depth / 2), abs=1e-5)


def test_openings_are_parts_only_if_asked() -> None:
    source = drawing(("0", PLATE), ("0", circle((50, 45), 10)))
    assert len(to_parts(EMPTY, source, [LayerUse("0")]).parts) == 1
    assert len(to_parts(EMPTY, source, [LayerUse("0")], inner=True).parts) == 2


def test_only_the_chosen_layers_come_each_as_it_was_chosen() -> None:
    source = drawing(("A", PLATE), ("B", BAR), ("C", circle((50, 500), 10)))
    uses = [LayerUse("A", thickness=3.0), LayerUse("B", 2.0, section=TUBE)]
    plate, bar = to_parts(EMPTY, source, uses).parts
    assert isinstance(plate, Plate)
    assert isinstance(bar, Member)
    assert (plate.name, plate.z_high) == ("A 1", 3.0)
    assert (bar.name, bar.z_low, bar.section) == ("B 2", 2.0, TUBE)


def test_the_job_stays_whole_and_ids_are_new() -> None:
    source = drawing(("0", PLATE), ("0", BAR))
    once = to_job(EMPTY, to_parts(EMPTY, source, [LayerUse("0")]))
    twice = to_job(once, to_parts(once, source, [LayerUse("0")]))
    require_whole(twice)
    assert [part.id for part in twice.parts] == [f"drawn-{k}" for k in range(1, 5)]
    assert [part.name for part in once.parts] == ["gate 1", "gate 2"]
    assert step_name(source) == "Import gate.dxf"


def test_what_cannot_be_made_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    source = drawing(("0", PLATE), ("1", LineArcPath(((0, 0, 0), (9, 9, 0)))))
    for uses, words in (([], "No layer is chosen"), ([LayerUse("1")], "no closed outline")):
        with pytest.raises(ValueError, match=words):
            to_parts(EMPTY, source, uses)
    with pytest.raises(ValueError, match="states no unit"):
        to_parts(EMPTY, drawing(("0", PLATE), unit=None), [LayerUse("0")])
    monkeypatch.setattr("gridjig.files.drawings.parts.MOST_PARTS", 1)
    with pytest.raises(ValueError, match="2 closed outlines, and 1 is the most"):
        to_parts(EMPTY, drawing(("0", PLATE), ("0", BAR)), [LayerUse("0")])


def test_an_outline_of_rounding_size_is_counted() -> None:
    tiny = ring((0, 0), (1, 0), (1, 1e-9))
    source = structs_with_ring(tiny)
    brought = to_parts(EMPTY, source, [LayerUse("0")])
    assert (brought.lost, brought.plates) == (1, 0)
    assert "1 outline too small" in unused_words(source, [LayerUse("0")], brought)


def structs_with_ring(tiny: LineArcPath) -> Drawing:
    """A drawing that holds a ring that the making of outlines would have dropped."""
    from msgspec.structs import replace

    made = drawing(("0", PLATE))
    points = tuple((x, y) for x, y, _ in tiny.corners)
    return replace(made, layers=(replace(made.layers[0], outlines=(points,)),))


# -- members ---------------------------------------------------------------------------------------


@pytest.mark.source("method", "geometry: a member's own plan corners, turned and moved")
@given(
    length=st.floats(200, 3000),
    angles=st.tuples(st.floats(-60, 60), st.floats(-60, 60)),
    place=st.tuples(st.floats(-500, 500), st.floats(-500, 500), st.floats(-180, 180)),
    upright=st.booleans(),
    first=st.integers(0, 3),
)
def test_a_members_plan_gives_the_member_back(
    length: float,
    angles: tuple[float, float],
    place: tuple[float, float, float],
    upright: bool,
    first: int,
) -> None:
    start, end = (
        EndCut() if abs(a) < 1 else EndCut(kind="mitre", angle=round(a, 3)) for a in angles
    )
    x, y, turn = place
    drawn = Member(id="m", name="m", section=TUBE, length=length, start=start, end=end,
                   way_up=90 if upright else 0, x=x, y=y, turn=turn)  # fmt: skip
    plan = list(part_ring(drawn))
    halved = ((plan[0][0] + plan[1][0]) / 2, (plan[0][1] + plan[1][1]) / 2)
    plan.insert(1, halved)  # a corner on a straight side is none
    found = member_of((*plan[first:], *plan[:first]), TUBE, "m", "m", 0.0)
    assert found is not None
    assert found.length == pytest.approx(length, abs=0.01)
    assert found.way_up == drawn.way_up
    was, now = (shapely.Polygon(part_ring(m)) for m in (drawn, found))
    assert was.symmetric_difference(now).area < 0.5
    cuts = [start.angle, end.angle]
    if abs(found.turn - turn) > 1 and abs(abs(found.turn - turn) - 360) > 1:  # end for end
        cuts = [-end.angle, -start.angle]
    assert [found.start.angle, found.end.angle] == pytest.approx(cuts, abs=0.02)
    assert -90 < found.turn <= 90


@pytest.mark.parametrize(
    "plan",
    [
        ((0, 0), (500, 0), (500, 61)),
        ((0, 0), (500, 0), (500, 62), (0, 62)),
        ((0, 0), (500, 0), (500, 50), (0, 60)),
        ((0, 0), (100, 0), (60, 60), (40, 60), (20, 70)),
        ((0, 0), (5000, 0), (2500, 40), (2499, 40)),
        ((0, 0), (500, 0), (500, 59.9), (0, 60.1)),
        ((0, 0), (100, 0), (40, 60), (60, 60)),
        ((0, 0), (500, 0), (0, 0), (0, 60), (-500, 60)),
    ],
)
def test_what_is_no_member_of_the_section_is_none(plan: tuple[Point, ...]) -> None:
    assert member_of(plan, TUBE, "m", "m", 0.0) is None


def test_of_two_ways_along_the_longer_is_taken() -> None:
    square = Section(name="60x60x3", kind="square tube", width=60, height=60, wall=3)
    found = member_of(((0, 0), (60, 0), (60, 59.9), (0, 59.9)), square, "m", "m", 0.0)
    assert found is not None
    assert found.length == pytest.approx(60)
    assert found.turn == 0.0


def test_where_the_width_is_not_the_sections_a_plate_comes_and_is_counted() -> None:
    brought = to_parts(EMPTY, drawing(("0", PLATE), ("0", BAR)), [LayerUse("0", section=TUBE)])
    assert (brought.plates, brought.members, brought.unlike) == (1, 1, 1)


# -- words -----------------------------------------------------------------------------------------


@pytest.mark.expectation(53)
def test_what_is_said_of_it() -> None:
    crossing = ring((0, 300), (10, 310), (10, 300), (0, 310))
    source = drawing(
        ("0", PLATE),
        ("0", PLATE),
        ("0", circle((50, 45), 10)),
        ("0", LineArcPath(((0, 200, 0), (50, 200, 0)))),
        ("0", crossing),
        ("1", BAR),
    )
    uses = [LayerUse("0")]
    brought = to_parts(EMPTY, source, uses)
    assert used_words(source, brought) == "1 plate with 1 hole"
    assert unused_words(source, uses, brought) == (
        "1 line that is not part of a closed outline",
        "1 shape on a layer not chosen",
        "1 line drawn twice",
        "1 outline that crosses itself, at x 5, y 305 of the drawing",
    )
    assert "opening" not in " ".join(unused_words(source, uses, None))
    assert accuracy_words(source).startswith("Curves are flattened to within 0.05 mm")
    assert "unit" in accuracy_words(drawing(("0", PLATE), unit=None))


def test_two_crossings_name_the_first() -> None:
    rings = [ring((k, 0), (k + 9, 9), (k + 9, 0), (k, 9)) for k in (0, 20)]
    source = drawing(*(("0", r) for r in rings))
    assert unused_words(source, [LayerUse("0")], None) == (
        "2 outlines that cross themselves, the first at x 4.5, y 4.5 of the drawing",
    )


def test_sizes_are_told_in_each_unit() -> None:
    source = drawing(("0", ring((0, 0), (40, 0), (40, 20.5), (0, 20.5))), unit=None)
    assert size_words(source, "mm", MM) == "40 × 20.5 mm"
    assert size_words(source, "in", MM) == "1,016 × 521 mm"
    assert size_words(source, "in", INCHES) == "40 × 20.5 in"
    assert sizes_words(source, INCHES).count(" if ") == 5
    assert math.isclose(source.size("cm")[0], 400)


def test_what_is_larger_than_a_part_can_be_is_said_and_not_lost() -> None:
    wide = drawing(("0", ring((0, 0), (200, 0), (200, 1), (0, 1))), unit="m")
    with pytest.raises(
        ValueError, match="choose another unit, or import only a part of the drawing"
    ):
        to_parts(EMPTY, wide, [LayerUse("0")])
    fits = drawing(("0", ring((0, 0), (90, 0), (90, 1), (0, 1))), unit="m")
    assert len(to_parts(EMPTY, fits, [LayerUse("0")]).parts) == 1
