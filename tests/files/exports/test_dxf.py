"""DXF files at true size, read back by a library: units, layers, places, letters; cancelling."""

import io
import math
from typing import Any

import ezdxf
import pytest

from gridjig.files.exports.dxf import DrawingUnit, dxf_bytes
from gridjig.files.exports.printable import printable
from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.geometry.layered import (
    CircleGrid,
    LayeredCircle,
    LayeredDrawing,
    LayeredText,
    NamedLayer,
    Path,
)
from gridjig.sheets.drawings.true_size import setup_drawing, table_drawing
from gridjig.units.progress import Cancelled, Progress

CUT = NamedLayer("CUT", "black")
HIDDEN = NamedLayer("HIDDEN", "grey", dashed=True)
SAMPLES = [load_job(path) for path in samples().values()]


def read(data: bytes) -> Any:
    """The drawing that a library reads, without a fault to be put right."""
    document = ezdxf.read(io.StringIO(data.decode("cp1252")))  # type: ignore[attr-defined]
    audit = document.audit()
    assert audit.errors == []
    assert audit.fixes == []
    return document


def drawn(*shapes: Path | LayeredCircle | CircleGrid | LayeredText) -> LayeredDrawing:
    return LayeredDrawing("a drawing", (CUT, HIDDEN), shapes, (0.0, 0.0), (100.0, 100.0))


@pytest.mark.source("library", "ezdxf 1.4", "reading DXF, and its audit")
@pytest.mark.parametrize(("unit", "code", "per"), [("mm", 4, 1.0), ("in", 1, 25.4)])
def test_the_holes_of_a_table_are_read_back_where_they_are(
    unit: DrawingUnit, code: int, per: float
) -> None:
    assert len(SAMPLES) == 3
    for job in SAMPLES:
        table = job.table
        found = read(dxf_bytes(table_drawing(table), unit))
        assert found.header["$INSUNITS"] == code
        assert found.header["$MEASUREMENT"] == int(unit == "mm")
        circles = found.modelspace().query('CIRCLE[layer=="HOLES"]')
        assert len(circles) == table.columns * table.rows >= 100
        rows = [
            (table.first_x + i * table.pitch_x, table.first_y + k * table.pitch_y)
            for k in range(table.rows)
            for i in range(table.columns)
        ]
        for circle, (x, y) in zip(circles, rows, strict=True):
            assert math.dist(circle.dxf.center.vec2 * per, (x, y)) < 1e-6
            assert circle.dxf.radius * per * 2.0 == pytest.approx(table.hole_diameter, abs=1e-6)
        [edge] = found.modelspace().query('LWPOLYLINE[layer=="TABLE"]')
        corners = [(x * per, y * per) for x, y in edge.get_points("xy")]
        assert max(x for x, _ in corners) == pytest.approx(table.width, abs=1e-6)
        assert max(y for _, y in corners) == pytest.approx(table.depth, abs=1e-6)
        assert edge.closed


@pytest.mark.source("library", "ezdxf 1.4", "reading DXF, and its audit")
def test_every_piece_pin_part_and_name_of_a_job_is_on_its_layer() -> None:
    job = SAMPLES[0]
    found = read(dxf_bytes(setup_drawing(job), "in"))
    space = found.modelspace()
    names = {layer.dxf.name for layer in found.layers}
    assert {"TABLE", "HOLES", "MARKED HOLES", "PIECES", "LOCATING FACES", "PINS"} <= names
    assert {"MEMBERS", "LABELS"} <= names
    pins = {
        (round(c.dxf.center.x * 25.4, 4), round(c.dxf.center.y * 25.4, 4))
        for c in space.query('CIRCLE[layer=="PINS"]')
    }
    wanted = {
        tuple(round(v, 4) for v in job.table.at(seat.hole))
        for placement in job.placements
        for seat in placement.seats
    }
    assert pins == wanted
    assert len(space.query('LWPOLYLINE[layer=="MEMBERS"]')) == len(job.parts)
    said = {text.dxf.text for text in space.query("TEXT")}
    assert {part.name for part in job.parts} <= said
    assert {placement.name for placement in job.placements} <= said


@pytest.mark.source("library", "ezdxf 1.4", "the arcs of a polyline's bulges")
def test_arcs_dashes_and_letters_are_what_they_were() -> None:
    slot = Path("CUT", ((0, 0), (30, 0), (30, 10), (0, 10)), True, (0.0, 1.0, 0.0, 1.0))
    line = Path("HIDDEN", ((0, 50), (80, 50)))
    word = LayeredText("CUT", (10, 20), "Naht ø 12°", 5.0, 30.0, "left")
    found = read(dxf_bytes(drawn(slot, line, word)))
    ring, open_line = found.modelspace().query("LWPOLYLINE")
    arcs = [one for one in ring.virtual_entities() if one.dxftype() == "ARC"]
    assert [arc.dxf.radius for arc in arcs] == pytest.approx([5.0, 5.0])
    assert {(round(a.dxf.center.x, 6), round(a.dxf.center.y, 6)) for a in arcs} == {(30, 5), (0, 5)}
    assert ring.closed
    assert not open_line.closed
    assert found.layers.get("HIDDEN").dxf.linetype == "DASHED"
    [text] = found.modelspace().query("TEXT")
    assert (text.dxf.text, text.dxf.height, text.dxf.rotation) == ("Naht ø 12°", 5.0, 30.0)
    assert text.get_placement()[1].isclose((10, 20, 0))


@pytest.mark.source("library", "ezdxf 1.4", "plain_text of TEXT, which puts control codes in words")
@pytest.mark.parametrize(
    "text",
    ["50%%d wide", "a^Jb", "back\\U+0041slash", "40 %", "漢字", "two\nlines", "\u202eturned", "🔧"],
)
def test_a_name_is_never_read_as_a_command(text: str) -> None:
    [one] = read(dxf_bytes(drawn(LayeredText("CUT", (0, 0), text, 5)))).modelspace()
    plain = ezdxf.decode_dxf_unicode(one.plain_text())  # type: ignore[attr-defined]
    assert plain == printable(text).replace("🔧", "□")


def test_a_long_name_is_cut_and_says_so() -> None:
    assert printable("x" * 300) == "x" * 249 + "…"
    assert printable("  a\tb \r\n c ") == "a b c"


def test_it_tells_how_far_it_is_and_stops_when_told() -> None:
    grid = CircleGrid("CUT", (0, 0), (50, 50), 60, 40, 10, frozenset({(0, 0)}))
    assert len(grid) == 2399
    told: list[tuple[int, int | None]] = []
    dxf_bytes(drawn(grid), progress=Progress(lambda done, total, _: told.append((done, total))))
    assert told[0] == (0, 2399)
    assert [done for done, _ in told] == list(range(0, 2399, 256))
    with pytest.raises(Cancelled):
        dxf_bytes(drawn(grid), progress=Progress(is_cancelled=lambda: True))
