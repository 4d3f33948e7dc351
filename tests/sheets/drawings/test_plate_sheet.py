"""A cut plate for the laser, read back: holes, outline, kerf, layers, notes."""

import io
import math
from typing import Any

import ezdxf
import pytest
import shapely
from msgspec import structs

from gridjig.cutplates.asked import PlateOptions, for_face
from gridjig.cutplates.design import PlateDesign
from gridjig.files.exports.dxf import dxf_bytes
from gridjig.geometry.display import Circle, Polyline
from gridjig.geometry.layered import LayeredCircle, LayeredText, Path
from gridjig.model import FaceOf
from gridjig.sheets.drawings.plate_sheet import draw_cut_plate, plate_drawing
from gridjig.sheets.text.plate_text import cutter_notes, plate_lines
from tests.stock import bar
from tests.workshop import laid

FREE = laid(bar(x=300.0, y=400.0, length=400.0))


def design(**more: object) -> PlateDesign:
    options = structs.replace(PlateOptions(around="face and end", upright=60.0), **more)
    return for_face(FREE, FaceOf("bar", 0), options)


def read(one: PlateDesign) -> Any:
    data = dxf_bytes(plate_drawing(one, cutter_notes(one, FREE)))
    document = ezdxf.read(io.StringIO(data.decode("cp1252")))  # type: ignore[attr-defined]
    audit = document.audit()
    assert (audit.errors, audit.fixes) == ([], [])
    return document


@pytest.mark.source("library", "ezdxf 1.4", "reading DXF, its audit, the arcs of bulges")
def test_the_laser_finds_holes_outline_slots_and_reliefs() -> None:
    one = design()
    space = read(one).modelspace()
    holes = list(space.query('CIRCLE[layer=="CUT"]'))
    assert len(holes) == 2
    assert math.dist(holes[0].dxf.center, holes[1].dxf.center) == pytest.approx(one.base, abs=1e-6)
    assert [hole.dxf.radius * 2 for hole in holes] == pytest.approx([16.1, 16.1])
    cut = list(space.query('LWPOLYLINE[layer=="CUT"]'))
    assert len(cut) == 3, "the outline and two slots"
    assert all(path.closed for path in cut)
    arcs = [part for part in cut[0].virtual_entities() if part.dxftype() == "ARC"]
    assert [arc.dxf.radius for arc in arcs] == pytest.approx([5.0])
    assert len(space.query('LWPOLYLINE[layer=="CUT UPRIGHTS"]')) == 2
    assert len(space.query('LWPOLYLINE[layer=="ENGRAVE"]')) > 30
    lowest = min(p[1] for path in cut for p in path.get_points("xy"))
    assert lowest == pytest.approx(0.0, abs=1e-6)


def test_a_kerf_is_taken_off_the_holes_and_said_on_the_drawing() -> None:
    plain, kerfed = design(), design(kerf=0.4)
    told = [cutter_notes(one, FREE) for one in (plain, kerfed)]
    assert "Nominal size: the kerf is left to the cutter." in told[0]
    assert any("kerf of 0.4 mm is allowed for" in line for line in told[1])
    radii = [
        next(s.radius for s in plate_drawing(one).shapes if isinstance(s, LayeredCircle))
        for one in (plain, kerfed)
    ]
    assert radii == pytest.approx([8.05, 7.85])
    areas = []
    for one in (plain, kerfed):
        outline = plate_drawing(one).shapes[0]
        assert isinstance(outline, Path)
        areas.append(shapely.Polygon(outline.points).area)
    assert areas[1] > areas[0]
    assert plain.area == kerfed.area, "the plate itself is the same"


def test_the_notes_are_below_the_plate_and_name_a_length_to_check() -> None:
    one = design()
    drawing = plate_drawing(one, cutter_notes(one, FREE))
    notes = [shape for shape in drawing.shapes if isinstance(shape, LayeredText)]
    assert {shape.layer for shape in notes} == {"NOTES"}
    assert all(shape.at[1] < 0.0 for shape in notes)
    assert any("apart" in shape.text and "(" in shape.text for shape in notes)
    assert drawing.low[1] <= min(shape.at[1] for shape in notes)
    assert "NOTES" not in {layer.name for layer in plate_drawing(one).layers}


def test_the_words_give_fit_mass_and_accuracy() -> None:
    told = " ".join(plate_lines(design(), FREE))
    assert "0.2 mm more than locking pin" in told
    assert "kg" in told
    assert "Two uprights reach 60 mm above the table" in told
    assert "Two uprights" not in " ".join(plate_lines(design(upright=0.0), FREE))


def test_the_plate_is_drawn_where_it_would_lie_with_the_parts_near_it() -> None:
    one = design()
    job = laid(bar(x=300.0, y=400.0, length=400.0), bar(id="far", x=300.0, y=900.0, length=100.0))
    shapes = draw_cut_plate(job, one)
    outlines = [shape for shape in shapes if isinstance(shape, Polyline)]
    assert [shape.role for shape in outlines].count("work") == 1  # the far one is left out
    (edge,) = [shape for shape in outlines if shape.fill == "part"]
    assert edge.points == one.ring
    pins = [shape for shape in shapes if isinstance(shape, Circle)]
    assert [pin.centre for pin in pins] == list(one.pins)
    assert {pin.radius for pin in pins} == {one.wanted.hole_diameter / 2.0}
    fills = [shape.fill for shape in outlines]
    assert (fills.count("paper"), fills.count("raised")) == (len(one.slots), len(one.stands))
    assert len(one.stands) == 2
    located = [shape for shape in outlines if shape.role == "face"]
    assert [line.points for line in located] == [edge.cut for edge in one.wanted.edges]
