"""The reverse question: what angle do two holes make?"""

from collections.abc import Iterable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from gridjig.model import Hole
from gridjig.model.labels import address, find_hole
from gridjig.qt.widgets.cells import FoldingForm
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.fields import TypedField
from gridjig.qt.widgets.plain import Button, Label
from gridjig.session.document import Document
from gridjig.sheets.drawings.angles import draw_through
from gridjig.sheets.text.two_holes_text import through_words
from gridjig.solve.angles.chart import two_hole_lines
from gridjig.solve.angles.faults import AngleFault
from gridjig.solve.angles.pins import pin_of
from gridjig.tools.pick.angle_pick import HolesPick
from gridjig.units import format_length
from gridjig.units.spelling import spelled
from gridjig.words.angle_fault_text import angle_fault_text


class TwoHolesForm(FoldingForm):
    """Two holes, two pins, and the lines that these make."""

    shown = Signal(object, object)
    picking = Signal(object, object)

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(document, parent)
        self._drawn: tuple[object, ...] = ()
        self.first = self._hole_field("First hole")
        self.second = self._hole_field("Second hole")
        self.pick = Button("Pick both on the plan", "plain")
        centre = ((spelled("centre of the hole"), 0.0),)
        self.pin_1 = Choices("Pin in the first", centre)
        self.pin_2 = Choices("Pin in the second", centre)
        self.pair(self.first, self.second)
        self.across(self.pick)
        self.pair(self.pin_1, self.pin_2)
        self.result = Label(role="freedom")
        self.result.setAccessibleName("Angles that the two holes make")
        self.across(self.result)
        self.reflow()
        self.pick.clicked.connect(self.pick_holes)
        for field in (self.first, self.second):
            field.applied.connect(lambda _: self.show_lines())
        for pin in (self.pin_1, self.pin_2):
            pin.chosen.connect(lambda _: self.show_lines())
        self.show_job()
        self.show_lines()

    def _hole_field(self, label: str) -> TypedField:
        field = TypedField(label, self._read, self._show, "such as H6")
        field.make_live()
        return field

    def _read(self, text: str) -> Hole:
        return find_hole(self.document.job.table, text)

    def _show(self, value: object) -> str:
        table = self.document.job.table
        return address(table, value) if isinstance(value, Hole) else ""

    def pick_holes(self) -> None:
        """Let the person pick both holes on the plan."""
        tool = HolesPick(self.document)
        self.picking.emit(tool, lambda: self.take(tool.picked))

    def take(self, holes: Iterable[Hole]) -> None:
        """Use these two holes."""
        for field, hole in zip((self.first, self.second), holes, strict=True):
            field.set_value(hole)
            field.restore()
        self.show_lines()

    def show_job(self) -> None:
        """Offer the pins of the job's rack."""
        job = self.document.job
        pins: dict[str, float] = {spelled("centre of the hole"): 0.0}
        for piece in job.rack.pieces:
            for pin in pin_of(job.table, job.rack, piece):
                wide = 2 * pin.radius
                pins[f"pin {format_length(wide, job.display)}"] = wide
        for choices in (self.pin_1, self.pin_2):
            choices.set_choices(pins.items())
        for field in (self.first, self.second):
            field.set_value(field.value())

    def show_lines(self) -> None:
        """Say what lines the two holes make, and show them."""
        table, display = self.document.job.table, self.document.job.display
        first, second = self.first.value(), self.second.value()
        if not (isinstance(first, Hole) and isinstance(second, Hole)):
            self.result.setText("Type two holes, or pick them on the plan.")
            self.shown.emit((), ())
            return
        sizes = [float(str(pin.value())) for pin in (self.pin_1, self.pin_2)]
        try:
            found = two_hole_lines(table, first, second, *sizes)
        except AngleFault as fault:
            self.second.complain(angle_fault_text(fault, table, display))
            return
        if self.second.has_complaint():
            self.second.complain("")
        rows = through_words(found, display)
        self.result.setText("\n".join(f"{words}: {angle}" for words, angle in rows))
        drawing = draw_through(table, (first, second), found.angle_deg)
        self.shown.emit(drawing, (table.at(first), table.at(second)))
