"""A gable jigged in a window from an empty table with mouse and keys only, every action counted."""

from pathlib import Path

from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from gridjig.edits.starters import STARTERS, starter
from gridjig.files.library.assets import rack_for, ready_tables
from gridjig.model import Job
from gridjig.proof.report import prove
from gridjig.qt.forms.starter.starter_form import StarterForm
from gridjig.solve.placed.cache import PlacedPieces
from tests.qt.hands import CTRL, LEFT, Hands
from tests.qt.windows import make_window, told

SHIFT = Qt.KeyboardModifier.ShiftModifier


class Counting(Hands):
    """Hands that count: a key, a click, a text typed with its Enter."""

    actions = 1  # the table on the start page

    def key(self, key: Qt.Key, held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        self.actions += 1
        super().key(key, held)

    def write(self, text: str) -> None:
        before = self.actions
        super().write(text)
        self.actions = before + 1

    def click(self, address: str) -> None:
        self.actions += 1
        super().click(address)

    def gable(self, span: str, corner: str) -> None:
        """The form of standard weldments: its key, the shape, two fields and Enter."""

        def fill() -> None:
            form = QApplication.activeModalWidget()
            assert isinstance(form, StarterForm)
            form.kinds.setCurrentRow(STARTERS.index(starter("gable")))
            for edit, text in ((form.fields.sizes["span"].edit, span), (form.corner.edit, corner)):
                typed_over(edit, text)
            QTest.keyClick(form.corner.edit, Qt.Key.Key_Return)

        QTimer.singleShot(0, fill)  # once the form has the events
        QTest.keyClick(self.window.focusWidget(), Qt.Key.Key_N, CTRL | SHIFT)
        before = self.actions
        self.come_back()
        self.actions = before + 5

    def take(self, words: str, *holes: str) -> None:
        self.key(Qt.Key.Key_P)
        for letter in words:
            QTest.keyClicks(self.window.focusWidget(), letter)
        self.key(Qt.Key.Key_Return)
        for hole in holes:
            count = len(self.window.document.job.placements)
            self.click(hole)
            assert len(self.window.document.job.placements) == count + 1, told(self.window)
        self.key(Qt.Key.Key_Escape)

    def select(self, *holes: str) -> None:
        canvas = self.window.workspace.canvas
        for k, hole in enumerate(holes):
            QTest.mouseMove(canvas, self.spot(hole))
            held = SHIFT if k else Qt.KeyboardModifier.NoModifier
            QTest.mouseClick(canvas, LEFT, held, self.spot(hole))
        self.actions += len(holes)


def typed_over(edit: QLineEdit, text: str) -> None:
    edit.setFocus()
    edit.selectAll()
    QTest.keyClicks(edit, text)


def test_a_gable_is_located_and_clamped_in_seventy_actions(qtbot: QtBot, tmp_path: Path) -> None:
    table = ready_tables()["48x48-5/8"]
    window = make_window(qtbot, Job(name="Gable", table=table, rack=rack_for(table)))
    hands = Counting(qtbot, window, tmp_path)
    hands.gable("40", "5.5, 11.5")
    assert [part.name for part in window.document.job.parts][:1] == ["Tie"]
    hands.take("Fixed stop, two", "G6", "S6", "C6")
    hands.take('1" body', "G10", "I11", "R11", "P12")
    hands.take("Down-clamp, low", "F10", "U9", "M5", "O9")
    hands.select("G10", "I11", "R11", "P12")
    window.port.do("piece.gap")  # a line of the menu
    hands.actions += 2
    job = window.document.job
    report = prove(job, PlacedPieces().of(job))
    assert report.located is not None
    assert report.held is not None
    assert len(report.located.parts) == 4
    assert "loose" not in {one.located for one in report.located.parts}
    assert {one.by for one in report.held.parts} <= {"shape", "friction", "clamps"}
    look = {one.id.partition("/")[0] for one in report.findings if one.level == "look"}
    assert look == {"sharp"}  # the rafters meet the tie at 30 degrees
    assert not [one for one in report.findings if one.level == "stop"]
    assert 20 < hands.actions <= 70
