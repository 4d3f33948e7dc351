"""A job and a table at true size: what is on which layer, marks, slots, what is left out."""

import math

import pytest
from msgspec import structs

from gridjig.geometry.layered import (
    CircleGrid,
    LayeredCircle,
    LayeredDrawing,
    LayeredText,
    Path,
    flattened,
)
from gridjig.model import CutOut, Drilled, Hole, HoleMark, Slotted
from gridjig.sheets.drawings.silhouette import slot_ring
from gridjig.sheets.drawings.true_size import setup_drawing, table_drawing
from tests.workshop import EMPTY, laid, plate, put, seat, stop

MARKED = structs.replace(
    EMPTY,
    table=structs.replace(
        EMPTY.table,
        marks=(
            HoleMark(Hole(0, 0), "blocked"),
            HoleMark(Hole(1, 0), "oversize", 20.0),
            HoleMark(Hole(2, 0), "reserved"),
        ),
    ),
)


def on(drawing: LayeredDrawing, layer: str) -> list[object]:
    return [shape for shape in drawing.shapes if shape.layer == layer]


def test_marked_holes_are_on_a_layer_of_their_own_and_closed_ones_are_crossed() -> None:
    drawing = setup_drawing(MARKED)
    [grid] = on(drawing, "HOLES")
    assert isinstance(grid, CircleGrid)
    table = MARKED.table
    assert len(grid) == table.columns * table.rows - 3
    assert len(list(grid.rings())) == len(grid)
    marked = on(drawing, "MARKED HOLES")
    rings = [one for one in marked if isinstance(one, LayeredCircle)]
    assert [ring.centre for ring in rings] == [table.at(Hole(col, 0)) for col in range(3)]
    assert [ring.radius * 2 for ring in rings] == [table.hole_diameter, 20.0, table.hole_diameter]
    assert sum(isinstance(one, Path) for one in marked) == 2, "one cross, for the blocked hole"


def test_a_new_top_plate_has_all_holes_and_no_marks() -> None:
    drawing = table_drawing(MARKED.table)
    [grid] = on(drawing, "HOLES")
    assert isinstance(grid, CircleGrid)
    assert not grid.without
    assert [layer.name for layer in drawing.layers] == ["TABLE", "HOLES", "LABELS"]
    letters = [one.text for one in on(drawing, "LABELS") if isinstance(one, LayeredText)]
    assert letters[:2] == ["A", "B"]
    assert letters[MARKED.table.columns] == "1"
    assert table_drawing(MARKED.table, labels=False).layers == drawing.layers[:2]


def test_only_what_is_wanted_is_drawn() -> None:
    job = laid(plate("foot", 100, 100), stop("one", 2, 2))
    both = setup_drawing(job)
    assert {shape.layer for shape in both.shapes} >= {"PIECES", "PINS", "MEMBERS", "LABELS"}
    few = setup_drawing(job, ["members", "labels"])
    assert {shape.layer for shape in few.shapes} == {"MEMBERS", "LABELS"}
    said = {shape.text for shape in few.shapes if isinstance(shape, LayeredText)}
    assert "foot" in said
    assert "fixed stop" not in said


@pytest.mark.source("method", "the outline with round ends that the screen draws")
def test_holes_slots_and_openings_of_a_plate_keep_their_shapes() -> None:
    holes = (
        Drilled((20, 20), 9.0),
        Slotted((40, 20), (60, 30), 8.0),
        CutOut(((70, 20), (80, 20), (80, 30))),
    )
    part = structs.replace(plate("foot", 200, 100), holes=holes, turn=90.0)
    ring, drilled, slot, opening = on(setup_drawing(laid(part), ["members"]), "MEMBERS")
    assert isinstance(ring, Path)
    assert isinstance(drilled, LayeredCircle)
    assert isinstance(slot, Path)
    assert isinstance(opening, Path)
    assert drilled.centre == pytest.approx((200 - 20, 100 + 20))
    assert drilled.radius == 4.5
    outline = [(200 - y, 100 + x) for x, y in slot_ring((40, 20), (60, 30), 8.0)]
    made = flattened(slot)
    assert len(made) > 20
    for p in made:
        nearest = min(
            _off(p, a, b) for a, b in zip(outline, [*outline[1:], outline[0]], strict=True)
        )
        assert nearest < 0.03
    assert len(opening.points) == 3


def _off(p: tuple[float, float], a: tuple[float, float], b: tuple[float, float]) -> float:
    """How far a point is from a segment."""
    ux, uy = b[0] - a[0], b[1] - a[1]
    t = ((p[0] - a[0]) * ux + (p[1] - a[1]) * uy) / (ux * ux + uy * uy)
    t = min(max(t, 0.0), 1.0)
    return math.hypot(p[0] - a[0] - t * ux, p[1] - a[1] - t * uy)


def test_the_slot_of_a_piece_that_is_turned_over_bulges_outwards() -> None:
    for flipped in (False, True):
        arm = put("arm-1", "arm", seat("h", 4, 4), seat("a", 6, 4), flipped=flipped)
        job = laid(arm, put("slider-1", "slider", seat("s", 9, 9), flipped=flipped))
        slots = [
            shape
            for shape in on(setup_drawing(job), "PIECES")
            if isinstance(shape, Path) and any(shape.bulges)
        ]
        assert slots
        for slot in slots:
            ends = flattened(slot)
            long = max(math.dist(a, b) for a in ends for b in ends)
            straight = max(math.dist(a, b) for a in slot.points for b in slot.points)
            assert long > straight + 1.0


def test_the_box_holds_everything() -> None:
    far = laid(structs.replace(plate("far", 0, 0), x=-300.0, y=-200.0))
    drawing = setup_drawing(far)
    assert drawing.low[0] <= -300.0
    assert drawing.low[1] <= -200.0
    assert drawing.high == pytest.approx((far.table.width, far.table.depth))


def test_a_piece_that_is_not_on_the_rack_is_named_at_its_hole() -> None:
    job = laid(put("one", "gone", seat("h", 2, 2)))
    drawing = setup_drawing(job)
    assert on(drawing, "PIECES") == []
    said = [one.text for one in on(drawing, "LABELS") if isinstance(one, LayeredText)]
    assert "C3" in said
