"""A hand on the window: it plays events given as plain values, and answers questions meanwhile.

The target of an event is given by numbers, taken modulo what is there at that time.
"""

from pathlib import Path
from typing import Any

import shiboken6
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt, QTimer
from PySide6.QtGui import QAction, QKeyEvent, QMouseEvent, QWheelEvent
from PySide6.QtPrintSupport import QPrintDialog
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QComboBox,
    QDialog,
    QFileDialog,
    QLineEdit,
    QMenu,
    QPlainTextEdit,
    QTabBar,
    QTableView,
    QWidget,
)

from gridjig.model import Job
from gridjig.qt.actions.registry import ACTIONS
from gridjig.qt.dialogs.questions import QuestionDialog
from gridjig.qt.window.window import Window
from tests.qt.windows import Answers

from .kind import Find
from .offscreen import dispose, settle, window_with

Event = list[Any]
_MOST_THINGS = 60  # placements and parts beyond which nothing more is copied
_HOLDING = (QFileDialog, QuestionDialog)
_NEVER = ("quit", "open", "new")  # actions and buttons that would leave the job
HELD = [
    Qt.KeyboardModifier.NoModifier,
    Qt.KeyboardModifier.NoModifier,
    Qt.KeyboardModifier.NoModifier,
    Qt.KeyboardModifier.ShiftModifier,
    Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.AltModifier,
]
_LEFT, _NO = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton
BUTTONS = [_LEFT, _LEFT, _LEFT, Qt.MouseButton.RightButton, Qt.MouseButton.MiddleButton]
_WIDGETS = (QLineEdit, QPlainTextEdit, QAbstractButton, QComboBox, QAbstractItemView, QTabBar)


class Player:
    """Plays events on one window, and answers what it asks."""

    def __init__(self, job: Job, folder: Path) -> None:
        self.answers = Answers()
        self._saved = str(folder / "saved.gridjig")
        self.answers.path = self._saved
        self.window: Window = window_with(job, self.answers)
        self.document, self.first = self.window.document, job
        self._turn = 0
        self._timer = QTimer()
        self._timer.setInterval(20)
        self._timer.timeout.connect(self._answer)
        self._timer.start()
        self._depth = 0

    def open(self, path: Path) -> None:
        """Open a job in the same window.  Raise Find if it does not open."""
        self.answers.asked.clear()
        self.answers.path = self._saved
        self.answers.close = "discard"
        if not self.window.open_path(path):
            raise Find(f"a job does not open: {self.answers.asked[-1:]}")
        self.document = self.window.document
        self.first = self.document.job
        settle()

    def close(self) -> None:
        """Close the window, and answer what a form asks that is closed with it."""
        dispose(self.window)
        self._timer.stop()

    # -- forms over the window -------------------------------------------------------------------

    def _answer(self) -> None:
        """Answer a dialog or a menu that blocks an event, with one of its buttons or Esc."""
        menu = QApplication.activePopupWidget()
        if isinstance(menu, QMenu):
            menu.close()
            return
        asked = QApplication.activeModalWidget()
        # A form of the program waits for the next event; these hold everything up.
        if asked is None or (self._depth == 0 and not isinstance(asked, _HOLDING)):
            return
        self._turn += 1
        buttons = [
            b for b in asked.findChildren(QAbstractButton) if b.isVisible() and b.isEnabled()
        ]
        chosen = buttons[self._turn % len(buttons)] if buttons and self._turn % 4 else None
        # On a separate timer: the answer may open another dialog, and this timer cannot fire while
        # it runs.
        if chosen is None or isinstance(asked, QFileDialog):
            QTimer.singleShot(0, asked, asked.close)
        else:
            QTimer.singleShot(0, chosen, chosen.click)

    def _over(self) -> QWidget:
        """Return the target of an event: the topmost form, or the window."""
        for dialog in QApplication.topLevelWidgets():
            # Not the program's: Python would keep its buttons after Qt has deleted them, and take
            # what Qt puts in their place for them.
            if isinstance(dialog, QPrintDialog) and dialog.isVisible():
                dialog.close()
        forms = [
            w for w in QApplication.topLevelWidgets() if isinstance(w, QDialog) and w.isVisible()
        ]
        return QApplication.activeModalWidget() or (forms[-1] if forms else self.window)

    # -- playing ---------------------------------------------------------------------------------

    def play(self, event: Event) -> None:
        """Play one event, and let what follows from it happen."""
        self._depth += 1
        try:
            getattr(self, f"_{event[0]}")(*event[1:])
        finally:
            self._depth -= 1
        settle(2)
        if self.window.document is not self.document:  # another job was opened
            self.document, self.first = self.window.document, self.window.document.job
            while self.document.undo() is not None:
                self.first = self.document.job

    def _canvas(self) -> QWidget:
        return self.window.workspace.canvas

    def _at(self, x: float, y: float) -> QPoint:
        return QPoint(round(self._canvas().width() * x), round(self._canvas().height() * y))

    def _mouse(
        self,
        kind: QEvent.Type,
        at: QPoint,
        button: Qt.MouseButton,
        down: Qt.MouseButton,
        held: Qt.KeyboardModifier,
    ) -> None:
        """Send an event as the system would: none to a window behind a modal form."""
        canvas = self._canvas()
        if QApplication.activeModalWidget() is None:
            where = QPointF(canvas.mapToGlobal(at))
            QApplication.sendEvent(
                canvas, QMouseEvent(kind, QPointF(at), where, button, down, held)
            )

    def _point(self, x: float, y: float, button: int, held: int, big: int) -> None:
        at = self._at(x, y)
        what = ["click", "press", "move", "release", "click"][big % 5]
        self._stroke([at], BUTTONS[button], HELD[held], what)

    def _drag(self, steps: list[list[float]], button: int, held: int) -> None:
        self._stroke([self._at(*step) for step in steps], BUTTONS[button], HELD[held], "click")

    def _stroke(
        self, path: list[QPoint], button: Qt.MouseButton, held: Qt.KeyboardModifier, what: str
    ) -> None:
        kinds = QEvent.Type
        self._mouse(kinds.MouseMove, path[0], _NO, _NO, held)
        if what in ("click", "press", "double"):
            self._mouse(kinds.MouseButtonPress, path[0], button, button, held)
        for at in path[1:]:
            self._mouse(kinds.MouseMove, at, _NO, button, held)
            settle(1)
        if what in ("click", "release", "double"):
            self._mouse(kinds.MouseButtonRelease, path[-1], button, _NO, held)
        if what == "double":
            self._mouse(kinds.MouseButtonDblClick, path[-1], button, button, held)
            self._mouse(kinds.MouseButtonRelease, path[-1], button, _NO, held)

    def _spot(self, big: int, x: float, y: float, what: str) -> None:
        """Point at, or next to, something that is placed."""
        job = self.window.document.shown
        canvas = self.window.workspace.canvas
        places = [job.table.at(p.seats[0].hole) for p in job.placements]
        places += [(part.x, part.y) for part in job.parts]
        if not places:
            return
        px, py = canvas.view.to_screen(places[big % len(places)])
        at = QPoint(round(max(min(px, 1e5), -1e5)), round(max(min(py, 1e5), -1e5)))
        path = [at, at + QPoint(round(x * 400), round(y * 400))] if what == "drag" else [at]
        self._stroke(path, _LEFT, HELD[big % len(HELD)], what)

    def _wheel(self, x: float, y: float, _button: int, held: int, big: int) -> None:
        canvas, at = self._canvas(), QPointF(self._at(x, y))
        turn = QPoint(0, (big % 9 - 4) * 120)
        phase = Qt.ScrollPhase.NoScrollPhase
        where = QPointF(canvas.mapToGlobal(at.toPoint()))
        event = QWheelEvent(at, where, QPoint(), turn, _NO, HELD[held], phase, False)
        QApplication.sendEvent(canvas, event)

    def _focus(self) -> QWidget:
        over = self._over()
        focus = QApplication.focusWidget()
        if focus is not None and focus.window() is over.window():
            return focus
        return self._canvas() if over is self.window else over.focusWidget() or over

    def _key(self, name: str, held: int) -> None:
        key = getattr(Qt.Key, f"Key_{name}")
        if HELD[held] & Qt.KeyboardModifier.ControlModifier:
            if name in "VCD" and self._crowded():
                return
            if name in ("O", "N", "Q", "S", "I"):
                return
        QTest.keyClick(self._focus(), key, HELD[held])

    def _crowded(self) -> bool:
        job = self.window.document.job
        return len(job.placements) + len(job.parts) > _MOST_THINGS

    def _type(self, text: str, end: str) -> None:
        self._enter(self._focus(), text, end)

    def _say(self, text: str, end: str) -> None:
        """Type a text in the input row."""
        if self._over() is self.window:
            self.window.entry.edit.setFocus()
            self._enter(self.window.entry.edit, text, end)

    def _enter(self, widget: QWidget, text: str, end: str) -> None:
        if isinstance(widget, QLineEdit | QPlainTextEdit):
            widget.selectAll()
        strike(widget, text)
        if end and shiboken6.isValid(widget):
            QTest.keyClick(widget, getattr(Qt.Key, f"Key_{end}"))

    def _action(self, big: int) -> None:
        """Run one of the menus' enabled actions."""
        if self._over() is not self.window:
            return
        known = [a for a in self.window.menu_bar.findChildren(QAction) if a.text() and not a.menu()]
        known += [a for a in self.window.actions_made.children() if isinstance(a, QAction)]
        usable = [a for a in known if a.isEnabled() and self._wanted(a)]
        if usable:
            usable[big % len(usable)].trigger()

    def _wanted(self, action: QAction) -> bool:
        words = action.text().replace("&", "").lower()
        if self._crowded() and any(word in words for word in ("copy", "paste", "copies")):
            return False
        return not any(words.startswith(word) for word in _NEVER)

    def _tool(self, big: int) -> None:
        """Activate another tool."""
        tools = [one.id for one in ACTIONS if one.id.startswith("tool.")]
        if self._over() is self.window:
            self.window.port.do(tools[big % len(tools)])

    def _size(self, big: int) -> None:
        self.window.resize(400 + big % 1500, 300 + big // 7 % 900)

    def _widget(self, big: int, what: str, text: str, other: int) -> None:
        """Use a widget in the form, or in the window's panes."""
        over = self._over()
        every = [w for kind in _WIDGETS for w in over.findChildren(kind)]
        seen = [w for w in every if w.isVisible() and w.isEnabled() and w.window() is over.window()]
        if not seen:
            return
        widget = seen[big % len(seen)]
        if isinstance(widget, QLineEdit | QPlainTextEdit):
            widget.setFocus()
            self._enter(widget, text, ["Return", "Tab", "", "Escape"][other % 4])
        elif isinstance(widget, QComboBox) and widget.count():
            widget.setFocus()
            QTest.keyClick(widget, [Qt.Key.Key_Down, Qt.Key.Key_Up][other % 2])
        elif isinstance(widget, QTabBar) and (shown := shown_tabs(widget)):
            widget.setCurrentIndex(shown[other % len(shown)])
        elif isinstance(widget, QAbstractItemView):
            self._in_list(widget, what, text, other)
        elif isinstance(widget, QAbstractButton) and self._harmless(widget):
            widget.click()

    def _harmless(self, button: QAbstractButton) -> bool:
        """False for buttons that would open another job or end the program."""
        words = button.text().replace("&", "").lower() or button.toolTip().lower()
        return not any(words.startswith(word) for word in _NEVER)

    def _in_list(self, view: QAbstractItemView, what: str, text: str, other: int) -> None:
        model = view.model()
        if model is None or not model.rowCount():
            return
        columns = view.horizontalHeader().count() if isinstance(view, QTableView) else 1
        index = model.index(other % model.rowCount(), other // 3 % max(columns, 1))
        view.setFocus()
        view.setCurrentIndex(index)
        keys = [
            Qt.Key.Key_Return,
            Qt.Key.Key_Space,
            Qt.Key.Key_Delete,
            Qt.Key.Key_F2,
            Qt.Key.Key_Down,
        ]
        if what == "press":
            at = view.visualRect(index).center()
            QTest.mouseClick(view.viewport(), _LEFT, Qt.KeyboardModifier.NoModifier, at)
        elif what == "step":
            QTest.keyClick(view, keys[other % len(keys)])
        else:
            strike(view, text)

    # -- the end ---------------------------------------------------------------------------------

    def leave_forms(self) -> None:
        """Close whatever is open over the window."""
        self._depth += 1
        for _ in range(20):
            over = self._over()
            if over is self.window:
                break
            over.close()
            settle(2)
        self._depth -= 1
        settle()


def shown_tabs(bar: QTabBar) -> list[int]:
    """Return the tabs that a person can turn to; Qt itself turns to a hidden one as well."""
    return [index for index in range(bar.count()) if bar.isTabVisible(index)]


def strike(widget: QWidget, text: str) -> None:
    """Type a text as a keyboard or an input method would; the widget may vanish meanwhile."""
    for sign in text:
        if not shiboken6.isValid(widget):
            return
        if " " <= sign <= "~":
            QTest.keyClick(widget, sign)  # type: ignore[call-overload]  # missing in its types
        elif sign.isprintable():
            for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
                QApplication.sendEvent(widget, QKeyEvent(kind, 0, HELD[0], sign))
