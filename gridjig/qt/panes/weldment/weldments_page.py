"""The weldments of the job: which there are, the current one, its name, number and hand."""

from typing import Any, cast

from PySide6.QtWidgets import QWidget

from gridjig.edits import weldment_list as edits
from gridjig.model import Job
from gridjig.model.by_weldment import several, weldment_of
from gridjig.model.titles import weldment_title
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.cell_form import CellForm
from gridjig.qt.widgets.cells import ButtonRow
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.fields import CountField, NoteField, TextField
from gridjig.qt.widgets.plain import Button
from gridjig.session.document import Document
from gridjig.sheets.lists.weldment_lines import KEY, total_words, weldment_lines

from .weldment_page import WeldmentPage

AS_DRAWN = "as drawn"


class WeldmentForm(CellForm):
    """Name, drawing, number and hand of the current weldment."""

    margins = "line"

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(document, parent)
        field = self.field
        self.name = field(
            TextField("Name", accepts="optional"),
            "name",
            lambda job, v: edits.rename_weldment(job, self.weldment, v),
            "Name the weldment",
            wide=True,
        )
        self.drawing = field(
            TextField("Drawing"),
            "drawing",
            lambda job, v: edits.set_weldment_drawing(job, self.weldment, v),
            "Name the weldment's drawing",
        )
        self.quantity = field(
            CountField("Number made", 1, 100_000, "1 up"),
            "quantity",
            lambda job, v: edits.set_quantity(job, self.weldment, v),
            "Set how many are made",
        )
        self.hand = field(
            Choices("Hand"),
            lambda one: one.opposite_of,
            lambda job, v: edits.set_hand(job, self.weldment, v),
            "Set the hand of the weldment",
            wide=True,
        )
        self.note = field(
            NoteField("Note"),
            "note",
            lambda job, v: edits.set_weldment_note(job, self.weldment, v),
            "Write a note about the weldment",
            wide=True,
        )
        self.reflow()

    @property
    def weldment(self) -> str:
        """Return the id of the weldment that the form shows."""
        return str(self._of)

    def subject(self, job: Job) -> Any:
        """Return the weldment that the form shows, or None if it is gone."""
        return next((one for one in job.weldments if one.id == self._of), None)

    def show_weldment(self, job: Job, weldment: str) -> None:
        """Show a weldment; its hand only if there is another one to be the opposite of."""
        self.turn_to(weldment)
        others = [one.id for one in job.weldments if one.id != weldment]
        choices: list[tuple[str, object]] = [(AS_DRAWN, None)]
        choices += [(f"opposite hand of {weldment_title(job, one)}", one) for one in others]
        self.hand.set_choices(choices)
        self.show_cell(self.hand, several(job))
        self.show_values(job)
        self.reflow()


class WeldmentsPage(WeldmentPage):
    """All weldments with their parts; the one chosen is the one that new parts go into."""

    topic = "weldments"

    def __init__(self, document: Document, appearance: Appearance) -> None:
        super().__init__(document, appearance)
        self.total = self.label()
        self.total.setAccessibleName("How many weldments and what they weigh")
        self.add_list("Weldments and their parts", single=False)
        self.form = WeldmentForm(document)
        self.form.message.connect(self.message)
        self.new = Button("New", about="Start another weldment; what is drawn next goes into it")
        self.duplicate = Button(
            "Duplicate", about="Put a copy of this weldment beside it, as a weldment of its own"
        )
        self.beside = Button(
            "Other hand…", about="Put its opposite hand beside it, with its pieces; shown first"
        )
        self.delete = Button("Delete", about="Delete this weldment with its parts; pieces stay")
        self.split = Button(
            "Selected parts into a new one",
            "plain",
            about="Make the selected parts a weldment of their own, where they lie",
        )
        self.add_row(ButtonRow(self.new, self.duplicate))
        self.add_row(ButtonRow(self.beside, self.delete))
        self.column.addWidget(self.form)
        self.add_row(self.split)
        for button, action in (
            (self.new, "weldment.new"),
            (self.duplicate, "weldment.duplicate"),
            (self.beside, "weldment.beside"),
            (self.delete, "weldment.delete"),
            (self.split, "weldment.split"),
        ):
            button.clicked.connect(lambda *_, wanted=action: self.action_wanted.emit(wanted))
        self.list.chosen.connect(self._on_chosen)
        self.list.opened.connect(lambda entry: self.revealed.emit(self.list.ids_with(entry)))
        self.list.setting.connect(self.reveal_chosen)
        self.setFocusProxy(self.list)

    def show_job(self) -> None:
        """Show the weldments and the form of the current one."""
        job, current = self.document.job, self.document.weldment
        self.total.setText(total_words(job))
        self.list.show_lines(weldment_lines(job))
        self.list.show_entries(self.list.given, self.document.selection)
        self.form.show_weldment(job, current)
        self.delete.setEnabled(several(job))
        there = any(part.weldment == current for part in job.parts)
        self.duplicate.setEnabled(there)
        self.beside.setEnabled(there)
        chosen = [part for part in job.parts if part.id in self.document.selection]
        self.split.setEnabled(0 < len(chosen) < len(job.parts))

    def _on_chosen(self, ids: object) -> None:
        """Select what the lines are about; a weldment's line makes it the current one."""
        key = self.list.current_key()
        with self.document.together():
            self.document.select(cast(frozenset[str], ids))
            if key.startswith(KEY):
                self.document.work_on(weldment_of(self.document.job, key.removeprefix(KEY)).id)
