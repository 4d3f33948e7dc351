"""SVG drawings through Qt: shapes, transforms, units, and files that are none."""

import math
import time
from pathlib import Path

import pytest
import shapely
from pytestqt.qtbot import QtBot

from gridjig.files.drawings.drawing import TOLERANCE, Drawing, Report, outlined, silent
from gridjig.files.format.faults import ReadFault
from gridjig.qt.paint.svg_reader import sketch_of
from gridjig.rack import Point
from gridjig.units.progress import Cancelled

SHAPES = """
<g transform="translate(10,10) scale(2)" stroke="#ff0000" fill="none">
 <rect x="0" y="0" width="50" height="20"/>
 <circle cx="80" cy="20" r="10"/>
 <ellipse cx="80" cy="50" rx="10" ry="5"/>
 <polygon points="100,0 120,0 110,20"/>
 <polyline points="100,30 120,30 110,50"/>
 <line x1="0" y1="60" x2="30" y2="60"/>
 <path d="M 130 0 C 140 0 150 10 150 20 L 130 20 Z M 135 15 L 140 15 L 140 18 Z"/>
 <text x="5" y="80">hello <tspan>you</tspan></text>
</g>
<defs><rect id="r" width="10" height="10"/></defs>
<use href="#r" x="350" y="150" fill="blue"/>
<use href="#r" x="370" y="150" fill="none"/>
<image href="a.png" width="10" height="10"/>
"""
HEAD = '<svg xmlns="http://www.w3.org/2000/svg" '


def read_svg(path: Path, unit: str | None = None, report: Report = silent) -> Drawing:
    return outlined(sketch_of(path, report), unit, report)


def drawn(folder: Path, size: str, body: str = SHAPES) -> Path:
    path = folder / "drawn.svg"
    path.write_text(f"{HEAD}{size}>{body}</svg>", encoding="utf-8")
    return path


def cross(p: Point, q: Point) -> float:
    return p[0] * q[1] - q[0] * p[1]


def areas(drawing: Drawing) -> dict[str, list[float]]:
    return {
        layer.name: sorted(shapely.Polygon(r).area for r in (*layer.outlines, *layer.openings))
        for layer in drawing.layers
    }


@pytest.mark.source("method", "arithmetic: areas, and lengths by the viewBox")
def test_every_shape_comes_in_its_size(qtbot: QtBot, tmp_path: Path) -> None:
    drawing = read_svg(drawn(tmp_path, 'width="200mm" height="100mm" viewBox="0 0 400 200"'))
    assert drawing.unit == "mm"
    found = areas(drawing)
    assert found["fill #0000ff"] == [pytest.approx(25)]
    # The path: the area under a cubic by Green's formula, 3/20 (...) over its control points.
    a, b, c, d = (130, 0), (140, 0), (150, 10), (150, 20)
    cubic = (
        6 * cross(a, b) + 3 * cross(a, c) + cross(a, d) + 3 * cross(b, c) + 3 * cross(b, d)
        + 6 * cross(c, d)
    ) / 20  # fmt: skip
    corner = cubic + (cross(d, (130, 20)) + cross((130, 20), a)) / 2
    wanted = sorted([1000, math.pi * 100, math.pi * 50, 200, corner, 7.5])
    assert found["line #ff0000"] == pytest.approx(wanted, abs=TOLERANCE * 65)
    [layer] = [one for one in drawing.layers if one.name == "line #ff0000"]
    assert (len(layer.openings), len(layer.paths)) == (1, 2)
    assert ((5.0, -65.0), (35.0, -65.0)) in layer.paths  # y points up
    assert [str(count) for count in drawing.unused] == ["1 text", "1 image"]


@pytest.mark.source(
    "published",
    "CSS 2.1",
    "a px is 1/96 of an inch, as the supplement of Using SVG says",
)
@pytest.mark.parametrize(
    ("size", "unit", "width"),
    [
        ('width="4in" height="2in" viewBox="0 0 40 20"', "in", 1.0),
        ('width="4cm" viewBox="0 0 40 20"', "mm", 10.0),
        ('width="72pt" viewBox="0 0 10 20" height="144pt"', "in", 1.0),
        ('width="400px" height="200px" viewBox="0 0 40 20"', "px", 100.0),
        ('width="400px" height="200px"', "px", 10.0),
        ('width="4in" height="2in"', "px", 10.0),
        ('width="400" height="200" viewBox="0 0 40 20"', None, 10.0),
        ('width="100%" viewBox="0 0 40 20"', None, 10.0),
        ('viewBox="0 0 40 20"', None, 10.0),
        ("", None, 10.0),
        ('width="80mm" height="20mm" viewBox="0 0 40 20"', "mm", 10.0),
    ],
)
def test_the_unit_is_the_width_attributes(
    qtbot: QtBot, tmp_path: Path, size: str, unit: str | None, width: float
) -> None:
    body = '<rect x="1" y="2" width="10" height="5" stroke="black"/>'
    drawing = read_svg(drawn(tmp_path, size, body))
    assert drawing.unit == unit
    assert drawing.high[0] - drawing.low[0] == pytest.approx(width)
    assert read_svg(drawn(tmp_path, size, body), "in").unit == "in"


@pytest.mark.expectation(85, 86)
@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "it is empty"),
        ("hello", "it is not an SVG drawing"),
        ("<html/>", "it is not an SVG drawing"),
        (f"{HEAD}><rect", "at line 1, column"),
        (f"{HEAD}/>", "it has no lines or curves"),
        (f"{HEAD}><text>A</text></svg>", "it holds 1 text"),
        (f"{HEAD}><rect width='5' height='5' fill='none'/></svg>", "no lines or curves"),
        ('<!DOCTYPE svg [<!ENTITY a "x">]>' + HEAD + "/>", "no lines or curves"),
    ],
)
def test_what_is_no_drawing_is_refused(qtbot: QtBot, tmp_path: Path, text: str, words: str) -> None:
    path = tmp_path / "odd.svg"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(ReadFault) as caught:
        read_svg(path)
    assert words in str(caught.value)
    assert str(caught.value).startswith("odd.svg cannot be read")


def many(folder: Path) -> Path:
    lines = "".join(f'<line x1="{k}" y1="0" x2="{k}" y2="9" stroke="red"/>' for k in range(1500))
    return drawn(folder, 'width="9mm" viewBox="0 0 9 9"', lines)


@pytest.mark.expectation(100)
def test_it_reports_and_stops(qtbot: QtBot, tmp_path: Path) -> None:
    told: list[int] = []
    read_svg(many(tmp_path), report=lambda done, _: told.append(done))
    assert told[:4] == [0, 500, 1000, 1500]

    def stop(done: int, total: int | None) -> None:
        raise Cancelled

    with pytest.raises(Cancelled):
        read_svg(many(tmp_path), report=stop)


def test_too_much_is_refused(qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("gridjig.qt.paint.svg_reader.MOST", 1000)
    with pytest.raises(ReadFault, match="more than 1,000 shapes"):
        read_svg(many(tmp_path))


# -- files that hurt -----------------------------------------------------------------------------

HURT = (
    '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    ' width="100mm" height="100mm" viewBox="0 0 100 100">'
)
PLATE = '<path d="M0 0H50V30H0Z" stroke="black" fill="none"/>'
HOSTILE = Path(__file__).parents[2] / "files" / "drawings" / "hostile"


def chain(groups: int) -> str:
    links = "".join(f'<g id="a{k}"><use xlink:href="#a{k + 1}"/></g>' for k in range(groups))
    return f'<defs>{links}<g id="a{groups}">{PLATE}</g></defs><use xlink:href="#a0"/>'


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize(
    ("inside", "says"),
    [
        (PLATE + "<g>" * 201 + "</g>" * 201, "its groups are nested more than 200 deep"),
        (chain(1200), "with its references its groups are nested more than 1,000 deep"),
        ('<g id="a"><use xlink:href="#b"/></g><g id="b"><use xlink:href="#a"/></g>', "a loop"),
        (
            f'<defs><g id="b">{PLATE * 400}</g></defs>' + '<use xlink:href="#b"/>' * 500,
            "with its references it draws more than 200,000 shapes",
        ),
        ('<g transform="scale(1e30)">' + PLATE + "</g>", "it holds 1 shape too large to draw"),
        (
            "<path stroke='red' d='M0 0" + "C1 2 3 4 5 6" * 40_000 + "'/>",
            "it holds 1 path that could not be read in full",
        ),
    ],
)
def test_what_would_draw_without_end_is_refused(tmp_path: Path, inside: str, says: str) -> None:
    path = tmp_path / "hurts.svg"
    path.write_text(HURT + inside + "</svg>")
    assert path.stat().st_size < 1024**2
    begun = time.process_time()
    with pytest.raises(ReadFault) as caught:
        read_svg(path)
    assert says in str(caught.value)
    assert time.process_time() - begun < 5


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize(
    ("inside", "left"),
    [
        ("<rect width='1e9' height='1e9' stroke='red'/>", "1 shape too large to draw"),
        ("<use xlink:href='#gone'/><use xlink:href='other.svg#x'/>", "2 broken references"),
        ("<clipPath id='c'><rect width='5' height='5'/></clipPath>", "1 clip path"),
        ("<mask id='k'><rect width='5' height='5'/></mask><g mask='url(#k)'/>", "1 mask"),
        ("<filter id='f'><feGaussianBlur stdDeviation='3'/></filter>", "1 filter"),
        ("<marker id='m'><rect width='5' height='5'/></marker>", "1 line end"),
        ("<g>" * 40 + PLATE + "</g>" * 40, "group"),
    ],
)
def test_what_is_dropped_is_listed(tmp_path: Path, inside: str, left: str) -> None:
    path = tmp_path / "drops.svg"
    path.write_text(HURT + inside + PLATE + "</svg>")
    drawing = read_svg(path)
    assert left in ", ".join(map(str, drawing.unused))
    assert sum(len(layer.outlines) for layer in drawing.layers) == 1


@pytest.mark.usefixtures("qapp")
def test_what_a_pattern_fills_is_drawn(tmp_path: Path) -> None:
    path = tmp_path / "pattern.svg"
    pattern = "<pattern id='p' width='1e9' height='1e9'><rect width='9' height='9'/></pattern>"
    path.write_text(f"{HURT}{pattern}<rect width='50' height='40' fill='url(#p)'/></svg>")
    drawing = read_svg(path)
    assert [str(count) for count in drawing.unused] == ["1 pattern"]
    assert drawing.size("mm") == pytest.approx((50, 40))


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize("box", ["0 0 e 100", "0 0 nan 100", "0 0 1e308 1e308", "1 2 3", "x"])
def test_a_box_of_view_that_is_none_is_passed_over(tmp_path: Path, box: str) -> None:
    path = tmp_path / "box.svg"
    path.write_text(HURT.replace("0 0 100 100", box) + PLATE + "</svg>")
    assert read_svg(path).unit == "px"


@pytest.mark.usefixtures("qapp")
def test_references_doubled_24_times_are_refused_at_once() -> None:
    """Two kilobytes once froze the window, which then died on closing."""
    begun = time.process_time()
    with pytest.raises(ReadFault, match="draws more than 200,000 shapes"):
        read_svg(HOSTILE / "use_exp2x24.svg")
    assert time.process_time() - begun < 1
    with pytest.raises(ReadFault, match="too large to draw"):
        read_svg(HOSTILE / "tr1e30.svg")
    assert read_svg(HOSTILE / "vb5.svg").unit == "px"
    assert len(read_svg(HOSTILE / "css.svg").layers) == 1


@pytest.mark.parametrize(
    "shape",
    [
        '<path d="M0 0H50V30H0Z" %s/>',
        '<rect width="50" height="30" %s/>',
        '<circle cx="20" cy="20" r="9" %s/>',
    ],
)
def test_what_is_only_filled_is_no_line(qtbot: QtBot, tmp_path: Path, shape: str) -> None:
    size = 'width="100mm" height="100mm" viewBox="0 0 100 100"'
    found = read_svg(drawn(tmp_path, size, shape % 'fill="#ff0000"'))
    assert [layer.name for layer in found.layers] == ["fill #ff0000"]
    found = read_svg(drawn(tmp_path, size, shape % 'fill="none" stroke="#0000ff"'))
    assert [layer.name for layer in found.layers] == ["line #0000ff"]
    with pytest.raises(ReadFault):
        read_svg(drawn(tmp_path, size, shape % 'fill="none" stroke="none"'))
