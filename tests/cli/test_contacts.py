"""`gridjig contacts`: as text, as JSON, and what it refuses."""

import json
import math
from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec import structs

from gridjig.edits.weldment_list import add_weldment, move_parts
from gridjig.files.jobs.job_file import write_job
from gridjig.model import Hole, Job
from tests.cli.conftest import Command
from tests.contact.poses import lay
from tests.workshop import EMPTY, TABLE, laid, pin, plate, put, seat, stop

FIELDS = [
    "piece", "feature", "part", "face", "kind", "gap_mm", "length_mm", "z_mm", "points_mm",
    "normal",
]  # fmt: skip


def saved(path: Path, job: Job) -> str:
    path.write_bytes(write_job(job))
    return str(path)


@pytest.fixture
def setup(tmp_path: Path) -> str:
    """A stop against a plate at y = 180, a pin beside it, a pin far off, and a clamp."""
    job = lay(
        stop("s", 3, 3),
        pin("p", 5, 3),
        pin("alone", 18, 15),
        put("c", "clamp", seat("p", 3, 0), turn=90.0, reach=100.0),
        structs.replace(plate("w", 150, 120, 81, 60), name="Rail"),
        structs.replace(plate("v", 150, 100, 81, 25), name="Lug"),
    )
    return saved(tmp_path / "job.gridjig", job)


@pytest.mark.source("library", "Python 3.11 json", "reading back")
def test_the_json_has_the_form_that_is_promised(gridjig: Command, setup: str) -> None:
    answer = json.loads(gridjig("contacts", setup, "--json").out)
    assert list(answer)[:3] == ["pieces", "touches", "idle"]
    assert [(p["piece"], p["role"]) for p in answer["pieces"]] == [
        ("s", "locates"),
        ("p", "blocks nothing"),
        ("alone", "idle"),
        ("c", "clamps"),
    ]
    assert answer["idle"] == ["p", "alone"]
    assert [t["piece"] for t in answer["touches"]] == ["s", "c"]
    for touch in answer["touches"]:
        assert list(touch) == FIELDS
    first, second = answer["touches"]
    assert first == {
        "piece": "s",
        "feature": "f",
        "part": "w",
        "face": "side:2",
        "kind": "face on face",
        "gap_mm": 0.0,
        "length_mm": 51.0,
        "z_mm": [0.0, 6.0],
        "points_mm": [[180.0, 180.0], [231.0, 180.0]],
        "normal": [0.0, 1.0, 0.0],
    }
    assert (second["kind"], second["face"], second["normal"]) == ("pad on top", "top", [0, 0, 1])
    gaps = answer["not_touching"]
    assert [(g["piece"], g["part"], g["means"]) for g in gaps] == [
        ("p", "w", "gap"),
        ("p", "v", "gap"),
    ]
    assert list(gaps[0]) == [*FIELDS, "means"]
    assert gaps[0]["gap_mm"] == pytest.approx(math.hypot(69.0, 20.0) - 15.0, abs=1e-4)
    assert [(o["a"], o["b"], o["depth_mm"]) for o in answer["overlaps"]] == [("w", "v", 5.0)]
    assert answer["within_mm"] == 150.0
    clamp = answer["pieces"][3]["clamps"]
    assert (clamp["part"], clamp["z_mm"]) == ("w", 6.0)
    assert clamp["over"][0] == {"what": "table", "id": "", "distance_mm": 0.0}


def test_the_text_says_what_touches_what(gridjig: Command, setup: str) -> None:
    said = gridjig("contacts", setup).out
    lines = said.splitlines()
    assert lines[0] == (
        "Test: 4 pieces against 2 parts: 1 locates, 1 blocks nothing, 1 is idle, 1 clamps;"
        " searched up to 150 mm in front of each feature"
    )
    assert "touches Rail, back face, over 51 mm" in said
    assert "clamps Rail over the table" in said
    assert "presses on Rail" in said
    assert "blocks nothing: does not reach Rail" in said
    assert "gap " in said
    assert lines[-1] == "Rail and Lug overlap by 5 mm."


def test_what_is_refused(
    gridjig: Command, refused: Callable[..., str], tmp_path: Path, setup: str
) -> None:
    assert refused("contacts", saved(tmp_path / "e.gridjig", EMPTY)) == (
        "Test is empty; place a piece or draw a part first."
    )
    assert "no such file" in refused("contacts", str(tmp_path / "none.gridjig")).lower()
    one = gridjig("contacts", saved(tmp_path / "o.gridjig", lay(pin("p", 3, 3)))).out
    assert one.startswith("Test: 1 piece against 0 parts: 1 is idle;")
    parts = gridjig("contacts", saved(tmp_path / "w.gridjig", lay(plate("w", 1, 2)))).out
    assert parts.startswith("Test: 0 pieces against 1 part;")


def test_a_gap_that_is_accepted_is_told_and_is_not_idle(gridjig: Command, tmp_path: Path) -> None:
    pins = [
        structs.replace(pin("off", 5, 5), accepted_gap=0.4),
        structs.replace(pin("too", 7, 5), accepted_gap=0.4),
        pin("open", 9, 5),
    ]
    x, y = (at + size for at, size in zip(TABLE.at(Hole(5, 5)), (-20.0, 15.4), strict=True))
    path = saved(tmp_path / "off.gridjig", lay(*pins, plate("w", x, y, 250, 60)))
    said = gridjig("contacts", path).out
    first = said.splitlines()[0]
    assert first.startswith(
        "Test: 3 pieces against 1 part: 2 stand off by accepted gaps, 1 blocks nothing;"
    )
    assert said.count("stands off w by a gap that is accepted") == 2
    assert said.count("gap 0.4 mm to w, front face, accepted") == 2
    answer = json.loads(gridjig("contacts", path, "--json").out)
    assert [(p["role"], p["parts"], p["accepted_gap_mm"]) for p in answer["pieces"]] == [
        ("stands off", ["w"], 0.4),
        ("stands off", ["w"], 0.4),
        ("blocks nothing", ["w"], 0.0),
    ]
    assert answer["idle"] == ["open"]
    assert [gap["gap_mm"] for gap in answer["not_touching"]] == pytest.approx([0.4] * 3)


def test_pieces_are_told_by_weldment(gridjig: Command, tmp_path: Path) -> None:
    job = laid(plate("a", 200, 200), plate("b", 700, 200), pin("p", 2, 3), pin("q", 12, 3))
    job, second = add_weldment(job, "Right")
    job = move_parts(job, {"b"}, second)
    path = tmp_path / "two.gridjig"
    path.write_bytes(write_job(job))
    answer = json.loads(gridjig("contacts", str(path), "--json").out)
    assert [(w["name"], w["parts"], w["pieces"]) for w in answer["weldments"]] == [
        ("Weldment 1", ["a"], ["p"]),
        ("Right", ["b"], ["q"]),
    ]
    out = gridjig("contacts", str(path)).out.splitlines()
    assert out[1].startswith("Weldment 1, as drawn: locating pin")
    assert out[2].startswith("Right, as drawn: locating pin")
