"""SVG files at true size, read by an XML library: sizes in mm, groups, places, arcs, names."""

import math
import re
from xml.etree import ElementTree

import pytest

from gridjig.files.exports.svg import svg_bytes
from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.geometry.layered import (
    CircleGrid,
    LayeredCircle,
    LayeredDrawing,
    LayeredText,
    NamedLayer,
    Path,
    arc_of,
    flattened,
)
from gridjig.sheets.drawings.true_size import setup_drawing, table_drawing
from gridjig.units.progress import Cancelled, Progress

SVG = "{http://www.w3.org/2000/svg}"
CUT = NamedLayer("CUT", "black")
SAMPLES = [load_job(path) for path in samples().values()]


def read(drawing: LayeredDrawing) -> ElementTree.Element:
    return ElementTree.fromstring(svg_bytes(drawing))


def mm(text: str | None) -> float:
    assert text is not None
    assert text.endswith("mm")
    return float(text.removesuffix("mm"))


@pytest.mark.source("library", "Python 3.11", "xml.etree, reading XML")
def test_a_table_has_its_size_in_mm_and_its_holes_where_they_are() -> None:
    assert len(SAMPLES) == 3
    for job in SAMPLES:
        table = job.table
        root = read(table_drawing(table, labels=False))
        assert mm(root.get("width")) == pytest.approx(table.width, abs=1e-6)
        assert mm(root.get("height")) == pytest.approx(table.depth, abs=1e-6)
        # One user unit is one mm: the box has the same size as the sheet.
        box = [float(word) for word in str(root.get("viewBox")).split()]
        assert box == pytest.approx([0.0, -table.depth, table.width, table.depth], abs=1e-6)
        circles = root.findall(f"{SVG}g[@id='holes']/{SVG}circle")
        assert len(circles) == table.columns * table.rows
        x, y = (float(str(circles[1].get(name))) for name in ("cx", "cy"))
        assert (x, -y) == pytest.approx((table.first_x + table.pitch_x, table.first_y), abs=1e-6)
        assert float(str(circles[1].get("r"))) * 2 == pytest.approx(table.hole_diameter, abs=1e-6)


@pytest.mark.source("library", "Python 3.11", "xml.etree, reading XML")
def test_every_layer_is_a_group_and_every_name_is_text() -> None:
    job = SAMPLES[1]
    root = read(setup_drawing(job))
    ids = [group.get("id") for group in root.findall(f"{SVG}g")]
    assert ids == [
        "table", "holes", "marked-holes", "pieces", "locating-faces", "pins", "members", "labels"
    ]  # fmt: skip
    said = {text.text for text in root.iter(f"{SVG}text")}
    assert {part.name for part in job.parts} <= said


def test_an_arc_of_a_path_has_its_radius_and_its_way_round() -> None:
    path = Path("CUT", ((0, 0), (10, 0), (10, 10)), False, (0.0, math.tan(math.radians(22.5)), 0.0))
    drawing = LayeredDrawing("arc", (CUT,), (path,), (0, 0), (20, 10))
    [one] = read(drawing).iter(f"{SVG}path")
    words = str(one.get("d")).split()
    at = words.index("A")
    # 90 degrees from (10, 0) to (10, 10): the radius is the chord over the root of two.
    assert float(words[at + 1]) == pytest.approx(10 / math.sqrt(2), abs=1e-6)
    assert words[at + 4 : at + 6] == ["0", "0"]  # the short way, counter-clockwise as y runs up
    assert [float(w) for w in words[at + 6 :]] == [10.0, -10.0]


@pytest.mark.source("method", "Pythagoras: half the chord and what is left of the radius")
@pytest.mark.parametrize("bulge", [0.2, -0.2, 1.0, -1.0, 2.4])
def test_the_points_of_a_flattened_arc_lie_on_it(bulge: float) -> None:
    a, b = (3.0, 1.0), (15.0, -4.0)
    centre, radius = arc_of(a, b, bulge)
    assert math.dist(centre, a) == pytest.approx(radius)
    assert math.dist(centre, b) == pytest.approx(radius)
    points = flattened(Path("CUT", (a, b), False, (bulge, 0.0)))
    assert len(points) > 4
    assert points[0] == a
    assert points[-1] == b
    assert all(abs(math.dist(centre, p) - radius) < 1e-9 for p in points)
    # The middle of the arc stands off the chord by half of it times the bulge, on its right.
    deepest = max(abs((p[0] - a[0]) * 5 + (p[1] - a[1]) * 12) / 13 for p in points)
    assert deepest == pytest.approx(6.5 * abs(bulge), rel=2e-3)
    side = (points[1][0] - a[0]) * 5 + (points[1][1] - a[1]) * 12
    assert (side < 0) == (bulge > 0)


@pytest.mark.parametrize("name", ["<g onload='x'/>", "a & b", '"quoted"', "bell\x07", "\ud800"])
def test_a_name_is_never_read_as_markup(name: str) -> None:
    drawing = LayeredDrawing(name, (CUT,), (LayeredText("CUT", (0, 0), name, 5),), (0, 0), (9, 9))
    root = read(drawing)
    kept = re.sub("[\x07\ud800]", "", name)
    assert [one.text or "" for one in root.iter(f"{SVG}text")] == [kept]
    assert [child.tag for child in root] == [f"{SVG}title", f"{SVG}desc", f"{SVG}g"]


def test_turned_letters_turn_about_their_place() -> None:
    drawing = LayeredDrawing(
        "t", (CUT,), (LayeredText("CUT", (5, 7), "up", 5, 90.0, "right"),), (0, 0), (9, 9)
    )
    [one] = read(drawing).iter(f"{SVG}text")
    assert str(one.get("transform")).startswith("rotate(-90")
    assert one.get("text-anchor") == "end"


def test_it_stops_when_told_and_refuses_what_is_nowhere() -> None:
    grid = CircleGrid("CUT", (0, 0), (50, 50), 4, 4, 10)
    drawing = LayeredDrawing("grid", (CUT,), (grid,), (0, 0), (200, 200))
    with pytest.raises(Cancelled):
        svg_bytes(drawing, Progress(is_cancelled=lambda: True))
    nowhere = LayeredDrawing("x", (CUT,), (LayeredCircle("CUT", (math.nan, 0), 1),), (0, 0), (1, 1))
    with pytest.raises(ValueError, match="not a finite number"):
        svg_bytes(nowhere)
