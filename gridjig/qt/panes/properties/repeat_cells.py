"""Cells that copy parts of the weldment: a row of copies at typed steps, or the opposite hand."""

from collections.abc import Callable
from typing import cast

from PySide6.QtWidgets import QWidget

from gridjig.edits.copies import array_by, mirror, mirror_copy
from gridjig.edits.lookup import part_of
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Job
from gridjig.model.titles import titles
from gridjig.qt.widgets.cell_form import CellForm
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.fields import CountField, LengthField
from gridjig.qt.widgets.tick import Tick
from gridjig.rack import Point
from gridjig.tools.core.wording import capital, sentence
from gridjig.units import Display

_AXES: tuple[tuple[str, object], ...] = (("Left to right", "x"), ("Front to back", "y"))
_MOST = 200


class RepeatCells:
    """Adds its cells to a form; they act on the parts that were shown last."""

    def __init__(self, form: CellForm, display: Display) -> None:
        self._form = form
        self._ids: frozenset[str] = frozenset()
        self._boxes: dict[str, float] = {}
        field = form.field
        self.step_x = field(LengthField("Step along x", display))
        self.step_y = field(LengthField("Step along y", display))
        self.count = field(CountField("Total", 2, _MOST))
        self.row = form.button("Repeat", self._make_row, about="Make copies at these steps")
        self.axis = field(Choices("Mirror", _AXES))
        self.about = field(LengthField("About x", display))
        self.keep = field(Tick("Keep the originals"), wide=True)
        self.mirror = form.button("Mirror", self._mirror, about="As the opposite hand")
        self.count.set_value(2)
        self.step_x.set_value(0.0)
        self.step_y.set_value(0.0)
        self.axis.chosen.connect(lambda _: self._show_middle())

    def cells(self) -> tuple[QWidget, ...]:
        """Return all cells, to be shown or hidden together."""
        return (
            self.count,
            self.row,
            self.step_x,
            self.step_y,
            self.axis,
            self.about,
            self.keep,
            self.mirror,
        )

    def show_parts(self, job: Job, ids: frozenset[str]) -> None:
        """Act on these parts from now on."""
        anew = ids != self._ids
        self._ids = ids
        for field in (self.step_x, self.step_y, self.about):
            field.set_display(job.display)
        points = [p for i in ids for p in part_ring(part_of(job, i))]
        x1, y1, x2, y2 = bounds(points)
        middles = {"x": (x1 + x2) / 2.0, "y": (y1 + y2) / 2.0}
        if anew or middles != self._boxes:
            self._boxes = middles
            self._show_middle()

    def _show_middle(self) -> None:
        axis = cast(str, self.axis.value())
        self.about.label.setText(f"About {axis}")
        self.about.edit.setAccessibleName(f"About {axis}")
        self.about.restore()
        self.about.set_value(self._boxes.get(axis, 0.0))

    def _make_row(self) -> None:
        for field in (self.count, self.step_x, self.step_y):
            field.apply()
            if field.has_complaint():
                return
        count, dx, dy = (
            cast(float, f.value() or 0.0) for f in (self.count, self.step_x, self.step_y)
        )
        name = titles(self._form.document.job, self._ids)
        self._do(
            lambda job: array_by(job, self._ids, int(count), dx, dy),
            f"Repeat {name}, {int(count)} in total",
            f"{capital(name)}: repeated, {int(count)} in total.",
        )

    def _mirror(self) -> None:
        self.about.apply()
        if self.about.has_complaint():
            return
        at = cast(float, self.about.value())
        a: Point = (at, 0.0) if self.axis.value() == "x" else (0.0, at)
        b: Point = (at, 1.0) if self.axis.value() == "x" else (1.0, at)
        name = titles(self._form.document.job, self._ids)
        if self.keep.isChecked():
            step, said = f"Mirror a copy of {name}", f"{capital(name)}: copied and mirrored."
            self._do(lambda job: mirror_copy(job, self._ids, a, b), step, said)
        else:
            step, said = f"Mirror {name}", f"{capital(name)}: mirrored."
            self._do(lambda job: (mirror(job, self._ids, a, b), self._ids), step, said)

    def _do(self, edit: Callable[[Job], tuple[Job, frozenset[str]]], name: str, said: str) -> None:
        """Do an edit as a named undo step; select the new parts along with the originals."""
        document = self._form.document
        try:
            job, made = edit(document.job)
        except ValueError as fault:
            self._form.message.emit(sentence(str(fault)))
            return
        if document.do(job, name, self._ids | made):
            self._form.message.emit(f"{said} Ctrl+Z undoes it.")
