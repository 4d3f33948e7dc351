"""What forms are filled with the next time."""

from pathlib import Path

import pytest

from gridjig.files.storage.last_sizes import (
    LastSizes,
    keep_last_sizes,
    last_sizes_file,
    read_last_sizes,
)
from tests.stock import SQUARE

SOME = LastSizes({"width": 1000.0}, {"brace": "none"}, {"rail": SQUARE}, {"rails": (0.0, 600.0)})


def test_what_was_kept_is_read_again(own_state: Path) -> None:
    assert read_last_sizes() == {}
    assert keep_last_sizes("gate", SOME)
    assert keep_last_sizes("ladder", LastSizes({"length": 2000.0}))
    assert read_last_sizes() == {"gate": SOME, "ladder": LastSizes({"length": 2000.0})}
    assert last_sizes_file().is_relative_to(own_state)


@pytest.mark.parametrize(
    "text", ["", "[]", '{"gate": {"numbers": {"width": 1e99}}}', '{"gate": {"odd": 1}}', "\xff"]
)
def test_a_file_that_cannot_be_read_is_as_none(own_state: Path, text: str) -> None:
    last_sizes_file().write_text(text, encoding="utf-8")
    assert read_last_sizes() == {}
    assert keep_last_sizes("gate", SOME)
    assert read_last_sizes() == {"gate": SOME}


def test_what_cannot_be_written_is_no_fault(own_state: Path) -> None:
    last_sizes_file().mkdir()
    assert not keep_last_sizes("gate", SOME)
