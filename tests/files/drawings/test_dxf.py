"""What a DXF file draws, held against the library's own reading and against plain geometry."""

import math
from pathlib import Path

import ezdxf.path
import numpy as np
import pytest
import shapely
from ezdxf.document import Drawing as Document
from ezdxf.entities.insert import Insert
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.entities.spline import Spline as SplineEntity
from ezdxf.filemanagement import new, readfile
from ezdxf.layouts.layout import Modelspace
from ezdxf.math import BSpline as BSplineOfLibrary
from ezdxf.math import Vec2
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.interpolate import BSpline  # type: ignore[import-untyped]

from gridjig.files.drawings.curves import Unusable
from gridjig.files.drawings.drawing import REACH, TOLERANCE, Drawing, DrawingLayer, read_drawing
from gridjig.files.drawings.spline import Spline, _Poles
from gridjig.files.format.faults import ReadFault
from tests.files.drawings.drawn import DXF, text_file, written

VERSIONS = ["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"]
REAL = sorted(p.name for p in DXF.glob("*.dxf"))
OUTLINES = {
    "ASCII_R12.dxf": 0, "bin_dxf_r12.dxf": 0, "dimension_in_nested_blocks.dxf": 8,
    "forms.dxf": 23, "issue_1359_1.dxf": 1, "recover02.dxf": 2,
}  # fmt: skip
"""Closed outlines of each drawing that can be read; the two of 0 hold one open line."""


def only(drawing: Drawing) -> DrawingLayer:
    [layer] = drawing.layers
    return layer


def counts(drawing: Drawing) -> list[str]:
    return [str(count) for count in drawing.unused]


def frame(_: Document, space: Modelspace) -> None:
    """A closed plate with an arc in it and a loose line; nothing that R12 has not."""
    corners = [(0, 0, 0), (100, 0, 0.4), (100, 60, 0), (0, 60, 0)]
    if space.doc and space.doc.dxfversion > "AC1009":
        space.add_lwpolyline(corners, format="xyb", close=True)
    else:
        space.add_polyline2d(corners, format="xyb", close=True)
    space.add_line((0, 100), (50, 100))


@pytest.mark.source("library", "ezdxf 1.4", "which writes every version")
@pytest.mark.parametrize("form", ["asc", "bin"])
@pytest.mark.parametrize("version", VERSIONS)
def test_every_version_reads_alike(tmp_path: Path, version: str, form: str) -> None:
    document = new(version)
    frame(document, document.modelspace())
    path = tmp_path / "plate.dxf"
    document.saveas(path, fmt=form)
    layer = only(read_drawing(path, "mm"))
    [ring] = layer.outlines
    # A segment of a circle: r = c (1 + b^2) / (4 b), area r^2 (w - sin w) / 2, w = 4 atan b.
    angle = 4 * math.atan(0.4)
    radius = 60 * (1 + 0.4**2) / (4 * 0.4)
    wanted = 6000 + radius**2 * (angle - math.sin(angle)) / 2
    assert shapely.Polygon(ring).area == pytest.approx(wanted, abs=TOLERANCE * radius * angle)
    assert shapely.Polygon(ring).exterior.is_ccw
    assert layer.paths == (((0.0, 100.0), (50.0, 100.0)),)


@pytest.mark.source("method", "geometry: area of a circle and of an ellipse")
def test_circles_and_ellipses_keep_their_area_within_the_tolerance(tmp_path: Path) -> None:
    def draw(_: Document, space: Modelspace) -> None:
        space.add_circle((0, 0), 80)
        space.add_ellipse((500, 0), major_axis=(90, 30), ratio=0.4)

    round_one, long_one = sorted(
        (shapely.Polygon(r) for r in only(read_drawing(written(tmp_path, draw))).outlines),
        key=lambda p: p.centroid.x,
    )
    for shape, area, length in (
        (round_one, math.pi * 80**2, math.tau * 80),
        (long_one, math.pi * 0.4 * (90**2 + 30**2), math.tau * 95),
    ):
        assert area - TOLERANCE * length <= shape.area <= area + 1e-6


@pytest.mark.source("library", "ezdxf 1.4", "path.make_path, flattened a hundred times finer")
@settings(max_examples=30)
@given(
    controls=st.lists(
        st.tuples(st.floats(-200, 200), st.floats(-200, 200)), min_size=4, max_size=8, unique=True
    )
)
def test_splines_stay_within_the_tolerance(
    tmp_path_factory: pytest.TempPathFactory, controls: list[tuple[float, float]]
) -> None:
    def draw(_: Document, space: Modelspace) -> None:
        space.add_open_spline([(x, y, 0) for x, y in controls])

    path = written(tmp_path_factory.mktemp("spline"), draw)
    [entity] = readfile(path).modelspace()
    fine = [Vec2(p) for p in entity.construction_tool().flattening(0.005, segments=16)]  # type: ignore[attr-defined]
    layers = read_drawing(path).layers
    ours = shapely.MultiLineString(
        [[*r, r[0]] for la in layers for r in (*la.outlines, *la.openings)]
        + [p for la in layers for p in la.paths]
    )
    assume(not ours.is_empty)  # a spline that closes and crosses itself is refused
    away = max(shapely.Point(p.x, p.y).distance(ours) for p in fine)
    assert away <= TOLERANCE + REACH


@pytest.mark.source("library", "ezdxf 1.4", "Insert.virtual_entities")
def test_nested_blocks_lie_where_the_library_puts_them(tmp_path: Path) -> None:
    def draw(document: Document, space: Modelspace) -> None:
        inner = document.blocks.new("INNER", base_point=(5, 5))
        inner.add_lwpolyline([(5, 5), (25, 5), (25, 15)], close=True)
        outer = document.blocks.new("OUTER", base_point=(1, 2))
        outer.add_blockref("INNER", (40, 0), dxfattribs={"rotation": 30, "xscale": -2, "yscale": 1})
        space.add_blockref(
            "OUTER",
            (300, 100),
            dxfattribs={
                "rotation": 15,
                "column_count": 3,
                "row_count": 2,
                "column_spacing": 200,
                "row_spacing": 120,
            },
        )
        space.add_blockref("OUTER", (0, 0), dxfattribs={"extrusion": (0, 0, -1)})

    path = written(tmp_path, draw)
    wanted = []
    for insert in readfile(path).modelspace():
        assert isinstance(insert, Insert)
        for one in insert.multi_insert() if insert.mcount > 1 else [insert]:
            for nested in one.virtual_entities():
                assert isinstance(nested, Insert)
                for poly in nested.virtual_entities():
                    assert isinstance(poly, LWPolyline)
                    wanted.append(shapely.Polygon([(p.x, p.y) for p in poly.vertices_in_wcs()]))
    ours = [shapely.Polygon(ring) for ring in only(read_drawing(path)).outlines]
    assert len(ours) == len(wanted) == 7
    for shape in wanted:
        assert min(shape.symmetric_difference(mine).area for mine in ours) < 1e-6


@pytest.mark.source("library", "ezdxf 1.4", "OCS")
def test_what_is_seen_from_below_is_mirrored(tmp_path: Path) -> None:
    def draw(_: Document, space: Modelspace) -> None:
        below = {"extrusion": (0, 0, -1)}
        space.add_arc((10, 20), 5, 0, 90, dxfattribs=below)
        space.add_circle((60, 20), 5, dxfattribs=below)
        space.add_lwpolyline(
            [(0, 0, 0.5), (30, 0, 0), (30, 20, 0)], format="xyb", close=True, dxfattribs=below
        )
        space.add_ellipse((0, 90), (30, 0), 0.5, 0, math.pi / 2, dxfattribs=below)

    path = written(tmp_path, draw)
    drawing = read_drawing(path)
    ours = shapely.MultiLineString(
        [[*r, r[0]] for r in only(drawing).outlines] + list(only(drawing).paths)
    )
    entities = list(readfile(path).modelspace())
    assert len(entities) == 4
    for entity in entities:
        fine = list(ezdxf.path.make_path(entity).flattening(0.001))
        assert len(fine) > 50
        for p in fine:
            # The library's path draws an arc by curves that are off by a few hundredths.
            assert shapely.Point(p.x, p.y).distance(ours) < TOLERANCE + 0.02


def test_what_is_no_curve_is_counted(tmp_path: Path) -> None:
    def draw(document: Document, space: Modelspace) -> None:
        frame(document, space)
        for k in range(12):
            space.add_text("A", dxfattribs={"insert": (k, 0)})
        for _ in range(3):
            space.add_hatch()
        space.add_point((1, 1))
        space.add_line((0, 0), (1, 1), dxfattribs={"invisible": 1})
        document.layout("Layout1").add_line((0, 0), (1, 1))
        space.add_circle((0, 0), 5, dxfattribs={"extrusion": (1, 0, 0)})
        space.add_blockref("NOT THERE", (0, 0))

    told = counts(read_drawing(written(tmp_path, draw)))
    assert [words for words in told if "paper" in words] == ["1 shape in paper space"]
    assert [words for words in told if "paper" not in words] == [
        "12 texts",
        "3 hatches",
        "1 point",
        "1 hidden shape",
        "1 shape that is not flat in plan",
        "1 block that is not in the file",
    ]


def test_what_is_damaged_or_without_size_is_left_out_and_counted(tmp_path: Path) -> None:
    path = text_file(
        tmp_path,
        "0,LINE,8,0,10,0,20,0,11,10,21,0",
        "0,LINE,8,0,10,0,20,0",
        "0,LINE,8,0,10,5,20,5,11,5,21,5",
        "0,CIRCLE,8,0,10,0,20,0,40,0",
        "0,CIRCLE,8,0,40,5",
        "0,CIRCLE,8,0,10,0,20,0,40,-3",
        "0,CIRCLE,8,0,10,0,20,0,40,1e300",
        "0,CIRCLE,8,0,10,0,20,0,40,nan",
        "0,ARC,8,0,10,0,20,0,40,5,50,0,51,inf",
        "0,ELLIPSE,8,0,10,0,20,0,11,0,21,0,40,1",
        "0,SPLINE,8,0,71,3",
        "0,SPLINE,8,0,71,3,40,3,40,1,40,2,10,0,20,0,10,1,20,1,10,2,20,2,10,3,20,3",
        "0,SPLINE,8,0,71,1,40,0,40,0,40,1,40,1,41,1,41,-1,10,0,20,0,10,4,20,0",
        "0,CIRCLE,8,0,10,0,20,0,40,5,210,1,220,0",
        "0,TEXT,8,0,1,A,101,Embedded Object,10,0,20,0",
        "0,SPLINE,8,0,71,9,10,0,20,0,10,1,20,1",
        "0,POLYLINE,8,0,70,16",
        "0,VERTEX,8,0,10,0,20,0",
        "0,SEQEND",
        "0,POLYLINE,8,0,70,1",
        "0,VERTEX,8,0,10,nan,20,0",
        "0,VERTEX,8,0,10,1,20,0",
        "0,SEQEND",
        "0,INSERT,8,0,2,B,10,0,20,0,41,0",
        "0,FROBNICATE,8,0",
    )
    drawing = read_drawing(path, "mm")
    assert len(only(drawing).paths) == 1
    told = {str(count) for count in drawing.unused}
    assert "1 mesh" in told
    assert "1 object of type FROBNICATE" in told
    assert "1 block of no size" in told
    assert "2 unusable curves" in told
    assert sum(count.number for count in drawing.unused) == 19


def test_blocks_that_hold_themselves_end(tmp_path: Path) -> None:
    def draw(document: Document, space: Modelspace) -> None:
        block = document.blocks.new("LOOP")
        block.add_circle((0, 0), 5)
        block.add_blockref("LOOP", (20, 0))
        space.add_blockref("LOOP", (0, 0))

    drawing = read_drawing(written(tmp_path, draw))
    assert len(only(drawing).outlines) == 1
    assert counts(drawing) == ["1 block that contains itself"]


def test_blocks_in_blocks_that_make_too_much_are_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("gridjig.files.drawings.sketch.MOST", 20_000)

    def draw(document: Document, space: Modelspace) -> None:
        name = "B0"
        document.blocks.new(name).add_line((0, 0), (1, 0))
        for k in range(1, 9):
            block = document.blocks.new(f"B{k}")
            block.add_blockref(name, (0, 0), dxfattribs={"column_count": 100, "row_count": 100})
            name = f"B{k}"
        space.add_blockref(name, (0, 0))

    with pytest.raises(ReadFault, match="more than 20,000 shapes"):
        read_drawing(written(tmp_path, draw))


def test_what_a_block_draws_on_layer_0_lies_on_the_layer_of_its_insert(tmp_path: Path) -> None:
    def draw(document: Document, space: Modelspace) -> None:
        document.layers.add("Work")
        document.layers.add("Off").off()
        block = document.blocks.new("B")
        block.add_circle((0, 0), 5)
        block.add_circle((20, 0), 5, dxfattribs={"layer": "Off"})
        space.add_blockref("B", (0, 0), dxfattribs={"layer": "WORK"})

    off, work = read_drawing(written(tmp_path, draw)).layers
    assert (off.name, off.hidden, len(off.outlines)) == ("Off", True, 1)
    assert (work.name, work.hidden, len(work.outlines)) == ("Work", False, 1)


@pytest.mark.source("published", "DXF reference", "system variable INSUNITS, values 0 to 6")
@pytest.mark.parametrize(
    ("code", "unit"), [(0, None), (1, "in"), (2, "ft"), (4, "mm"), (5, "cm"), (6, "m"), (3, None)]
)
def test_the_unit_is_the_headers(tmp_path: Path, code: int, unit: str | None) -> None:
    document = new("R2010", units=code)
    document.modelspace().add_line((0, 0), (1, 0))
    document.saveas(tmp_path / "a.dxf")
    assert read_drawing(tmp_path / "a.dxf").unit == unit
    assert read_drawing(tmp_path / "a.dxf", "in").unit == "in"


@pytest.mark.source("published", "test drawings of the ezdxf project", "its DXF examples")
@pytest.mark.expectation(85, 86)
@pytest.mark.parametrize("name", REAL)
def test_real_drawings_read_or_are_refused_in_one_sentence(name: str) -> None:
    if name in ("clockwise_arcs_hatch.dxf", "r12_blocks_with_no_names.dxf"):
        with pytest.raises(ReadFault, match="it has no lines, arcs or curves") as caught:
            read_drawing(DXF / name)
        assert str(caught.value).count(".") == 2
        return
    drawing = read_drawing(DXF / name)
    rings = [r for la in drawing.layers for r in la.outlines]
    assert len(rings) == OUTLINES[name]
    assert rings or len(only(drawing).paths) == 1
    assert all(shapely.Polygon(r).is_valid for r in rings)


@pytest.mark.source("library", "ezdxf 1.4", "counted by its own reading")
def test_a_real_drawing_gives_what_the_library_counts() -> None:
    layer = only(read_drawing(DXF / "forms.dxf"))
    space = readfile(DXF / "forms.dxf").modelspace()
    assert len(layer.outlines) + len(layer.openings) == len(space)
    assert layer.paths == ()


@pytest.mark.source("library", "ezdxf 1.4", "recover, counted by its own reading")
def test_a_damaged_drawing_gives_what_the_recovery_of_the_library_counts() -> None:
    drawing = read_drawing(DXF / "recover02.dxf")
    assert drawing.unit is None
    assert "59 texts" in counts(drawing)
    lines, _ = drawing.layers
    assert drawing.joined + len(lines.paths) + len(drawing.aside) + 2 == 35 + 1 + 2
    assert lines.name == "Lines"


@pytest.mark.source("library", "scipy 1.17", "interpolate.BSpline")
def test_weighted_and_closed_splines_and_those_by_their_fit_points(tmp_path: Path) -> None:
    points = [(0, 0, 0), (100, 0, 0), (120, 80, 0), (10, 90, 0), (-30, 40, 0)]

    def draw(_: Document, space: Modelspace) -> None:
        space.add_rational_spline(points, [1, 4, 0.5, 3, 1])
        space.add_spline().set_closed([(x + 300, y, z) for x, y, z in points])
        space.add_spline([(x, y + 300, z) for x, y, z in points])

    path = written(tmp_path, draw)
    layer = only(read_drawing(path))
    assert (len(layer.outlines), len(layer.paths)) == (1, 2)
    ours = shapely.MultiLineString([[*r, r[0]] for r in layer.outlines] + list(layer.paths))
    for entity in readfile(path).modelspace():
        assert isinstance(entity, SplineEntity)
        made = entity.construction_tool()
        weights = np.array(made.weights() or [1.0] * made.count)
        homogeneous = [
            (p.x * w, p.y * w, w) for p, w in zip(made.control_points, weights, strict=True)
        ]
        knots, degree = np.array(made.knots()), made.degree
        times = np.linspace(knots[degree], knots[made.count], 4000)
        for x, y, w in BSpline(knots, np.array(homogeneous), degree)(times):
            assert shapely.Point(x / w, y / w).distance(ours) <= TOLERANCE


def test_polylines_in_space_lie_in_plan_and_points_that_steer_are_no_corners(
    tmp_path: Path,
) -> None:
    def draw(_: Document, space: Modelspace) -> None:
        space.add_polyline3d([(0, 0, 5), (50, 0, 9), (50, 50, 0)], close=True)
        space.add_line((0, 80, 3), (10, 80, 7))
        steered = space.add_polyline2d([(0, 100), (10, 110), (20, 100)])
        steered.vertices[1].dxf.flags |= 16

    layer = only(read_drawing(written(tmp_path, draw)))
    assert [shapely.Polygon(r).area for r in layer.outlines] == [1250]
    assert ((0.0, 100.0), (20.0, 100.0)) in layer.paths


def test_a_spline_that_cannot_be_flattened_is_unusable() -> None:
    sharp = BSplineOfLibrary([(0, 0), (9, 99), (50, 0), (90, 50)], 3, weights=[1, 2, 3, 1])
    with pytest.raises(Unusable):
        Spline(sharp).points(1e-13)

    weightless = BSplineOfLibrary([(0, 0), (9, 99), (50, 0), (90, 50)], 3, weights=[1, 0, 0, 1])
    with pytest.raises(Unusable):
        Spline(weightless).points(0.1)


@pytest.mark.source("library", "Python 3.11 ezdxf", "points of rational B-splines")
@given(
    st.integers(2, 5),
    st.lists(st.tuples(st.floats(-99, 99), st.floats(-99, 99)), min_size=6, max_size=9),
    st.floats(0, 1),
)
def test_points_of_weighted_splines_are_those_of_another_program(
    degree: int, poles: list[tuple[float, float]], at: float
) -> None:
    weights = [1.0 + 0.5 * (k % 3) for k in range(len(poles))]
    library = BSplineOfLibrary(poles, degree + 1, weights=weights)
    own = _Poles(library)
    t = own.span[0] + at * (own.span[1] - own.span[0])
    there = library.point(t)
    assert own.at(t) == pytest.approx((there.x, there.y), abs=1e-6)
