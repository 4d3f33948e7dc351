"""Where the program's notes lie, and names that every system takes."""

import os
import stat
from pathlib import Path, PureWindowsPath

import platformdirs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gridjig.files.storage.locations import (
    autosave_dir,
    backup_of,
    make_private,
    proposed_name,
    proposed_path,
    recent_file,
    settings_file,
    state_dir,
)


def test_the_variable_moves_every_note(own_state: Path) -> None:
    assert state_dir() == own_state
    assert {p.parent for p in (autosave_dir(), recent_file(), settings_file())} == {own_state}


@pytest.mark.source("library", "platformdirs 4", "folders of the user")
def test_without_it_the_notes_lie_where_the_system_wants_them(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.delenv("GRIDJIG_STATE")
    assert state_dir() == Path(platformdirs.user_state_dir("gridjig", appauthor=False))


@pytest.mark.skipif(os.name == "nt", reason="no such permissions there")
def test_the_folder_is_the_owners_alone(tmp_path: Path) -> None:
    make_private(tmp_path / "state" / "autosave")
    make_private(tmp_path / "state" / "autosave")
    assert stat.S_IMODE((tmp_path / "state" / "autosave").stat().st_mode) == 0o700


def test_the_backup_lies_beside_its_file() -> None:
    assert backup_of(Path("/shop/gate.gridjig")) == Path("/shop/gate.gridjig.bak")


@pytest.mark.source("memory", "Microsoft: naming files, paths and namespaces")
@pytest.mark.expectation(51)
@pytest.mark.parametrize(
    ("job", "name"),
    [
        ("Gate", "Gate.gridjig"),
        ('Gate 36" x 48"', "Gate 36 x 48.gridjig"),
        ("a/b\\c:d*e?f<g>h|i", "a b c d e f g h i.gridjig"),
        (" .hidden. ", "hidden.gridjig"),
        ("Gate...", "Gate.gridjig"),
        ("con", "job con.gridjig"),
        ("COM1.x", "job COM1.x.gridjig"),
        ("tab\tand\nline", "tab and line.gridjig"),
        ("///", "job.gridjig"),
        ("", "job.gridjig"),
        ("\ud800", "job.gridjig"),
        ("ä" * 300, "ä" * 100 + ".gridjig"),
    ],
)
def test_a_proposed_name_has_no_forbidden_characters(job: str, name: str) -> None:
    assert proposed_name(job) == name


@pytest.mark.source("library", "Python 3.11 pathlib", "rules for names on Windows")
@pytest.mark.expectation(51)
@given(st.text(max_size=150))
def test_any_job_gives_a_name_that_can_be_made(job: str) -> None:
    name = proposed_name(job)
    assert PureWindowsPath(name).name == name
    assert not set(name) & set('<>:"/\\|?*')
    assert len(os.fsencode(name)) < 255 - len(".bak")
    if hasattr(os.path, "isreserved"):
        assert not os.path.isreserved(name)


def test_an_export_is_proposed_beside_earlier_ones_and_over_none(tmp_path: Path) -> None:
    there = str(tmp_path)
    assert proposed_path(there, "Gate v1.2 cuts", ".csv") == tmp_path / "Gate v1.2 cuts.csv"
    for name in ("Gate v1.2 cuts.csv", "Gate v1.2 cuts 2.csv"):
        (tmp_path / name).touch()
    assert proposed_path(there, "Gate v1.2 cuts", ".csv") == tmp_path / "Gate v1.2 cuts 3.csv"
    assert proposed_path(there, "Gate v1.2 cuts", ".pdf") == tmp_path / "Gate v1.2 cuts.pdf"
    assert proposed_path(there, "a/b", ".csv") == tmp_path / "a b.csv"


def test_where_nothing_is_free_or_the_folder_cannot_be_read_the_plain_name_is_proposed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Path, "exists", lambda path: True)
    assert proposed_path(str(tmp_path), "Gate", ".csv") == tmp_path / "Gate.csv"

    def barred(path: Path) -> bool:
        raise PermissionError(path)

    monkeypatch.setattr(Path, "exists", barred)
    assert proposed_path(str(tmp_path), "Gate", ".csv") == tmp_path / "Gate.csv"
