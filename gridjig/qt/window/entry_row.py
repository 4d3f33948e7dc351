"""The row under the plan: typed input for the active tool, what comes next, what has happened.

What comes next (the prompt) always stands there; what has happened stands beside it for a while.

Everything that a drag does can be typed here; it needs no mouse and no keyboard shortcut.
"""

from collections import deque
from collections.abc import Callable

from msgspec import structs
from PySide6.QtCore import QEvent, QPoint, Qt, QTimer, Signal
from PySide6.QtGui import QCursor, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QLineEdit,
    QWidget,
)

from gridjig.model import SIZED, Section
from gridjig.qt.widgets.announce import announce
from gridjig.qt.widgets.combo_box import NoWheelComboBox
from gridjig.qt.widgets.labels import LinesLabel
from gridjig.qt.widgets.layout import in_column, in_row
from gridjig.qt.widgets.line_edit import WatchedEdit, undoes_the_job
from gridjig.qt.widgets.plain import Button, Label, explain, tip
from gridjig.qt.widgets.styled import restyle
from gridjig.sheets.text.hole_states import HOLE_STATES
from gridjig.tools.core.prompt import Prompt
from gridjig.tools.core.tool import Tool
from gridjig.tools.pick.hole_tool import HoleTool
from gridjig.units import Unit

from .member_choices import MemberChoices
from .plate_choices import PlateChoices

_LETTERS = 105
"""Characters of typed text, prompt and message that should be visible on one line."""
_GAPS = 60
"""What margins and gaps take of the row, px."""
_NARROW = 100
"""Below so many characters the captions and an empty message give way to the prompt."""
_AMOUNT = 13
"""Width of the size of a hole, in characters."""
_LINES = 3
_LOST_MS = 8000
"""How long the message that typed text was dropped is shown."""
_LEAST_MS, _LETTER_MS = 6000, 80
"""How long a message is shown: at least, and for each of its characters."""
_JUST_NOW = "JUST NOW"
_PAST = 6
"""How many messages the tooltip lists after they have gone."""


class _Typing(QLineEdit):
    escaped = Signal()

    def event(self, event: QEvent) -> bool:
        if (
            event.type() == QEvent.Type.ShortcutOverride
            and isinstance(event, QKeyEvent)
            and undoes_the_job(self, event)
        ):
            event.ignore()
            return False
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave the row on Esc."""
        if event.key() == Qt.Key.Key_Escape:
            self.escaped.emit()
        else:
            super().keyPressEvent(event)


def _size_edit() -> WatchedEdit:
    edit = WatchedEdit()
    edit.setAccessibleName("Depth of a shallow hole, width of an oversize one")
    edit.setPlaceholderText("size")
    return edit


class EntryRow(QFrame):
    """Typed input for the tool, the prompt, the last message, the options of the drawing tools.

    `marking` carries the state of holes, the size as typed, and whether the plan is wanted next.
    """

    typed = Signal(str)
    finished = Signal()
    escaped = Signal()
    left = Signal()
    marking = Signal(str, str, bool)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("entryRow")
        self._said = ""
        self._pointed = QPoint()  # where the pointer was when something was said
        self._lost = ""
        self._prompt = Prompt()
        self._elsewhere = ""
        self._letters = True
        self._past: deque[str] = deque(maxlen=_PAST)
        self._said_timer = QTimer(self, singleShot=True)
        self._said_timer.timeout.connect(self._end_said)
        self._tool = ""
        self._in_progress: Callable[[], bool] = lambda: False
        self._lost_timer = QTimer(self, singleShot=True, interval=_LOST_MS)
        self._lost_timer.timeout.connect(self._end_lost)
        self.label = Label("Type")
        self.label.setWordWrap(False)
        self.edit = _Typing()
        self.edit.setAccessibleName("Type a hole, an angle or a length")
        self.edit.setPlaceholderText("a hole, an angle, a length")
        self.label.setBuddy(self.edit)
        self.next = Label("NEXT", "stripName")
        self.hint = LinesLabel(_LINES)
        self.hint.setAccessibleName("What comes next")
        self.done = Label(_JUST_NOW, "stripName")
        self.said = LinesLabel(_LINES)
        self.said.setAccessibleName("What has happened")
        self.state = NoWheelComboBox()
        self.state.setAccessibleName("Mark holes as")
        for key, name, about in HOLE_STATES:
            self.state.addItem(f"{name}: {about}", key)
        self.amount = _size_edit()
        self.member = MemberChoices()
        self.plate = PlateChoices()
        self.out = Button("Leave the tool", "plain", about="Go back to selecting  (Esc)")
        shown = (
            self.label,
            (self.edit, 2),
            8,
            self.next,
            (self.hint, 5),
            8,
            self.done,
            (self.said, 3),
        )
        self._row = in_row(*shown, self.state, self.amount, self.member, self.plate, self.out)
        self._below = in_row()
        in_column(self._row, self._below, over=self, margins="text", gap=2)
        self.edit.returnPressed.connect(self._on_enter)
        self.edit.escaped.connect(self._on_escape)
        self.edit.textEdited.connect(lambda _: self._end_lost())
        self.state.activated.connect(self._on_state)
        self.amount.returnPressed.connect(lambda: self._on_marking(True))
        self.amount.left.connect(lambda: self._on_marking(False))
        self.out.clicked.connect(self.left)
        self.show_tool("select")

    def take_up(self, tool: Tool) -> None:
        """Show the input that a newly activated tool takes."""
        self.mark_wrong(False)
        self._in_progress = lambda: tool.in_progress
        if isinstance(tool, HoleTool):
            self.state.setCurrentIndex(self.state.findData(tool.state))
        self.show_tool(tool.name)
        self.follow(tool)

    def follow(self, tool: Tool) -> None:
        """Update the row to what the active tool draws with."""
        self.member.follow(tool)
        self.plate.follow(tool)
        self._fit()

    def chosen_section(self) -> Section | None:
        """Return the section shown as the next one to draw with."""
        return self.member.section.section

    def show_section(self, section: Section) -> None:
        """Show a section as the next one to draw with."""
        self.member.section.show_section(section)

    def offer_sections(self, unit: Unit) -> None:
        """Offer the current list of sections."""
        self.member.section.offer(unit)

    def show_tool(self, name: str) -> None:
        """Show the input that the tool of that name takes; text typed for another tool
        is dropped.
        """
        holes = name == "hole"
        if name != self._tool:
            self._tool = name
            self._clear()
        self.state.setVisible(holes)
        self.amount.setVisible(holes and self._needs_size())
        self.member.setVisible(name == "member")
        self.plate.setVisible(name == "plate")
        self.out.setVisible(name != "select")
        self._fit()
        words = {
            "hole": "a hole, or every 5th column from C",
            "plate": "a corner, a size such as 24 x 2, t 3/8, z 2",
            "edge": "an angle from table x",
            "holes": "two holes such as C4 J9",
            "place": "a hole such as H6, or an angle",
            "member": "a hole, x, y, then 24 at 37.5 or 4:12",
            "join": "the name of a part",
            "notch": "along x across, such as 2 x 1",
            "dimension": "a distance such as 24",
        }.get(name, "a hole, an angle, a length")
        self.edit.setPlaceholderText(words)
        explain(self.edit, f"Type {words}, then press Enter  (T)")
        self.edit.setAccessibleDescription(words)

    def take_focus(self) -> None:
        """Take the focus, so that the next keys replace the text."""
        self.edit.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.edit.selectAll()

    def begin(self, text: str) -> None:
        """Continue here with text that was begun on the plan."""
        self.edit.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.edit.setText(text)
        self.edit.setModified(True)
        self._end_lost()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the tool's options on a line of their own if they do not fit."""
        super().resizeEvent(event)
        self._fit()

    def changeEvent(self, event: QEvent) -> None:
        """Adapt to a larger font, which leaves less room."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "_below"):
            self._fit()

    def _fit(self) -> None:
        # The same height with and without the button: the plan must not move when the tool
        # changes.
        beside = (self.out, self.state, self.amount, self.member, self.plate)
        high = max(w.sizeHint().height() for w in beside)
        self.edit.setMinimumSize(high, high)
        letter = self.fontMetrics().averageCharWidth()
        # As wide under either caption, so that nothing beside it shifts.
        self.done.setMinimumWidth(max(self.done.minimumWidth(), self.done.sizeHint().width()))
        self.amount.setMaximumWidth(letter * _AMOUNT)
        self._share()
        choices = (self.state, self.amount, self.member, self.plate)
        letters = letter * _LETTERS
        chosen = sum(w.sizeHint().width() for w in choices if not w.isHidden())
        captions = sum(w.sizeHint().width() for w in (self.label, self.next, self.done))
        taken = chosen + self.out.sizeHint().width() + captions + _GAPS
        short = self.width() < taken + letters
        wanted, other = (self._below, self._row) if short else (self._row, self._below)
        for choice in choices:
            if wanted.indexOf(choice) < 0:
                other.removeWidget(choice)
                wanted.insertWidget(-1 if short else self._row.indexOf(self.out), choice)

    # -- what comes next, what has happened --------------------------------------------------------

    def show_prompt(self, prompt: Prompt) -> None:
        """Show what the next click or key will do."""
        self._prompt = prompt
        self._show_prompt()

    def set_keys(self, elsewhere: str, letters: bool) -> None:
        """Set what keys do: `elsewhere` says it while they do not go to the plan, else it is empty;
        `letters` is whether single letters do anything there.
        """
        self._elsewhere, self._letters = elsewhere, letters
        self.label.setText("Type (T)" if letters else "Type (/)")
        self._show_prompt()

    def _show_prompt(self) -> None:
        """Say what the keys do where the focus is, how to go back, then what a click does."""
        here = self._prompt.text(not self._elsewhere, self._letters)
        self.hint.show_words(f"{self._elsewhere} {here}".strip())
        if self._elsewhere and self.hint.is_cut():  # a list says what is selected as well
            here = structs.replace(self._prompt, state="").text(keys=False, letters=self._letters)
            self.hint.show_words(f"{self._elsewhere} {here}")

    def show_message(self, words: str) -> None:
        """Show what has happened, for as long as it takes to read it."""
        self._said, self._pointed = words, QCursor.pos()
        if words:
            self._past.append(words)
            self._said_timer.start(_LEAST_MS + _LETTER_MS * len(words))
        self._show_said()

    def show_step(self, name: str) -> None:
        """Announce a step, and show it if it was made in a form, where nothing else tells it.

        Otherwise only take away what was said before the step, which is no longer what just
        happened; the tool or page that made the step tells it in its own words.
        """
        announce(self, name)
        over = QApplication.activeModalWidget() is not None
        self.show_message(f"Done: {name}. Ctrl+Z undoes it." if over and name else "")

    def explain(self, words: str) -> None:
        """Show a line while the pointer is somewhere; an empty one restores the last message.

        What has just happened is not hidden by what the pointer was on all the time, unless that is
        a menu, which is gone through by keys.
        """
        still = QCursor.pos() == self._pointed and QApplication.activePopupWidget() is None
        if words and self._said and still:
            return
        if words:
            self.done.setText("ABOUT")
            self.said.show_words(words)
            self._share()
        else:
            self._show_said()

    def _show_said(self) -> None:
        self.done.setText(_JUST_NOW)
        self.said.show_words(f"{self._lost} {self._said}".strip())
        self.said.setToolTip(tip("\n".join(self._past)))
        self._share()

    def _share(self) -> None:
        """With large letters, give the prompt the room of the message while there is none."""
        narrow = self.width() < self.fontMetrics().averageCharWidth() * _NARROW
        for part in (self.done, self.said):
            part.setVisible(not narrow or bool(self.said.words()))
        self.next.setVisible(not narrow)
        self.out.setText("Leave" if narrow else "Leave the tool")
        self._row.setStretchFactor(self.said, 5 if narrow else 3)

    def _end_said(self) -> None:
        self._said = ""
        self._show_said()

    def _clear(self) -> None:
        """Empty the row for another tool, and report text that was typed but not entered."""
        text = self.edit.text().strip()
        unused = bool(text) and self.edit.isModified()
        self._forget_typing()
        if unused:
            self._lost = f"“{text}” was ignored: press Enter to use what you type."
            self._past.append(self._lost)
            self._show_said()
            self._lost_timer.start()
            announce(self, self._lost)

    def _end_lost(self) -> None:
        self._lost_timer.stop()
        if self._lost:
            self._lost = ""
            self._show_said()

    def _needs_size(self) -> bool:
        return self.state.currentData() in SIZED

    def _on_enter(self) -> None:
        text = self.edit.text().strip()
        drawing = self._in_progress()
        if drawing and not (text and self.edit.isModified()):
            self.finished.emit()
        elif text:
            self._forget_typing(self.edit.text())
            self.edit.selectAll()
            self.typed.emit(text)
        if drawing and not self._in_progress():
            self._forget_typing()  # one Enter too many would begin the next run with its last point

    def _forget_typing(self, text: str = "") -> None:
        """Set the text without its undo steps, of which Qt would keep every one for good."""
        self.edit.setText(text)

    def _on_escape(self) -> None:
        """Drop what was typed: Esc is meant."""
        self._forget_typing()
        self._end_lost()
        self.escaped.emit()

    def _on_state(self) -> None:
        """Mark holes so from now on; a state that needs a size asks for it first."""
        wanting = self._needs_size() and not self.amount.text().strip()
        self.amount.setVisible(self._needs_size())
        self._fit()
        self._on_marking(not wanting)
        if wanting:
            self.amount.setFocus(Qt.FocusReason.OtherFocusReason)

    def _on_marking(self, go_on: bool) -> None:
        self.marking.emit(self.state.currentData(), self.amount.text(), go_on)

    def mark_wrong(self, wrong: bool) -> None:
        """Mark the size as invalid or valid."""
        restyle(self.amount, "wrong", wrong)
