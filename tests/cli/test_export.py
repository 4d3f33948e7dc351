"""`gridjig export`: each kind of file, what is left out, and what is refused."""

import csv
import struct
from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree

import ezdxf
import pytest

from tests.cli.conftest import Command

JOB = str(Path(__file__).with_name("kept") / "bracket.gridjig")


def test_a_drawing_is_in_the_unit_of_the_job_or_in_the_one_asked_for(
    gridjig: Command, tmp_path: Path
) -> None:
    out = tmp_path / "setup.dxf"
    said = gridjig("export", JOB, str(out))
    assert said.code == 0
    assert "the set-up at true size in inches" in said.out
    assert ezdxf.readfile(out).header["$INSUNITS"] == 1  # type: ignore[attr-defined]
    assert gridjig("export", JOB, str(out), "--unit", "mm", "--force").code == 0
    assert ezdxf.readfile(out).header["$INSUNITS"] == 4  # type: ignore[attr-defined]


def test_layers_can_be_left_out_and_the_table_goes_out_alone(
    gridjig: Command, tmp_path: Path
) -> None:
    out = tmp_path / "setup.svg"
    gridjig("export", JOB, str(out), "--without", "pieces", "--without", "labels")
    groups = {one.get("id") for one in ElementTree.parse(out).iter("{http://www.w3.org/2000/svg}g")}
    assert groups == {"table", "holes", "marked-holes", "members"}
    said = gridjig("export", JOB, str(tmp_path / "top.svg"), "--what", "table")
    assert "the table at true size in millimetres" in said.out


@pytest.mark.parametrize("what", [(), ("--what", "pull")])
def test_a_list_is_written_for_a_spreadsheet(
    gridjig: Command, tmp_path: Path, what: tuple[str, ...]
) -> None:
    out = tmp_path / "pull.csv"
    said = gridjig("export", JOB, str(out), *what)
    with out.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert f"pull list, {len(rows)} lines" in said.out
    assert sum(int(row["Needed"]) for row in rows) > 10


def test_a_picture_has_the_width_asked_for_and_needs_no_screen(
    gridjig: Command, tmp_path: Path
) -> None:
    out = tmp_path / "plan.png"
    assert gridjig("export", JOB, str(out), "--width", "300").code == 0
    data = out.read_bytes()
    assert data.startswith(b"\x89PNG\r\n")
    wide, high = struct.unpack(">II", data[16:24])
    assert wide == 300
    assert 200 < high < 600


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("o.gif",), "must end in .dxf, .svg, .csv or .png"),
        (("o.csv", "--what", "pul"), "the nearest are: pull"),
        (("o.dxf", "--what", "pull"), "There is no drawing pull of a job"),
        (("o.svg", "--unit", "in"), "--unit is for a .dxf file"),
        (("o.dxf", "--width", "500"), "--width is for a .png file"),
        (("o.png", "--width", "12"), "from 200 to 10,000"),
        (("o.png", "--what", "setup"), "--what is for a .dxf, .svg or .csv file"),
        (("o.csv", "--what", "pull", "--without", "holes"), "--without is for a drawing"),
        (
            ("o.dxf", *(w for c in ("table", "holes", "pieces", "members", "labels")
                        for w in ("--without", c))),
            "Everything is left out",
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_done_is_refused(
    refused: Callable[..., str],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    words: tuple[str, ...],
    why: str,
) -> None:
    monkeypatch.chdir(tmp_path)
    assert why in refused("export", JOB, *words)
    assert list(tmp_path.iterdir()) == []


def test_nothing_is_overwritten_unasked(refused: Callable[..., str], tmp_path: Path) -> None:
    out = tmp_path / "kept.dxf"
    out.write_text("mine", encoding="utf-8")
    assert "already exists" in refused("export", JOB, str(out))
    assert out.read_text(encoding="utf-8") == "mine"
