"""The open file: what is asked, what is kept, and that nothing of the person's is lost."""

import os
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from msgspec import structs
from pytestqt.qtbot import QtBot

from gridjig.edits.details import set_notes
from gridjig.files.jobs import autosave
from gridjig.files.jobs.job_file import load_job, write_job
from gridjig.files.library.default_job import NEW_NAME
from gridjig.files.storage import lock, recent
from gridjig.files.storage.locations import autosave_dir
from gridjig.model import Job
from gridjig.qt.window.open_file import OpenFile
from tests.qt.windows import Answers, copied
from tests.workshop import RACK, TABLE

ROOT = Path(__file__).parents[3]


def a_job(name: str = "bracket") -> Job:
    return Job(name=name, table=TABLE, rack=RACK)


@pytest.fixture
def answers() -> Answers:
    return Answers()


@pytest.fixture
def file(qtbot: QtBot, answers: Answers, tmp_path: Path):  # type: ignore[no-untyped-def]
    made = OpenFile(a_job(), answers, 0.0)
    made.folder = str(tmp_path)
    yield made
    made.close()


def change(file: OpenFile, words: str = "mind the seam") -> None:
    file.document.do(set_notes(file.document.job, words), "Write notes")


def stored(path: Path, job: Job | None = None) -> Path:
    path.write_bytes(write_job(job or a_job()))
    return path


# -- saving ----------------------------------------------------------------------------------------


@pytest.mark.expectation(39, 51)
def test_the_first_save_asks_for_a_name_and_proposes_one(
    file: OpenFile, answers: Answers, tmp_path: Path
) -> None:
    file.document.do(structs.replace(file.document.job, name="gate 2/3: left"), "Name the job")
    answers.path = str(tmp_path / "gate")
    assert file.save()
    assert answers.asked == ["save gate 2 3 left.gridjig"]
    assert file.path == tmp_path / "gate.gridjig"
    assert load_job(file.path) == file.document.job
    assert not file.modified
    assert file.document.can_undo


def test_a_job_that_nobody_has_named_takes_the_name_of_its_file(
    file: OpenFile, answers: Answers, tmp_path: Path
) -> None:
    """Or else its setup sheet is headed "New job"; a name that was given stays."""
    file.new(structs.replace(file.document.job, name=NEW_NAME))
    (tmp_path / "in the way.gridjig").mkdir()
    answers.path = str(tmp_path / "in the way")
    assert not file.save()
    assert file.document.job.name == NEW_NAME
    answers.path = str(tmp_path / "sign stand")
    assert file.save()
    assert file.document.job.name == "sign stand"
    assert file.path is not None
    assert load_job(file.path) == file.document.job
    assert not file.modified
    answers.path = str(tmp_path / "another")
    assert file.save_as()
    assert file.document.job.name == "sign stand"
    file.document.undo()
    assert file.document.job.name == NEW_NAME
    assert file.modified


def test_saving_again_asks_nothing(file: OpenFile, answers: Answers, tmp_path: Path) -> None:
    answers.path = str(tmp_path / "a.gridjig")
    file.save()
    answers.asked.clear()
    change(file)
    assert file.save()
    assert answers.asked == []
    assert load_job(tmp_path / "a.gridjig").notes == "mind the seam"


@pytest.mark.expectation(39)
def test_the_clean_mark_follows_undo_and_redo(
    file: OpenFile, answers: Answers, tmp_path: Path
) -> None:
    answers.path = str(tmp_path / "a.gridjig")
    change(file)
    file.save()
    file.document.undo()
    assert file.modified
    file.document.redo()
    assert not file.modified


def test_no_name_means_nothing_is_saved(file: OpenFile, answers: Answers) -> None:
    change(file)
    assert not file.save()
    assert file.path is None
    assert file.modified


@pytest.mark.expectation(48)
def test_a_save_that_does_not_work_keeps_the_work_and_says_why(
    file: OpenFile, answers: Answers, tmp_path: Path
) -> None:
    answers.path = str(tmp_path / "no such folder" / "a.gridjig")
    change(file)
    assert not file.save()
    assert "not saved" in answers.asked[-1]
    assert "is gone" in answers.asked[-1]
    assert file.modified
    assert file.document.job.notes == "mind the seam"


@pytest.mark.expectation(46)
def test_a_file_changed_on_the_disk_is_noticed_before_saving(
    file: OpenFile, answers: Answers, tmp_path: Path
) -> None:
    path = stored(tmp_path / "a.gridjig")
    assert file.open(path)
    theirs = write_job(a_job("theirs"))
    path.write_bytes(theirs)
    os.utime(path, ns=(1, 1))
    change(file)
    assert not file.save()
    assert answers.asked == ["overwrite a.gridjig changed"]
    assert path.read_bytes() == theirs
    answers.replace = "overwrite"
    assert file.save()
    assert load_job(path).notes == "mind the seam"


def test_a_file_that_went_away_is_noticed(file: OpenFile, answers: Answers, tmp_path: Path) -> None:
    path = stored(tmp_path / "a.gridjig")
    file.open(path)
    path.unlink()
    change(file)
    answers.replace = "save_as"
    answers.path = str(tmp_path / "b.gridjig")
    assert file.save()
    assert answers.asked[0] == "overwrite a.gridjig gone"
    assert file.path == tmp_path / "b.gridjig"
    assert not path.exists()


def test_save_as_the_same_name_is_a_save(file: OpenFile, answers: Answers, tmp_path: Path) -> None:
    path = stored(tmp_path / "a.gridjig")
    file.open(path)
    change(file)
    answers.path = str(path)
    assert file.save_as()
    assert load_job(path).notes == "mind the seam"


# -- opening ---------------------------------------------------------------------------------------


@pytest.mark.expectation(47)
@pytest.mark.parametrize("data", [b"", b"{", b'{"gridjig": 999999}', b'{"gridjig": 1, "odd": 1}'])
def test_what_cannot_be_read_is_said_and_left_alone(
    file: OpenFile, answers: Answers, tmp_path: Path, data: bytes
) -> None:
    path = tmp_path / "a.gridjig"
    path.write_bytes(data)
    before = file.document
    assert not file.open(path)
    assert answers.asked[0].startswith("problem “a.gridjig” cannot be opened")
    assert file.document is before
    assert path.read_bytes() == data


@pytest.mark.expectation(43)
def test_unsaved_work_is_asked_about_before_it_goes(
    file: OpenFile, answers: Answers, tmp_path: Path
) -> None:
    path = stored(tmp_path / "a.gridjig")
    change(file)
    assert not file.open(path)
    assert answers.asked == ["closing bracket"]
    answers.close = "discard"
    assert file.open(path)


def test_saving_from_the_question_saves(file: OpenFile, answers: Answers, tmp_path: Path) -> None:
    answers.close = "save"
    answers.path = str(tmp_path / "mine.gridjig")
    change(file)
    assert file.new(a_job("next"))
    assert load_job(tmp_path / "mine.gridjig").notes == "mind the seam"
    assert file.document.job.name == "next"
    assert file.path is None


@pytest.mark.expectation(44)
def test_nothing_is_asked_when_nothing_changed(file: OpenFile, answers: Answers) -> None:
    assert file.new(a_job("next"))
    assert answers.asked == []


@pytest.mark.expectation(49)
def test_opened_and_saved_files_are_remembered(
    file: OpenFile, answers: Answers, tmp_path: Path
) -> None:
    file.open(stored(tmp_path / "a.gridjig"))
    answers.path = str(tmp_path / "b.gridjig")
    file.save_as()
    assert [p.name for p in recent.load()] == ["b.gridjig", "a.gridjig"]


@pytest.mark.expectation(51)
def test_the_folder_is_remembered(file: OpenFile, answers: Answers, tmp_path: Path) -> None:
    told: list[str] = []
    file.foldered.connect(told.append)
    file.open(stored(tmp_path / "a.gridjig"))
    assert file.folder == str(tmp_path)
    assert told == [str(tmp_path)]
    file.ask_open()
    assert answers.asked == [f"open {tmp_path}"]


# -- locks -----------------------------------------------------------------------------------------


def test_a_file_is_ours_while_it_is_open(file: OpenFile, tmp_path: Path) -> None:
    path = stored(tmp_path / "a.gridjig")
    file.open(path)
    assert lock.current_holder(path) is not None
    file.new(a_job())
    assert lock.current_holder(path) is None


@pytest.mark.expectation(45)
def test_a_file_in_use_opens_for_reading_with_who_and_since_when(
    qtbot: QtBot, file: OpenFile, answers: Answers, tmp_path: Path
) -> None:
    path = stored(tmp_path / "a.gridjig")
    other = OpenFile(a_job(), Answers(), 0.0)
    other.open(path)
    assert file.open(path)
    assert "since" in file.read_only
    assert "since" in answers.asked[0]
    change(file)
    answers.path = ""
    assert not file.save()  # only under another name
    assert answers.asked[-1].startswith("save ")
    file.take_over()
    assert answers.asked[-1].startswith("take over a.gridjig")
    assert file.read_only
    answers.over = True
    file.take_over()
    assert not file.read_only
    assert file.save()
    change_of_theirs = set_notes(other.document.job, "theirs")
    other.document.do(change_of_theirs, "Write notes")
    assert not other.save()
    assert load_job(path).notes == "mind the seam"
    other.close()


def test_the_same_file_can_be_opened_again_to_go_back_to_what_was_saved(
    file: OpenFile, answers: Answers, tmp_path: Path
) -> None:
    path = stored(tmp_path / "a.gridjig")
    file.open(path)
    change(file)
    answers.close = "discard"
    assert file.open(path)
    assert answers.asked == ["closing a.gridjig"]
    assert file.document.job.notes == ""
    assert not file.read_only
    change(file)
    assert file.save()


def test_a_file_that_cannot_be_read_is_not_left_locked(
    file: OpenFile, answers: Answers, tmp_path: Path
) -> None:
    path = tmp_path / "a.gridjig"
    path.write_bytes(b"{")
    assert not file.open(path)
    assert lock.current_holder(path) is None
    assert not file.open(tmp_path / "none.gridjig")
    assert "no such file" in answers.asked[-1]
    assert not list(tmp_path.glob(".none*"))


def test_a_file_in_use_can_be_left_or_taken_at_once(
    qtbot: QtBot, file: OpenFile, answers: Answers, tmp_path: Path
) -> None:
    path = stored(tmp_path / "a.gridjig")
    other = OpenFile(a_job(), Answers(), 0.0)
    other.open(path)
    answers.lock = "cancel"
    assert not file.open(path)
    assert file.path is None
    answers.lock = "take"
    assert file.open(path)
    assert not file.read_only
    other.close()


def test_saving_over_a_file_in_use_is_refused(
    qtbot: QtBot, file: OpenFile, answers: Answers, tmp_path: Path
) -> None:
    path = stored(tmp_path / "a.gridjig")
    other = OpenFile(a_job(), Answers(), 0.0)
    other.open(path)
    answers.path = str(path)
    assert not file.save_as()
    assert "not saved a.gridjig" in answers.asked[-1]
    other.close()


@pytest.mark.expectation(45)
def test_the_one_whose_file_was_taken_over_hears_of_it_while_working(
    qtbot: QtBot, file: OpenFile, answers: Answers, tmp_path: Path
) -> None:
    path = stored(tmp_path / "a.gridjig")
    file.open(path)
    change(file)
    told: list[str] = []
    file.message.connect(told.append)
    with qtbot.waitSignal(file._look.ended):
        file.look()
    assert not file.read_only  # nobody has
    other = OpenFile(a_job(), Answers(), 0.0)
    other._asks.lock = "take"  # type: ignore[attr-defined]
    assert other.open(path)
    with qtbot.waitSignal(file.changed):
        file.look()
    assert file.read_only.startswith("a.gridjig was taken over: ")
    assert "since" in file.read_only
    assert told == [f"{file.read_only} Save your changes under another name."]
    assert file.document.job.notes == "mind the seam"
    answers.path = str(tmp_path / "mine.gridjig")
    assert file.save()  # asks for another name
    assert answers.asked[-1] == "save bracket.gridjig"
    assert load_job(tmp_path / "mine.gridjig").notes == "mind the seam"
    assert not file.read_only
    assert lock.current_holder(path) is not None  # theirs
    other.close()


def test_the_look_comes_by_itself_and_stops_with_the_file(
    qtbot: QtBot, file: OpenFile, tmp_path: Path
) -> None:
    assert file._looking.isActive()
    assert 1000 <= file._looking.interval() <= 10_000
    file.open(stored(tmp_path / "a.gridjig"))
    file._looking.setInterval(10)
    with qtbot.waitSignal(file._look.ended):
        pass
    file.close()
    assert not file._looking.isActive()


# -- copies ----------------------------------------------------------------------------------------


def orphan(monkeypatch: pytest.MonkeyPatch) -> autosave.AutosavedCopy:
    monkeypatch.setattr("gridjig.files.storage.processes.is_running", lambda pid, birth: False)
    (copy,) = autosave.recoverable()
    return copy


@pytest.mark.expectation(41, 42)
def test_a_copy_is_kept_and_can_be_opened_without_touching_the_file(
    qtbot: QtBot, file: OpenFile, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = stored(tmp_path / "a.gridjig")
    before = path.read_bytes()
    file.open(path)
    change(file)
    copied(file)
    copy = orphan(monkeypatch)
    assert (copy.name, copy.original) == ("bracket", path)
    later = OpenFile(a_job("other"), Answers(), 0.0)
    assert later.open_copy(copy)
    assert later.document.job.notes == "mind the seam"
    assert later.modified
    assert path.read_bytes() == before
    later.close()


def test_a_recovered_copy_asks_before_it_replaces_what_others_saved(
    qtbot: QtBot, file: OpenFile, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = stored(tmp_path / "a.gridjig")
    file.open(path)
    change(file)
    copied(file)
    copy = orphan(monkeypatch)
    stored(path, a_job("theirs"))
    asks = Answers()
    later = OpenFile(a_job("other"), asks, 0.0)
    assert later.open_copy(copy)
    assert later.path == path
    assert not later.save()
    assert asks.asked == ["overwrite a.gridjig changed"]
    assert load_job(path).name == "theirs"
    later.close()


def test_saving_and_closing_remove_the_copy(
    file: OpenFile, answers: Answers, tmp_path: Path
) -> None:
    change(file)
    copied(file)
    assert list(autosave_dir().glob("*.gridjig"))
    answers.path = str(tmp_path / "a.gridjig")
    file.save()
    assert not list(autosave_dir().glob("*.gridjig"))


KILLED = """
import os, sys, time
from pathlib import Path
from PySide6.QtCore import QCoreApplication, QTimer
from gridjig.edits.details import set_notes
from gridjig.files.storage.locations import autosave_dir
from gridjig.qt.window.open_file import OpenFile
from tests.qt.windows import Answers
from tests.qt.window.test_open_file import a_job
app = QCoreApplication([])
file = OpenFile(a_job(), Answers(), 15.0)
file.open(Path(sys.argv[1]))
def work(words):
    file.document.do(set_notes(file.document.job, words), "Write notes")
def look():
    kept = [copy.read_bytes() for copy in autosave_dir().glob("*.gridjig")]
    if any(b"second" in data for data in kept) or time.monotonic() > began + 14:
        os.kill(os.getpid(), 9)
began = time.monotonic()
QTimer.singleShot(0, lambda: work("first"))
QTimer.singleShot(300, lambda: work("second"))
looking = QTimer()
looking.timeout.connect(look)
looking.start(20)
app.exec()
"""


@pytest.mark.expectation(41, 42)
def test_a_kill_right_after_opening_loses_nothing(tmp_path: Path) -> None:
    path = stored(tmp_path / "a.gridjig")
    before = path.read_bytes()
    ended = subprocess.run([sys.executable, "-c", KILLED, str(path)], cwd=ROOT, check=False)
    assert ended.returncode == (-9 if os.name == "posix" else 9)
    (copy,) = autosave.recoverable()
    assert copy.original == path
    assert load_job(copy.path).notes == "second"
    assert path.read_bytes() == before


def test_a_change_is_copied_without_anybody_asking(qtbot: QtBot, file: OpenFile) -> None:
    change(file)
    qtbot.waitUntil(lambda: bool(list(autosave_dir().glob("*.gridjig"))), timeout=10_000)
    (copy,) = autosave_dir().glob("*.gridjig")
    assert load_job(copy).notes == "mind the seam"
    file.document.undo()
    qtbot.waitUntil(lambda: not list(autosave_dir().glob("*.gridjig")), timeout=10_000)


@pytest.mark.expectation(99)
def test_the_copy_is_made_and_written_beside_the_window(
    qtbot: QtBot, file: OpenFile, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Neither making the bytes nor the disk holds up an edit; a change meanwhile is copied too."""
    where: list[int] = []
    go = threading.Event()

    def slow(job: Job) -> bytes:
        where.append(threading.get_ident())
        assert go.wait(10)
        return write_job(job)

    monkeypatch.setattr(autosave, "write_job", slow)
    change(file)
    file.copies.tick()
    assert file.copies.busy
    change(file, "changed while it is written")
    file.copies.tick()
    go.set()
    qtbot.waitUntil(lambda: len(where) == 2 and not file.copies.busy, timeout=10_000)
    assert threading.get_ident() not in where
    (copy,) = autosave_dir().glob("*.gridjig")
    assert load_job(copy).notes == "changed while it is written"


def test_a_copy_that_cannot_be_kept_is_said_once(file: OpenFile, own_state: Path) -> None:
    told: list[str] = []
    file.message.connect(told.append)
    (own_state / "autosave").write_text("in the way")
    change(file)
    copied(file)
    change(file, "more")
    copied(file)
    assert len(told) == 1
    assert "Save often" in told[0]


def test_a_sample_opens_as_a_job_without_a_file(
    file: OpenFile, answers: Answers, tmp_path: Path
) -> None:
    path = stored(tmp_path / "sample.gridjig", a_job("sample"))
    assert file.open_sample(path)
    assert file.path is None
    assert file.document.job.name == "sample"
    assert not file.modified
    assert not file.open_sample(tmp_path / "none.gridjig")
    assert "sample cannot be opened" in answers.asked[-1]
