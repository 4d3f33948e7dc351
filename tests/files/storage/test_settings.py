"""Settings: kept, typed, and never in the way of opening."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gridjig.files.storage.locations import backup_of, settings_file
from gridjig.files.storage.settings import Settings, read_settings, write_settings

ANY = st.builds(
    Settings,
    unit=st.sampled_from(["inch fractions", "inch decimals", "millimetres"]),
    denominator=st.sampled_from([8, 16, 32, 64]),
    theme=st.sampled_from(["light", "dark", "system", "print"]),
    glove=st.booleans(),
    wheel=st.sampled_from(["zoom", "pan"]),
    px_per_mm=st.floats(0, 100),
    text_percent=st.integers(80, 250),
    autosave_s=st.integers(1, 15),
    folder=st.text(st.characters(exclude_categories=["Cs"]), max_size=20),
)


@given(ANY)
def test_settings_come_back_as_they_were(settings: Settings) -> None:
    assert write_settings(settings)
    assert read_settings() == settings


def test_without_a_file_the_usual_ones_are_used(own_state: Path) -> None:
    assert read_settings() == Settings()
    assert settings_file().parent == own_state


@pytest.mark.parametrize("data", [b"", b"{", b"[]", b'{"theme": "mauve"}', b'{"odd": 1}'])
def test_a_file_that_cannot_be_read_stays_as_the_backup(own_state: Path, data: bytes) -> None:
    settings_file().write_bytes(data)
    assert read_settings() == Settings()
    backup = backup_of(settings_file())
    for theme in ("dark", "light"):
        settings = Settings(theme=theme)
        assert write_settings(settings)
        assert read_settings() == settings
        assert backup.read_bytes() == data


def test_settings_that_can_be_read_need_no_backup(own_state: Path) -> None:
    for glove in (True, False):
        assert write_settings(Settings(glove=glove))
    assert [one.name for one in own_state.iterdir()] == [settings_file().name]


def test_where_nothing_can_be_written_the_program_goes_on(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    assert not write_settings(Settings(), tmp_path / "file" / "settings.json")
