"""Questions, settings, new jobs, recovery, and the program's start."""

import logging
import threading
from datetime import UTC, datetime
from pathlib import Path

import pytest
from msgspec import structs
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QDialog, QLabel, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from gridjig.edits.details import set_notes
from gridjig.files.jobs import autosave
from gridjig.files.jobs.autosave import AutosavedCopy
from gridjig.files.jobs.job_file import write_job
from gridjig.files.library import user_library
from gridjig.files.library.assets import rack_for, ready_tables, starter_racks
from gridjig.files.library.default_job import default_job, display_for
from gridjig.files.storage.settings import Settings, read_settings
from gridjig.model import Display
from gridjig.qt.dialogs.help import TOPICS, HelpPane, topic_text
from gridjig.qt.dialogs.questions import AnswerButton, QuestionDialog, Questions, with_suffix
from gridjig.qt.dialogs.recover import RecoverForm, copy_words
from gridjig.qt.forms.job.new_job import NewJobForm
from gridjig.qt.forms.settings_form import SettingsForm
from gridjig.qt.startup.app import ExceptionHook, begin, start_log
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.style.metrics import CARD_WIDTH_MM, Metrics
from gridjig.qt.style.theme import THEMES
from gridjig.qt.window.open_file import OpenFile
from gridjig.units.limits import LimitError
from tests.qt.windows import Answers, copied, make_window, told
from tests.workshop import EMPTY, laid, pin

# -- questions -------------------------------------------------------------------------------------


class Clicking(Questions):
    """Presses a button by its verb as soon as a question stands, and keeps its words."""

    def __init__(self, verb: str) -> None:
        self.verb = verb
        self.words: list[str] = []

    def _ask(self, title: str, body: str, *choices: AnswerButton) -> str:
        question = QuestionDialog(title, body, choices)
        self.words += [title, body, *(b.text() for b in question.buttons.values())]
        button = next(b for b in question.buttons.values() if b.text() == self.verb)
        button.click()
        question.deleteLater()
        return question.answer


@pytest.mark.expectation(43, 90)
@pytest.mark.parametrize(
    ("verb", "answer"), [("Save", "save"), ("Don't save", "discard"), ("Cancel", "cancel")]
)
def test_closing_asks_with_verbs_and_the_file_named(qtbot: QtBot, verb: str, answer: str) -> None:
    asks = Clicking(verb)
    assert asks.closing("gate.gridjig") == answer
    assert "gate.gridjig" in asks.words[0]
    assert not {"Yes", "No", "OK"} & set(asks.words)


@pytest.mark.expectation(43)
def test_the_losing_button_stands_apart_and_is_never_the_default(qtbot: QtBot) -> None:
    question = QuestionDialog(
        "t",
        "b",
        [
            AnswerButton("save", "Save"),
            AnswerButton("lose", "Don't save", True),
            AnswerButton("c", "Cancel"),
        ],
    )
    qtbot.addWidget(question)
    question.show()
    save, lose, cancel = (question.buttons[k] for k in ("save", "lose", "c"))
    assert save.isDefault()
    assert not lose.isDefault()
    assert save.x() - (lose.x() + lose.width()) > 20
    assert cancel.x() > save.x()
    QTest.keyClick(question, Qt.Key.Key_Escape)
    assert question.answer == "c"


def test_every_question_can_be_answered(qtbot: QtBot) -> None:
    assert Clicking("Open read-only").locked("a", "why") == "read"
    assert Clicking("Take over").take_over("a", "why")
    assert not Clicking("Keep it read-only").take_over("a", "why")
    assert Clicking("Replace it").overwrite("a", gone=False) == "overwrite"
    assert Clicking("Save it there").overwrite("a", gone=True) == "overwrite"
    assert Clicking("Save under another name").overwrite("a", gone=True) == "save_as"
    assert Clicking("Save under another name").save_problem("a", "why")
    assert not Clicking("Leave it open").save_problem("a", "why")
    Clicking("Close").problem("t", "b")


def test_a_name_without_an_ending_gets_one() -> None:
    assert with_suffix("/x/gate", ".gridjig") == Path("/x/gate.gridjig")
    assert with_suffix("/x/gate.v2", ".gridjig") == Path("/x/gate.v2")


# -- recovery --------------------------------------------------------------------------------------


def a_copy(name: str, original: Path | None = None) -> AutosavedCopy:
    return AutosavedCopy(
        Path("a"), Path("b"), original, datetime(2031, 3, 4, 8, 12, 30, tzinfo=UTC), name, ""
    )


@pytest.mark.expectation(41)
def test_a_copy_is_offered_with_time_and_name(qtbot: QtBot) -> None:
    assert copy_words(a_copy("gate", Path("/jobs/gate.gridjig"))) == (
        "Autosaved Tuesday 04 March, 08:12:30, from /jobs/gate.gridjig."
    )
    form = RecoverForm([a_copy("gate"), a_copy("frame")])
    qtbot.addWidget(form)
    texts = " ".join(label.text() for label in form.findChildren(QLabel))
    assert "gate" in texts
    assert "never saved" in texts
    form.throwing[1].click()
    form.opening[0].click()
    assert form.chosen is not None
    assert form.chosen.name == "gate"
    assert [c.name for c in form.thrown_away] == ["frame"]


def test_it_closes_once_the_last_copy_is_discarded(qtbot: QtBot) -> None:
    form = RecoverForm([a_copy("gate"), a_copy("frame")])
    qtbot.addWidget(form)
    form.show()
    form.throwing[0].click()
    assert form.isVisible()
    form.throwing[1].click()
    assert not form.isVisible()
    assert form.chosen is None
    assert [c.name for c in form.thrown_away] == ["gate", "frame"]


@pytest.mark.expectation(41, 42)
def test_the_next_start_offers_what_a_crash_left(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    crashed = OpenFile(EMPTY, Answers(), 0.0)
    crashed.document.do(set_notes(crashed.document.job, "half done"), "Write notes")
    copied(crashed)
    monkeypatch.setattr("gridjig.files.storage.processes.is_running", lambda pid, birth: False)
    assert autosave.recoverable()
    window = make_window(qtbot, EMPTY)
    begin(window, None)
    assert window.document.job.notes == "half done"
    assert window.isWindowModified()
    crashed._looking.stop()


# -- settings --------------------------------------------------------------------------------------


def corner(widget: QWidget) -> QColor:
    return widget.grab().toImage().pixelColor(1, 1)


def test_each_setting_is_in_force_and_kept_at_once(qtbot: QtBot) -> None:
    window = make_window(qtbot, laid(pin("a", 2, 2)))
    form = SettingsForm(window.settings, window.appearance, window.use_settings, window)
    qtbot.addWidget(form)
    for box, row in (
        (form.unit, 5),
        (form.theme, 1),
        (form.text, 2),
        (form.wheel, 1),
        (form.autosave, 0),
    ):
        box.setCurrentIndex(row)
        box.activated.emit(row)
    form.glove.click()
    form.letters.click()
    assert corner(form.gauge) == THEMES["dark"].colour("paper")
    form.slider.setValue(428)
    kept = read_settings()
    assert kept == window.settings
    assert (kept.unit, kept.theme, kept.text_percent) == ("millimetres", "dark", 150)
    assert (kept.wheel, kept.autosave_s, kept.glove, kept.letters) == ("pan", 5, True, False)
    assert kept.px_per_mm == pytest.approx(428 / 85.6)
    assert window.appearance.metrics.px_per_mm == pytest.approx(5.0)
    assert window.appearance.metrics.glove
    form.usual.click()
    assert read_settings().px_per_mm == 0.0


@pytest.mark.expectation(4)
def test_the_wheel_can_be_swapped(qtbot: QtBot) -> None:
    window = make_window(qtbot, laid(pin("a", 2, 2)), Settings(wheel="pan"))
    assert not window.workspace.canvas._gestures.wheel_zooms
    window.change_settings(wheel="zoom")
    assert window.workspace.canvas._gestures.wheel_zooms


@pytest.mark.source("memory", "ISO/IEC 7810: a card is 85.60 mm wide")
def test_the_card_is_as_wide_as_a_card(qtbot: QtBot) -> None:
    assert CARD_WIDTH_MM == 85.6
    form = SettingsForm(Settings(), Appearance(THEMES["light"], Metrics(5.0)), lambda s: None)
    qtbot.addWidget(form)
    form.show()
    assert form.gauge.width() >= 428
    form.gauge.grab()


@pytest.mark.expectation(71)
def test_what_is_pressed_in_the_settings_suits_a_finger(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    form = SettingsForm(window.settings, window.appearance, window.use_settings, window)
    qtbot.addWidget(form)
    form.show()
    target = window.appearance.metrics.target
    pressed = [
        *(form.unit, form.spelling, form.theme, form.text, form.wheel, form.autosave),
        *(form.glove, form.letters, form.slider, form.usual),
    ]
    assert [w.height() for w in pressed if w.height() < target] == []


# -- new job, start --------------------------------------------------------------------------------


def new_form(qtbot: QtBot) -> NewJobForm:
    form = NewJobForm(ready_tables(), starter_racks(), rack_for, Display())
    qtbot.addWidget(form)
    return form


def test_every_ready_table_starts_a_job_with_a_fitting_rack(qtbot: QtBot) -> None:
    form = new_form(qtbot)
    for row, table in enumerate(ready_tables().values()):
        form.table.setCurrentIndex(row)
        job = form.job()
        assert job.table == table
        assert job.rack == rack_for(table)
        metric = table.pitch_x % 25.4 != 0
        assert (job.display.unit == "millimetres") == metric
    form.rack.setCurrentIndex((form.rack.currentIndex() + 1) % form.rack.count())
    assert "other holes" in form.about.text()


def test_own_tables_and_racks_are_forgotten_where_a_job_chooses_them(qtbot: QtBot) -> None:
    table = structs.replace(next(iter(ready_tables().values())), name="my table")
    rack = structs.replace(next(iter(starter_racks().values())), name="my rack")
    user_library.keep_table(table)
    user_library.keep_rack(rack)
    form = NewJobForm(
        user_library.offered_tables(), user_library.offered_racks(), rack_for, Display()
    )
    qtbot.addWidget(form)
    asked = Answers()
    asked.forgets = True
    form.questions = asked  # type: ignore[assignment]
    assert form.forget_table.isHidden()
    assert form.forget_rack.isHidden()
    form.table.setCurrentText("my table")
    form.rack.setCurrentText("my rack")
    form.forget_rack.click()
    assert user_library.load().racks == ()
    assert user_library.load().tables == (table,)
    form.forget_table.click()
    assert user_library.load().tables == ()
    assert asked.asked == ["forget rack my rack", "forget table my table"]
    assert form.table.findText("my table") == form.rack.findText("my rack") == -1
    assert form.forget_table.isHidden()
    assert form.forget_rack.isHidden()
    assert form.job().table in ready_tables().values()
    assert form.job().rack in starter_racks().values()


def test_a_job_without_a_name_is_not_started(qtbot: QtBot) -> None:
    form = new_form(qtbot)
    form.show()
    form.name.edit.clear()
    QTest.keyClicks(form.name.edit, " ")
    start = next(b for b in form.findChildren(QPushButton) if b.text() == "Start the job")
    start.click()
    assert form.result() != QDialog.DialogCode.Accepted
    assert form.name.has_complaint()
    QTest.keyClicks(form.name.edit, "gate")
    start.click()
    assert form.result() == QDialog.DialogCode.Accepted


@pytest.mark.expectation(32)
def test_enter_on_its_name_starts_the_job(qtbot: QtBot) -> None:
    form = new_form(qtbot)
    form.show()
    form.name.edit.selectAll()
    QTest.keyClicks(form.name.edit, " ")
    QTest.keyClick(form.name.edit, Qt.Key.Key_Return)
    assert form.result() != QDialog.DialogCode.Accepted
    QTest.keyClicks(form.name.edit, "gate")
    QTest.keyClick(form.name.edit, Qt.Key.Key_Return)
    assert form.result() == QDialog.DialogCode.Accepted
    assert form.job().name == "gate"


def test_the_unit_of_a_new_job_follows_its_table() -> None:
    inch = next(t for t in ready_tables().values() if t.pitch_x == 50.8)
    metric = next(t for t in ready_tables().values() if t.pitch_x == 100)
    assert display_for(inch, Display(unit="millimetres")).unit == "inch fractions"
    assert display_for(inch, Display(unit="inch decimals")).unit == "inch decimals"
    assert display_for(metric, Display()).unit == "millimetres"
    assert default_job(Settings(unit="millimetres")).table.pitch_x % 25.4 != 0


@pytest.mark.expectation(52, 95)
def test_a_start_shows_the_ways_on_and_a_named_file_opens(qtbot: QtBot, tmp_path: Path) -> None:
    window = make_window(qtbot, EMPTY)
    begin(window, None)
    assert window.start_pages.page is not None
    path = tmp_path / "gate.gridjig"
    path.write_bytes(write_job(laid(pin("a", 2, 2))))
    begin(window, path)
    assert window.file.path == path
    begin(window, None)
    assert window.file.path == path


# -- when something breaks -------------------------------------------------------------------------


def test_an_exception_is_logged_and_said_and_the_work_stays(
    qtbot: QtBot, caplog: pytest.LogCaptureFixture
) -> None:
    window = make_window(qtbot, laid(pin("a", 2, 2)))
    catcher = ExceptionHook(logged=True)
    catcher.window = window
    try:
        raise LookupError("odd")
    except LookupError as fault:
        catcher(LookupError, fault, fault.__traceback__)
        catcher.thread(threading.ExceptHookArgs((LookupError, fault, None, None)))
    assert "odd" in caplog.text
    qtbot.waitUntil(lambda: "Something failed" in told(window))
    assert window.document.job.placements


def test_what_is_asked_for_beyond_its_limits_is_told_and_is_no_fault(
    qtbot: QtBot, caplog: pytest.LogCaptureFixture
) -> None:
    window = make_window(qtbot, laid(pin("a", 2, 2)))
    catcher = ExceptionHook(logged=True)
    catcher.window = window
    catcher(LimitError, LimitError("the length is 200 m; it must be up to 100 m"), None)
    qtbot.waitUntil(
        lambda: (
            window.entry.said.words()
            == "The length is 200 m; it must be up to 100 m. The job is unchanged."
        )
    )
    assert not [one for one in caplog.records if one.levelname == "ERROR"]


def test_an_interrupt_ends_the_program(capsys: pytest.CaptureFixture[str]) -> None:
    ExceptionHook(logged=False)(KeyboardInterrupt, KeyboardInterrupt(), None)
    assert "KeyboardInterrupt" in capsys.readouterr().err


def test_the_log_lies_in_the_state_folder(tmp_path: Path) -> None:
    root = logging.getLogger()
    level = root.level
    logged = start_log(tmp_path / "state")
    assert logged is not None
    logging.getLogger("test").warning("a line")
    logged.close()
    root.setLevel(level)
    assert "a line" in logged.path.read_text(encoding="utf-8")
    assert logged.path.parent == tmp_path / "state"
    (tmp_path / "file").write_text("in the way")
    assert start_log(tmp_path / "file" / "state") is None


# -- help ------------------------------------------------------------------------------------------


@pytest.mark.expectation(97)
def test_every_topic_is_there_and_every_link_leads_to_one(qtbot: QtBot) -> None:
    import re

    from PySide6.QtCore import QUrl

    pane = HelpPane()
    qtbot.addWidget(pane)
    for topic in TOPICS:
        for target in re.findall(r"\(topic:([a-z]+)\)", topic_text(topic)):
            pane.anchorClicked.emit(QUrl(f"topic:{target}"))
            assert pane.topic == target
    with pytest.raises(KeyError):
        topic_text("../settings")
    pane.anchorClicked.emit(QUrl("topic:nowhere"))
    assert pane.topic in TOPICS


def test_no_heading_of_a_topic_is_larger_than_its_title(qtbot: QtBot) -> None:
    pane = HelpPane()
    qtbot.addWidget(pane)
    for topic in TOPICS:
        pane.show_topic(topic)
        block, levels = pane.document().begin(), []
        while block.isValid():
            levels.append(block.blockFormat().headingLevel())
            block = block.next()
        assert levels[0] == 3, topic
        assert all(level > 3 for level in levels[1:] if level), topic


@pytest.mark.expectation(86, 87)
def test_help_keeps_to_the_rules_of_wording() -> None:
    import re

    banned = re.compile(r"\b(invalid|illegal|fatal|failed to|please|e\.g\.|i\.e\.)\b|!", re.I)
    for topic in TOPICS:
        assert not banned.search(topic_text(topic)), topic


def test_cautions_name_the_dangers() -> None:
    text = topic_text("safety").lower()
    for word in (
        "arc rays",
        "fume",
        "fire",
        "pinch",
        "falling",
        "lifting",
        "work lead",
        "planning",
    ):
        assert word in text
