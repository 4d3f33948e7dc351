"""`gridjig import`: a job of a drawing, what is said of it, and what is refused."""

from collections.abc import Callable
from pathlib import Path

import pytest
import shapely
from ezdxf.document import Drawing as Document
from ezdxf.layouts.layout import Modelspace
from PySide6.QtWidgets import QApplication

from gridjig.files.jobs.job_file import load_job
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Member
from tests.cli.conftest import Command
from tests.files.drawings.drawn import DXF, written

Refused = Callable[..., str]


def plates(document: Document, space: Modelspace) -> None:
    document.layers.add("OFF").off()
    space.add_lwpolyline([(0, 0), (200, 0), (200, 100), (0, 100)], close=True)
    space.add_circle((50, 50), 10)
    space.add_circle((400, 50), 30, dxfattribs={"layer": "CUT"})
    space.add_circle((600, 50), 30, dxfattribs={"layer": "OFF"})
    space.add_text("A")


@pytest.fixture
def out(tmp_path: Path) -> Path:
    return tmp_path / "out.gridjig"


@pytest.mark.expectation(53)
def test_a_drawing_becomes_a_job_and_what_was_left_is_said(
    gridjig: Command, tmp_path: Path, out: Path
) -> None:
    said = gridjig("import", str(written(tmp_path, plates)), str(out))
    assert said.code == 0
    assert said.out.splitlines() == [
        "drawn.dxf: 430 × 100 mm, unit mm as the file says",
        "Imported: 2 plates with 1 hole, 10 mm thick, from 0, CUT",
        "Curves are flattened to within 0.05 mm; ends up to 0.1 mm apart are joined.",
        "Not used: 1 text; 1 shape on a layer not chosen",
        f"Written: {out}",
    ]
    job = load_job(out)
    assert (job.name, job.display.unit) == ("drawn", "millimetres")
    assert [part.z_high for part in job.parts] == [10.0, 10.0]
    shapes = [shapely.Polygon(part_ring(part)) for part in job.parts]
    middle = shapely.box(*shapely.union_all(shapes).bounds).centroid
    assert (middle.x, middle.y) == pytest.approx((job.table.width / 2, job.table.depth / 2))


def test_a_layer_that_holds_only_the_border_is_not_among_the_used(
    gridjig: Command, tmp_path: Path, out: Path
) -> None:
    def bracket(_document: Document, space: Modelspace) -> None:
        for layer, corners in (
            ("FRAME", [(0, 0), (420, 0), (420, 297), (0, 297)]),
            ("FRAME", [(240, 0), (420, 0), (420, 60), (240, 60)]),
            ("CUT", [(100, 100), (300, 100), (300, 220), (100, 220)]),
        ):
            space.add_lwpolyline(corners, close=True, dxfattribs={"layer": layer})
        space.add_circle((130, 130), 9, dxfattribs={"layer": "HOLES"})
        space.add_text("PLATE", dxfattribs={"layer": "FRAME"}).set_placement((250, 30))

    path = written(tmp_path, bracket)
    told = gridjig("import", str(path), str(out)).out.splitlines()
    assert told[1] == "Imported: 1 plate with 1 hole, 10 mm thick, from CUT, HOLES"
    assert told[3] == "Not used: 1 text; the drawing's border and title block (2 shapes)"
    told = gridjig("import", str(path), str(out), "--force", "--border").out.splitlines()
    assert told[1].endswith("from CUT, FRAME, HOLES")


def test_unit_layers_table_and_thickness_are_as_given(
    gridjig: Command, tmp_path: Path, out: Path
) -> None:
    path = written(tmp_path, plates)
    said = gridjig(
        "import", str(path), str(out), "--unit", "in", "--layer", "CUT", "--layer", "OFF",
        "--table", "48x48-5/8", "--thickness", "1/4", "--inner",
    )  # fmt: skip
    assert said.code == 0
    assert 'unit in as given\nImported: 2 plates, 1/4" thick, from CUT, OFF\n' in said.out
    assert "It is larger than the table" in said.out
    job = load_job(out)
    assert [part.z_high for part in job.parts] == [pytest.approx(6.35)] * 2
    assert job.table.columns == 24


@pytest.mark.expectation(53, 85)
def test_an_unknown_unit_is_asked_for_with_the_size_in_each(
    refused: Refused, gridjig: Command, out: Path
) -> None:
    path = str(DXF / "recover02.dxf")
    said = refused("import", path, str(out))
    assert said == (
        "recover02.dxf does not state its unit. Give it with --unit: it is 7.25 × 9.62 mm if mm,"
        " 72.5 × 96.2 mm if cm, 7,250 × 9,625 mm if m, 184 × 244 mm if in, 2,210 × 2,934 mm if ft."
    )
    assert not out.exists()
    assert gridjig("import", path, str(out), "--unit", "in").code == 0
    assert load_job(out).display.unit != "millimetres"


def test_a_file_that_is_there_is_written_over_only_if_asked(
    refused: Refused, gridjig: Command, tmp_path: Path, out: Path
) -> None:
    out.write_text("mine", encoding="utf-8")
    path = str(written(tmp_path, plates))
    assert "already exists; give another name, or --force" in refused("import", path, str(out))
    assert out.read_text(encoding="utf-8") == "mine"
    assert gridjig("import", path, str(out), "--force").code == 0
    assert load_job(out).parts


@pytest.mark.expectation(85, 86)
def test_what_cannot_be_done_is_refused_in_one_sentence(
    refused: Refused, tmp_path: Path, out: Path
) -> None:
    path = str(written(tmp_path, plates))
    assert "must end in .gridjig" in refused("import", path, str(tmp_path / "a.txt"))
    assert "there is no such file" in refused("import", str(tmp_path / "no.dxf"), str(out))
    assert "it is a folder" in refused("import", str(tmp_path), str(out))
    assert "no layer CUTS in drawn.dxf; the nearest are: CUT" in refused(
        "import", path, str(out), "--layer", "CUTS"
    )
    assert "there is no mile" in refused("import", path, str(out), "--unit", "mile")
    assert "cannot be 0 thick" in refused("import", path, str(out), "--thickness", "0")
    assert "There is no standard table x" in refused("import", path, str(out), "--table", "x")
    assert "was not written: the folder" in refused(
        "import", path, str(tmp_path / "no" / "a.gridjig")
    )
    bare = str(DXF / "bin_dxf_r12.dxf")
    said = refused("import", bare, str(out), "--unit", "mm")
    assert "The drawing bin_dxf_r12.dxf has no closed outline and 1 open line" in said


def test_what_was_set_right_is_said(gridjig: Command, tmp_path: Path, out: Path) -> None:
    path = written(tmp_path, plates)
    path.write_bytes(path.read_bytes().replace(b"  0\nEOF\n", b""))
    said = gridjig("import", str(path), str(out))
    assert "Repaired: its end mark was missing" in said.out


def test_an_svg_drawing_comes_in_too(
    qapp: QApplication, gridjig: Command, refused: Refused, tmp_path: Path, out: Path
) -> None:
    path = tmp_path / "plate.svg"
    path.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="50mm" viewBox="0 0 200 100">'
        '<rect x="10" y="20" width="80" height="40" fill="none" stroke="red"/></svg>',
        encoding="utf-8",
    )
    said = gridjig("import", str(path), str(out))
    assert "Imported: 1 plate" in said.out
    assert shapely.Polygon(load_job(out).parts[0].corners).area == pytest.approx(800)
    path.write_text("<html/>", encoding="utf-8")
    assert "it is not an SVG drawing" in refused("import", str(path), str(out), "--force")


def test_the_word_with_its_file_name_is_no_verb(refused: Refused) -> None:
    assert "There is no verb import_" in refused("import_", "a", "b")


def frame_of_lines(_: Document, space: Modelspace) -> None:
    for y in (0, 50, 750, 800):
        space.add_line((0, y), (1200, y))
    for x in (0, 50, 1150, 1200):
        space.add_line((x, 50.4), (x, 749.6))


def test_open_lines_as_far_apart_as_a_section_are_members(
    gridjig: Command, refused: Refused, tmp_path: Path, out: Path
) -> None:
    drawn = str(written(tmp_path, frame_of_lines))
    assert "no closed outline and 8 open lines" in refused("import", drawn, str(out))
    said = gridjig("import", drawn, str(out), "--members", "guess")
    assert said.code == 0
    told = said.out.splitlines()
    assert told[1] == "Imported: 4 members, 8 open lines as edges, from 0"
    assert told[3].startswith("Members are of 50x50x")
    assert not any(line.startswith("Not used") for line in told)
    assert len(load_job(out).parts) == 4


def bars(document: Document, space: Modelspace) -> None:
    for y in (0, 300):
        space.add_lwpolyline([(0, y), (600, y), (600, y + 50), (0, y + 50)], close=True)
    space.add_circle((800, 100), 60)


@pytest.mark.source("method", "counted by hand: two bars 50 wide, and a disc")
def test_outlines_as_wide_as_a_section_become_members(
    gridjig: Command, refused: Refused, tmp_path: Path, out: Path
) -> None:
    path = str(written(tmp_path, bars))
    said = gridjig("import", path, str(out), "--members", "50x50x3")
    assert said.code == 0
    assert "Imported: 1 plate and 2 members" in said.out
    assert "Members are of 50x50x3" in said.out
    assert "1 not as wide as the section came in as plates." in said.out
    members = [part for part in load_job(out).parts if isinstance(part, Member)]
    assert [part.section.width for part in members] == [50, 50]
    guessed = gridjig("import", path, str(out), "--members", "guess", "--force")
    assert "2 members" in guessed.out
    assert "There is no section zz on the list" in refused(
        "import", path, str(out), "--members", "zz", "--force"
    )
    several = refused("import", path, str(out), "--members", "50x50", "--force")
    assert "50x50 fits " in several
    assert "more. Give more of it." in several
    lone = str(written(tmp_path, lambda _, space: space.add_circle((0, 0), 977.3)))
    assert "as wide as a section on the list" in refused(
        "import", lone, str(out), "--members", "guess", "--force"
    )
