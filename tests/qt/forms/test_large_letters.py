"""With large letters on a small screen a form keeps its words whole, its buttons in reach.

With gloves and without, in inches and millimetres, and with names as long as people give them.
"""

from collections import Counter
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest
from msgspec import structs
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtWidgets import QApplication, QDialog, QTabWidget
from pytestqt.qtbot import QtBot

from gridjig.cutplates.asked import PlateOf
from gridjig.files.jobs.autosave import AutosavedCopy
from gridjig.files.jobs.job_file import load_job
from gridjig.files.library import user_library
from gridjig.files.library.assets import rack_for, samples, starter_racks
from gridjig.model import Display, Section
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.dialogs.questions import AnswerButton, QuestionDialog
from gridjig.qt.dialogs.recover import RecoverForm
from gridjig.qt.forms.drawing.drawing_files import bring_in
from gridjig.qt.forms.job.new_job import NewJobForm
from gridjig.qt.forms.piece.piece_drawing import PieceDrawingForm
from gridjig.qt.forms.rack.rack_form import RackForm
from gridjig.qt.forms.rack.rack_import import ImportForm
from gridjig.qt.forms.shop.plate_form import CutPlateForm
from gridjig.qt.window.window import Window
from gridjig.solve.angles.answers import AngleLimits
from gridjig.solve.angles.wanted import read_wanted
from tests.qt.looks import LOOKS, Screen, complaints, settle, shown
from tests.qt.windows import FORMS, Answers

SAMPLE = load_job(next(iter(samples().values())))
DRAWING = Path(__file__).parents[2] / "files" / "drawings" / "dxf"


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


def plate_for_an_angle(window: Window) -> None:
    of = PlateOf(wanted=read_wanted("30", unit=Display().unit), limits=AngleLimits())
    document, look = window.document, window.appearance
    CutPlateForm(window, document, of, Answers(), "", look, window.show_message).open()


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
    "cut plate for an angle": plate_for_an_angle,
}


@pytest.mark.expectation(70, 71, 72, 84)
@pytest.mark.parametrize(("percent", "glove", "unit"), LOOKS)
def test_forms_over_the_window_are_whole(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, percent: int, glove: bool, unit: str
) -> None:
    """They are opened over the same window, one after the other."""
    user_library.keep_section(
        Section(name="45x45x2", kind="square tube", width=45, height=45, wall=2)
    )
    monkeypatch.setattr(FormDialog, "screen", lambda _: Screen())
    told: dict[str, list[str]] = {}
    with shown(qtbot, unit, percent, glove) as window:
        for name, opens in OPENS.items():
            told |= {f"{name} {at}": words for at, words in looked_at(window, opens)}
    assert len(told) >= len(OPENS)
    assert {name: words for name, words in told.items() if words} == {}


def test_nothing_is_left_of_a_form_that_was_closed(qtbot: QtBot) -> None:
    """A cell that a form made and never showed would stay, with all that its signals hold."""

    def tops() -> Counter[str]:
        settle()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
        return Counter(
            f"{type(w).__name__} {w.accessibleName() or w.windowTitle()}"
            for w in QApplication.topLevelWidgets()
            if w.windowType() != Qt.WindowType.Popup
        )

    left: dict[str, Counter[str]] = {}
    with shown(qtbot, "inches", 100, False) as window:
        for name, opens in [*OPENS.items(), *OPENS.items()]:
            before = tops()
            list(looked_at(window, opens))
            left[name] = tops() - before
    assert len(left) == len(OPENS)
    assert {name: some for name, some in left.items() if some} == {}


def looked_at(window: Window, opens: Callable[[Window], None]) -> Iterator[tuple[str, list[str]]]:
    """What is wrong in each tab of the form that is opened."""
    opens(window)
    settle()
    forms = [
        w for w in QApplication.topLevelWidgets() if isinstance(w, FormDialog) and w.isVisible()
    ]
    form = QApplication.activeModalWidget() or forms[-1]
    size, least = form.size(), form.minimumSizeHint()
    sizes = [one for one in (size, least) if one.height() > 760 or one.width() > 1280]
    high = [f"too large: {one}" for one in sizes]
    yield "", high + complaints(form, window)
    for tabs in form.findChildren(QTabWidget):
        for index in range(1, tabs.count()):
            tabs.setCurrentIndex(index)
            yield tabs.tabText(index), complaints(form, window)
    for one in forms:
        one.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
        QDialog.reject(one)
        one.deleteLater()
