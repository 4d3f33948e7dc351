"""`gridjig compare`: what changed, as text and JSON; equal jobs say so."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec import structs

from gridjig.edits import details, placements, selection
from gridjig.files.jobs.job_file import write_job
from gridjig.model import Job
from tests.cli.conftest import Command
from tests.workshop import laid, pin, plate, put, seat, stop

OLD = laid(stop("s", 3, 3), put("a", "slider", seat("s", 5, 5), slide=20), plate("bar", 300, 300))
NEW = details.set_drawing(
    placements.set_pose(selection.shift(OLD, {"s", "bar"}, 1, 0), "a", slide=30), "HM-1", "B"
)


def saved(folder: Path, name: str, job: Job) -> str:
    path = folder / f"{name}.gridjig"
    path.write_bytes(write_job(job))
    return str(path)


def test_the_text_has_every_change(gridjig: Command, tmp_path: Path) -> None:
    said = gridjig("compare", saved(tmp_path, "a", OLD), saved(tmp_path, "b", NEW))
    assert said.code == 0
    assert said.out.splitlines() == [
        "Test: 4 changes",
        "",
        "Job",
        "- Job: drawing HM-1, none before; revision B, none before",
        "Weldment",
        "- bar: moved 50 mm to the right",
        "Pieces on the table",
        "- fixed stop at D4 + E4: moved 1 hole to the right, to E4 + F4",
        "- adjustable stop at F6: face from the hole 110 mm to 100 mm (−10 mm)",
    ]


@pytest.mark.source("library", "Python 3.11 json", "reading back")
def test_json_has_the_numbers(gridjig: Command, tmp_path: Path) -> None:
    old, new = saved(tmp_path, "a", OLD), saved(tmp_path, "b", NEW)
    answer = json.loads(gridjig("compare", old, new, "--json").out)
    assert answer["same"] is False
    job, bar, stop_, slider = answer["changes"]
    assert (job["what"], job["fields"]) == ("job", ["drawing", "revision"])
    assert (bar["id"], bar["moved_mm"], bar["turned_deg"]) == ("bar", [50, 0], None)
    assert stop_["holes"] == ["D4 + E4", "E4 + F4"]
    assert stop_["face_mm"] is None
    assert slider["face_mm"] == [110, 100]
    assert slider["said"] == ["face from the hole 110 mm to 100 mm (−10 mm)"]


def test_equal_jobs_say_so(gridjig: Command, tmp_path: Path) -> None:
    old, new = saved(tmp_path, "a", OLD), saved(tmp_path, "b", OLD)
    assert gridjig("compare", old, new).out == "Test: nothing changed; the two jobs are equal.\n"
    answer = json.loads(gridjig("compare", old, new, "--json").out)
    assert (answer["same"], answer["changes"]) == (True, [])


def test_names_with_signs_for_the_terminal_stay_on_their_line(
    gridjig: Command, tmp_path: Path
) -> None:
    rude = structs.replace(NEW, placements=(pin("p", 1, 1),), name="A\x1b[2J\nB")
    rude = placements.rename(rude, "p", "x\ny")
    said = gridjig("compare", saved(tmp_path, "a", OLD), saved(tmp_path, "b", rude))
    assert said.code == 0
    assert "\x1b" not in said.out
    assert len(said.out.splitlines()) == 10
    assert "x y: added in B2" in said.out


def test_a_difference_at_the_end_of_a_long_text_is_not_lost(
    gridjig: Command, tmp_path: Path
) -> None:
    one, other = (details.set_notes(OLD, "n" * 500 + end) for end in ("a", "b"))
    said = gridjig("compare", saved(tmp_path, "a", one), saved(tmp_path, "b", other))
    assert said.out.splitlines()[-1] == "- Job: notes changed"


def test_a_file_that_is_not_there_is_refused(refused: Callable[..., str], tmp_path: Path) -> None:
    here = saved(tmp_path, "a", OLD)
    assert "nowhere.gridjig" in refused("compare", here, str(tmp_path / "nowhere.gridjig"))
