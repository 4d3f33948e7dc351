"""The limits of the angle finder as cells: base lengths, region, pieces and ways."""

from typing import cast

from msgspec import structs
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from gridjig.angle.question import (
    KEEP_OFF,
    ON_A_JOB,
    FaceRoom,
    along_room,
    box_region,
    face_room,
    limits_entered,
    region_round,
)
from gridjig.model import FaceOf
from gridjig.qt.canvas.covered_points import points_of
from gridjig.qt.widgets.cells import FoldingForm, OptionalLengthField
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.fields import CountField, TypedField
from gridjig.qt.widgets.layout import in_grid
from gridjig.qt.widgets.plain import Label
from gridjig.qt.widgets.tick import Tick
from gridjig.rack import Point
from gridjig.session.document import Document
from gridjig.sheets.text.angle_coverage_text import WAY_WORDS
from gridjig.sheets.text.angle_text import room_along_words
from gridjig.sheets.text.angle_way_text import WAY_NAMES
from gridjig.solve.angles.answers import (
    MOST_SHIMS,
    WAYS,
    AlongFace,
    AngleLimits,
    AngleWay,
    PinSide,
    usual_shims,
)
from gridjig.solve.angles.faults import AngleFault
from gridjig.tools.pick.angle_pick import EdgePick, HolesPick, PickableEdge
from gridjig.units import format_length
from gridjig.words.angle_fault_text import angle_fault_text

_WHERE = (
    ("Whole table", "table"),
    ("In a box…", "box"),
    ("Around the selection", "selection"),
    ("Along a face…", "along"),
)
_NO_FIELD = ("region", "along", "only_free", "ways", "packing_to", "top")
"""Limits that can be at fault but have no field of their own to show a complaint."""


class AngleLimitsForm(FoldingForm):
    """The limits that the person sets; emits `changed` after every valid change."""

    margins = "none"

    changed = Signal()
    picking = Signal(object, object)

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(document, parent)
        display = document.job.display
        self.base_from = OptionalLengthField("Base from", display, "any")
        self.base_to = OptionalLengthField("Base to", display, "the far end")
        self.where = Choices("Where", _WHERE)
        self.side = Choices(
            "Pins are", (("right of the line", "right"), ("left of the line", "left"))
        )
        self.clear = OptionalLengthField("Clear of its joints by", display, "")
        self.clear.set_range(0.0, None)
        self.off = OptionalLengthField("Pins off the face, at most", display, "1-1/2 pitches")
        self.place = Label(role="small")
        self.fault = Label(role="complaint")
        self.only_free = Tick("Only free holes", on=ON_A_JOB.only_free)
        self.only_left = Tick("Only pieces left on the rack", on=ON_A_JOB.only_left)
        self.shorter = OptionalLengthField(
            "Shorter side, for the class", display, "the length above"
        )
        self.shims = CountField("Shims at a pin, at most", 0, MOST_SHIMS)
        self.shims.set_value(usual_shims(False))
        self.shims.make_live()
        self.ways: dict[AngleWay, Tick] = {}
        self._region: tuple[Point, ...] = ()
        self._edge: PickableEdge | None = None
        self._faulty: TypedField | None = None
        self._lay_out()
        self._connect()

    def _lay_out(self) -> None:
        self.pair(self.base_from, self.base_to)
        self.pair(self.where, self.side)
        self.across(self.place)
        self.pair(self.clear, self.off)
        self.across(self.only_free, self.only_left)
        for way in WAYS:
            self.ways[way] = Tick(WAY_NAMES[way], WAY_WORDS[way], on=way in ON_A_JOB.ways)
        self.across(in_grid(*self.ways.values()))
        self.across(self.fault)
        self.pair(self.shims, self.shorter)
        self._show_where()

    def _connect(self) -> None:
        self.clear.applied.connect(lambda _: self._show_where())
        for field in (self.base_from, self.base_to, self.clear, self.off, self.shorter, self.shims):
            field.applied.connect(lambda _: self.changed.emit())
        for tick in (self.only_free, self.only_left, *self.ways.values()):
            tick.toggled.connect(lambda _: self.changed.emit())
        self.side.chosen.connect(lambda _: self.changed.emit())
        self.where.chosen.connect(self._on_where)

    def _on_where(self, where: object) -> None:
        if where == "box":
            self.where.set_value("box" if self._region else "table")
            box = HolesPick(self.document, boxed=True)
            self.picking.emit(box, lambda: self._take_box(box))
        elif where == "along":
            self.where.set_value("along" if self._edge else "table")
            face = EdgePick(self.document, "the face to put the pins along", parts_only=True)
            self.picking.emit(face, lambda: self._take_face(face))
        else:
            self._show_where()
            self.changed.emit()

    def _take_box(self, tool: HolesPick) -> None:
        table = self.document.job.table
        (ax, ay), (bx, by) = (table.at(hole) for hole in tool.picked)
        slack = 0.25 * min(table.pitch_x, table.pitch_y)
        low = (min(ax, bx) - slack, min(ay, by) - slack)
        self._region = box_region(low, (max(ax, bx) + slack, max(ay, by) + slack))
        self.where.set_value("box")
        self._show_where()
        self.changed.emit()

    def _take_face(self, tool: EdgePick) -> None:
        self.hold(tool.picked[0])
        self.changed.emit()

    def hold(self, edge: PickableEdge | None) -> None:
        """Require the pins to stand along this face; None allows the whole table again."""
        if self.shims.value() == usual_shims(self._edge is not None):
            self.shims.set_value(usual_shims(edge is not None))
        self._edge = edge
        self.where.set_value("table" if edge is None else "along")
        self._show_where()

    def _show_where(self) -> None:
        where = self.where.value()
        along = where == "along"
        told = {
            "box": "Only holes in the box picked on the plan.",
            "selection": "Only holes within the box around the selection.",
            "along": self._told_along() if along else "",
        }.get(str(where), "")
        self.place.setText(told)
        self.show_cell(self.place, bool(told))
        self.show_cell(self.clear, along)
        self.show_cell(self.off, along)
        self.show_cell(self.side, not along)
        self.show_cell(self.fault, bool(self.fault.text()))
        self.reflow()

    def _told_along(self) -> str:
        room = self._room()
        if room is None or self._edge is None:
            return ""
        told = room_along_words(room, self.document.job.display)
        return f"Pins beside {self._edge.of}, on the outside: {told}."

    # -- the values --------------------------------------------------------------------------------

    def show_job(self) -> None:
        """Show lengths in the job's unit."""
        for field in (self.base_from, self.base_to, self.clear, self.off, self.shorter):
            field.set_display(self.document.job.display)
        self.clear.set_open_words(format_length(self._keep_off(), self.document.job.display))
        self._show_where()

    def limits(self, leg: float) -> AngleLimits:
        """Return the limits as set, for a leg in mm.  Raise AngleFault if they are invalid."""
        lengths = limits_entered(
            self.document.job.display,
            leg=leg,
            shorter_leg=self.shorter.mm(),
            base_from=self.base_from.mm(),
            base_to=self.base_to.mm(),
            within_leg=True,
        )
        return structs.replace(
            lengths,
            region=self.region(),
            along=self.along(),
            only_free=self.only_free.isChecked(),
            only_left=self.only_left.isChecked(),
            ways=self.chosen_ways(),
            side=cast(PinSide, self.side.value()),
            shims_at_most=int(str(self.shims.value())),
        )

    def region(self) -> tuple[Point, ...]:
        """Return the region that both holes must lie in, or () for the whole table.

        Raise AngleFault if the region is invalid.
        """
        where = self.where.value()
        if where == "box":
            return self._region
        if where != "selection":
            return ()
        return region_round(
            self.document.job.table, points_of(self.document, self.document.selection)
        )

    def along(self) -> AlongFace | None:
        """Return the part of the picked face, clear of its joints, that pins can stand along.

        Return None if pins may stand anywhere.  Raise AngleFault if the joints leave no room.
        """
        room = self._room()
        if self.where.value() != "along" or self._edge is None or room is None:
            return None
        return along_room(self.document.job, room, self._edge.side, self.off.mm())

    def held(self) -> FaceOf | None:
        """Return the face that pins stand along, if it belongs to the weldment."""
        along = self.where.value() == "along" and self._edge is not None
        return self._edge.face if along and self._edge else None

    def _room(self) -> FaceRoom | None:
        """Return what the joints of the current job leave free of the picked face."""
        edge, clear = self._edge, self.clear.mm()
        if edge is None:
            return None
        clear = self._keep_off() if clear is None else clear
        return face_room(self.document.job.parts, edge.face, edge.a, edge.b, clear)

    def _keep_off(self) -> float:
        return KEEP_OFF[self.document.job.display.unit == "millimetres"]

    def chosen_ways(self) -> tuple[AngleWay, ...]:
        """Return the ways that are ticked."""
        return tuple(way for way, tick in self.ways.items() if tick.isChecked())

    def summary(self) -> str:
        """Return the limits in a few words, shown while the form is folded away."""
        parts = [self.where.box.currentText().rstrip("…").lower()]
        low, high = self.base_from.edit.text(), self.base_to.edit.text()
        if low or high:
            parts.append(f"base {low or '0'} to {high or 'the far end'}")
        parts.append("free holes" if self.only_free.isChecked() else "any holes")
        parts.append("pieces left" if self.only_left.isChecked() else "any pieces")
        off = len(WAYS) - len(self.chosen_ways())
        if off:
            parts.append(f"{len(WAYS) - off} of {len(WAYS)} ways")
        return ", ".join(parts)

    def show_fault(self, fault: AngleFault | None) -> bool:
        """Show a fault at the cell it belongs to; return True if there is such a cell."""
        fields = {
            "base_from": self.base_from,
            "base_to": self.base_to,
            "shorter_leg": self.shorter,
            "shims_at_most": self.shims,
            "clear": self.clear,
        }
        if self._faulty is not None:
            self._faulty.complain("")
        self._faulty = fields.get(fault.field) if fault is not None else None
        job = self.document.job
        words = "" if fault is None else angle_fault_text(fault, job.table, job.display)
        if self._faulty is not None:
            self._faulty.complain(words)
        here = fault is not None and fault.field in _NO_FIELD
        self.fault.setText(f"✕ {words}" if here else "")
        self.show_cell(self.fault, here)
        self.reflow()
        return here or self._faulty is not None
