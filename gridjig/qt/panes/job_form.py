"""The form of the job itself, shown while nothing is selected."""

from msgspec import structs
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QPushButton, QWidget

from gridjig.edits.details import rename_job, set_display, set_drawing, set_notes
from gridjig.model import Display, Table
from gridjig.session.desk import Desk
from gridjig.units import format_length

from ..fields import TextField
from ..quietbox import QuietBox
from .formbase import Form, NoteField, boxed

UNIT_CHOICES: tuple[tuple[str, Display, str], ...] = (
    ("8", Display(denominator=8), "Inch fractions, to 1/8"),
    ("16", Display(denominator=16), "Inch fractions, to 1/16"),
    ("32", Display(denominator=32), "Inch fractions, to 1/32"),
    ("64", Display(denominator=64), "Inch fractions, to 1/64"),
    ("decimals", Display(unit="inch decimals"), "Inch decimals"),
    ("mm", Display(unit="millimetres"), "Millimetres"),
)


def unit_key(display: Display) -> str:
    """The key of the choice that shows lengths as this display does."""
    for key, choice, _ in UNIT_CHOICES:
        if choice.unit == display.unit and (
            display.unit != "inch fractions" or choice.denominator == display.denominator
        ):
            return key
    raise KeyError(display.unit)


def unit_display(key: str, now: Display) -> Display:
    """The display of a choice; the fraction of a unit without fractions stays as it was."""
    choice = next(d for k, d, _ in UNIT_CHOICES if k == key)
    return choice if choice.unit == "inch fractions" else structs.replace(now, unit=choice.unit)


def table_words(table: Table, display: Display) -> str:
    """A table in one line: size, holes and pitch."""

    def shown(mm: float) -> str:
        return format_length(mm, display)

    pitch = shown(table.pitch_x)
    if table.pitch_y != table.pitch_x:
        pitch = f"{pitch} by {shown(table.pitch_y)}"
    return (
        f"{shown(table.width)} by {shown(table.depth)}, {shown(table.thickness)} thick;"
        f" {table.columns} by {table.rows} holes of {shown(table.hole_diameter)}, {pitch} apart"
    )


class JobForm(Form):
    """Name, drawing, revision, notes, unit, table and rack."""

    wanted = Signal(str)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.heading("This job")
        self.name = TextField("Name of the job", needed=True)
        self.drawing = TextField("Drawing")
        self.revision = TextField("Revision")
        self.notes = NoteField("Notes")
        self.unit = QuietBox()
        self.unit.setAccessibleName("Lengths shown in")
        for key, _, words in UNIT_CHOICES:
            self.unit.addItem(words, key)
        self.across(self.name)
        self.pair(self.drawing, self.revision)
        self.across(boxed("Lengths shown in", self.unit))
        self.heading("Weldment")
        self.weldment = self.words()
        self.starter_button = self._button("Add a ready weldment…", "weldment.starter")
        self.heading("Table")
        self.table = self.words()
        self.table_button = self._button("Change the table…", "table.form")
        self.heading("Rack")
        self.rack = self.words()
        self.rack_button = self._button("Change the rack…", "rack.form")
        self.across(self.notes)
        self.reflow()
        self._connect()

    def _button(self, words: str, wanted: str) -> QPushButton:
        button = QPushButton(words)
        button.setObjectName("plain")
        button.clicked.connect(lambda: self.wanted.emit(wanted))
        self.across(button)
        return button

    def _connect(self) -> None:
        self.name.applied.connect(
            lambda v: self.do(lambda job: rename_job(job, v), "Name the job", self.name)
        )
        self.drawing.applied.connect(
            lambda v: self.do(lambda job: set_drawing(job, v, job.revision), "Name the drawing")
        )
        self.revision.applied.connect(
            lambda v: self.do(lambda job: set_drawing(job, job.drawing, v), "Set the revision")
        )
        self.notes.applied.connect(lambda v: self.do(lambda job: set_notes(job, v), "Write notes"))
        self.unit.activated.connect(self._on_unit)

    def _on_unit(self, index: int) -> None:
        key = self.unit.itemData(index)
        self.do(lambda job: set_display(job, unit_display(key, job.display)), "Change the unit")

    def show_job(self) -> None:
        """Show the desk's job as it is now."""
        job = self.desk.shown
        self.name.set_value(job.name)
        self.drawing.set_value(job.drawing)
        self.revision.set_value(job.revision)
        self.notes.set_value(job.notes)
        self.unit.setCurrentIndex(self.unit.findData(unit_key(job.display)))
        parts = len(job.outlines)
        self.weldment.setText(
            ("1 part." if parts == 1 else f"{parts} parts.") if parts else "No part yet."
        )
        marked = len(job.table.marks)
        marks = f" {marked} marked." if marked else ""
        self.table.setText(f"{job.table.name}\n{table_words(job.table, job.display)}.{marks}")
        owned = sum(p.owned for p in job.rack.pieces)
        self.rack.setText(f"{job.rack.name}\n{owned} pieces of {len(job.rack.pieces)} kinds.")
