"""Outlines of a drawing: joined, told apart, nested; files that are none; progress and stopping."""

import json
import math
import os
import sys
from itertools import pairwise
from pathlib import Path

import pytest
import shapely
from ezdxf.document import Drawing as Document
from ezdxf.layouts.layout import Modelspace
from hypothesis import given
from hypothesis import strategies as st

from gridjig.files.drawings.curves import DrawnCurve, Ellipse, LineArcPath, Unusable, arc, circle
from gridjig.files.drawings.drawing import (
    REACH,
    TOLERANCE,
    Drawing,
    DrawingLayer,
    Sketch,
    outlined,
    read_drawing,
)
from gridjig.files.drawings.tags import prepare
from gridjig.files.format.faults import ReadFault
from gridjig.rack import Point
from gridjig.units.progress import Cancelled
from tests.files.drawings.drawn import DXF, text_file, written

SQUARE: tuple[Point, ...] = ((0, 0), (100, 0), (100, 100), (0, 100))


def run(*points: Point, closed: bool = False) -> LineArcPath:
    return LineArcPath(tuple((x, y, 0.0) for x, y in points), closed)


def sketch(*curves: LineArcPath, unit: str | None = "mm") -> Sketch:
    return Sketch("drawn.dxf", unit, tuple(DrawnCurve("0", curve) for curve in curves))


def made(*curves: LineArcPath, unit: str | None = "mm") -> tuple[Drawing, DrawingLayer]:
    drawing = outlined(sketch(*curves, unit=unit))
    [layer] = drawing.layers
    return drawing, layer


# -- joining ---------------------------------------------------------------------------------------


@pytest.mark.source("method", "geometry: the arc's own circle")
@given(st.floats(-360, 360), st.floats(-720, 720), st.floats(0.5, 5000))
def test_arcs_lie_on_their_circle_from_end_to_end(start: float, sweep: float, r: float) -> None:
    made = arc((7, -3), r, start, start + sweep)
    points = made.points(TOLERANCE)
    assert len(points) >= 2
    assert all(math.dist(p, (7, -3)) == pytest.approx(r, rel=1e-9) for p in points)
    turned = math.fmod(sweep, 360.0)
    if abs(turned) < 1e-6 or abs(turned) > 360 - 1e-6:
        return  # a full turn or next to none
    assert not made.closed
    for p, degrees in ((points[0], start), (points[-1], start + sweep)):
        wanted = (7 + r * math.cos(math.radians(degrees)), -3 + r * math.sin(math.radians(degrees)))
        assert math.dist(p, wanted) < 1e-6 * max(r, 1)
    length = math.radians(turned % 360) * r
    drawn = sum(math.dist(a, b) for a, b in pairwise(points))
    # A short arc far from the middle is only as long as its coordinates' last digits tell.
    assert length * 0.95 - 1e-11 <= drawn <= length * (1 + 1e-9) + 1e-11


def test_a_full_turn_is_a_circle_and_a_point_is_a_point() -> None:
    assert arc((0, 0), 5, 30, 390).closed
    assert Ellipse((1, 2), (0, 0), (0, 0), 0, 1).points(TOLERANCE) == [(1, 2)]
    assert LineArcPath(((0, 0, 1.0), (0, 0, 0.0))).points(TOLERANCE) == [(0, 0), (0, 0)]
    with pytest.raises(Unusable):
        LineArcPath(((0, 0, 1e-300), (1e300, 0, 0.0))).points(TOLERANCE)


@pytest.mark.source("method", "geometry: area of a square with a half circle on it")
def test_loose_lines_and_arcs_join_in_any_order_and_direction() -> None:
    drawing, layer = made(
        run((0, 0), (0, 40)),
        run((60, 0), (0, 0)),
        arc((60, 20), 20, -90, 90),
        run((0, 40), (60, 40)),
    )
    [ring] = layer.outlines
    length = math.pi * 20
    wanted = 60 * 40 + math.pi * 20**2 / 2
    assert wanted - TOLERANCE * length <= shapely.Polygon(ring).area <= wanted
    assert (drawing.joined, layer.paths) == (4, ())


@given(st.permutations(range(4)), st.tuples(*[st.booleans()] * 4), st.floats(0, 0.9 * REACH))
def test_ends_that_gape_less_than_the_reach_are_joined(
    order: list[int], turned: tuple[bool, ...], gap: float
) -> None:
    sides = []
    for k in order:
        a, b = SQUARE[k], SQUARE[(k + 1) % 4]
        b = (b[0] + gap, b[1]) if k % 2 == 0 else b
        sides.append(run(*((b, a) if turned[k] else (a, b))))
    _, layer = made(*sides)
    [ring] = layer.outlines
    assert shapely.Polygon(ring).area == pytest.approx(10_000, abs=200 * REACH)


def test_ends_that_gape_more_stay_open() -> None:
    drawing, layer = made(run(*SQUARE), run((0, 100), (0, 2 * REACH)))
    assert (layer.outlines, drawing.joined) == ((), 0)
    assert len(layer.paths) == 1  # joined at one end
    _, layer = made(run(*SQUARE, (0, REACH / 2)))
    assert len(layer.outlines) == 1


@pytest.mark.source("library", "shapely 2.2", "polygonize")
def test_where_more_than_two_lines_meet_the_faces_between_them_are_taken() -> None:
    drawing, layer = made(
        run((0, 0), (100, 0), (100, 100)),
        run((100, 100), (0, 100)),
        run((0, 100), (0, 0)),
        run((0, 0), (100, 100)),
        run((100, 100), (150, 150)),
    )
    assert sorted(shapely.Polygon(r).area for r in layer.outlines) == [5000, 5000]
    assert layer.paths == (((100.0, 100.0), (150.0, 150.0)),)
    assert drawing.joined == 4


# -- told apart ------------------------------------------------------------------------------------


def test_what_is_drawn_twice_comes_once() -> None:
    ring = run(*SQUARE, closed=True)
    again = run(*(SQUARE[2], SQUARE[1], SQUARE[0], SQUARE[3]), closed=True)
    line = run((200, 0), (300, 0))
    drawing, layer = made(ring, again, ring, line, run((300, 0), (200, 0)), circle((50, 50), 10))
    assert (len(layer.outlines), len(layer.openings), len(layer.paths)) == (1, 1, 1)
    assert drawing.doubled == 3


def test_two_shapes_with_the_same_box_are_two() -> None:
    _, layer = made(
        run((0, 0), (9, 0), (9, 9), closed=True), run((0, 0), (9, 9), (0, 9), closed=True)
    )
    assert len(layer.outlines) == 2


@pytest.mark.source("library", "shapely 2.2", "contains, by pairs")
def test_of_outlines_in_outlines_every_second_is_an_opening() -> None:
    rings = [
        run((k, k), (100 - k, k), (100 - k, 100 - k), (k, 100 - k), closed=True) for k in range(5)
    ]
    _, layer = made(*rings, circle((200, 50), 5))
    assert (len(layer.outlines), len(layer.openings)) == (4, 2)
    shapes = [shapely.Polygon(r) for r in (*layer.outlines, *layer.openings)]
    for k, shape in enumerate(shapes):
        depth = sum(o.contains(shape) for o in shapes if o is not shape)
        assert (depth % 2 == 1) == (k >= len(layer.outlines))


def test_an_outline_that_crosses_itself_is_left_out_with_its_place() -> None:
    drawing, layer = made(
        run((0, 0), (10, 10), (10, 0), (0, 10), closed=True), run(*SQUARE, closed=True)
    )
    [crossing] = drawing.crossings
    assert crossing.at == pytest.approx((5, 5))
    assert len(layer.outlines) == 1


def test_what_has_no_area_or_no_size_is_counted() -> None:
    drawing = outlined(
        sketch(
            run((0, 0), (10, 0), (5, 0), closed=True),
            run((3, 3), (3, 3)),
            LineArcPath(((0, 0, 1e-9), (1e200, 0, 0)), closed=True),
        )
    )
    told = {str(count) for count in drawing.unused}
    assert told == {
        "1 outline without area",
        "1 shape without size",
        "1 unusable curve",
    }


# -- units -----------------------------------------------------------------------------------------


@pytest.mark.expectation(53)
@pytest.mark.parametrize(("unit", "mm"), [("mm", 1), ("cm", 10), ("m", 1000), ("in", 25.4)])
def test_curves_are_as_fine_as_stated_in_every_unit(unit: str, mm: float) -> None:
    radius = 400.0 / mm
    asked = outlined(sketch(circle((0, 0), radius), unit=None))
    assert asked.unit is None
    drawing = outlined(asked.sketch, unit)
    assert drawing.size(unit) == pytest.approx((800, 800))
    for one in (asked, drawing):  # nobody knows the unit yet, and it is fine enough all the same
        [ring] = one.layers[0].outlines
        off = max(
            radius - math.hypot((ax + bx) / 2, (ay + by) / 2)
            for (ax, ay), (bx, by) in zip(ring, (*ring[1:], ring[0]), strict=True)
        )
        assert off * mm <= TOLERANCE * 1.001
    assert len(drawing.layers[0].outlines[0]) < 300


# -- files that are none ---------------------------------------------------------------------------


def fault_of(path: Path) -> str:
    with pytest.raises(ReadFault) as caught:
        read_drawing(path)
    return str(caught.value)


@pytest.mark.expectation(85, 86)
@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "it is empty"),
        (b" \n\n", "it is empty"),
        (b"hello", "it is no DXF drawing"),
        (b"AC1027\x00\x00", "it is a DWG file"),
        (b"%PDF-1.7", "it is a PDF file"),
        (b"<svg/>", "it is an SVG file"),
        (b"PK\x03\x04", "it is packed"),
        (b"0\nSECTION\n2\nENTITIES\n0\nLINE\n", "it ends in the middle"),
        (b"0\nSECTION\nx\nENTITIES\n", "at line 3: it is damaged there"),
        (b"AutoCAD Binary DXF\r\n\x1a\x00\x00SEC", "it ends in the middle"),
        (b"0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n", "there is no line, arc or curve in it"),
    ],
)
def test_what_is_no_drawing_is_refused_in_one_sentence(
    tmp_path: Path, data: bytes, words: str
) -> None:
    path = tmp_path / "odd.dxf"
    path.write_bytes(data)
    said = fault_of(path)
    assert said.startswith("odd.dxf cannot be read")
    assert words in said
    assert said.endswith(".")


def test_folders_missing_files_and_huge_ones_are_refused(tmp_path: Path) -> None:
    assert "it is a folder" in fault_of(tmp_path)
    assert "there is no such file" in fault_of(tmp_path / "gone.dxf")
    huge = tmp_path / "huge.dxf"
    with huge.open("wb") as file:
        os.truncate(file.fileno(), 10 * 1024**3)
    assert "10240 MB, and 1024 MB is the most" in fault_of(huge)


@pytest.mark.source("published", "test drawings of the ezdxf project", "its DXF examples, cut off")
@pytest.mark.parametrize("name", ["forms.dxf", "recover02.dxf", "bin_dxf_r12.dxf"])
@pytest.mark.parametrize("part", [0.05, 0.3, 0.6, 0.8, 0.9])
def test_a_drawing_cut_off_anywhere_is_refused(tmp_path: Path, name: str, part: float) -> None:
    data = (DXF / name).read_bytes()
    end = data.rindex(b"ENDSEC", 0, data.find(b"OBJECTS") if b"OBJECTS" in data else len(data))
    path = tmp_path / "cut.dxf"
    path.write_bytes(data[: int(end * part)])
    said = fault_of(path)
    assert "it ends in the middle" in said or "damaged" in said


def test_a_byte_order_mark_does_no_harm(tmp_path: Path) -> None:
    path = text_file(tmp_path, "0,LINE,8,0,10,0,20,0,11,9,21,0")
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes())
    assert read_drawing(path, "mm").layers[0].paths == (((0.0, 0.0), (9.0, 0.0)),)


def test_only_the_end_mark_is_not_needed(tmp_path: Path) -> None:
    path = text_file(tmp_path, "0,LINE,8,0,10,0,20,0,11,9,21,0")
    path.write_bytes(path.read_bytes().replace(b"0\nEOF\n", b""))
    assert read_drawing(path, "mm").repaired == (
        "its end mark was missing, behind the whole drawing",
    )


def test_damaged_numbers_are_read_and_told(tmp_path: Path) -> None:
    path = text_file(tmp_path, "0,LINE,8,0,10,0,20,0,11,12.5x,21,0")
    drawing = read_drawing(path, "mm")
    assert drawing.repaired == ("what was damaged near line 18 was read as far as that went",)
    assert drawing.layers[0].paths == (((0.0, 0.0), (12.5, 0.0)),)


@pytest.mark.parametrize(
    ("header", "name"),
    [("", "Träger"), ("0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1021\n0\nENDSEC\n", "Träger")],
)
def test_names_of_layers_are_read_in_the_files_letters(
    tmp_path: Path, header: str, name: str
) -> None:
    path = text_file(tmp_path, "0,LINE,8,Träger,10,0,20,0,11,9,21,0", header=header)
    if header:
        path.write_text(path.read_text(encoding="cp1252"), encoding="utf-8")
    assert read_drawing(path, "mm").layers[0].name == name


# -- progress --------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def long_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A drawing that takes many reports to read."""

    def many(_: Document, space: Modelspace) -> None:
        for k in range(6000):
            space.add_line((k, 0), (k, 10))

    return written(tmp_path_factory.mktemp("long"), many)


def test_progress_only_grows_and_ends_near_the_whole(long_file: Path) -> None:
    told: list[int] = []

    def report(done: int, total: int | None) -> None:
        assert total is not None
        assert 0 <= done <= total
        told.append(done * 1000 // total)

    read_drawing(long_file, report=report)
    assert told == sorted(told)
    assert len({*told}) > 5
    assert told[-1] > 900


@pytest.mark.expectation(100)
@pytest.mark.parametrize("after", [0, 3, 6, 9, 15])
@pytest.mark.untraced
def test_it_stops_at_the_next_report(long_file: Path, after: int) -> None:
    calls = 0

    def report(done: int, total: int | None) -> None:
        nonlocal calls
        calls += 1
        if calls > after:
            raise Cancelled

    with pytest.raises(Cancelled):
        read_drawing(long_file, report=report)
    assert calls == after + 1


def test_a_binary_file_reports_without_a_whole(tmp_path: Path) -> None:
    told: list[int | None] = []
    read_drawing(DXF / "bin_dxf_r12.dxf", report=lambda _, total: told.append(total))
    assert told[0] is None


def test_the_fonts_of_the_system_are_left_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A fresh interpreter, whose cache folder is empty afterwards."""
    import subprocess

    cache = tmp_path / "cache"
    cache.mkdir()
    monkeypatch.setenv("XDG_CACHE_HOME", str(cache))
    code = (
        "import os\nfrom gridjig.files.drawings.tags import prepare\nprepare()\nprepare()\n"
        "print(os.environ['XDG_CACHE_HOME'])"
    )
    said = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    assert said.stdout.strip() == str(cache)
    assert list(cache.iterdir()) == []


@pytest.mark.parametrize("theirs", ["/their/cache", None])
def test_what_the_reader_of_drawings_finds_as_cache_is_not_the_persons(
    theirs: str | None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same with a stand-in for the library, that says what it saw at its import."""
    (tmp_path / "ezdxf.py").write_text(
        "import os, pathlib\n"
        "seen = pathlib.Path(os.environ['XDG_CACHE_HOME'])\n"
        "told = (seen / 'ezdxf' / 'font_manager_cache.json').read_text()\n"
    )
    monkeypatch.delitem(sys.modules, "ezdxf", raising=False)
    monkeypatch.syspath_prepend(tmp_path)
    if theirs is None:
        monkeypatch.delenv("XDG_CACHE_HOME", raising=False)
    else:
        monkeypatch.setenv("XDG_CACHE_HOME", theirs)
    prepare()
    stand_in = sys.modules["ezdxf"]
    assert json.loads(stand_in.told)["font-faces"] == []
    assert str(stand_in.seen) != theirs
    assert not stand_in.seen.exists()
    assert os.environ.get("XDG_CACHE_HOME") == theirs
