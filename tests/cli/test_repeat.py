"""`gridjig repeat`: what no longer holds, picking again, and what is refused."""

from collections.abc import Callable
from pathlib import Path

import pytest

from gridjig.files.jobs.job_file import load_job
from tests.cli.conftest import Command

JOB = str(Path(__file__).with_name("kept") / "bracket.gridjig")
ANOTHER = "1200x1200-50"


def test_it_says_what_no_longer_holds_and_what_is_different(gridjig: Command) -> None:
    said = gridjig("repeat", JOB, "--table", ANOTHER)
    assert said.code == 0
    first, *rest = said.out.splitlines()
    assert "It cannot be set again just as it was" in first
    assert any("does not fit there" in line for line in rest)
    assert "What is different:" in rest
    same = gridjig("repeat", JOB, "--table", JOB)
    assert "everything still holds" in same.out
    assert "What is different" not in same.out


def test_it_picks_again_and_writes_the_job(gridjig: Command, tmp_path: Path) -> None:
    out = tmp_path / "again.gridjig"
    said = gridjig("repeat", JOB, "--table", ANOTHER, "--pick", str(out))
    assert said.code == 0
    assert "pieces are kept" in said.out
    assert "was not kept" in said.out
    job = load_job(out)
    assert job.table.pitch_x == 50.0
    assert 0 < len(job.placements) < len(load_job(Path(JOB)).placements)


@pytest.mark.parametrize(
    ("words", "why"),
    [
        ((), "Give the --table or the --rack of today"),
        (("--table", "no such"), "There is no standard table"),
        (("--rack", "no such"), "There is no starter rack"),
        (("--table", ANOTHER, "--pick", "again.json"), "must end in .gridjig"),
        (("--table", ANOTHER, "--pick", JOB), "already exists"),
    ],
)
def test_what_cannot_be_repeated_is_refused(
    refused: Callable[..., str], words: tuple[str, ...], why: str
) -> None:
    assert why in refused("repeat", JOB, *words)
