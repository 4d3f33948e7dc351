"""`gridjig poses`: the poses agree with a count by hand, and bad input is refused by name."""

import json
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from gridjig.cli import poses
from gridjig.files.jobs.job_file import write_job
from gridjig.files.jobs.rack_file import write_rack
from gridjig.files.library.assets import ready_tables, starter_racks
from gridjig.model import Hole, HoleMark, Job
from gridjig.model.labels import address
from gridjig.rack import Rack, RoundHole
from tests.cli.conftest import Command, on_the_arc

INCH = ("--table", "48x48-5/8")


def found(gridjig: Command, *words: str) -> dict[str, Any]:
    said = gridjig("poses", *words, "--json")
    assert said.code == 0
    assert said.err == ""
    answer: dict[str, Any] = json.loads(said.out)
    return answer


@pytest.mark.source("method", "brute force over all holes of the table")
def test_a_piece_of_two_holes_stands_wherever_two_holes_are_as_far_apart(gridjig: Command) -> None:
    table, rack = ready_tables()["48x48-5/8"], starter_racks()["inch-5-8"]
    piece = rack.piece("square-two-hole")
    first, second = (m for m in piece.mounts if isinstance(m, RoundHole))
    pin = rack.pin_diameter(piece)
    play = table.hole_diameter - pin + (first.diameter + second.diameter) / 2 - pin
    apart = math.dist(first.at, second.at)
    here = table.at(Hole(7, 5))
    partners = [
        Hole(col, row)
        for col in range(table.columns)
        for row in range(table.rows)
        if abs(math.dist(here, table.at(Hole(col, row))) - apart) <= play
    ]
    answer = found(gridjig, "square-two-hole", "H6", *INCH)
    pinned = [pose for pose in answer["poses"] if pose["kind"] == "pinned"]
    sides = 2 if piece.flips else 1
    assert len(pinned) == len(partners) * 2 * sides
    assert len(answer["poses"]) == len(pinned) + 2 * sides


@pytest.mark.source("method", "brute force over all holes of the table")
def test_partners_on_every_side_are_found_for_a_slot(gridjig: Command) -> None:
    answer = found(gridjig, "stop-adjustable", "H6", *INCH)
    seconds = {pose["holes"][1]["hole"] for pose in answer["poses"] if len(pose["holes"]) > 1}
    near = {f"{column}{row}" for column in "FGHIJ" for row in range(4, 9)} - {"H6"}
    slot = starter_racks()["inch-5-8"].piece("stop-adjustable").mounts[0]
    longest = math.dist(slot.a, slot.b)  # type: ignore[union-attr]
    table = ready_tables()["48x48-5/8"]

    def way(name: str) -> float:
        hole = Hole("ABCDEFGHIJ".index(name[0]), int(name[1:]) - 1)
        return math.dist(table.at(hole), table.at(Hole(7, 5)))

    assert seconds == {name for name in near if way(name) <= longest + 1}


@pytest.mark.source("method", "brute force over all holes of the table")
def test_holes_on_the_arc_leave_the_arm_to_turn(gridjig: Command) -> None:
    table, piece = ready_tables()["48x48-5/8"], starter_racks()["inch-5-8"].piece("arm-arc-8")
    pivot = Hole(12, 11)
    answer = found(gridjig, "arm-arc-8", address(table, pivot), *INCH)
    swings = [p for p in answer["poses"] if len(p["holes"]) > 1 and p["kind"] == "turns"]
    from_pivot = [p["holes"][1]["hole"] for p in swings if p["holes"][0]["feature"] == "pivot"]
    assert set(from_pivot) == on_the_arc(table, piece, pivot)


def test_two_holes_pin_a_piece_at_once(gridjig: Command) -> None:
    answer = found(gridjig, "arm-leaf-8", "H6", "H7", *INCH)
    assert [pose["turn_deg"] for pose in answer["poses"]] == [[-90, -90], [90, 90]]
    assert [pose["leaf_deg"] for pose in answer["poses"]] == [[0, 180], [0, 180]]
    assert answer["poses"][1]["holes"] == [
        {"feature": "left", "hole": "H6"},
        {"feature": "right", "hole": "H7"},
    ]


def test_the_json_keeps_its_form(gridjig: Command) -> None:
    answer = found(gridjig, "pin-1", "A1", *INCH)
    assert list(answer) == ["piece", "rack", "table", "pin_mm", "why", "poses"]
    [pose] = answer["poses"]
    assert pose == {
        "holes": [{"feature": "shank", "hole": "A1"}],
        "flipped": False,
        "kind": "turns",
        "turn_deg": [-180, 180],
        "slide_mm": [0, 0],
        "play_mm": pose["play_mm"],
        "play_deg": 0,
        "leaf_deg": None,
    }


def test_the_text_has_a_line_for_each_pose(gridjig: Command) -> None:
    said = gridjig("poses", "arm-leaf-8", "H6", "H7", *INCH)
    lines = said.out.splitlines()
    assert lines[0].endswith(": 2 poses")
    assert lines[1].split() == ["pins", "turn", "freedom", "play"]
    assert lines[2].startswith("right H6 + left H7  −90°  pinned, leaf 0° to 180°")
    one = gridjig("poses", "pin-1", "A1", *INCH).out.splitlines()
    assert one[0].endswith(": 1 pose")
    assert "any" in one[2]
    assert "turned over" in gridjig("poses", "square-two-hole", "H6", *INCH).out
    arm = gridjig("poses", "arm-arc-400", "F6", "H6", "--table", "1200x1200-100").out
    assert " to " in arm
    assert "mm" in arm
    assert '"' not in arm


def test_a_slide_is_shown_with_its_ends(gridjig: Command) -> None:
    assert 'slide 2" to 4"' in gridjig("poses", "stop-adjustable", "H6", "I6", *INCH).out


def test_no_pose_is_an_answer_with_its_reason(gridjig: Command) -> None:
    said = gridjig("poses", "square-two-hole", "H6", "K9", *INCH)
    assert said.code == 0
    assert "no pose. Holes H6 and K9 are" in said.out
    answer = found(gridjig, "square-two-hole", "H6", "K9", *INCH)
    assert answer["poses"] == []
    assert answer["why"].startswith("Holes H6 and K9 are")
    assert "has one pin; give one hole" in gridjig("poses", "pin-1", "H6", "J6", *INCH).out


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A job with a table of its own that has a blocked hole."""
    table = ready_tables()["48x48-5/8"]
    rack = starter_racks()["inch-5-8"]
    marked = (HoleMark(Hole(7, 6), "blocked"),)
    made = Job(name="x", table=type(table)(**{**_fields(table), "marks": marked}), rack=rack)
    path = tmp_path / "own.gridjig"
    path.write_bytes(write_job(made))
    return path


def _fields(table: Any) -> dict[str, Any]:
    return {name: getattr(table, name) for name in table.__struct_fields__}


def test_blocked_holes_of_a_jobs_table_are_left_out(gridjig: Command, job: Path) -> None:
    free = found(gridjig, "square-two-hole", "H6", *INCH)
    marked = found(gridjig, "square-two-hole", "H6", "--table", str(job))
    assert {pose["holes"][1]["hole"] for pose in free["poses"] if len(pose["holes"]) > 1} == {
        "H7",
        "H5",
        "G6",
        "I6",
    }
    assert "H7" not in json.dumps(marked)
    assert "H7 is blocked" in found(gridjig, "pin-1", "H7", "--table", str(job))["why"]


def test_a_rack_by_name_and_from_a_file(gridjig: Command, job: Path, tmp_path: Path) -> None:
    path = tmp_path / "own.gridrack"
    write_rack(path, Rack(name="Mine", pieces=starter_racks()["inch-5-8"].pieces))
    assert found(gridjig, "pin-1", "A1", *INCH, "--rack", str(path))["rack"] == "Mine"
    named = found(gridjig, "pin-1", "A1", "--table", str(job), "--rack", "inch-5-8")
    assert named["rack"] == starter_racks()["inch-5-8"].name
    by_name = found(gridjig, "pin-1", "A1", "--table", ready_tables()["48x48-5/8"].name)
    assert by_name["piece"] == "pin-1"


@pytest.mark.expectation(30, 85)
def test_bad_input_is_refused_by_name(
    refused: Callable[..., str], job: Path, tmp_path: Path
) -> None:
    near = refused("poses", "squaretwo", "H6", *INCH)
    assert "There is no piece squaretwo on the rack" in near
    assert "square-two-hole" in near
    assert "columns run from A to X and rows from 1 to 24" in refused("poses", "pin-1", "Z9", *INCH)
    assert "type a hole such as" in refused("poses", "pin-1", "here", *INCH)
    tables = refused("poses", "pin-1", "A1", "--table", "round")
    assert all(name in tables for name in ready_tables())
    racks = refused("poses", "pin-1", "A1", *INCH, "--rack", "wood")
    assert all(name in racks for name in starter_racks())
    assert "has no pin of its own" in refused("poses", "shim-1-64", "A1", *INCH)
    assert "A1 is given twice" in refused("poses", "square-two-hole", "A1", "a1", *INCH)
    assert "--table" in refused("poses", "pin-1", "A1")
    gone = refused("poses", "pin-1", "A1", "--table", str(tmp_path / "gone.gridjig"))
    assert "gone.gridjig" in gone
    assert "gone.gridrack" in refused("poses", "pin-1", "A1", *INCH, "--rack", "gone.gridrack")


def test_a_table_is_in_inches_where_its_pitch_is() -> None:
    units = {name: poses.display_of(table).unit for name, table in ready_tables().items()}
    assert units["48x48-5/8"] == "inch fractions"
    assert units["1200x1200-50"] == "millimetres"
