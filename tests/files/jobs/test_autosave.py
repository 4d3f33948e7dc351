"""Autosaved copies: soon enough, apart from the file, offered after a crash, never in its place."""

import os
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gridjig.files.format import file_format
from gridjig.files.format.faults import ReadFault, SaveFault
from gridjig.files.jobs import autosave
from gridjig.files.jobs.autosave import (
    AT_ONCE,
    EAGER,
    LONGEST,
    AutosavedCopy,
    Autosaver,
    discard,
    recover,
    recoverable,
)
from gridjig.files.jobs.job_file import load_job, write_job
from gridjig.files.storage import processes
from gridjig.files.storage.saving import save
from tests.files.versions import sample, version_of

ROOT = Path(__file__).parents[3]
WORK = """
import os, sys
from pathlib import Path
from gridjig.files.jobs.autosave import Autosaver
from tests.files.versions import sample
path = Path(sys.argv[1]) if sys.argv[1] else None
keeper = Autosaver(sample(0), path)
keeper.write(sample(int(sys.argv[2])))
os.kill(os.getpid(), 9)
"""


def crash(path: Path | None, version: int) -> None:
    """Another program that opens the file, changes its job and dies."""
    subprocess.run(
        [sys.executable, "-c", WORK, str(path or ""), str(version)], cwd=ROOT, check=False
    )


def names(folder: Path) -> list[str]:
    return sorted(entry.name for entry in folder.iterdir()) if folder.exists() else []


@pytest.fixture
def path(tmp_path: Path) -> Path:
    made = tmp_path / "gate.gridjig"
    save(made, write_job(sample(0)))
    return made


@pytest.fixture
def folder(own_state: Path) -> Path:
    return own_state / "autosave"


# -- when ----------------------------------------------------------------------------------------


@pytest.mark.expectation(41)
def test_the_first_changes_are_copied_at_once_and_later_ones_in_steps(path: Path) -> None:
    job, keeper = sample(0), Autosaver(sample(0), path)
    keeper.mark_saved(job, path)
    assert keeper.wait(100, job) is None
    changed = sample(1)
    assert keeper.wait(100, changed) == AT_ONCE <= 0.25
    assert keeper.wait(100.1, sample(2)) == pytest.approx(AT_ONCE - 0.1)  # one copy for both
    assert keeper.wait(101, changed) == 0
    keeper.write(changed)
    keeper._took = 0.001  # a fast disk
    assert keeper.wait(130, changed) is None
    for now in (100 + EAGER / 2, 100 + EAGER - 0.1):
        assert keeper.wait(now, sample(3)) == AT_ONCE
        assert keeper.wait(now + 1, changed) is None  # undone: nothing to keep
    assert keeper.wait(100 + EAGER, sample(4)) == autosave.DELAY
    assert keeper.wait(100 + 2 * EAGER, sample(5)) == 0
    keeper.mark_saved(sample(5), path)
    assert keeper.wait(500, sample(6)) == AT_ONCE  # saved: the next change is a first one


def test_copying_takes_no_more_than_a_fifth_of_the_time(path: Path) -> None:
    keeper = Autosaver(sample(0), path)
    keeper._took = 0.1  # a slow disk
    assert keeper.wait(0, sample(1)) == pytest.approx(0.5)
    keeper._took = 60
    assert keeper.wait(1, sample(1)) == LONGEST - 1


def test_writing_a_copy_is_timed(path: Path) -> None:
    keeper = Autosaver(sample(0), path)
    keeper.write(sample(1))
    assert 0 < keeper._took < 5


def test_a_copy_begun_before_the_job_was_saved_is_not_written(path: Path, folder: Path) -> None:
    keeper = Autosaver(sample(0), path)
    work = keeper.begin(sample(1))
    keeper.mark_saved(sample(1), path)
    work()
    keeper.end(0.0)
    assert names(folder) == []
    assert keeper.wait(0, sample(2)) == AT_ONCE


def test_a_change_while_a_copy_is_written_has_its_own_time(path: Path, folder: Path) -> None:
    keeper, first, second = Autosaver(sample(0), path), sample(1), sample(2)
    assert keeper.wait(0, first) == AT_ONCE
    work = keeper.begin(first)
    assert keeper.wait(1, first) is None
    assert keeper.wait(1, second) == AT_ONCE
    work()
    keeper.end(0.001)
    assert load_job(keeper.copy) == first
    assert keeper.wait(1 + AT_ONCE, second) == 0
    keeper.end(None)  # nothing was under way
    keeper.begin(second)
    keeper.end(None)  # it could not be written: due again
    assert keeper.wait(2, second) == 0


@pytest.mark.expectation(41)
@settings(max_examples=40)
@given(
    st.lists(st.floats(0, 300), min_size=1, max_size=8),
    st.floats(0, 60),
    st.floats(0, 0.2),
)
def test_nothing_is_older_than_20_seconds_when_its_copy_is_made(
    edits: list[float], delay: float, took: float
) -> None:
    job, version = sample(0), 0
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patched:
        patched.setattr(autosave, "save", lambda path, data, backup: path.write_bytes(data))
        keeper = Autosaver(job, None, Path(folder), delay)
        copies, first_unkept, due = 0, None, None
        for edited in [*sorted(edits), 1e9]:
            if due is not None and due <= edited:
                assert first_unkept is not None
                assert due - first_unkept <= LONGEST + 1e-6
                if first_unkept < min(edits) + EAGER:
                    assert due - first_unkept <= max(AT_ONCE, 5 * took) + 1e-6
                assert keeper.wait(due + 1e-6, job) == 0
                keeper.write(job)
                keeper._took = took
                assert version_of(load_job(keeper.copy)) == version
                first_unkept, copies = None, copies + 1
            if edited < 1e9:
                version += 1
                job = sample(version)
                first_unkept = edited if first_unkept is None else first_unkept
                wait = keeper.wait(edited, job)
                assert wait is not None
                due = edited + wait
        assert first_unkept is None
        assert copies > 0


# -- what ----------------------------------------------------------------------------------------


@pytest.mark.expectation(42)
def test_the_copy_lies_in_the_state_folder_and_the_file_is_not_touched(
    path: Path, folder: Path
) -> None:
    before = path.stat().st_mtime_ns
    keeper = Autosaver(sample(0), path)
    keeper.write(sample(3))
    keeper.write(sample(4))
    assert keeper.copy.parent == folder
    assert version_of(load_job(keeper.copy)) == 4
    assert len(names(folder)) == 2
    assert names(path.parent) == ["gate.gridjig"]
    assert path.stat().st_mtime_ns == before


def test_saving_and_closing_remove_the_copy(path: Path, folder: Path) -> None:
    keeper = Autosaver(sample(0), path)
    keeper.write(sample(1))
    job = sample(2)
    save(path, write_job(job))
    keeper.mark_saved(job, path)
    assert names(folder) == []
    keeper.write(sample(3))
    assert len(names(folder)) == 2
    keeper.discard()
    keeper.discard()
    assert names(folder) == []


def test_work_taken_back_to_what_is_saved_needs_no_copy(path: Path, folder: Path) -> None:
    saved, changed = sample(0), sample(1)
    keeper = Autosaver(saved, path)
    keeper.write(changed)
    assert keeper.wait(0, saved) is not None
    assert keeper.wait(LONGEST, saved) == 0
    keeper.write(saved)
    assert names(folder) == []
    assert keeper.wait(100, saved) is None


def test_where_no_copy_can_be_made_it_is_said_and_tried_again(path: Path, folder: Path) -> None:
    keeper = Autosaver(sample(0), path)
    folder.parent.mkdir(exist_ok=True)
    folder.write_bytes(b"in the way")
    changed = sample(1)
    keeper.wait(0, changed)
    with pytest.raises(SaveFault):
        keeper.write(changed)
    assert keeper.wait(LONGEST, changed) == 0
    folder.unlink()
    keeper.write(changed)
    assert keeper.wait(100, changed) is None


# -- after a crash -------------------------------------------------------------------------------


@pytest.mark.expectation(41, 42)
def test_a_crash_is_followed_by_an_offer(path: Path, folder: Path) -> None:
    began = time.time()
    crash(path, 5)
    (copy,) = recoverable()
    assert copy.original == path
    assert copy.name == "version 5"
    assert began - 1 <= copy.saved_at.timestamp() <= time.time() + 1
    before = path.read_bytes()
    job, keeper = recover(copy)
    assert version_of(job) == 5
    assert path.read_bytes() == before
    assert recoverable() == ()  # it is ours now
    assert version_of(load_job(keeper.copy)) == 5
    assert keeper.wait(0, job) is None  # the copy is there already
    save(path, write_job(job))
    keeper.mark_saved(job, path)
    assert names(folder) == []


@pytest.mark.expectation(41)
def test_a_second_crash_right_after_recovering_loses_nothing(path: Path, folder: Path) -> None:
    crash(path, 5)
    code = (
        "import os; from gridjig.files.jobs.autosave import recover, recoverable\n"
        "recover(recoverable()[0]); os.kill(os.getpid(), 9)"
    )
    subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=False)
    (copy,) = recoverable()
    assert (copy.original, copy.name) == (path, "version 5")
    discard(copy)
    assert names(folder) == []


def test_work_that_was_never_saved_is_offered_newest_first(path: Path) -> None:
    crash(None, 1)
    crash(path, 2)
    late, early = recoverable()
    assert (late.name, early.name, early.original) == ("version 2", "version 1", None)


def test_of_two_windows_that_want_a_copy_one_gets_it(path: Path, folder: Path) -> None:
    crash(path, 5)
    (copy,) = recoverable()
    _, keeper = recover(copy)
    with pytest.raises(ReadFault, match="there is no such file"):
        recover(copy)
    late = Autosaver(sample(0), path)
    with pytest.raises(ReadFault, match="another window has taken it"):
        late.adopt(copy, sample(0))
    assert keeper.copy.exists()
    assert len(names(folder)) == 2


def test_running_programs_and_other_computers_are_left_alone(path: Path, folder: Path) -> None:
    keeper = Autosaver(sample(0), path)
    keeper.write(sample(1))
    assert recoverable() == ()
    _note(folder, "other", machine="another")
    (folder / "other.gridjig").write_bytes(write_job(sample(2)))
    assert recoverable() == ()
    assert len(names(folder)) == 4


def _note(folder: Path, stem: str, **change: Any) -> None:
    note = autosave.AutosaveNote(
        **{
            "original": "",
            "base": "",
            "name": "n",
            "machine": processes.machine(),
            "pid": 0,
            "birth": "gone",
            **change,
        }
    )
    folder.mkdir(exist_ok=True, parents=True)
    (folder / f"{stem}.json").write_bytes(file_format.write(autosave._FORM, note))


def _dead_copy(folder: Path, path: Path | None, version: int, age: float = 0, **more: Any) -> Path:
    """The copy that a dead program left."""
    _note(folder, "dead", original=str(path or ""), **more)
    copy = folder / "dead.gridjig"
    copy.write_bytes(write_job(sample(version)))
    os.utime(copy, (time.time() - age,) * 2)
    return copy


def test_a_copy_that_equals_its_file_is_removed(path: Path, folder: Path) -> None:
    _dead_copy(folder, path, 0)
    assert recoverable() == ()
    assert names(folder) == []


def test_a_copy_of_a_file_that_is_gone_is_offered(path: Path, folder: Path) -> None:
    _dead_copy(folder, path, 1, age=1e6)
    path.unlink()
    assert [copy.original for copy in recoverable()] == [path]


@pytest.mark.expectation(41, 49)
def test_a_dead_share_does_not_hold_the_start(
    path: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _dead_copy(folder, path, 1)
    answer = threading.Event()
    real = Path.read_bytes

    def never(asked: Path) -> bytes:
        if asked == path:
            answer.wait(20)
        return real(asked)

    monkeypatch.setattr(Path, "read_bytes", never)
    monkeypatch.setattr(autosave, "_PATIENCE", 0.2)
    began = time.monotonic()
    assert [copy.original for copy in recoverable()] == [path]
    assert time.monotonic() - began < 5
    answer.set()


def test_the_bytes_decide_before_the_clocks_do(path: Path, folder: Path) -> None:
    base = autosave._digest(path.read_bytes())
    _dead_copy(folder, path, 1, age=3600, base=base)
    assert [copy.name for copy in recoverable()] == ["n"]


def test_a_file_saved_later_than_its_copy_is_newer(path: Path, folder: Path) -> None:
    copy = _dead_copy(folder, path, 1, age=3600)
    assert recoverable() == ()
    assert copy.exists()  # for a month
    os.utime(copy, (time.time() - 31 * 86_400,) * 2)
    assert recoverable() == ()
    assert names(folder) == []


def test_odd_things_in_the_folder(path: Path, folder: Path) -> None:
    folder.mkdir(parents=True)
    (folder / "alone.gridjig").write_bytes(write_job(sample(3)))  # its note was lost
    (folder / "broken.gridjig").write_bytes(b"{")
    (folder / "broken.json").write_bytes(b"{")
    _note(folder, "without")  # it died before its first copy
    (folder / "else.txt").write_bytes(b"")
    found = {copy.name: copy for copy in recoverable()}
    assert sorted(found) == ["a job", "version 3"]
    with pytest.raises(ReadFault):
        recover(found["a job"])
    assert names(folder) == ["alone.gridjig", "broken.gridjig", "broken.json", "else.txt"]


def test_without_a_folder_there_is_nothing_to_offer(tmp_path: Path) -> None:
    assert recoverable(tmp_path / "none") == ()


def test_a_folder_of_its_own_can_be_given(tmp_path: Path) -> None:
    keeper = Autosaver(sample(0), None, tmp_path / "own")
    keeper.write(sample(1))
    assert keeper.copy.parent == tmp_path / "own"
    assert isinstance(keeper.copy, Path)
    assert not isinstance(keeper, AutosavedCopy)
