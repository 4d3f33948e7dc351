"""What of the program's own folder cannot be used is said once, by name, and nothing is touched."""

import os
from pathlib import Path

import pytest

from gridjig.files.storage.locations import (
    autosave_dir,
    recent_file,
    settings_file,
    user_library_file,
)
from gridjig.files.storage.settings import Settings, settings_fault, write_settings
from gridjig.files.storage.state import CRASH_NAME, LOG_NAME, is_odd, state_trouble


def test_where_all_is_well_nothing_is_said_and_nothing_left(state_elsewhere: Path) -> None:
    assert state_trouble() == ""
    assert list(state_elsewhere.iterdir()) == []
    assert write_settings(Settings())
    autosave_dir().mkdir()
    assert state_trouble() == ""


def test_a_folder_that_cannot_be_written_is_said_with_what_is_lost(
    state_elsewhere: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    state_elsewhere.write_text("a file")
    said = state_trouble()
    assert str(state_elsewhere) in said
    assert said.endswith("Save often.")
    state_elsewhere.unlink()

    def full(*_: object) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "open", full)
    assert "its disk is full" in state_trouble()


def test_every_odd_entry_is_named(own_state: Path) -> None:
    names = [user_library_file().name, recent_file().name, LOG_NAME, CRASH_NAME]
    for name in names:
        (own_state / name).mkdir()
    autosave_dir().write_text("no folder")
    settings_file().write_text("{")
    said = state_trouble()
    assert said.count(";") == len(names) + 1
    for name in (*names, autosave_dir().name, settings_file().name):
        assert name in said
    assert autosave_dir().read_text() == "no folder"  # nothing was set right behind its back


def test_a_settings_file_is_well_missing_odd_or_not_understood(own_state: Path) -> None:
    assert settings_fault() == ""
    assert write_settings(Settings())
    assert settings_fault() == ""
    settings_file().write_text('{"theme": "mauve"}')
    assert settings_fault().startswith("cannot be ")
    settings_file().unlink()
    settings_file().mkdir()
    assert settings_fault()
    assert not settings_fault().startswith("cannot be ")


def test_odd_is_what_is_there_and_of_another_kind(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    assert not is_odd(tmp_path / "file")
    assert is_odd(tmp_path / "file", folder=True)
    assert is_odd(tmp_path)
    assert not is_odd(tmp_path, folder=True)
    assert not is_odd(tmp_path / "missing")
