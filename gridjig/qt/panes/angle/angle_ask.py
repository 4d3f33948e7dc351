"""The question for the angle finder: the angle, what it is measured from, the leg, the class.

Every keystroke asks again; a text that cannot be read leaves the last question in force.
"""

from typing import cast

from msgspec import Struct, structs
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from gridjig.angle.question import AngleQuestion, leg_of, usual_leg
from gridjig.model import Job, Member, Plate
from gridjig.model.titles import part_name
from gridjig.qt.widgets.cells import ButtonRow, FoldingForm, FoldingRow, OptionalLengthField
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.fields import TypedField
from gridjig.qt.widgets.foot import Foot
from gridjig.qt.widgets.layout import in_column
from gridjig.qt.widgets.plain import Button, Label, explain
from gridjig.session.document import Document
from gridjig.sheets.text.angle_text import wanted_words
from gridjig.solve.angles.faults import AngleFault
from gridjig.solve.angles.wanted import Origin, Share, WantedLine, read_wanted
from gridjig.solve.tolerance import CLASSES, AngleClass, limit_arcmin
from gridjig.tools.pick.angle_pick import EdgePick, PickableEdge
from gridjig.units import format_angle, format_angle_range, format_length
from gridjig.words.angle_fault_text import angle_fault_text

from .angle_limits import AngleLimitsForm

ACCEPTS = "37.5 · 37 30' · 4:12 · rise 9 run 12"


class Picked(Struct, frozen=True):
    """An angle picked on the plan, degrees: that of an edge, or of the second of two faces."""

    words: str
    edge: float | None = None
    faces: tuple[float, float] | None = None


class AngleQuestionForm(FoldingForm):
    """The question as cells; emits `changed` after every valid change."""

    changed = Signal()
    picking = Signal(object, object)
    entered = Signal()

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(document, parent)
        self._face = 0.0
        self._holding = False
        self._measured: Origin = "table x"
        self._leg_from: tuple[float, str] | None = None
        self._faulty: TypedField | None = None
        self.angle = TypedField("Angle wanted", self._read_angle, _shown, ACCEPTS)
        self.angle.make_live()
        self.origin = Choices(
            "Measured from",
            (("table x", "table x"), ("table y", "table y"), ("a face…", "face")),
        )
        self.share = Choices(
            "It is",
            (
                ("the whole angle", "whole"),
                ("included, half each", "included"),
                ("per side", "each side"),
            ),
        )
        self.hold = Button(
            "Hold a face…",
            about="Click a face of the weldment: its angle, the room along it and the packing "
            "follow from that one click",
        )
        self.edge = Button("Like an edge", about="Click an edge on the plan to use its direction")
        self.faces = Button(
            "Between two faces",
            about="Click two faces on the plan: the angle of the second, measured from the first",
        )
        self.told = Label(role="freedom")
        self.complement = Button("Complement", about="Use 90° minus this angle instead")
        self.mirror = Button("Mirror", about="Measure it to the other side")
        self.picks = ButtonRow(self.edge, self.faces)
        self.swaps = ButtonRow(self.complement, self.mirror)
        for button in (self.complement, self.mirror):
            button.setCheckable(True)
        self.leg = OptionalLengthField("Length to the far end", document.job.display, "")
        self.tolerance = Choices("Class, ISO 13920", [("any", None)])
        self.fold = Button("Limits", "plain")
        self.fold.setCheckable(True)
        self.summary = Label(role="small")
        self.limits = AngleLimitsForm(document)
        self.more = FoldingForm(document)
        self.opened = Foot(in_column(self.more, margins="none"))
        self._lay_out()
        self._connect()
        self.show_job()

    def _lay_out(self) -> None:
        row = FoldingRow(self.hold, self.tolerance, self.fold, stretch=(5, 5, 3))
        self.across(self.angle, row, self.summary, self.told)
        self.show_cell(self.told, False)
        self.more.pair(self.origin, self.share)
        self.more.across(self.picks, self.swaps, self.leg, self.limits)
        self.more.reflow()
        self.opened.hide()
        self._name_fold()

    def _connect(self) -> None:
        self.angle.applied.connect(lambda _: self._on_typed())
        self.angle.edit.entered.connect(self.entered)
        self.origin.chosen.connect(self._on_origin)
        self.share.chosen.connect(lambda _: self._ask())
        self.hold.clicked.connect(self.pick_face)
        self.edge.clicked.connect(self.pick_edge)
        self.faces.clicked.connect(self._pick_faces)
        self.complement.toggled.connect(lambda _: self._ask())
        self.mirror.toggled.connect(lambda _: self._ask())
        self.leg.applied.connect(lambda _: self._on_leg())
        self.tolerance.chosen.connect(lambda _: self._ask())
        self.fold.toggled.connect(self._on_fold)
        self.limits.changed.connect(self._ask)
        self.limits.picking.connect(self.picking)

    # -- the angle ---------------------------------------------------------------------------------

    def _read_angle(self, text: str) -> str:
        job = self.document.job
        try:
            read_wanted(text, unit=job.display.unit)
        except AngleFault as fault:
            raise ValueError(angle_fault_text(fault, job.table, job.display)) from fault
        return text

    def _on_typed(self) -> None:
        if self._holding:  # the typed angle is no longer that of the face
            self._hold(None)
        self._unswap()
        self._ask()

    def _hold(self, edge: PickableEdge | None) -> None:
        """Hold a face, or none; hide the cells that only apply to a free angle."""
        self._holding = edge is not None
        self.limits.hold(edge)
        for cell in (self.origin, self.share, self.swaps):
            self.more.show_cell(cell, edge is None)
        self.more.reflow()

    def _unswap(self) -> None:
        for button in (self.complement, self.mirror):
            button.blockSignals(True)
            button.setChecked(False)
            button.blockSignals(False)

    def show_picked(self, picked: Picked) -> None:
        """Ask for the picked angle."""
        self._unswap()
        self.angle.set_value(picked)
        self.angle.restore()
        self._ask()

    def pick_face(self) -> None:
        """Let the person pick a face to hold where it lies."""
        tool = EdgePick(self.document, "the face to hold", parts_only=True)
        self.picking.emit(tool, lambda: self.hold_face(tool.picked[0]))

    def hold_face(self, edge: PickableEdge) -> None:
        """Ask for a face: its angle, pins along it, and the length of its part as the leg."""
        self._hold(edge)
        part = None if edge.face is None else self.document.job.find(edge.face.part)
        if isinstance(part, Plate | Member):
            self._leg_from = (leg_of(part), part_name(part))
        self._show_leg()
        self.show_picked(Picked(f"{format_angle(edge.direction)}, {edge.of}", edge=edge.direction))

    def pick_edge(self) -> None:
        """Let the person pick an edge that the line should follow."""
        tool = EdgePick(self.document, "the edge that gives the direction")
        self.picking.emit(tool, lambda: self._take_edge(tool))

    def _take_edge(self, tool: EdgePick) -> None:
        edge = tool.picked[0]
        if self._holding:
            self._hold(None)
        words = f"{format_angle(edge.direction)}, as {edge.of}"
        self.show_picked(Picked(words, edge=edge.direction))

    def _pick_faces(self) -> None:
        tool = EdgePick(self.document, "face", count=2)
        self.picking.emit(tool, lambda: self._take_faces(tool))

    def _take_faces(self, tool: EdgePick) -> None:
        if self._holding:
            self._hold(None)
        first, second = (edge.direction for edge in tool.picked)
        words = f"{format_angle(second)}, face of {tool.picked[1].of}"
        self.show_picked(Picked(words, faces=(first, second)))

    def _on_origin(self, origin: object) -> None:
        if origin == "face":
            self.origin.set_value(self._measured)
            tool = EdgePick(self.document, "the face that the angle is measured from")
            self.picking.emit(tool, lambda: self._take_origin(tool))
            return
        self._measured = cast(Origin, origin)
        self._ask()

    def _take_origin(self, tool: EdgePick) -> None:
        edge = tool.picked[0]
        self._face, self._measured = edge.direction, "face"
        self.origin.set_words("face", f"{edge.of} at {format_angle(edge.direction)}…")
        self.origin.set_value("face")
        self._ask()

    # -- the leg -----------------------------------------------------------------------------------

    def _on_leg(self) -> None:
        self._show_classes()
        self._ask()

    def show_job(self) -> None:
        """Show the document's unit and the length of the selected part."""
        job = self.document.job
        self.leg.set_display(job.display)
        self.limits.show_job()
        part = self._selected_part(job)
        if part is not None:
            self._leg_from = (leg_of(part), part_name(part))
        self._show_leg()
        self._show_classes()

    def _show_leg(self) -> None:
        job = self.document.job
        length, of = self._leg_from or (usual_leg(job.display), "")
        shown = format_length(length, job.display)
        self.leg.set_open_words(f"{shown}, as {of}" if of else shown)

    def _selected_part(self, job: Job) -> Plate | Member | None:
        if len(self.document.selection) != 1:
            return None
        thing = job.find(next(iter(self.document.selection)))
        return thing if isinstance(thing, Plate | Member) else None

    def leg_mm(self) -> float:
        """Return the leg, mm: as typed, else the length of the part selected last."""
        typed = self.leg.mm()
        if typed is not None:
            return typed
        return self._leg_from[0] if self._leg_from else usual_leg(self.document.job.display)

    def _show_classes(self) -> None:
        judged = self.limits.shorter.mm() or self.leg_mm()
        limits = [(name, limit_arcmin(name, judged)) for name in CLASSES] if judged > 0 else []
        choices: list[tuple[str, object]] = [("any", None)]
        choices += [(f"{name}, to {format_angle_range(most)}", name) for name, most in limits]
        if [self.tolerance.box.itemText(k) for k in range(self.tolerance.box.count())] != [
            words for words, _ in choices
        ]:
            self.tolerance.set_choices(choices)

    # -- asking ------------------------------------------------------------------------------------

    def _on_fold(self, on: bool) -> None:
        self.opened.setVisible(on)
        self._name_fold()

    def _name_fold(self) -> None:
        limited = self._limited()
        words = f"Limits: {limited}"
        self.fold.setAccessibleName(words)
        explain(self.fold, words)
        self.summary.setText(words)
        self.reflow()

    def _limited(self) -> str:
        """Return what is limited, in one line: what is not as usual, then where and with what."""
        told = []
        if not self._holding:
            if self._measured != "table x":
                told.append(f"from {'a face' if self._measured == 'face' else self._measured}")
            if self.share.value() != "whole":
                told.append(self.share.box.currentText())
            swaps = ((self.complement, "complement"), (self.mirror, "mirrored"))
            told += [words for button, words in swaps if button.isChecked()]
        if self.leg.mm() is not None:
            told.append(f"{self.leg.edit.text()} to the far end")
        return ", ".join((*told, self.limits.summary()))

    def _ask(self) -> None:
        self._name_fold()
        self._show_classes()
        self.changed.emit()

    def question(self) -> AngleQuestion | None:
        """Return the question, or None if nothing is asked.  Raise AngleFault if it is invalid."""
        asked = self.angle.value()
        if not asked:
            return None
        picked = asked if isinstance(asked, Picked) else Picked(str(asked))
        return AngleQuestion(
            text=picked.words,
            edge=picked.edge,
            faces=picked.faces,
            origin=self._measured,
            face=self._face,
            share=cast(Share, self.share.value()),
            complement=self.complement.isChecked(),
            mirror=self.mirror.isChecked(),
            limits=structs.replace(
                self.limits.limits(self.leg_mm()),
                angle_class=cast(AngleClass | None, self.tolerance.value()),
            ),
        )

    def show_wanted(self, wanted: WantedLine) -> None:
        """Show the wanted angle, with its complement and its mirror beside it."""
        words = wanted_words(wanted)
        self.told.setText(words)
        self.show_cell(self.told, bool(words))
        self.reflow()
        self.complement.setText(f"⇄ Complement {format_angle(wanted.complement)}")
        self.mirror.setText(f"⇄ Mirror {format_angle(wanted.mirror)}")
        for button in (self.complement, self.mirror):
            button.setAccessibleName(button.text().removeprefix("⇄ "))
        self.swaps.fit()

    def show_fault(self, fault: AngleFault | None) -> bool:
        """Show a fault at the field it belongs to; return True if there is such a field."""
        if self._faulty is not None:
            self._faulty.complain("")
        fields = {"wanted": self.angle, "leg": self.leg}
        self._faulty = fields.get(fault.field) if fault is not None else None
        if fault is not None and self._faulty is not None:
            job = self.document.job
            self._faulty.complain(angle_fault_text(fault, job.table, job.display))
        below = self.limits.show_fault(fault)
        if below and not self.fold.isChecked():
            self.fold.setChecked(True)
        return below or self._faulty is not None


def _shown(value: object) -> str:
    """Return an angle as the field shows it."""
    return value.words if isinstance(value, Picked) else str(value)
