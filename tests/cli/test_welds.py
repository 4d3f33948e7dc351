"""`gridjig welds`: the weld list as text, JSON and CSV."""

import csv
import io
import json
from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec import structs

from gridjig.edits.joints import set_welds
from gridjig.files.jobs.job_file import write_job
from gridjig.model import Job, Weldment
from gridjig.sheets.lists.weld_list import to_text, weld_list
from gridjig.solve.weldment.welds import welded
from tests.cli.conftest import Command
from tests.solve.weldment.test_all_round import block
from tests.workshop import EMPTY, laid


def saved(path: Path, job: Job) -> str:
    path.write_bytes(write_job(job))
    return str(path)


def cheeks() -> Job:
    """Two cheeks 8 mm thick and 150 mm high on one back plate; one of them sized by its throat."""
    job = laid(
        block("c", 100, 0, 200, 8, 0, 150),
        block("d", 100, 100, 200, 108, 0, 150),
        block("b", 200, -50, 210, 200, 0, 200),
    )
    first = welded(job)[0].joint.id
    return set_welds(job, {first}, kind="fillet", throat=4, sides="uprights")


@pytest.mark.source("method", "by hand: 2 x 150 mm of a throat of 4, which is 16 mm2 across")
def test_the_text_has_every_side_the_sums_and_the_formula(gridjig: Command, tmp_path: Path) -> None:
    said = gridjig("welds", saved(tmp_path / "cheeks.gridjig", cheeks()))
    assert said.code == 0
    lines = said.out.splitlines()
    assert "2 joints, 616 mm of weld; 1 without a size; about 38 g of deposit" in lines[0]
    assert lines[1].split() == [
        "joint",
        "parts",
        "weld",
        "size",
        "welded",
        "length",
        "sides",
        "deposit",
    ]
    assert "throat 4 mm" in lines[2]
    assert "uprights" in lines[2]
    assert "upright 2 × 150 mm" in lines[2]
    assert lines[2].endswith("38 g")
    assert "all round" in lines[3]
    assert any(line.split()[:2] == ["fillet", "2"] and "4.8 cm³" in line for line in lines)
    assert "leg² / 2 × sin" in lines[-1]


@pytest.mark.source("library", "Python 3.11 json and csv", "reading back")
def test_json_and_csv_say_the_same(gridjig: Command, tmp_path: Path) -> None:
    path = saved(tmp_path / "cheeks.gridjig", cheeks())
    answer = json.loads(gridjig("welds", path, "--json").out)
    first, second = answer["welds"]
    assert (first["throat_mm"], first["leg_mm"], first["sides"]) == (4, 0, "uprights")
    assert [side["welded"] for side in first["seam"]] == [False, True, True, False]
    assert first["deposit_mm3"] == 4800
    assert second["deposit_mm3"] is None
    (total,) = answer["sums"]
    assert (total["count"], total["unsized"], total["length_mm"]) == (2, 1, 616)
    assert total["deposit_kg"] == pytest.approx(4800 * 7850e-9)
    rows = list(csv.DictReader(io.StringIO(gridjig("welds", path, "--csv").out)))
    assert len(rows) == 8
    assert sum(float(row["Length mm"]) for row in rows if row["Welded"] == "yes") == 616
    assert sum(float(row["Deposit mm3"]) for row in rows) == 4800


def pair() -> Job:
    """Two cheeks on a plate, made four times, and one cheek on a plate of its own, made once."""
    other = [
        structs.replace(part, weldment="w2", name=name)
        for name, part in zip(
            "cb",
            (block("e", 600, 0, 700, 8, 0, 50), block("f", 700, -50, 710, 100, 0, 60)),
            strict=True,
        )
    ]
    weldments = (
        Weldment(id="weldment-1", name="Shelf", quantity=4),
        Weldment(id="w2", name="Lug"),
    )
    return structs.replace(laid(*other, job=cheeks()), weldments=weldments)


@pytest.mark.source("method", "by arithmetic: four shelves of 616 mm and one lug of 116 mm")
def test_the_sums_are_for_all_that_are_made(gridjig: Command, tmp_path: Path) -> None:
    path = saved(tmp_path / "pair.gridjig", pair())
    said = gridjig("welds", path).out
    lines = said.splitlines()
    assert lines[0].startswith("Test: For one of each: 3 joints, 732 mm of weld")
    assert lines[1].split()[:4] == ["joint", "parts", "weldment", "weld"]
    assert [line.split()[4] for line in lines[2:5]] == ["Shelf", "Shelf", "Lug"]
    assert (
        "Each joint is listed for one weldment; the sums are for all: 4 × Shelf, 1 × Lug." in said
    )
    answer = json.loads(gridjig("welds", path, "--json").out)
    assert [(one["weldment"], one["made"]) for one in answer["welds"]] == [
        ("Shelf", 4),
        ("Shelf", 4),
        ("Lug", 1),
    ]
    assert answer["length_mm"] == 4 * 616 + 116
    assert answer["deposit_kg"] == pytest.approx(4 * 4800 * 7850e-9)
    (total,) = answer["sums"]
    assert (total["count"], total["unsized"]) == (9, 5)


@pytest.mark.source("method", "by arithmetic: what is left of the pair")
def test_the_list_of_one_weldment(
    gridjig: Command, refused: Callable[..., str], tmp_path: Path
) -> None:
    path = saved(tmp_path / "pair.gridjig", pair())
    lug = gridjig("welds", path, "--weldment", "Lug").out.splitlines()
    assert lug[0] == "Test: 1 joint, 116 mm of weld; 1 without a size."
    assert "weldment" not in lug[1]
    shelf = gridjig("welds", path, "--weldment", "1").out
    assert shelf.startswith("Test: For one of 4: 2 joints, 616 mm of weld")
    answer = json.loads(gridjig("welds", path, "--weldment", "Shelf", "--json").out)
    assert answer["length_mm"] == 4 * 616
    rows = list(csv.DictReader(io.StringIO(gridjig("welds", path, "--csv").out)))
    assert {(row["Weldment"], row["Made"]) for row in rows} == {("Shelf", "4"), ("Lug", "1")}
    assert "Shelf, Lug" in refused("welds", path, "--weldment", "gate")


def test_a_job_of_one_weldment_has_no_column_for_it(gridjig: Command, tmp_path: Path) -> None:
    said = gridjig("welds", saved(tmp_path / "cheeks.gridjig", cheeks())).out
    assert "weldment" not in said.splitlines()[1]
    assert "For one" not in said
    assert to_text(weld_list(cheeks())).splitlines()[0].split("\t")[:3] == [
        "Joint",
        "Parts",
        "Weld",
    ]
    assert to_text(weld_list(pair())).splitlines()[0].split("\t")[2] == "Weldment"


def test_a_plug_has_its_volume_and_no_length(gridjig: Command, tmp_path: Path) -> None:
    job = laid(block("a", 0, 0, 100, 100, 0, 10), block("b", 20, 20, 80, 80, 10, 16))
    job = set_welds(job, kind="plug", leg=12)
    path = saved(tmp_path / "plug.gridjig", job)
    (weld,) = json.loads(gridjig("welds", path, "--json").out)["welds"]
    assert weld["deposit_mm3"] == pytest.approx(3.14159265 * 36 * 6, abs=0.1)
    assert weld["length_mm"] == 0
    rows = list(csv.DictReader(io.StringIO(gridjig("welds", path, "--csv").out)))
    assert rows[-1]["Side"] == "plug"


def test_without_joints_it_says_what_is_missing(gridjig: Command, tmp_path: Path) -> None:
    out = gridjig("welds", saved(tmp_path / "bare.gridjig", EMPTY)).out
    assert "a joint needs two parts" in out
