"""Versions: newer ones refused, older ones brought up step by step."""

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import Struct

from gridjig.files.format.faults import ReadFault
from gridjig.files.format.file_format import FileFormat, load, read, write
from gridjig.files.format.migrations import JOB_STEPS, JOB_VERSION, Tree, migrate


class Stool(Struct, frozen=True, forbid_unknown_fields=True):
    legs: tuple[float, ...]
    name: str


def length_to_legs(tree: Tree) -> Tree:
    """Version 1 had three legs of one length."""
    return {**{k: v for k, v in tree.items() if k != "length"}, "legs": [tree.get("length")] * 3}


def title_to_name(tree: Tree) -> Tree:
    """Version 2 called the name a title."""
    return {"name" if k == "title" else k: v for k, v in tree.items()}


FORM: FileFormat[Stool] = FileFormat(
    kind="stool", key="stool", version=3, wanted=Stool, steps={1: length_to_legs, 2: title_to_name}
)
NEW = Stool((1.0, 1.0, 1.0), "a")


@pytest.mark.source("method", "worked by hand: three versions of a made-up document")
@pytest.mark.parametrize(
    "data",
    [
        b'{"stool": 1, "length": 1, "title": "a"}',
        b'{"stool": 2, "legs": [1, 1, 1], "title": "a"}',
        b'{"stool": 3, "legs": [1, 1, 1], "name": "a"}',
    ],
)
def test_old_versions_are_brought_up_step_by_step(data: bytes) -> None:
    assert read(FORM, data) == NEW
    assert write(FORM, read(FORM, data)).startswith(b'{\n  "stool": 3,\n')


@pytest.mark.expectation(47)
@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b'{"stool": 4}', "it is version 4, and this GridJig reads up to version 3"),
        (b'{"stool": 99999999999999999999999999}', "it is version 99999999999…, and"),
        (
            b'{"stool": 0}',
            "line 1, column 11 (stool): the version of the file must be a whole number",
        ),
        (b'{"stool": -1}', "a whole number, 1 or more"),
        (b'{"stool": true}', "a whole number, 1 or more"),
        (b'{"stool": "1"}', "a whole number, 1 or more"),
        (b'{"stool": 1.0}', "a whole number, 1 or more"),
        (b'{"chair": 1}', "it is not a GridJig stool file: it has no field 'stool'"),
        (b"[1]", "it is not a GridJig stool file"),
        (b'{"stool": 3, "legs": [1], "name": "a", "seat": 1}', "there is no field 'seat' here"),
        (b'{"stool": 1, "title": "a"}', "at legs[0]: a number is expected, but nothing (null)"),
    ],
)
def test_what_is_refused(data: bytes, says: str) -> None:
    with pytest.raises(ReadFault) as caught:
        read(FORM, data)
    assert says in str(caught.value)


@pytest.mark.expectation(47)
def test_a_newer_file_stays_untouched(tmp_path: Path) -> None:
    path = tmp_path / "new.stool"
    path.write_bytes(b'{"stool": 4}')
    before = path.stat().st_mtime_ns
    with pytest.raises(ReadFault, match="open it with a newer GridJig; the file stays as it is"):
        load(FORM, path)
    assert (path.read_bytes(), path.stat().st_mtime_ns) == (b'{"stool": 4}', before)


@given(st.dictionaries(st.text(max_size=4), st.integers() | st.text(max_size=3)), st.integers(1, 3))
def test_steps_take_any_tree(tree: dict[str, Any], version: int) -> None:
    assert isinstance(migrate(dict(tree), version, 3, FORM.steps), dict)


def test_the_job_has_a_step_from_every_older_version() -> None:
    assert sorted(JOB_STEPS) == list(range(1, JOB_VERSION))
