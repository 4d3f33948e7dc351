"""`gridjig pull`: the list in walking order as text, JSON and CSV, and files that hold no job."""

import csv
import io
import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from gridjig.files.jobs.job_file import write_job
from gridjig.files.library.assets import ready_tables, starter_racks
from gridjig.model import Hole, Job, Placement, Seat
from tests.cli.conftest import Command


def pin_in(number: int, hole: Hole) -> Placement:
    return Placement(id=f"p{number}", piece="pin-1", seats=(Seat("shank", hole),))


def saved(path: Path, *placements: Placement) -> str:
    job = Job(
        name="Gate",
        table=ready_tables()["48x48-5/8"],
        rack=starter_racks()["inch-5-8"],
        placements=placements,
    )
    path.write_bytes(write_job(job))
    return str(path)


@pytest.fixture
def job(tmp_path: Path) -> str:
    square = Placement(
        id="s1",
        piece="square-two-hole",
        seats=(Seat("corner", Hole(7, 5)), Seat("along", Hole(8, 5))),
    )
    return saved(tmp_path / "gate.gridjig", square, pin_in(1, Hole(0, 0)), pin_in(2, Hole(1, 0)))


def test_the_text_names_what_to_pull_and_where_it_goes(gridjig: Command, job: str) -> None:
    said = gridjig("pull", job)
    assert said.code == 0
    lines = said.out.splitlines()
    assert lines[0].startswith("Gate: 5 to pull, ")
    assert lines[0].endswith(" lb in all")
    assert lines[1].split() == ["bin", "needed", "piece", "size", "goes", "in"]
    pins = next(line for line in lines if "Round pin" in line)
    assert pins.endswith("A1, B1")
    assert pins.split()[1] == "2"
    assert any("H6 + I6" in line and "Square" in line for line in lines)


@pytest.mark.source("library", "Python 3.11 json", "reading back")
def test_the_json_keeps_its_form(gridjig: Command, job: str) -> None:
    answer = json.loads(gridjig("pull", job, "--json").out)
    assert list(answer) == ["job", "rack", "needed", "short", "mass_kg", "bins", "weight"]
    assert (answer["job"], answer["needed"], answer["short"]) == ("Gate", 5, 0)
    lines = [line for group in answer["bins"] for line in group["pieces"]]
    [pins] = [line for line in lines if line["piece"] == "pin-1"]
    assert (pins["needed"], pins["holes"], pins["placements"]) == (2, ["A1", "B1"], ["p1", "p2"])
    walk = starter_racks()["inch-5-8"].walk
    bins = [group["bin"] for group in answer["bins"]]
    assert bins == sorted(bins, key=walk.index)


@pytest.mark.source("library", "Python 3.11 csv", "reading back")
def test_the_csv_can_be_read_by_a_spreadsheet(gridjig: Command, job: str) -> None:
    out = gridjig("pull", job, "--csv").out
    assert "\r" not in out
    rows = list(csv.DictReader(io.StringIO(out)))
    assert sum(int(row["Needed"]) for row in rows) == 5
    assert {"Bin", "Piece", "Short by", "Mass kg", "Piece id", "Weight", "Set to"} <= set(rows[0])
    [square] = [row for row in rows if row["Piece id"] == "square-two-hole"]
    assert square["Set to"] == 'H6 + I6: face 1/2" from H6, turn 0°'
    assert square["Weight"].endswith(" lb")


def test_how_each_piece_is_set_is_told(gridjig: Command, job: str) -> None:
    out = gridjig("pull", job).out
    assert ["H6 + I6", "Square, two holes", 'face 1/2" from H6, turn 0°'] in [
        re.split(r" {2,}", line) for line in out.splitlines()
    ]
    answer = json.loads(gridjig("pull", job, "--json").out)
    told = [one for group in answer["bins"] for line in group["pieces"] for one in line["settings"]]
    assert [one["placement"] for one in told] == ["p1", "p2", "s1"]
    square = told[-1]
    assert (square["face_mm"], square["face_hole"], square["turn_deg"]) == (12.7, "H6", 0.0)
    assert (square["reach_mm"], square["leaf_deg"], square["packing"]) == (None, None, [])


@pytest.mark.expectation(78)
def test_a_shortage_is_said_in_words(gridjig: Command, tmp_path: Path) -> None:
    owned = starter_racks()["inch-5-8"].piece("pin-1").owned
    pins = [pin_in(k, Hole(k % 24, k // 24)) for k in range(owned + 2)]
    lines = gridjig("pull", saved(tmp_path / "many.gridjig", *pins)).out.splitlines()
    assert ", short by 2, " in lines[0]
    assert "short by" in lines[1]


def test_nothing_placed_is_said(gridjig: Command, tmp_path: Path) -> None:
    said = gridjig("pull", saved(tmp_path / "empty.gridjig"))
    assert (said.code, said.out) == (0, "Gate: nothing to pull, because nothing is placed.\n")


@pytest.mark.expectation(85, 86)
@pytest.mark.parametrize("content", [b"", b"hello", b"{}", b"\xff\xfe", b"[" * 100_000])
def test_what_is_no_job_is_refused_in_one_sentence(
    refused: Callable[..., str], tmp_path: Path, content: bytes
) -> None:
    path = tmp_path / "odd.gridjig"
    path.write_bytes(content)
    for form in ([], ["--json"], ["--csv"]):
        assert "odd.gridjig cannot be read" in refused("pull", str(path), *form)


def test_what_is_not_there_is_refused(refused: Callable[..., str], tmp_path: Path) -> None:
    assert "there is no such file" in refused("pull", str(tmp_path / "gone.gridjig"))
    assert "it is a folder" in refused("pull", str(tmp_path))
    assert "not allowed with" in refused("pull", "x", "--json", "--csv")
    assert "`gridjig pull --help`" in refused("pull")
