"""Recent files: a list that survives, and a question that never holds the window."""

import os
import subprocess
import sys
import threading
import time
from pathlib import Path
from typing import Any

import pytest

from gridjig.files.format.faults import SaveFault
from gridjig.files.storage import guard
from gridjig.files.storage.recent import MOST, add, exists_soon, load, remove

ROOT = Path(__file__).parents[3]


@pytest.mark.expectation(49)
def test_the_newest_stands_first_and_once(tmp_path: Path) -> None:
    for name in ("a", "b", "c", "a"):
        add(tmp_path / name)
    assert [path.name for path in load()] == ["a", "c", "b"]
    assert [path.name for path in remove(tmp_path / "c")] == ["a", "b"]
    assert [path.name for path in load()] == ["a", "b"]


@pytest.mark.expectation(49)
def test_ten_at_least_are_kept(tmp_path: Path) -> None:
    for number in range(MOST + 5):
        add(tmp_path / str(number))
    assert [path.name for path in load()] == [str(n) for n in range(MOST + 4, 4, -1)]
    assert MOST >= 10


def test_paths_are_kept_whole(tmp_path: Path, monkeypatch: Any) -> None:
    monkeypatch.chdir(tmp_path)
    assert add(Path("sub/../a")) == (tmp_path / "a",)
    assert remove(tmp_path / "a") == ()


@pytest.mark.expectation(49)
def test_a_damaged_list_is_empty_and_kept_as_backup(own_state: Path) -> None:
    (own_state / "recent.json").write_bytes(b"{oops")
    assert load() == ()
    add(Path("/a"))
    assert load() == (Path("/a").absolute(),)
    assert (own_state / "recent.json.bak").read_bytes() == b"{oops"


def test_a_list_that_cannot_be_kept(own_state: Path, monkeypatch: Any) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    with monkeypatch.context() as patched:
        patched.setattr(guard, "_take", refuse)
        with pytest.raises(SaveFault, match="no permission for it; the list of recent files stays"):
            add(Path("/a"))
    blocked = own_state / "file"
    blocked.write_bytes(b"")
    with pytest.raises(SaveFault):
        add(Path("/a"), blocked / "deeper" / "recent.json")


def test_a_list_that_another_program_is_changing(own_state: Path, monkeypatch: Any) -> None:
    add(Path("/a"))
    assert [entry.name for entry in own_state.iterdir()] == ["recent.json"]
    monkeypatch.setattr(guard, "_WAIT", 0.1)
    with guard.file_guard(own_state / "recent.json", ""):
        with pytest.raises(SaveFault, match=r"another program .* it; the list of recent files"):
            add(Path("/b"))
        assert load() == (Path("/a").absolute(),)
    assert len(add(Path("/b"))) == 2


def test_two_programs_do_not_lose_each_others_files(tmp_path: Path) -> None:
    code = (
        "import sys; from pathlib import Path; from gridjig.files.storage.recent import add\n"
        "for n in range(7): add(Path(f'/{sys.argv[1]}{n}'))"
    )
    both = [subprocess.Popen([sys.executable, "-c", code, name], cwd=ROOT) for name in "ab"]
    assert [process.wait() for process in both] == [0, 0]
    assert {path.name for path in load()} == {f"{c}{n}" for c in "ab" for n in range(7)}


@pytest.mark.expectation(49)
def test_missing_files_are_told_from_those_there(tmp_path: Path) -> None:
    there, gone = tmp_path / "there", tmp_path / "gone"
    there.write_bytes(b"")
    odd = Path("a\0b")
    assert exists_soon([there, gone, tmp_path, odd]) == {
        there: True,
        gone: False,
        tmp_path: False,
        odd: False,
    }
    assert exists_soon([]) == {}


@pytest.mark.expectation(49)
def test_a_dead_share_does_not_hold_the_window(tmp_path: Path, monkeypatch: Any) -> None:
    answer = threading.Event()
    real = os.path.isfile

    def never(path: Path) -> bool:
        if path.parent.name == "share":
            answer.wait(20)
        return real(path)

    monkeypatch.setattr(os.path, "isfile", never)
    (tmp_path / "here").write_bytes(b"")
    began = time.monotonic()
    found = exists_soon([tmp_path / "share" / "a", tmp_path / "here"], timeout=0.3)
    assert time.monotonic() - began < 2
    assert found == {tmp_path / "share" / "a": None, tmp_path / "here": True}
    answer.set()
