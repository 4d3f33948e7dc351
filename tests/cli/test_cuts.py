"""`gridjig cuts`: the cut list as text, JSON and CSV, of jobs with and without a weldment."""

import csv
import io
import json
from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec import structs

from gridjig.edits.members import add
from gridjig.edits.weldment_list import (
    add_weldment,
    move_parts,
    rename_weldment,
    set_hand,
    set_quantity,
)
from gridjig.files.jobs.job_file import write_job
from gridjig.model import EndCut, Job, Sawing, StockBar
from tests.cli.conftest import Command
from tests.stock import ANGLE, SQUARE, bar
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
    assert lines[5].split() == ["stock", "total", "length", "weight"]
    assert lines[6].split() == ["1-1/2x1-1/2x1/8", "square", "tube", '118"', "20.6", "lb"]


def test_hands_have_a_column_where_there_are_any(gridjig: Command, tmp_path: Path) -> None:
    one = bar(ANGLE, end=EndCut("mitre", 45))
    job = add(add(EMPTY, one), structs.replace(one.opposite_hand, id="twin", name="twin"))
    out = gridjig("cuts", saved(tmp_path / "hands.gridjig", job)).out
    assert "hand" in out.splitlines()[1]
    assert "opposite hand" in out


def test_a_bar_on_hand_that_is_not_used_is_told_in_the_json_too(
    gridjig: Command, tmp_path: Path
) -> None:
    job = add(add(EMPTY, bar(ANGLE)), bar(SQUARE, x=0.0, y=400.0, id="other", name="other"))
    sawing = Sawing(bars=(StockBar(length=3048.0, have=2),))
    path = saved(tmp_path / "two.gridjig", structs.replace(job, sawing=sawing))
    told = json.loads(gridjig("cuts", path, "--json").out)
    assert len(told["bars"]) == 2
    assert told["not_used"] == [{"count": 2, "length_mm": 3048.0}]
    assert "not used: 2 on hand of 3048 mm" in gridjig("cuts", path).out


def test_plates_alone_have_no_stock_to_add_up(gridjig: Command, tmp_path: Path) -> None:
    out = gridjig("cuts", saved(tmp_path / "plate.gridjig", laid(plate("foot", 0, 0)))).out
    assert "100 mm x 60 mm x 6 mm" in out
    assert "total length" not in out


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


@pytest.mark.source("method", "arithmetic: 100 x 60 x 6 mm of steel is 0.2826 kg")
def test_weldments_are_listed_and_what_is_made_more_than_once_counts(
    gridjig: Command, refused: Callable[..., str], tmp_path: Path
) -> None:
    job, second = add_weldment(laid(plate("a", 0, 0), plate("b", 200, 0)), "RH lug")
    job = move_parts(rename_weldment(job, "weldment-1", "LH lug"), {"b"}, second)
    job = set_hand(set_quantity(job, second, 5), second, "weldment-1")
    path = saved(tmp_path / "pair.gridjig", job)
    out = gridjig("cuts", path).out
    assert out.splitlines()[0] == "Test: 6 to cut, 1.7 kg in all"
    assert [line.split() for line in out.splitlines() if "lug" in line and "hand" in line] == [
        ["RH", "lug", "opposite", "hand", "of", "LH", "lug", "5", "1", "0.3", "kg", "1.4", "kg"]
    ]
    answer = json.loads(gridjig("cuts", path, "--json").out)
    assert [(w["name"], w["opposite_of"], w["quantity"]) for w in answer["weldments"]] == [
        ("LH lug", None, 1),
        ("RH lug", "weldment-1", 5),
    ]
    assert (answer["count"], answer["mass_kg"]) == (6, 1.696)
    assert [w["mass_kg"] for w in answer["weldments"]] == [0.283, 1.413]
    for name in ("RH lug", "2", "Weldment 2", second):
        assert json.loads(gridjig("cuts", path, "--json", "--weldment", name).out)["count"] == 5
    said = refused("cuts", path, "--weldment", "RH lag")
    assert said == "There is no weldment RH lag in the job “Test”; the nearest are: RH lug, LH lug."
