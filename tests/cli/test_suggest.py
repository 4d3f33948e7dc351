"""`gridjig suggest`: what it writes, prints and refuses."""

import json
from pathlib import Path
from typing import Any

import pytest

from gridjig.cli import main
from gridjig.files.jobs.job_file import load_job
from tests.cli.outputs import FRAME, JOB

SAMPLE = Path(__file__).parents[2] / "assets" / "samples" / "1-market-trestle.gridjig"
Shown = pytest.CaptureFixture[str]


def test_the_best_is_written_and_every_piece_says_why(tmp_path: Path, capsys: Shown) -> None:
    out = tmp_path / "out.gridjig"
    assert main(["suggest", str(SAMPLE), str(out), "--keep", "--alternatives", "1"]) == 0
    said = capsys.readouterr().out
    before, after = load_job(SAMPLE), load_job(out)
    added = after.placements[len(before.placements) :]
    assert after.placements[: len(before.placements)] == before.placements
    assert len(added) == 2
    assert said.count(": It ") == len(added)
    assert "Written: " in said
    assert main(["check", str(out)]) == 0


@pytest.mark.untraced
def test_the_json_names_what_is_in_the_file(tmp_path: Path, capsys: Shown) -> None:
    out = tmp_path / "out.gridjig"
    assert main(["suggest", str(FRAME), str(out), "--alternatives", "1", "--json"]) == 0
    said: dict[str, Any] = json.loads(capsys.readouterr().out)
    assert list(said) == ["alternatives", "none_because"]
    (one,) = said["alternatives"]
    keys = ["score", "bound", "pieces", "packings", "shift_mm", "turn_deg"]
    keys += ["face_down", "moves", "placements", "why"]
    assert list(one) == keys
    ids = [placement.id for placement in load_job(out).placements]
    assert [placement["id"] for placement in one["placements"]] == ids
    assert one["pieces"] == len(ids) > 4


@pytest.mark.untraced
def test_the_placements_in_the_json_are_those_in_the_file(tmp_path: Path, capsys: Shown) -> None:
    """A piece can be set from the JSON alone, an arm and one that is turned over as well."""
    out = tmp_path / "out.gridjig"
    assert main(["suggest", str(SAMPLE), str(out), "--keep", "--alternatives", "1", "--json"]) == 0
    (one,) = json.loads(capsys.readouterr().out)["alternatives"]
    job = load_job(out)
    there = {placement.id: placement for placement in job.placements}
    assert len(one["placements"]) == 2
    for told in one["placements"]:
        piece = there[told["id"]]
        assert told["piece"] == piece.piece
        assert [seat["feature"] for seat in told["seats"]] == [seat.feature for seat in piece.seats]
        assert told["flipped"] == piece.flipped
        numbers = (told["turn_deg"], told["slide_mm"], told["leaf_deg"], told["reach_mm"])
        assert numbers == pytest.approx((piece.turn, piece.slide, piece.leaf, piece.reach))
        assert (tuple(told["packing"]), tuple(told["lift"])) == (piece.packing, piece.lift)


@pytest.mark.untraced
def test_the_same_seed_gives_the_same_bytes(tmp_path: Path, capsys: Shown) -> None:
    said, files = [], []
    for name in ("one", "other"):
        out = tmp_path / f"{name}.gridjig"
        more = ["--alternatives", "2", "--seed", "3", "--json"]
        assert main(["suggest", str(FRAME), str(out), *more]) == 0
        said.append(capsys.readouterr().out)
        files.append(out.read_bytes())
    assert said[0] == said[1]
    assert files[0] == files[1]
    assert len(json.loads(said[0])["alternatives"]) == 2


@pytest.mark.untraced
def test_without_a_set_up_nothing_is_written(tmp_path: Path, capsys: Shown) -> None:
    """Two pieces that stay run into the work."""
    out = tmp_path / "out.gridjig"
    assert main(["suggest", str(JOB), str(out), "--keep"]) == 1
    assert "no set-up was found" in capsys.readouterr().out
    assert not out.exists()


@pytest.mark.parametrize(
    ("more", "why"),
    [
        (["--alternatives", "0"], "the number of alternatives must be a whole number from 1 to 10"),
        (["--time", "soon"], "the time must be 0.1 to 600, not soon"),
        (["--seed", "1.5"], "the random seed must be a whole number from 0 to 2147483647, not 1.5"),
    ],
)
def test_numbers_out_of_range_are_refused(
    more: list[str], why: str, tmp_path: Path, capsys: Shown
) -> None:
    assert main(["suggest", str(FRAME), str(tmp_path / "out.gridjig"), *more]) == 2
    assert why in capsys.readouterr().err


def test_a_file_that_is_there_is_not_overwritten(tmp_path: Path, capsys: Shown) -> None:
    out = tmp_path / "out.gridjig"
    out.write_text("mine", encoding="utf-8")
    assert main(["suggest", str(FRAME), str(out)]) == 2
    assert "already exists" in capsys.readouterr().err
    assert main(["suggest", str(FRAME), str(tmp_path / "out.json")]) == 2
    assert "must end in .gridjig" in capsys.readouterr().err
    assert out.read_text(encoding="utf-8") == "mine"
