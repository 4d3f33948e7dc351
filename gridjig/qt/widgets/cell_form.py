"""What every form shares: declared fields in two columns, notes, and doing edits.

A form shows the document's job and changes it only through `document.do`.  A field is declared in
one place: what it is, what it shows of the form's subject, which edit applies what is typed, and
the name of that undo step.  The subject is looked up again on every signal, because it may be gone
by then: a click on Delete takes the focus from a field whose piece no longer exists.
"""

from collections.abc import Callable
from functools import partial
from typing import Any, ClassVar, TypeVar

from msgspec import Struct
from PySide6.QtCore import Qt, Signal, SignalInstance
from PySide6.QtWidgets import QWidget

from gridjig.model import Job
from gridjig.session.document import Document
from gridjig.tools.core.wording import sentence
from gridjig.units.limits import words_of

from .buttons import make_button
from .choices import Choices
from .fields import LengthField, TypedField
from .layout import REST, Inset, grid, in_column
from .plain import Button, Label
from .section_box import SectionCell
from .tick import Tick

_HAS_BEEN_SHOWN_OR_HIDDEN = Qt.WidgetAttribute.WA_WState_ExplicitShowHide

Edit = Callable[[Job], Job]
Taker = Callable[..., Job]
"""An edit that applies a value: it is called with the job and the value."""

Field = TypedField | Choices | SectionCell | Tick
AnyField = TypeVar("AnyField", bound=Field)


class Declared(Struct, frozen=True):
    """A field, and what it shows of the subject."""

    field: Field
    reads: Callable[[Any], object]


class CellForm(QWidget):
    """A form for a document; `message` carries messages for the person."""

    message = Signal(str)
    margins: ClassVar[Inset] = "form"

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.document = document
        self._grid = grid()
        self._declared: list[Declared] = []
        self._cells: list[tuple[QWidget, int]] = []
        self._off: set[QWidget] = set()
        self._laid: tuple[tuple[QWidget, int], ...] = ()
        self._of: object = None
        in_column(self._grid, REST, over=self, margins=self.margins)

    # -- declaring ---------------------------------------------------------------------------------

    def heading(self, words: str = "") -> Label:
        """Add a heading across both columns, and return it."""
        return self.words("heading", words)

    def words(self, role: str = "", words: str = "") -> Label:
        """Add a text across both columns, and return its label."""
        label = Label(words, role)
        self.across(label)
        return label

    def field(
        self,
        field: AnyField,
        shows: str | Callable[[Any], object] = "",
        takes: Taker | None = None,
        step: str = "",
        wide: bool = False,
    ) -> AnyField:
        """Add a field, and return it.

        `shows` is what it shows of the subject: an attribute's name or a function.  `takes` is the
        edit that applies what is typed or chosen, as an undo step named `step`; a refusal is shown
        at the field.  The form itself handles a field without `shows` or `takes`.
        """
        self._add((field,), 2 if wide else 1)
        if callable(shows):
            self._declared.append(Declared(field, shows))
        elif shows:
            self._declared.append(Declared(field, lambda subject: getattr(subject, shows)))
        if takes is not None:
            edit = takes
            told = field.chosen if isinstance(field, Choices | SectionCell) else field.applied
            self.on(told, lambda value: self.do(lambda job: edit(job, value), step, field))
        return field

    def button(self, words: str, action: Callable[[], object], about: str = "") -> Button:
        """Add a button across both columns that calls `action` if the subject still exists."""
        made = make_button(words, lambda: self._while_it_stands(action), about=about)
        self.across(made)
        return made

    def across(self, *widgets: QWidget) -> None:
        """Add widgets that each take a whole row."""
        self._add(widgets, 2)

    def pair(self, *widgets: QWidget) -> None:
        """Add widgets side by side; one without a neighbour takes the whole row."""
        self._add(widgets, 1)

    def _add(self, widgets: tuple[QWidget, ...], span: int) -> None:
        for widget in widgets:
            # At once, because a widget that is shown without a parent becomes a separate window.
            widget.setParent(self)
            self._cells.append((widget, span))
            if isinstance(widget, TypedField):
                widget.stands = self._stands

    # -- the subject -------------------------------------------------------------------------------

    def subject(self, job: Job) -> Any:
        """Return what the form shows of a job, or None if the job has no such thing."""
        return job

    def turn_to(self, of: object) -> bool:
        """Show `of` from now on; return True if it differs from what was shown."""
        anew = of != self._of
        if anew:
            self._drop_typed("press Enter to use what you type")
            self._of = of
        return anew

    def leave(self) -> None:
        """Another form is shown: drop what was typed or refused here, and say why."""
        self._stands()
        self.turn_to(None)

    def on(self, signal: SignalInstance, action: Callable[..., object]) -> None:
        """Call `action` on a signal, but only if the subject still exists."""
        signal.connect(lambda *given: self._while_it_stands(partial(action, *given)))

    def _while_it_stands(self, action: Callable[[], object]) -> None:
        if self._stands():
            action()

    def _stands(self) -> bool:
        """Return True if the subject is still in the job; if not, drop what was typed for it."""
        stands = self.subject(self.document.job) is not None
        if not stands:
            self._drop_typed("what it was typed for is gone")
        return stands

    def typed(self) -> list[TypedField]:
        """Return all typed fields of the form, in order."""
        return [cell for cell, _ in self._cells if isinstance(cell, TypedField)]

    def _drop_typed(self, why: str) -> None:
        """Restore every field, and say which texts were typed but not entered."""
        for field in self.typed():
            if field.edit.isModified():
                words = "; ".join(field.edit.text().splitlines())
                self.message.emit(f"“{words}” was ignored: {why}.")
            field.restore()

    def faulty(self) -> TypedField | None:
        """Apply any pending text; return the first field that is not accepted, or None."""
        for field in self.typed():
            field.apply()
        return next((field for field in self.typed() if field.has_complaint()), None)

    def show_values(self, job: Job) -> None:
        """Show the subject in the declared fields."""
        subject = self.subject(job)
        for field in self.typed():
            if isinstance(field, LengthField):
                field.set_display(job.display)
        for one in self._declared:
            one.field.set_value(one.reads(subject))

    # -- layout ------------------------------------------------------------------------------------

    def show_cell(self, widget: QWidget, on: bool) -> None:
        """Show or hide a cell; `reflow` closes the gaps."""
        widget.setVisible(on)
        if on:
            self._off.discard(widget)
        else:
            self._off.add(widget)

    def reflow(self) -> None:
        """Lay the cells out again after some have been shown or hidden."""
        here = tuple((w, span) for w, span in self._cells if w not in self._off)
        if here == self._laid:
            return
        self._laid = here
        for widget, _ in self._cells:
            self._grid.removeWidget(widget)
            on = widget not in self._off
            if on and not (self.isVisible() or widget.testAttribute(_HAS_BEEN_SHOWN_OR_HIDDEN)):
                continue  # it comes with the form, and telling it takes long
            widget.setVisible(on)
        row, left = 0, True
        top = Qt.AlignmentFlag.AlignTop
        for index, (widget, span) in enumerate(here):
            follows = index + 1 < len(here) and here[index + 1][1] == 1
            if span == 2 or (left and not follows):
                row += 0 if left else 1
                self._grid.addWidget(widget, row, 0, 1, 2, top)
                row, left = row + 1, True
            else:
                self._grid.addWidget(widget, row, 0 if left else 1, 1, 1, top)
                row, left = (row, False) if left else (row + 1, True)

    def do(self, edit: Edit, name: str, field: QWidget | None = None) -> bool:
        """Do an edit as a named undo step; show a refusal at the field, or else as a message."""
        try:
            job = edit(self.document.job)
        except ValueError as fault:
            words = sentence(words_of(fault, self.document.job.display))
            if isinstance(field, TypedField):
                field.complain(words)
            else:
                self.message.emit(words)
                self.show_values(self.document.job)
            return False
        self.document.do(job, name)
        return True


class ThingForm(CellForm):
    """A form for one thing in the job, by its id."""

    @property
    def thing_id(self) -> str:
        """Return the id of the thing shown."""
        return self._of if isinstance(self._of, str) else ""

    def subject(self, job: Job) -> Any:
        """Return the thing as it is in a job, or None if it is not there."""
        return job.find(self.thing_id)

    def its(self, edit: Taker, key: str = "") -> Taker:
        """Return an edit of the thing shown; the value is passed third, or as the keyword `key`."""
        if key:
            return lambda job, value: edit(job, self.thing_id, **{key: value})
        return lambda job, value: edit(job, self.thing_id, value)
