"""The form of one plate of the weldment: place, turn, heights, size and corners, all typed."""

from functools import partial
from typing import cast

from PySide6.QtWidgets import QWidget

from gridjig.edits.lookup import plate_of
from gridjig.edits.parts import (
    move_heights,
    rename_part,
    set_corners,
    set_heights,
    set_holes,
    set_place,
)
from gridjig.geometry.part_mass import load
from gridjig.model import Job, Plate, PlateHole
from gridjig.qt.widgets.cell_form import ThingForm
from gridjig.qt.widgets.fields import AngleField, LengthField, SizeField, TextField, TypedField
from gridjig.rack import Point
from gridjig.session.document import Document
from gridjig.sheets.text.contact_text import part_contact_lines
from gridjig.sheets.text.corner_text import boxed_size, corners_words, read_corners, sized
from gridjig.sheets.text.hole_text import hole_examples, hole_hint, holes_words, read_holes
from gridjig.units import Unit, format_length, format_mass
from gridjig.units.spelling import spelled

from .contact_lines import ContactLines
from .repeat_cells import RepeatCells
from .weldment_cell import WeldmentCell


def _about(unit: Unit) -> str:
    round_holes, _, slot, opening = hole_examples(unit)
    one = round_holes.partition(";")[0]
    return (
        "x and y are measured from the table's front left corner, corners and holes from the"
        " plate's own corner. Holes go straight through, with ; between them:"
        f" {one}; {slot}; {opening}. Both heights move together; the thickness changes the top."
        " Angles are counter-clockwise. A plate is flat: for a bent or rolled one draw its flat"
        " parts, or its plan as it lies on the table."
    )


class PlateForm(ThingForm):
    """Shows the selected plate."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(document, parent)
        display, field, its = document.job.display, self.field, self.its
        self.heading("Plate")
        self.weight = self.words("freedom")
        self.name = field(
            TextField("Name", needed=True), "name", its(rename_part), "Name the plate", wide=True
        )
        self.on(self.name.applied, self._say_number)
        self.at_x = field(
            LengthField("x of its corner", display), "x", its(set_place, "x"), "Move the plate"
        )
        self.at_y = field(
            LengthField("y of its corner", display), "y", its(set_place, "y"), "Move the plate"
        )
        self.size_x = field(
            SizeField("Size in x", display),
            lambda outline: boxed_size(outline.corners)[0],
            lambda job, v: self._sized(job, v, None),
            "Change the size",
        )
        self.size_y = field(
            SizeField("Size in y", display),
            lambda outline: boxed_size(outline.corners)[1],
            lambda job, v: self._sized(job, None, v),
            "Change the size",
        )
        self.z_low = field(
            LengthField("Underside height", display),
            "z_low",
            its(move_heights),
            "Change the height",
        )
        self.z_high = field(
            LengthField("Top height", display),
            "z_high",
            lambda job, v: move_heights(job, self.thing_id, v - self._thickness(job)),
            "Change the height",
        )
        self.thick = field(
            SizeField("Thickness", display),
            lambda outline: outline.z_high - outline.z_low,
            self._thickened,
            "Change the thickness",
        )
        self.turn = field(AngleField("Turn"), "turn", its(set_place, "turn"), "Turn the plate")
        self.corners = field(
            TypedField("Corners", self._read_corners, self._show_corners, "x, y; x, y; and so on"),
            "corners",
            its(set_corners),
            "Change the corners",
            wide=True,
        )
        self.holes = field(
            TypedField("Holes", self._read_holes, self._show_holes, hole_hint(display.unit)),
            "holes",
            its(set_holes),
            "Change the holes",
            wide=True,
        )
        self.about = self.words("small", _about(display.unit))
        self.weldment = WeldmentCell(lambda: frozenset([self.thing_id]))
        self.across(self.weldment)
        self.on(
            self.weldment.chosen,
            lambda v: self.do(
                partial(self.weldment.moved, chosen=v), "Move parts to another weldment"
            ),
        )
        self.repeat = RepeatCells(self, display)
        self.contact = ContactLines()
        self.across(self.contact)
        self.contact.chosen.connect(lambda thing_id: self.document.select({thing_id}))
        self.reflow()

    def _say_number(self, typed: object) -> None:
        """Say so if another part has the name that was typed, and this one was given a number."""
        name = self._outline(self.document.job).name
        if name != typed:
            self.message.emit(f"There is a {typed} already; this one is {name}.")

    def _outline(self, job: Job) -> Plate:
        return plate_of(job, self.thing_id)

    def _thickness(self, job: Job) -> float:
        outline = self._outline(job)
        return outline.z_high - outline.z_low

    def _read_holes(self, text: str) -> tuple[PlateHole, ...]:
        job = self.document.job
        return read_holes(text, job.display.unit, self._outline(job).corners)

    def _show_holes(self, value: object) -> str:
        return holes_words(cast(tuple[PlateHole, ...], value), self.document.job.display)

    def _thickened(self, job: Job, thickness: float) -> Job:
        low = self._outline(job).z_low
        return set_heights(job, self.thing_id, low, low + thickness)

    def _sized(self, job: Job, width: float | None, depth: float | None) -> Job:
        return set_corners(job, self.thing_id, sized(self._outline(job).corners, width, depth))

    def _read_corners(self, text: str) -> tuple[Point, ...]:
        return read_corners(text, self.document.job.display.unit)

    def _show_corners(self, value: object) -> str:
        return corners_words(cast(tuple[Point, ...], value), self.document.job.display)

    def show_thing(self, thing_id: str) -> None:
        """Show the plate with this id as the document has it now."""
        job = self.document.shown
        self.turn_to(thing_id)
        self.show_values(job)
        self.holes.set_accepts(hole_hint(job.display.unit))
        self.about.setText(_about(job.display.unit))
        self.repeat.show_parts(job, frozenset([thing_id]))
        self.show_cell(self.weldment, self.weldment.show_parts(job))
        self.contact.show_lines(part_contact_lines(job, self.document.contacts, thing_id))
        if not self.document.previewing:
            there = load(self._outline(job))
            x, y = (format_length(v, job.display) for v in (there.x, there.y))
            self.weight.setText(
                f"{format_mass(there.mass, job.display)} as plate."
                f" {spelled('Centre')} of gravity at {x}, {y}."
            )
