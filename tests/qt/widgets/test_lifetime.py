"""No handler of the program runs on widgets that are being destroyed."""

import ast
import gc
import sys
import threading
import time
import weakref
from collections.abc import Callable, Iterator
from pathlib import Path
from types import FrameType

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtWidgets import QApplication, QFrame, QLineEdit, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot
from shiboken6 import isValid

import gridjig.qt
from gridjig.files.storage.settings import Settings
from gridjig.proof.report import NOTHING, ProofReport
from gridjig.qt.forms.settings_form import SettingsForm
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.style.metrics import Metrics
from gridjig.qt.style.theme import THEMES
from gridjig.qt.tasks import checker
from gridjig.qt.widgets.fields import NoteField, TextField, TypedField
from gridjig.qt.widgets.lifetime import Surroundings
from gridjig.qt.window.entry_row import EntryRow
from gridjig.qt.window.window import Window
from gridjig.session.document import Document
from tests.qt.windows import opened
from tests.trials.layout import empty, load
from tests.workshop import laid, pin, plate

QT = Path(gridjig.qt.__file__).parent
LEAVING = ("focusOutEvent", "leaveEvent", "hideEvent")

# What Qt calls of a widget that is whole itself and answers from what it holds, for instance when a
# dialog that is destroyed in plain sight hides its children.
ANSWERS = {
    "event",
    "changeEvent",
    "rowCount",
    "columnCount",
    "headerData",
    "data",
    "flags",
    "sizeHint",
    *LEAVING,
}


def of_the_program(frame: FrameType | None) -> bool:
    return frame is not None and frame.f_code.co_filename.startswith(str(QT.parent))


def destroy(widget: QWidget) -> None:
    widget.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


def ran_while_destroying(widget: QWidget) -> set[str]:
    """What Qt called of the program, and what its handlers of leaving called in turn."""
    ran: set[str] = set()

    def watch(frame: FrameType, event: str, _: object) -> None:
        if event != "call" or not of_the_program(frame):
            return
        caller = frame.f_back
        if not of_the_program(caller):
            ran.add(frame.f_code.co_name)
        elif caller is not None and caller.f_code.co_name in LEAVING:
            ran.add(f"{caller.f_code.co_name} > {frame.f_code.co_qualname}")

    sys.setprofile(watch)
    try:
        destroy(widget)
    finally:
        sys.setprofile(None)
    gc.collect()
    return ran


def harmless(ran: set[str]) -> bool:
    return all(
        one in ANSWERS or one.endswith(("> Surroundings.whole", *(f".{name}" for name in LEAVING)))
        for one in ran
    )


def is_watched(widget: QWidget) -> bool:
    """True if the program handles that this widget loses the focus."""
    handler = getattr(type(widget), "focusOutEvent", None)
    return getattr(handler, "__module__", "").startswith("gridjig.")


def stations(top: QWidget) -> dict[tuple[str, str], QWidget]:
    """One widget of each class and class of its parent that is told of losing the focus."""
    found: dict[tuple[str, str], QWidget] = {}
    for one in top.findChildren(QWidget):
        parent = one.parentWidget()
        takes_focus = one.isEnabled() and one.focusPolicy() != Qt.FocusPolicy.NoFocus
        if takes_focus and one.isVisible() and one.window() is top and is_watched(one):
            found.setdefault((type(one).__name__, type(parent).__name__), one)
    return found


def die_at_every_station(
    qtbot: QtBot, make: Callable[[], QWidget], close: Callable[[QWidget], None] = lambda _: None
) -> int:
    """Destroy it anew with the focus in each of its stations; how many were tried."""
    tried: set[tuple[str, str]] = set()
    while True:
        top = make()
        top.activateWindow()
        qtbot.waitUntil(top.isActiveWindow)
        places = stations(top)
        name = next((name for name in places if name not in tried), None)
        if name is not None:
            places[name].setFocus()
            QApplication.processEvents()
            assert QApplication.focusWidget() is places[name]
        del places
        close(top)
        ran = ran_while_destroying(top)
        assert harmless(ran), (name, ran)
        if name is None:
            return len(tried)
        assert any(one.startswith("focusOutEvent") for one in ran), name
        tried.add(name)


@pytest.fixture
def host(qtbot: QtBot) -> QWidget:
    """A window for forms to lie over."""
    made = QWidget()
    qtbot.addWidget(made)
    made.resize(1300, 900)
    made.show()
    return made


FORMS = {
    "angle.chart": 2,
    "rack.form": 0,
    "table.form": 4,
    "weldment.chain": 0,
    "weldment.section": 3,
    "weldment.starter": 4,
}


@pytest.mark.parametrize("action", sorted(FORMS))
def test_a_form_can_go_while_any_of_its_fields_has_the_focus(qtbot: QtBot, action: str) -> None:
    with opened(qtbot, empty(load("T01"))) as window:

        def make() -> QWidget:
            before = set(QApplication.topLevelWidgets())
            window.port.do(action)
            shown = [one for one in QApplication.topLevelWidgets() if one.isVisible()]
            return next(one for one in shown if one not in before)

        assert die_at_every_station(qtbot, make) >= FORMS[action]


def test_so_can_the_settings(qtbot: QtBot, host: QWidget) -> None:
    look = Appearance(THEMES["light"], Metrics(4.0))

    def make() -> QWidget:
        form = SettingsForm(Settings(), look, lambda _: None, host)
        form.show()
        return form

    assert die_at_every_station(qtbot, make) >= 1


def test_so_can_the_window(qtbot: QtBot) -> None:
    def make() -> QWidget:
        window = Window(laid(pin("a", 2, 2), plate("part", 150, 150)), Settings(), 10.0)
        window.show()
        return window

    def close(window: QWidget) -> None:
        assert isinstance(window, Window)
        window.workspace.close_document()  # waits for the check that is under way
        window.file.close()

    assert die_at_every_station(qtbot, make, close) >= 4


def test_a_window_closed_before_it_has_settled_is_forgotten(qtbot: QtBot) -> None:
    """Whatever is still due then; otherwise every job that is opened takes memory for good."""
    window = Window(laid(pin("a", 2, 2)), Settings(), 10.0)
    parts = [weakref.ref(one) for one in (window, window.workspace, window.workspace.canvas)]
    window.show()
    window.file.document.mark_saved()
    window.close()
    destroy(window)
    del window
    gc.collect()
    assert [there() for there in parts] == [None, None, None]


# -- what the rule means for one field ---------------------------------------------------------


@pytest.fixture
def page(qtbot: QtBot) -> QWidget:
    """An active window with room for cells."""
    made = QFrame()
    QVBoxLayout(made)
    made.show()
    qtbot.addWidget(made)
    made.activateWindow()
    qtbot.waitUntil(made.isActiveWindow)
    return made


def put(page: QWidget, cell: QWidget) -> None:
    layout = page.layout()
    assert layout is not None
    layout.addWidget(cell)
    cell.setFocus()
    QApplication.processEvents()
    assert cell.hasFocus()


def typed(page: QWidget) -> tuple[TypedField, list[object]]:
    field, heard = TextField("Name"), list[object]()
    put(page, field)
    field.applied.connect(heard.append)
    field.edit.setText("half typed")
    field.edit.setModified(True)
    return field, heard


def test_what_was_typed_is_applied_when_the_field_is_left(page: QWidget) -> None:
    field, heard = typed(page)
    field.clearFocus()
    assert heard == ["half typed"]


def test_and_when_it_is_hidden(page: QWidget) -> None:
    put(page, QLineEdit())  # the focus goes there
    field, heard = typed(page)
    field.hide()
    assert heard == ["half typed"]


def test_but_not_when_the_field_goes(page: QWidget) -> None:
    field, heard = typed(page)
    destroy(field)
    assert heard == []


def test_a_note_is_applied_when_left_and_not_when_it_goes(page: QWidget) -> None:
    for leave, wanted in ((QWidget.clearFocus, ["a note"]), (destroy, [])):
        note, heard = NoteField("Note"), list[str]()
        put(page, note)
        note.applied.connect(heard.append)
        note.edit.setText("a note")
        leave(note.edit if leave is not destroy else note)
        assert heard == wanted


def test_the_size_of_a_mark_is_given_when_left_or_entered(page: QWidget) -> None:
    row, heard = EntryRow(), list[tuple[str, str]]()
    row.show_tool("hole")
    row.amount.show()
    put(page, row.amount)
    row.marking.connect(lambda state, amount: heard.append((state, amount)))
    row.amount.setText("12 mm")
    row.amount.returnPressed.emit()
    row.amount.clearFocus()
    assert [amount for _, amount in heard] == ["12 mm", "12 mm"]
    row.deleteLater()


def test_surroundings_are_not_whole_once_any_of_them_goes(page: QWidget) -> None:
    inner = QFrame(page)
    cell = QWidget(inner)
    noted = Surroundings()
    assert not noted.whole()
    noted.note(cell)
    assert noted.whole()
    said: list[bool] = []
    cell.destroyed.connect(lambda: said.append(noted.whole()))  # its parent is half gone by now
    destroy(inner)
    assert said == [False]


def test_an_answer_of_a_worker_that_comes_after_its_window_is_dropped(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun, ended = threading.Event(), threading.Event()

    def slow(*_: object) -> ProofReport:
        begun.set()
        time.sleep(0.3)
        ended.set()
        return NOTHING

    monkeypatch.setattr(checker.Known, "report", slow)
    window = QWidget()
    made = checker.Checker(Document(laid(pin("a", 2, 2))), window)
    made.look()
    qtbot.waitUntil(begun.is_set)
    assert not ended.is_set()
    window.deleteLater()
    qtbot.waitUntil(lambda: not isValid(window))  # by the event loop, which lets the worker run on
    qtbot.waitUntil(ended.is_set)
    assert not isValid(made)


# -- the rule, read from the source --------------------------------------------------------------

OWN = {
    "self.update",
    "self._settling.stop",  # a timer of the widget's own
}


KEEPING = {"singleShot", "fromSignal"}
"""Functions of Qt that can leak what they are given, and all that it refers to."""


def dotted(node: ast.expr) -> str:
    if isinstance(node, ast.Attribute):
        return f"{dotted(node.value)}.{node.attr}"
    if isinstance(node, ast.Call):
        return f"{dotted(node.func)}()"
    return node.id if isinstance(node, ast.Name) else "?"


def calls(tree: ast.AST) -> Iterator[tuple[str, ast.Call]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            yield dotted(node.func), node


def breaks_of_the_rule(source: str) -> list[str]:
    """Line and name of what could run on widgets that are being destroyed."""
    found = []
    tree = ast.parse(source)
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef) and node.name in (*LEAVING, "eventFilter"):
            named = {name for name, _ in calls(node)} - OWN - {f"super().{node.name}", "super"}
            if named and not any(name.endswith(".whole") for name in named):
                found.append(f"{node.lineno}: {node.name} calls {sorted(named)}")
    for name, call in calls(tree):
        last = name.split(".")[-1]
        if last == "installEventFilter" or name.endswith(
            (".editingFinished.connect", ".destroyed.connect")
        ):
            found.append(f"{call.lineno}: {name}")
        if last in KEEPING:
            found.append(f"{call.lineno}: {name} can leak what it is given")
        if name == "QTimer" and not call.args:
            found.append(f"{call.lineno}: QTimer without a parent")
    return found


def test_no_handler_of_the_program_breaks_the_rule() -> None:
    files = sorted(QT.rglob("*.py"))
    assert len(files) > 50
    assert not [
        f"{path.relative_to(QT)}:{fault}"
        for path in files
        for fault in breaks_of_the_rule(path.read_text(encoding="utf-8"))
    ]


@pytest.mark.parametrize(
    "line",
    [
        "def focusOutEvent(self, event):\n  super().focusOutEvent(event)\n  self.left.emit()",
        "def hideEvent(self, event):\n  self.parentWidget().update()",
        "def eventFilter(self, watched, event):\n  self.place()",
        "edit.editingFinished.connect(self.apply)",
        "self.edit.destroyed.connect(self.apply)",
        "over.installEventFilter(self)",
        "QTimer.singleShot(0, self.apply)",
        "QTimer.singleShot(0, self, self.apply)",
        "QMetaMethod.fromSignal(self.opened)",
        "timer = QTimer()",
    ],
)
def test_what_breaks_the_rule_is_found(line: str) -> None:
    assert len(breaks_of_the_rule(line)) == 1


@pytest.mark.parametrize(
    "line",
    [
        "def focusOutEvent(self, event):\n  super().focusOutEvent(event)\n  self.update()",
        "def hideEvent(self, event):\n  if self._surroundings.whole(): self.left.emit()",
        "call_later(self, self.apply)",
        "timer = QTimer(self, singleShot=True)",
    ],
)
def test_what_keeps_it_is_not(line: str) -> None:
    assert breaks_of_the_rule(line) == []
