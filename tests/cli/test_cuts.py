"""`gridjig cuts`: the cut list as text, JSON and CSV, of jobs with and without a weldment."""

import csv
import io
import json
from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec import structs

from gridjig.edits.members import add
from gridjig.files.jobs.job_file import write_job
from gridjig.model import EndCut, Job
from tests.cli.conftest import Command
from tests.stock import ANGLE, bar
from tests.trials.keyed import KEYED
from tests.workshop import EMPTY, laid, plate


def saved(path: Path, job: Job) -> str:
    path.write_bytes(write_job(job))
    return str(path)


@pytest.mark.source("method", "trial weldment T02, reckoned by hand: lengths, cuts and mass")
def test_the_text_names_what_to_saw(gridjig: Command, tmp_path: Path) -> None:
    said = gridjig("cuts", saved(tmp_path / "frame.gridjig", KEYED["T02"]()))
    assert said.code == 0
    lines = said.out.splitlines()
    assert lines[0] == "mitred frame 36 x 23: 4 to cut, 20.6 lb in all"
    assert lines[1].split("  ")[0] == "members"
    assert "hand" not in lines[1]
    assert lines[2].startswith("A bottom, B top")
    assert '36"' in lines[2]
    assert '33"' in lines[2]
    assert "mitres opposed, 45° both ends" in lines[2]
    assert lines[5].split() == ["stock", "long", "points", "added", "mass"]
    assert lines[6].split() == ["1-1/2x1-1/2x1/8", "square", "tube", '118"', "20.6", "lb"]


def test_hands_have_a_column_where_there_are_any(gridjig: Command, tmp_path: Path) -> None:
    one = bar(ANGLE, end=EndCut("mitre", 45))
    job = add(add(EMPTY, one), structs.replace(one.opposite_hand, id="twin", name="twin"))
    out = gridjig("cuts", saved(tmp_path / "hands.gridjig", job)).out
    assert "hand" in out.splitlines()[1]
    assert "opposite hand" in out


def test_plates_alone_have_no_stock_to_add_up(gridjig: Command, tmp_path: Path) -> None:
    out = gridjig("cuts", saved(tmp_path / "plate.gridjig", laid(plate("foot", 0, 0)))).out
    assert "100 mm x 60 mm x 6 mm" in out
    assert "long points added" not in out


@pytest.mark.source("library", "Python 3.11 json and csv", "reading back")
def test_json_and_csv(gridjig: Command, tmp_path: Path) -> None:
    path = saved(tmp_path / "base.gridjig", KEYED["T10"]())
    answer = json.loads(gridjig("cuts", path, "--json").out)
    assert (answer["count"], len(answer["members"]), len(answer["plates"])) == (9, 3, 1)
    out = gridjig("cuts", path, "--csv").out
    assert "\r" not in out
    rows = list(csv.DictReader(io.StringIO(out)))
    assert sum(int(row["Count"]) for row in rows) == 9


def test_nothing_drawn_is_said(gridjig: Command, tmp_path: Path) -> None:
    said = gridjig("cuts", saved(tmp_path / "empty.gridjig", EMPTY))
    assert said.out == ("Test: nothing to cut, because the weldment has no members or plates.\n")


def test_what_is_no_job_is_refused(refused: Callable[..., str], tmp_path: Path) -> None:
    assert "there is no such file" in refused("cuts", str(tmp_path / "gone.gridjig"))
    assert "not allowed with" in refused("cuts", "x", "--json", "--csv")
