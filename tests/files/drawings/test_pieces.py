"""Drawings come in whole: holes on other layers, borders, doubtful units, loops that cross
themselves, and sections by their width.
"""

import math

import pytest
from msgspec import structs

from gridjig.files.drawings.curves import DrawnCurve, LineArcPath, circle
from gridjig.files.drawings.drawing import Drawing, Sketch, outlined
from gridjig.files.drawings.member import bar_width, guess_section
from gridjig.files.drawings.parts import LayerUse, require_outlines, to_parts
from gridjig.files.drawings.pieces import hole_of, pieces_of
from gridjig.files.drawings.report import (
    border_words,
    doubt_words,
    size_words,
    unit_words,
    unused_words,
    used_words,
)
from gridjig.files.drawings.sketch import Count
from gridjig.files.library.sections import sections
from gridjig.geometry.part_mass import mass
from gridjig.model import CutOut, Display, Drilled, Plate
from gridjig.rack import Point
from tests.workshop import EMPTY

MM = Display(unit="millimetres")


def ring(*points: Point) -> LineArcPath:
    return LineArcPath(tuple((x, y, 0.0) for x, y in points), closed=True)


def box(x: float, y: float, wide: float, high: float) -> LineArcPath:
    return ring((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))


def drawing(
    *drawn: tuple[str, LineArcPath], unit: str | None = "mm", texts: int = 0, name: str = "gate.dxf"
) -> Drawing:
    unused = (Count(texts, "text", "texts"),) if texts else ()
    curves = tuple(DrawnCurve(*one) for one in drawn)
    return outlined(Sketch(name, unit, curves, unused=unused))


def uses(source: Drawing) -> list[LayerUse]:
    return [LayerUse(layer.name) for layer in source.layers]


BRACKET = [("CUT", box(0, 0, 200, 120)), *(("HOLES", circle((x, 60), 6)) for x in (20, 60, 180))]
BORDER = [
    ("BORDER", box(-50, -50, 420, 297)),
    ("BORDER", box(-40, -40, 400, 277)),
    ("BORDER", box(260, -40, 100, 40)),
    ("BORDER", box(270, -30, 20, 10)),
]


@pytest.mark.source("method", "plane geometry: pi d2 / 4 for each hole")
def test_holes_on_another_layer_are_cut_in_the_plate() -> None:
    source = drawing(*BRACKET)
    brought = to_parts(EMPTY, source, uses(source))
    [plate] = brought.parts
    assert isinstance(plate, Plate)
    assert (brought.plates, brought.holes, brought.uncut) == (1, 3, 0)
    assert used_words(source, brought) == "1 plate with 3 holes"
    assert [hole.diameter for hole in plate.holes if isinstance(hole, Drilled)] == [
        pytest.approx(12.0, abs=0.1)
    ] * 3
    whole = mass(structs.replace(plate, holes=()))
    area = 200 * 120 - 3 * math.pi * 36
    assert mass(plate) / whole == pytest.approx(area / (200 * 120), rel=1e-3)


def test_an_opening_that_is_no_circle_keeps_its_corners() -> None:
    made = hole_of([(0, 0), (10, 0), (10, 10), (0, 10)])
    assert made == CutOut(((0, 0), (10, 0), (10, 10), (0, 10)))


@pytest.mark.source("method", "symmetry: corners evenly on a circle")
@pytest.mark.parametrize("count", [8, 13, 100])
def test_a_flattened_circle_is_a_drilled_hole(count: int) -> None:
    turns = [math.tau * k / count for k in range(count)]
    made = hole_of([(5 + 3 * math.cos(t), 7 + 3 * math.sin(t)) for t in turns])
    assert isinstance(made, Drilled)
    assert made.at == pytest.approx((5, 7))
    assert made.diameter == pytest.approx(6.0)


def test_a_piece_in_a_hole_is_a_plate_of_its_own() -> None:
    source = drawing(
        ("A", box(0, 0, 90, 90)), ("B", circle((45, 45), 30)), ("C", circle((45, 45), 9))
    )
    brought = to_parts(EMPTY, source, uses(source))
    assert (brought.plates, brought.holes) == (2, 1)
    assert len(to_parts(EMPTY, source, uses(source), inner=True).parts) == 3


def test_layers_that_are_each_one_piece_of_sheet_stay_apart() -> None:
    source = drawing(
        ("front", box(0, 0, 200, 100)),
        ("front", circle((20, 50), 5)),
        ("back", box(40, 20, 100, 60)),
        ("back", circle((60, 50), 5)),
    )
    made = pieces_of(source.layers)
    assert [(piece.layer, len(piece.holes)) for piece in made] == [("back", 1), ("front", 1)]
    assert to_parts(EMPTY, source, uses(source)).holes == 2


def test_one_hole_on_a_layer_of_its_own_is_no_sheet() -> None:
    source = drawing(("CUT", box(0, 0, 90, 90)), ("HOLE", circle((45, 45), 9)))
    assert [len(piece.holes) for piece in pieces_of(source.layers)] == [1]


def test_a_hole_in_a_member_is_said_and_not_cut() -> None:
    source = drawing(("BAR", box(0, 0, 600, 40)), ("HOLE", circle((90, 20), 5)))
    fifty = next(one for one in sections() if one.name == "40x40x3")
    brought = to_parts(EMPTY, source, [LayerUse("BAR", section=fifty), LayerUse("HOLE")])
    assert (brought.members, brought.holes, brought.uncut) == (1, 0, 1)
    assert "1 hole in a member, or too near to an edge" in unused_words(
        source, uses(source), brought
    )


# -- borders ---------------------------------------------------------------------------------------


def test_a_border_and_its_title_block_are_set_aside_with_a_word() -> None:
    source = drawing(*BORDER, *BRACKET, texts=5)
    assert len(source.aside) == 4
    assert source.size("mm") == pytest.approx((200, 120))
    assert size_words(source, "mm", MM) == "200 × 120 mm"
    brought = to_parts(EMPTY, source, uses(source))
    assert (brought.plates, brought.holes) == (1, 3)
    assert border_words(source) == "the drawing's border and title block (4 shapes)"
    assert border_words(source) in unused_words(source, uses(source), brought)
    wanted = to_parts(EMPTY, source, uses(source), border=True)
    assert wanted.plates == 5
    assert border_words(source) not in unused_words(source, uses(source), wanted, border=True)


@pytest.mark.parametrize(
    "drawn",
    [
        [("0", box(0, 0, 297, 210)), ("0", circle((50, 50), 9)), ("0", circle((90, 50), 9))],
        [("frame", box(0, 0, 300, 100)), ("0", circle((50, 50), 9))],
        [("0", box(0, 0, 100, 100)), ("0", box(100, 0, 100, 100)), ("0", circle((50, 50), 9))],
        [("border", ring((0, 0), (420, 0), (200, 297))), ("0", circle((200, 50), 9))],
        [("border", box(0, 0, 420, 297)), ("0", circle((600, 50), 9))],
    ],
)
def test_a_plate_is_no_border(drawn: list[tuple[str, LineArcPath]]) -> None:
    source = drawing(*drawn)
    assert source.aside == ()
    assert source.closed


# -- units -----------------------------------------------------------------------------------------


def test_a_size_that_no_weldment_has_is_asked() -> None:
    source = drawing(("0", box(0, 0, 223.97, 128.563)), unit="m")
    asked = "The drawing would be 223,970 × 128,563 mm: is it really in metres?"
    assert doubt_words(source, MM) == asked
    assert "is it really in mm" in doubt_words(drawing(("0", box(0, 0, 3, 2))), MM)
    assert doubt_words(drawing(("0", box(0, 0, 600, 400))), MM) == ""
    assert doubt_words(drawing(("0", box(0, 0, 600, 400)), unit=None), MM) == ""


def test_user_units_of_an_svg_are_named() -> None:
    assert "no length" in unit_words(drawing(("0", box(0, 0, 9, 9)), unit=None, name="a.svg"))
    assert "96 of them are an inch" in unit_words(
        drawing(("0", box(0, 0, 9, 9)), unit="px", name="a.SVG")
    )
    assert unit_words(drawing(("0", box(0, 0, 9, 9)), unit="mm", name="a.svg")) == ""
    assert unit_words(drawing(("0", box(0, 0, 9, 9)), unit=None)) == ""


# -- what closes nothing ---------------------------------------------------------------------------


def test_a_loop_that_crosses_itself_is_named_with_its_place() -> None:
    source = drawing(("0", ring((0, 0), (100, 80), (100, 0), (0, 80))))
    with pytest.raises(ValueError, match=r"1 loop that crosses itself, at x 50, y 40"):
        require_outlines(source)
    [crossing] = source.crossings
    assert crossing.at == (50, 40)
    assert set(crossing.ring) == {(0, 0), (100, 80), (100, 0), (0, 80)}


def test_open_lines_are_said_although_no_unit_is_known() -> None:
    line = LineArcPath(((0.0, 0.0, 0.0), (9.0, 5.0, 0.0)))
    source = drawing(("0", line), ("1", line), unit=None)
    with pytest.raises(ValueError, match="no closed outline and 2 open lines"):
        require_outlines(source)


# -- sections --------------------------------------------------------------------------------------


@pytest.mark.parametrize("width", [40.0, 50.0, 25.4])
def test_the_section_is_guessed_from_the_width_of_the_bars(width: float) -> None:
    bars = [("BARS", box(0, 100 * k, 600 + k, width)) for k in range(3)]
    source = drawing(*bars, ("BARS", box(900, 0, 100, 80)))
    found = guess_section(source, ["BARS"], sections())
    assert found is not None
    assert found.fits == 3
    assert found.section.kind == "square tube"
    assert found.section.width == pytest.approx(width, abs=0.3)
    assert guess_section(source, ["other"], sections()) is None


def test_a_bar_has_two_long_parallel_sides() -> None:
    assert bar_width([(0, 0), (600, 0), (560, 40), (40, 40)]) == pytest.approx(40)
    assert bar_width([(0, 0), (60, 0), (60, 40), (0, 40)]) is None
    assert bar_width([(0, 0), (600, 0), (560, 80), (40, 40)]) is None
    assert bar_width([(0, 0), (600, 0), (300, 40)]) is None
