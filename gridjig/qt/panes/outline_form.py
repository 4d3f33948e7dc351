"""The form of one outline of the weldment: place, turn, heights, size and corners, all typed."""

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from gridjig.edits.outlines import (
    rename_part,
    set_corners,
    set_heights,
    set_place,
)
from gridjig.edits.things import outline_of
from gridjig.geometry.steel import load
from gridjig.model import Job, Outline
from gridjig.rack import Point
from gridjig.session.desk import Desk
from gridjig.sheets.corners import (
    boxed_size,
    corners_words,
    read_corners,
    sized,
)
from gridjig.units import Display, format_length, format_mass

from ..fields import AngleField, LengthField, TextField, TypedField
from .formbase import Form
from .repeat_cells import RepeatCells


class OutlineForm(Form):
    """Shows the one selected outline."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self._id = ""
        display = desk.job.display
        self.heading("Plate of the weldment")
        self.weight = self.words("freedom")
        self.name = TextField("Name", needed=True)
        self.at_x = LengthField("x of its corner", display)
        self.at_y = LengthField("y of its corner", display)
        self.turn = AngleField("Turn")
        self.z_low = LengthField("From height", display)
        self.z_high = LengthField("To height", display)
        self.thick = LengthField("Thickness", display)
        self.size_x = LengthField("Size in x", display)
        self.size_y = LengthField("Size in y", display)
        self.corners = TypedField(
            "Corners", self._read_corners, self._show_corners, "x, y; x, y; and so on"
        )
        self.across(self.name)
        self.pair(self.at_x, self.at_y)
        self.pair(self.size_x, self.size_y)
        self.pair(self.z_low, self.z_high)
        self.pair(self.thick, self.turn)
        self.across(self.corners)
        about = self.words("small")
        about.setText(
            "x, y and the corners are measured from the table's front left corner, and from the"
            " outline's own corner. Turns go counter-clockwise."
        )
        self.repeat = RepeatCells(self, display)
        self.reflow()
        self._connect()

    def _lengths(self) -> tuple[LengthField, ...]:
        return (
            self.at_x,
            self.at_y,
            self.size_x,
            self.size_y,
            self.z_low,
            self.z_high,
            self.thick,
        )

    def _connect(self) -> None:
        self._on(self.name, lambda job, v: rename_part(job, self._id, v), "Name the outline")
        self._on(self.at_x, lambda job, v: set_place(job, self._id, x=v), "Move the outline")
        self._on(self.at_y, lambda job, v: set_place(job, self._id, y=v), "Move the outline")
        self._on(self.turn, lambda job, v: set_place(job, self._id, turn=v), "Turn the outline")
        self._on(
            self.z_low,
            lambda job, v: set_heights(job, self._id, v, self._outline(job).z_high),
            "Change the height",
        )
        self._on(
            self.z_high,
            lambda job, v: set_heights(job, self._id, self._outline(job).z_low, v),
            "Change the height",
        )
        self._on(self.thick, self._thickened, "Change the thickness")
        self._on(self.size_x, lambda job, v: self._sized(job, v, None), "Change the size")
        self._on(self.size_y, lambda job, v: self._sized(job, None, v), "Change the size")
        self._on(self.corners, lambda job, v: set_corners(job, self._id, v), "Change the corners")

    def _on(self, field: TypedField, edit: Callable[..., Job], name: str) -> None:
        field.applied.connect(lambda v: self.do(lambda job: edit(job, v), name, field))

    def _outline(self, job: Job) -> Outline:
        return outline_of(job, self._id)

    def _thickened(self, job: Job, thickness: float) -> Job:
        low = self._outline(job).z_low
        return set_heights(job, self._id, low, low + thickness)

    def _sized(self, job: Job, width: float | None, depth: float | None) -> Job:
        return set_corners(job, self._id, sized(self._outline(job).corners, width, depth))

    def _display(self) -> Display:
        return self.desk.job.display

    def _read_corners(self, text: str) -> tuple[Point, ...]:
        return read_corners(text, self._display().unit)

    def _show_corners(self, value: object) -> str:
        return corners_words(value, self._display()) if isinstance(value, tuple) else ""

    def show_thing(self, thing_id: str) -> None:
        """Show the outline of that id as the desk has it now."""
        job = self.desk.shown
        outline = outline_of(job, thing_id)
        if thing_id != self._id:
            self._id = thing_id
            for field in (self.name, self.turn, self.corners, *self._lengths()):
                field.restore()
        for field in self._lengths():
            field.set_display(job.display)
        self.size_x.set_range(0.0, None)
        self.size_y.set_range(0.0, None)
        self.name.set_value(outline.name)
        self.at_x.set_value(outline.x)
        self.at_y.set_value(outline.y)
        self.turn.set_value(outline.turn)
        self.z_low.set_value(outline.z_low)
        self.z_high.set_value(outline.z_high)
        self.thick.set_range(0.0, None)
        self.thick.set_value(outline.z_high - outline.z_low)
        self.repeat.show_parts(job, frozenset([thing_id]))
        if not self.desk.previewing:
            there = load(outline)
            x, y = (format_length(v, job.display) for v in (there.x, there.y))
            self.weight.setText(
                f"{format_mass(there.mass, job.display)} as plate. Centre of gravity at {x}, {y}."
            )
        width, depth = boxed_size(outline.corners)
        self.size_x.set_value(width)
        self.size_y.set_value(depth)
        self.corners.set_value(outline.corners)
