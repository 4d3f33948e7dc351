"""`gridjig plate`: for an angle and for a face, into a job, and what is refused."""

from collections.abc import Callable
from pathlib import Path

import ezdxf
import pytest
from msgspec import structs

from gridjig.checks.conflicts import clashes
from gridjig.files.jobs.job_file import load_job, write_job
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.units import Display
from tests.cli.conftest import Command
from tests.stock import bar
from tests.workshop import laid


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> str:
    path = tmp_path_factory.mktemp("plate") / "bar.gridjig"
    path.write_bytes(write_job(laid(bar(x=300.0, y=400.0, length=400.0, turn=10.0))))
    return str(path)


def test_a_plate_for_an_angle(gridjig: Command, job: str, tmp_path: Path) -> None:
    out = tmp_path / "p.dxf"
    said = gridjig("plate", job, str(out), "--angle", "37.5", "--base", "100", "300")
    assert said.code == 0, said.err
    assert "Cut plate 37.5°" in said.out
    assert "Nothing is in its way." in said.out
    document = ezdxf.readfile(out)  # type: ignore[attr-defined]
    assert document.audit().errors == []
    assert len(document.modelspace().query('CIRCLE[layer=="CUT"]')) == 2


def test_a_plate_for_a_face_stands_in_a_job_of_its_own(
    gridjig: Command, job: str, tmp_path: Path
) -> None:
    into = tmp_path / "with.gridjig"
    said = gridjig(
        "plate", job, str(tmp_path / "p.svg"), "--face", "bar", "side:0", "--around",
        "face-and-end", "--upright", "60", "--kerf", ".2", "--fit", "close", "--into", str(into),
    )  # fmt: skip
    assert said.code == 0, said.err
    assert "A kerf of 0.2 mm is allowed for" in said.out
    assert "with.gridjig: the job, with the plate in its holes" in said.out
    after = load_job(into)
    [placement] = after.placements
    assert placement.piece == "cut-plate-1"
    placed = PlacedPieces().of(after)
    assert placed[placement.id].fault is None
    assert clashes(placed.values()) == ()
    again = gridjig("plate", str(into), str(tmp_path / "q.svg"), "--face", "bar", "side:0",
                    "--holes", *("K5", "N5"))  # fmt: skip
    assert "It cannot lie there now" in again.out or again.code == 2


def test_an_inch_job_has_its_limits_in_inches(
    gridjig: Command, refused: Callable[..., str], tmp_path: Path
) -> None:
    path = tmp_path / "inch.gridjig"
    job = laid(bar(x=300.0, y=400.0, length=400.0))
    path.write_bytes(write_job(structs.replace(job, display=Display())))
    words = ("plate", str(path), str(tmp_path / "p.dxf"), "--face", "bar", "side:0", "--thickness")
    assert 'is 1/16" to 2" thick' in refused(*words, "1/32")
    assert 'is 1/16" to 2" thick' in refused(*words, "2-1/16")
    thinnest = gridjig(*words, "1/16")
    assert thinnest.code == 0, thinnest.err


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("p.pdf", "--angle", "30"), "must end in .dxf or .svg"),
        (("p.dxf", "--angle", "30", "--into", "p.json"), "must end in .gridjig"),
        (("p.dxf", "--angle", "thirty"), "not understood"),
        (("p.dxf", "--angle", "30", "--around", "face"), "--around is for the face of a part"),
        (("p.dxf", "--face", "bar", "side:0", "--base", "1", "2"), "--base is for an angle"),
        (("p.dxf", "--face", "bar", "side:9"), "has no side:9"),
        (("p.dxf", "--angle", "30", "--kerf", "-1"), "kerf cannot be less than 0"),
        (("p.dxf", "--angle", "30", "--thickness", "80"), "is 0.5 mm to 50 mm thick"),
        (("p.dxf", "--angle", "30", "--base", "5000", "6000"), "type a shorter base"),
        (("p.dxf", "--face", "bar", "side:0", "--upright", "3"), "no higher than the plate"),
    ],
)
def test_what_cannot_be_cut_is_refused(
    refused: Callable[..., str],
    job: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    words: tuple[str, ...],
    why: str,
) -> None:
    monkeypatch.chdir(tmp_path)
    assert why in refused("plate", job, *words)
    assert list(tmp_path.iterdir()) == []
