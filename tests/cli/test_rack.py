"""`gridjig rack`: a rack taken out of a job, which another job can use."""

from pathlib import Path

import pytest
from msgspec import structs

from gridjig.files.jobs.job_file import write_job
from gridjig.files.jobs.rack_file import read_rack
from tests.cli.conftest import Command
from tests.workshop import EMPTY, RACK


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "gate.gridjig"
    path.write_bytes(write_job(structs.replace(EMPTY, name="Gate")))
    return path


def test_the_rack_of_a_job_becomes_a_file(gridjig: Command, job: Path, tmp_path: Path) -> None:
    out = tmp_path / "shop.gridrack"
    said = gridjig("rack", str(job), str(out))
    assert said.code == 0
    owned = sum(piece.owned for piece in RACK.pieces)
    first, written = said.out.splitlines()
    assert first == f"{RACK.name}: {len(RACK.pieces)} kinds of piece, {owned} on hand"
    assert written == f"Written: {out}"
    assert read_rack(out) == RACK


def test_a_file_that_is_there_is_kept(gridjig: Command, job: Path, tmp_path: Path) -> None:
    out = tmp_path / "shop.gridrack"
    out.write_text("mine")
    said = gridjig("rack", str(job), str(out))
    assert said.code == 2
    assert "already exists" in said.err
    assert out.read_text() == "mine"
    assert gridjig("rack", str(job), str(out), "--force").code == 0
    assert read_rack(out) == RACK


def test_only_a_rack_file_is_written(gridjig: Command, job: Path, tmp_path: Path) -> None:
    said = gridjig("rack", str(job), str(tmp_path / "shop.gridjig"))
    assert said.code == 2
    assert "must end in .gridrack" in said.err
    assert list(tmp_path.iterdir()) == [job]
    missing = gridjig("rack", str(tmp_path / "no.gridjig"), str(tmp_path / "a.gridrack"))
    assert missing.code == 2
    assert not (tmp_path / "a.gridrack").exists()


def test_a_job_file_can_be_named_as_a_rack(gridjig: Command, job: Path) -> None:
    said = gridjig("poses", "stop", "C3", "--table", str(job), "--rack", str(job))
    own = gridjig("poses", "stop", "C3", "--table", str(job))
    assert said.code == own.code == 0
    assert said.out == own.out
