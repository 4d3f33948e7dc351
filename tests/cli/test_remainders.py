"""`gridjig remainders`: as text, as JSON, and what it refuses."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec import structs

from gridjig.checks.conflicts import refusal
from gridjig.contact.book import contacts
from gridjig.edits.placements import place
from gridjig.edits.weldment_list import add_weldment, move_parts
from gridjig.files.jobs.job_file import write_job
from gridjig.model import Display, EndCut, FaceOf, Job, Placement, Seat
from gridjig.model.labels import find_hole
from gridjig.rack import Rack
from gridjig.solve.placed.cache import PlacedPieces
from tests.cli.conftest import Command
from tests.solve.weldments import bar, coped, frame, job_of
from tests.trials.keyed import KEYED
from tests.workshop import laid, plate


def saved(path: Path, job: Job) -> str:
    path.write_bytes(write_job(job))
    return str(path)


@pytest.fixture
def base(tmp_path: Path) -> str:
    job = structs.replace(KEYED["T01"](), display=Display(unit="inch fractions"))
    return saved(tmp_path / "frame.gridjig", job)


@pytest.mark.source(
    "method", "trial T01, reckoned by hand: both far sides of a 24 in square take 1 in"
)
def test_the_text_says_what_to_pack(gridjig: Command, base: str) -> None:
    said = gridjig("gaps", base)
    assert said.code == 0
    lines = said.out.splitlines()
    assert "class B of ISO 13920" in lines[0]
    assert lines[1].startswith("datum A (proposed): A bottom, front face, two stops ")
    assert lines[2] == "datum B (proposed): C left, left face"
    assert lines[4].split()[:3] == ["face", "side", "from"]
    far = next(line for line in lines if line.startswith("B top") and " back " in line)
    assert '24"' in far
    assert "row 19" in far
    assert '1 × packing 1" thick ' in far
    assert far.endswith("needed")
    assert any(line.startswith("Tried ") for line in lines)
    assert sum(line.startswith("  ") for line in lines) == 8 + 5  # stops to set, and places
    assert "Tried " not in gridjig("gaps", base, "--places", "0").out


@pytest.mark.source("library", "Python 3.11 json", "reading back")
def test_the_json_keeps_its_form(gridjig: Command, base: str) -> None:
    answer = json.loads(gridjig("gaps", base, "--json", "--class", "A").out)
    assert list(answer) == ["job", "stop", "class", "weldments"]
    (one,) = answer["weldments"]
    assert list(one) == ["weldment", "name", "datum", "faces", "slanting", "where"]
    assert (answer["stop"], answer["class"]) == ("stop-fixed", "A")
    far = [f for f in one["faces"] if f["opposed"] and f["outer"]]
    assert [(f["dimension"], f["left"], f["verdict"]) for f in far] == [
        (609.6, 25.4, "needed"),
        (609.6, 25.4, "needed"),
    ]
    assert far[0]["packing"] == [{"piece": "packing-1", "count": 1}]
    assert "H19" in far[1]["holes"]
    assert one["where"]["now"]["packed"] == 2
    assert len(one["where"]["found"]) == 5
    plain = json.loads(gridjig("gaps", base, "--json", "--places", "0").out)
    assert plain["weldments"][0]["where"] is None


@pytest.mark.source("method", "the setting printed, put into the job and asked of contacts")
def test_every_line_tells_a_stop_that_can_be_set(gridjig: Command, base: str) -> None:
    job = structs.replace(KEYED["T01"](), display=Display(unit="inch fractions"))
    answer = json.loads(gridjig("gaps", base, "--json", "--places", "0").out)
    assert len(answer["weldments"][0]["faces"]) == 8
    for face in answer["weldments"][0]["faces"]:
        told = face["set"]
        assert told is not None
        assert face["why"] == ""
        names = [m.id for m in job.rack.piece(told["piece"]).mounts]
        names = names if len(names) == len(told["holes"]) else names[:1] * len(told["holes"])
        seats = tuple(
            Seat(name, find_hole(job.table, hole))
            for name, hole in zip(names, told["holes"], strict=True)
        )
        stop = Placement(
            id="new", piece=told["piece"], seats=seats, turn=told["turn_deg"], slide=told["slide"],
            packing=tuple(told["packing"]),
        )  # fmt: skip
        placed = PlacedPieces().of(job)
        assert refusal(job, placed, stop) is None
        after = place(job, stop)
        assert contacts(after, PlacedPieces().of(after)).pieces["new"].touching
    said = gridjig("gaps", base, "--places", "0").out
    assert said.count("Stops that can be set now:") == 1
    assert sum(" face: " in line for line in said.splitlines()) >= 8


def test_another_stop(gridjig: Command, base: str) -> None:
    answer = json.loads(gridjig("gaps", base, "--json", "--stop", "pin-1").out)
    assert answer["stop"] == "pin-1"


def test_slopes_edges_and_what_is_left_to_the_tolerance(gridjig: Command, tmp_path: Path) -> None:
    parts = (*frame(), bar("slope", 250, 300, 100, 30), bar("out", 1150.3, 300, 400))
    job = structs.replace(job_of(*parts), critical=(FaceOf("front", 2),))
    said = gridjig("gaps", saved(tmp_path / "a.gridjig", job)).out
    assert "Not along the grid, set by angle: slope." in said
    assert "(critical)" in said
    assert "off the table" in said
    tall = structs.replace(job, parts=(*frame(), bar("up", 300, 900, 400, 90)))
    assert "off the table" in gridjig("gaps", saved(tmp_path / "b.gridjig", tall)).out
    lone = structs.replace(job_of(bar("slope", 250, 300, 100, 30)))
    said = gridjig("gaps", saved(tmp_path / "c.gridjig", lone)).out
    assert said.count("\n") == 5
    bare = structs.replace(
        job_of(*frame()),
        rack=Rack(name="r", pieces=tuple(p for p in job.rack.pieces if p.kind != "shim")),
    )
    assert "none fits" in gridjig("gaps", saved(tmp_path / "d.gridjig", bare)).out


def test_a_pipe_coped_at_both_ends_has_no_end_to_take(gridjig: Command, tmp_path: Path) -> None:
    cope = EndCut("cope", 0.0, 76.1)
    path = saved(tmp_path / "a.gridjig", job_of(structs.replace(coped(76.1, 300)[1], end=cope)))
    answer = json.loads(gridjig("gaps", path, "--json").out)
    assert answer["weldments"][0]["datum"]["end"] is None
    assert "datum B" not in gridjig("gaps", path).out


def test_what_is_refused(
    gridjig: Command, refused: Callable[..., str], base: str, tmp_path: Path
) -> None:
    empty = saved(tmp_path / "empty.gridjig", job_of())
    assert refused("gaps", empty) == "Test has no weldment; draw its members first."
    said = refused("gaps", base, "--stop", "stop-fix")
    assert said.startswith("There is no stop or round pin stop-fix on the rack “")
    assert "the nearest are: stop-fixed" in said
    assert "riser-2 on the rack" in refused("gaps", base, "--stop", "riser-2")
    assert "whole number from 0 to 999" in refused("gaps", base, "--places", "x")
    assert "there is no E" in refused("gaps", base, "--class", "E")
    assert "no such file" in refused("gaps", str(tmp_path / "none.gridjig")).lower()
    job = job_of(*frame())
    bare = structs.replace(job, rack=Rack(name="Bare", pieces=()))
    assert (
        refused("gaps", saved(tmp_path / "bare.gridjig", bare))
        == "The rack Bare has no stop; add one to the rack first."
    )


def test_each_weldment_is_measured_from_its_own_datum(
    gridjig: Command, refused: Callable[..., str], tmp_path: Path
) -> None:
    job = laid(plate("a", 100, 100, 200, 60), plate("b", 610, 107, 200, 60))
    job, second = add_weldment(job, "Right")
    job = move_parts(job, {"b"}, second)
    path = saved(tmp_path / "two.gridjig", job)
    answer = json.loads(gridjig("gaps", path, "--json").out)
    assert [w["name"] for w in answer["weldments"]] == ["Weldment 1", "Right"]
    for one, part in zip(answer["weldments"], "ab", strict=True):
        assert len(one["faces"]) == 4
        assert {p for f in one["faces"] for p in f["parts"]} == {part}
        assert sorted(f["dimension"] for f in one["faces"] if f["dimension"]) == [60, 200]
        assert one["datum"]["long"]["part"] == part
    said = gridjig("gaps", path, "--places", "0").out.splitlines()
    heads = [line for line in said if line in ("Weldment 1:", "Right:")]
    assert heads == ["Weldment 1:", "Right:"]
    alone = json.loads(gridjig("gaps", path, "--json", "--weldment", "Right").out)
    assert [w["name"] for w in alone["weldments"]] == ["Right"]
    empty = saved(tmp_path / "e.gridjig", add_weldment(job, "Empty")[0])
    said_no = refused("gaps", empty, "--weldment", "Empty")
    assert said_no == "Empty has no part yet; draw its members first."


def test_the_old_name_answers_the_same_and_says_the_new_one(gridjig: Command, base: str) -> None:
    old, new = gridjig("remainders", base, "--json"), gridjig("gaps", base, "--json")
    assert old.out == new.out != ""
    assert old.err == "gridjig: remainders is now called gaps.\n"
    assert new.err == ""


def test_stops_are_looked_for_up_to_a_count_that_is_said(gridjig: Command, base: str) -> None:
    every = json.loads(gridjig("gaps", base, "--json", "--places", "0").out)
    faces = every["weldments"][0]["faces"]
    assert len(faces) > 2
    assert faces[1]["set"] is not None
    few = json.loads(gridjig("gaps", base, "--json", "--places", "0", "--stops", "1").out)
    [first, second, *_] = few["weldments"][0]["faces"]
    assert first == faces[0]
    assert second["set"] is None
    words = f"Stops were looked for in front of 1 of {len(faces)} faces; --stops {len(faces)} "
    assert second["why"].startswith(words)
    said = gridjig("gaps", base, "--places", "0", "--stops", "1").out
    assert said.count(words) == 1
    assert said.count("no hole for this stop") == 0
    whole = gridjig("gaps", base, "--places", "0", "--stops", str(len(faces))).out
    assert "Stops were looked for" not in whole


def test_a_count_of_faces_that_is_none_is_refused(gridjig: Command, base: str) -> None:
    said = gridjig("gaps", base, "--stops", "-1")
    assert said.code == 2
    assert "is not a whole number from 0 to 999999" in said.err
