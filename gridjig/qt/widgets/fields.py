"""Fields for typed values: a wrong entry keeps its text and is marked, and the old value stays.

Enter or leaving the field applies the text, Esc restores it.  The field always shows what it
accepts, not only in a complaint.  A field knows nothing about jobs: it is told how to read and
show a value, and what range is accepted.
"""

from collections.abc import Callable

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QWidget

from gridjig.units import (
    Display,
    ParseError,
    Unit,
    dual_length,
    format_angle,
    format_fineness,
    format_length,
    full_length,
    is_rounded,
    parse_angle,
    parse_length,
)

from .acts import tell_keys
from .cell import Cell
from .labels import NoteLabel
from .line_edit import FieldEdit, NoteEdit
from .plain import explain, tip

PAUSE_MS = 600
"""How long typing must pause before a live field complains about a text it cannot read."""

UNIT_WORD: dict[Unit, str] = {"inch fractions": "in", "inch decimals": "in", "millimetres": "mm"}


class TypedField(Cell):
    """A cell with a line edit; what it accepts is shown beside its name.

    `read` turns text into a value or raises ValueError with one sentence; `show` turns it back.
    `applied` carries the new value, and is emitted only if it differs from the old one.
    """

    applied = Signal(object)
    stands: Callable[[], bool] | None = None
    """Called before a text is applied; returns False if what it was typed for is gone."""

    def __init__(
        self,
        label: str,
        read: Callable[[str], object],
        show: Callable[[object], str] = str,
        accepts: str = "",
        parent: QWidget | None = None,
    ) -> None:
        self.edit = self._make_edit()
        self.note = NoteLabel()
        super().__init__(label, self.edit, note=self.note, focus=self.edit, parent=parent)
        self._read = read
        self._show = show
        self._value: object = None
        self._before: tuple[object, str] | None = None
        self._began: tuple[object, str] | None = None
        self.note.show_words(accepts)
        self.edit.entered.connect(self.apply)
        self.edit.escaped.connect(self.restore)
        self.edit.left.connect(self._on_left)
        self.edit.textEdited.connect(self._on_edited)
        self.edit.focused.connect(self.show_focus)
        self._describe()

    def _make_edit(self) -> FieldEdit:
        return FieldEdit()

    def _describe(self) -> None:
        told = ". ".join(t for t in (self.note.words(), self.complaint.text()) if t)
        self.edit.setAccessibleDescription(told)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Focus the edit on a click anywhere in the cell."""
        self.edit.setFocus(Qt.FocusReason.MouseFocusReason)
        self.edit.selectAll()
        super().mousePressEvent(event)

    def value(self) -> object:
        """Return the value in force."""
        return self._value

    def typed(self) -> object:
        """Return the value of the text as it stands.  Raise ValueError if it cannot be read."""
        return self._read(self.edit.text())

    def set_accepts(self, accepts: str) -> None:
        """Set the text that says what the field accepts, including the unit."""
        if accepts != self.note.words():
            self.note.show_words(accepts)
            self._describe()

    def set_value(self, value: object) -> None:
        """Set the value; leave text alone that is being typed or could not be read."""
        if value != self._value:
            self._began = None
        self._value = value
        if not (self.edit.hasFocus() and self.edit.isModified()) and not self.has_complaint():
            self._write()

    def _write(self) -> None:
        text = self._show(self._value) if self._value is not None else ""
        if text != self.edit.text():
            self.edit.setText(text)
            self.edit.setCursorPosition(0)
        self.edit.setModified(False)
        self._began = None

    def restore(self) -> None:
        """Restore the old value and remove the complaint."""
        self._complain("")
        if self._began is not None and (self.stands is None or self.stands()):
            try:
                self.typed()
            except ValueError:
                self._take_back()
        self._write()
        if self.edit.hasFocus():
            self.edit.selectAll()

    def apply(self) -> None:
        """Apply the text, or complain and keep it."""
        if not self.edit.isModified() and not self.has_complaint():
            return
        if self.stands is not None and not self.stands():
            return
        try:
            value = self._read(self.edit.text())
        except ParseError as fault:
            self._complain(str(fault), fault.at)
            self._take_back()
            return
        except ValueError as fault:
            self._complain(str(fault))
            self._take_back()
            return
        self._complain("")
        if value == self._value:
            self._write()
            return
        self._before = (self._value, self.edit.text())
        self._value = value
        self._write()
        self.applied.emit(value)
        self._before = None

    def make_live(self) -> None:
        """Apply the text at every keystroke that leaves it valid.

        Complain about an invalid text only when typing pauses, so that half a number is no fault.
        What a refused text began with is then taken back: no part of it is a value.
        """
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(PAUSE_MS)
        self._pause.timeout.connect(self._on_left)
        self.edit.textEdited.connect(self._on_key)

    def _on_key(self, text: str) -> None:
        try:
            value = self._read(text)
        except ValueError:
            self._pause.start()
            return
        self._pause.stop()
        if value != self._value:
            goes_on = self._began is not None and text.startswith(self._began[1])
            before = self._began[0] if goes_on and self._began else self._value
            self._began = (before, text)
            self._value = value
            self.applied.emit(value)

    def _take_back(self) -> None:
        """Apply the value again that was in force before the text was begun."""
        if self._began is None:
            return
        (value, begins), self._began = self._began, None
        if value != self._value and self.edit.text().startswith(begins):
            self._value = value
            self.applied.emit(value)

    def complain(self, sentence: str) -> None:
        """Show why the applied text is refused: the old value stays in force, the text stays."""
        if self._before is not None:
            self._value, text = self._before
            self.edit.setText(text)
        self._complain(sentence)

    def _complain(self, sentence: str, at: int | None = None) -> None:
        self.show_complaint(sentence)
        self.edit.refused = bool(sentence)
        self._describe()
        if sentence and at is not None:
            self.edit.setSelection(at, max(len(self.edit.text()) - at, 1))

    def _on_left(self) -> None:
        if self.edit.isModified():
            self.apply()

    def _on_edited(self) -> None:
        if self.has_complaint():
            self._complain("")
            self.edit.setModified(True)


class LinesField(TypedField):
    """A value typed in lines, of which `lines` show; leaving the field applies it."""

    edit: NoteEdit  # type: ignore[assignment]  # it offers all that a field uses of a line edit

    def __init__(
        self,
        label: str,
        read: Callable[[str], object],
        show: Callable[[object], str],
        accepts: str = "",
        lines: int = 3,
    ) -> None:
        super().__init__(label, read, show, accepts)
        self.edit.setFixedHeight(self.edit.fontMetrics().lineSpacing() * lines + 10)

    def _make_edit(self) -> NoteEdit:  # type: ignore[override]
        return NoteEdit()


class LengthField(TypedField):
    """A length in mm, typed and shown in the display's unit."""

    def __init__(
        self,
        label: str,
        display: Display,
        low: float | None = None,
        high: float | None = None,
        parent: QWidget | None = None,
    ) -> None:
        self._display = display
        super().__init__(label, self._parse, self._format, UNIT_WORD[display.unit], parent)
        self.set_range(low, high)

    def _format(self, value: object) -> str:
        return format_length(float(value), self._display) if isinstance(value, int | float) else ""

    def _write(self) -> None:
        super()._write()
        value, told = self._value, self.edit.statusTip()
        if isinstance(value, int | float):
            both = dual_length(float(value), self._display)
            explain(self.edit, both)
            if is_rounded(self.edit.text()):
                exact = full_length(float(value))
                self.edit.setToolTip(tip(f"{both}\n{exact}"))
                self.edit.setStatusTip(f"{both}, {exact}")
        else:
            self.edit.setToolTip("")
            self.edit.setStatusTip("")
        if self.edit.hasFocus() and self.edit.statusTip() != told:
            tell_keys(self)  # the prompt says what the value is

    def _parse(self, text: str) -> float:
        value = parse_length(text, self._display.unit)
        slack = 1e-6
        if self._low is not None and value < self._low - slack:
            raise ValueError(f"{self._format(value)} is too short; {self._range_words()}.")
        if self._high is not None and value > self._high + slack:
            raise ValueError(f"{self._format(value)} is too long; {self._range_words()}.")
        return value

    def _range_words(self) -> str:
        if self._low is not None and self._high is not None:
            return f"it goes from {self._format(self._low)} to {self._format(self._high)}"
        if self._low is not None:
            return f"the least is {self._format(self._low)}"
        assert self._high is not None
        return f"the most is {self._format(self._high)}"

    def set_display(self, display: Display) -> None:
        """Show the length in another unit; the value stays."""
        if display != self._display:
            self._display = display
            self.set_range(self._low, self._high)
            self.set_value(self._value)

    def set_range(self, low: float | None, high: float | None) -> None:
        """Accept only lengths from `low` to `high` (mm); None for no limit on that side."""
        self._low, self._high = low, high
        if low is not None and high is not None:
            self.set_accepts(f"{self._format(low)} to {self._format(high)}")
        elif low is not None:
            self.set_accepts(f"from {self._format(low)}")
        elif high is not None:
            self.set_accepts(f"up to {self._format(high)}")
        else:
            self.set_accepts(UNIT_WORD[self._display.unit])


class SizeField(LengthField):
    """A length that something must have: more than 0."""

    def __init__(self, label: str, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(label, display, parent=parent)

    def _parse(self, text: str) -> float:
        value = super()._parse(text)
        if value <= 0.0:
            raise ValueError(f"{self._format(value)} is too short; it must be more than 0.")
        return value

    def set_range(self, low: float | None, high: float | None) -> None:
        """Say that it must be more than 0; it has no other limit."""
        self._low, self._high = low, high
        self.set_accepts(f"more than {self._format(0.0)}")


class FineLengthField(LengthField):
    """A small length, shown to a hundredth of a mm or a ten-thousandth of an inch."""

    def _format(self, value: object) -> str:
        return (
            format_fineness(float(value), self._display) if isinstance(value, int | float) else ""
        )


class AngleField(TypedField):
    """An angle in degrees, counter-clockwise from the table's x axis."""

    def __init__(self, label: str, accepts: str = "°, ccw", parent: QWidget | None = None) -> None:
        super().__init__(label, parse_angle, self._format, accepts, parent)

    @staticmethod
    def _format(value: object) -> str:
        return format_angle(float(value)) if isinstance(value, int | float) else ""


class CountField(TypedField):
    """A whole number from `low` to `high`."""

    def __init__(
        self, label: str, low: int, high: int, accepts: str = "", parent: QWidget | None = None
    ) -> None:
        self._low, self._high = low, high
        super().__init__(label, self._parse, str, accepts or f"{low} to {high}", parent)

    def _parse(self, text: str) -> int:
        try:
            value = int(text.strip().removeprefix("+"))
        except ValueError:
            raise ValueError(
                f"“{text}” is not a whole number; type one from {self._low} to {self._high}."
            ) from None
        if not self._low <= value <= self._high:
            raise ValueError(f"{value} is out of range; it goes from {self._low} to {self._high}.")
        return value


class TextField(TypedField):
    """A short text of at most `longest` characters; with `needed`, it must not be empty."""

    def __init__(
        self,
        label: str,
        longest: int = 120,
        needed: bool = False,
        accepts: str = "",
        parent: QWidget | None = None,
    ) -> None:
        self._longest, self._needed = longest, needed
        super().__init__(label, self._parse, str, accepts, parent)

    def _parse(self, text: str) -> str:
        text = text.strip()
        if self._needed and not text:
            raise ValueError(f"{self.label.text()} is empty; type at least one character.")
        if len(text) > self._longest:
            raise ValueError(
                f"{len(text)} characters are too many; up to {self._longest} are kept."
            )
        return text


class NoteField(TextField):
    """A text of several lines; Ctrl+Enter or leaving the field applies it, Esc restores it."""

    edit: NoteEdit  # type: ignore[assignment]  # it offers all that a field uses of a line edit

    def __init__(self, label: str, longest: int = 4000, parent: QWidget | None = None) -> None:
        super().__init__(label, longest, parent=parent)

    def _make_edit(self) -> NoteEdit:  # type: ignore[override]
        return NoteEdit()
