"""With large letters on a small screen a form keeps its words whole, its buttons in reach."""

from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest
from msgspec import structs
from PySide6.QtCore import QRect, Qt
from PySide6.QtWidgets import (
    QApplication,
    QLabel,
    QPushButton,
    QScrollArea,
    QTabWidget,
    QWidget,
)
from pytestqt.qtbot import QtBot

from gridjig.files.jobs.autosave import AutosavedCopy
from gridjig.files.jobs.job_file import load_job
from gridjig.files.library import user_library
from gridjig.files.library.assets import rack_for, samples, starter_racks
from gridjig.files.storage.settings import Settings
from gridjig.model import Display, Section
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.dialogs.questions import AnswerButton, QuestionDialog
from gridjig.qt.dialogs.recover import RecoverForm
from gridjig.qt.forms.drawing.drawing_files import bring_in
from gridjig.qt.forms.job.new_job import NewJobForm
from gridjig.qt.forms.piece.piece_drawing import PieceDrawingForm
from gridjig.qt.forms.rack.rack_form import RackForm
from gridjig.qt.forms.rack.rack_import import ImportForm
from gridjig.qt.window.window import Window
from tests.qt.windows import FORMS, opened

SAMPLE = load_job(next(iter(samples().values())))
DRAWING = Path(__file__).parents[2] / "files" / "drawings" / "dxf"
SCREEN = QRect(0, 0, 1280, 800)


class Screen:
    def availableGeometry(self) -> QRect:
        return SCREEN


def question(window: Window) -> None:
    choices = (AnswerButton("read", "Open read-only"), AnswerButton("take", "Take over", True))
    body = "gate.gridjig opens read-only: Robin on bench has it open since 10:21. " * 2
    QuestionDialog("“gate 2 of 3.gridjig” is open elsewhere", body, choices, window).open()


def new_job(window: Window) -> None:
    user_library.keep_rack(structs.replace(SAMPLE.rack, name="a rack of our own"))
    form = NewJobForm(
        user_library.offered_tables(), user_library.offered_racks(), rack_for, Display(), window
    )
    form.rack.setCurrentText("a rack of our own")
    form.open()


def import_rack(window: Window) -> None:
    other = list(starter_racks().values())[-1]
    ImportForm(SAMPLE, other, "other.gridrack", window).open()


def piece(window: Window) -> None:
    window.port.do("rack.form")
    form = next(w for w in QApplication.topLevelWidgets() if isinstance(w, RackForm))
    form.change_piece()


def drawing(window: Window) -> None:
    bring_in(window, window.document, window.appearance, next(iter(sorted(DRAWING.rglob("*.dxf")))))


def piece_drawing(window: Window) -> None:
    path = next(iter(sorted(DRAWING.rglob("*.dxf"))))
    PieceDrawingForm(window, window.document.job, window.appearance, path).open()


def recover(window: Window) -> None:
    when = datetime(2024, 3, 20, 14, 5, 6)
    file = Path("/home/somebody/jobs of this year/gate, left hand leaf.gridjig")
    copy = AutosavedCopy(file, file, file, when, "gate, left hand leaf with the lock", "")
    RecoverForm([copy, copy], window).open()


def cut_plate(window: Window) -> None:
    part = next(part.id for part in window.document.job.parts)
    window.document.select([part])
    window.port.do("angle.part_plate")


OPENS: dict[str, Callable[[Window], None]] = {
    **{name: (lambda w, name=name: w.port.do(name)) for name in FORMS},  # type: ignore[misc]
    "settings": lambda w: w.port.do("settings"),
    "keys": lambda w: w.port.do("help.keys"),
    "question": question,
    "new": new_job,
    "import": import_rack,
    "piece": piece,
    "drawing": drawing,
    "piece drawing": piece_drawing,
    "recover": recover,
    "cut plate": cut_plate,
}


def shown(form: QWidget, kind: type) -> Iterator[QWidget]:
    found: list[QWidget] = form.findChildren(kind)
    return (one for one in found if one.isVisible() and one.width() > 0)


def complaints(form: QWidget) -> list[str]:
    """What is cut off or out of reach in a form."""
    told = []
    for label in shown(form, QLabel):
        assert isinstance(label, QLabel)
        if label.wordWrap() and label.text() and not scrolls(label):
            wanted = label.heightForWidth(label.width())
            if wanted > label.height() + 1:
                told.append(f"cut: {label.text()}")
    for button in shown(form, QPushButton):
        assert isinstance(button, QPushButton)
        words = button.fontMetrics().horizontalAdvance(button.text().replace("&", ""))
        if words > button.width():
            told.append(f"narrow: {button.text()}")
        at = button.mapTo(form, button.rect().bottomRight())
        if not form.rect().contains(at) and not scrolls(button):
            told.append(f"out of reach: {button.text()}")
    for area in shown(form, QScrollArea):
        assert isinstance(area, QScrollArea)
        if area.horizontalScrollBar().maximum() > 0:
            told.append(f"wider than its room by {area.horizontalScrollBar().maximum()}")
    return told


def scrolls(widget: QWidget) -> bool:
    over = widget.parentWidget()
    while over is not None:
        if isinstance(over, QScrollArea):
            return True
        over = over.parentWidget()
    return False


@pytest.mark.expectation(84)
@pytest.mark.parametrize("percent", [100, 150, 200])
@pytest.mark.parametrize("name", list(OPENS))
def test_a_form_is_whole_on_a_screen_of_1280_by_800(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, name: str, percent: int
) -> None:
    user_library.keep_section(
        Section(name="45x45x2", kind="square tube", width=45, height=45, wall=2)
    )
    monkeypatch.setattr(FormDialog, "screen", lambda _: Screen())
    with opened(qtbot, SAMPLE, Settings(text_percent=percent)) as window:
        OPENS[name](window)
        forms = [
            w for w in QApplication.topLevelWidgets() if isinstance(w, FormDialog) and w.isVisible()
        ]
        form = QApplication.activeModalWidget() or forms[-1]
        qtbot.waitUntil(lambda: complaints(form) == [])  # once it is laid out
        least = form.minimumSizeHint()
        assert (least.width(), least.height()) <= (1280, 760), name
        assert least.height() <= 760
        assert form.width() <= 1280
        assert form.height() <= 760
        assert complaints(form) == []
        for tabs in form.findChildren(QTabWidget):
            for page in range(tabs.count()):
                tabs.setCurrentIndex(page)
                qtbot.waitUntil(lambda: complaints(form) == [])
        for one in forms:
            one.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
            one.done(0)
            one.deleteLater()
