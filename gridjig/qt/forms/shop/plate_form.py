"""A one-off plate for the laser: for an answer of the angle finder, or for a face of a part.

The form designs it again in the background with every change; saving writes the drawing, and the
plate can be put into the job as a piece of its own, as one step.
"""

from collections.abc import Callable, Sequence
from typing import cast, get_args

from msgspec import Struct
from PySide6.QtCore import Qt
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import QWidget

from gridjig.contact.titles import face_title
from gridjig.cutplates.asked import (
    PlateOf,
    PlateOptions,
    WrapKind,
    for_angle,
    for_answer,
    for_face,
)
from gridjig.cutplates.design import PlateDesign
from gridjig.cutplates.standing import in_its_way, with_plate
from gridjig.cutplates.wanted import PIN_FITS, thickness_range
from gridjig.files.exports.dxf import DrawingUnit, dxf_bytes
from gridjig.files.exports.svg import svg_bytes
from gridjig.files.format.faults import SaveFault
from gridjig.files.storage.locations import proposed_path
from gridjig.files.storage.saving import save
from gridjig.geometry.part_solids import PartFace
from gridjig.model import FaceOf, Hole, Job
from gridjig.model.labels import address
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.dialogs.questions import FileQuestions, with_suffix
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.tasks import TaskRunner
from gridjig.qt.widgets.buttons import make_button, scrolled
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.fields import FineLengthField, LengthField, TextField, TypedField
from gridjig.qt.widgets.layout import REST, in_column, in_grid, in_row
from gridjig.qt.widgets.live_picture import LivePicture
from gridjig.qt.widgets.plain import Label
from gridjig.qt.widgets.tick import Tick
from gridjig.session.document import Document
from gridjig.sheets.drawings.plate_sheet import draw_cut_plate, plate_drawing
from gridjig.sheets.text.plate_text import cutter_notes, plate_lines
from gridjig.solve.angles.answers import AngleLimits
from gridjig.solve.angles.faults import AngleFault
from gridjig.solve.angles.wanted import WantedLine
from gridjig.solve.weldment.faces import faces
from gridjig.tools.pick.angle_pick import typed_holes
from gridjig.units import format_length, format_measure
from gridjig.units.lengths import INCH
from gridjig.units.progress import Progress
from gridjig.words.angle_fault_text import angle_fault_text

_AROUND_WORDS: dict[WrapKind, str] = {
    "face": "Along the face",
    "face and end": "Face and end",
    "end and both faces": "Round the end",
}
FILTER = "DXF drawings (*.dxf);;SVG drawings (*.svg)"


class Designed(Struct, frozen=True):
    """A plate, and what is in its way, "" for nothing."""

    design: PlateDesign
    why: str


def _for_angle(
    job: Job, wanted: WantedLine, limits: AngleLimits, options: PlateOptions, progress: Progress
) -> PlateDesign:
    try:
        return for_angle(job, wanted, limits, options, progress)
    except AngleFault as fault:
        raise ValueError(angle_fault_text(fault, job.table, job.display)) from fault


class CutPlateForm(FormDialog):
    """Shows the plate while its sizes are typed."""

    topic = "angle"

    def __init__(
        self,
        parent: QWidget,
        document: Document,
        of: PlateOf,
        questions: FileQuestions,
        folder: str,
        appearance: Appearance,
        say: Callable[[str], None],
    ) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Cut plate")
        self._document, self._of, self._questions = document, of, questions
        self._folder, self._say = folder, say
        self.made: Designed | None = None
        self.tasks = TaskRunner(self)
        display = document.job.display
        usual = PlateOptions()
        metric = display.unit == "millimetres"
        self.name = TextField("Name")
        self.face, self.around = self._cells_for_a_face()
        (thin, thick), high = thickness_range(display), 2000.0 if metric else 80.0 * INCH
        self.thickness = LengthField("Thickness", display, thin, thick)
        self.pins = TypedField("Pins in", self._read_pins, self._show_pins, "two holes")
        self.pins.edit.setPlaceholderText("farthest apart")
        self.pins.set_value(())
        self.fit = Choices(
            "Pin holes",
            tuple(
                (f"{name}, {format_measure(mm, display)} over the pin", mm) for name, mm in PIN_FITS
            ),
        )
        self.kerf = FineLengthField("Kerf allowed for", display, 0.0, 5.0)
        self.relief = LengthField("Relief in inside corners", display, 0.0, thick)
        self.upright = LengthField("Uprights, height", display, 0.0, high)
        self.square = Tick("Sides along the table", "Instead of along the edge")
        self.thickness.set_value(usual.thickness if metric else INCH / 4.0)
        self.fit.set_value(usual.over)
        self.kerf.set_value(0.0)
        self.relief.set_value(usual.relief if metric else 3.0 * INCH / 16.0)
        self.upright.set_value(0.0)
        self.picture = LivePicture("The plate", appearance)
        self.told = Label(role="freedom", copied=True)
        self.told.setMinimumHeight(self.told.fontMetrics().lineSpacing() * 6 + 6)
        self.save_button = make_button("Save drawing…", self.save, plain=False)
        self.put_button = make_button("Put it on the table", self.put, plain=False)
        self.close_button = make_button("Close", self.reject, plain=False)
        self.save_button.setDefault(True)
        for_face_only = [self.face, self.around] if of.part else []
        fields = in_grid(
            self.name, *for_face_only, self.thickness, self.fit, self.kerf, self.relief,
            self.upright, self.square, self.pins, columns=2,
        )  # fmt: skip
        row = in_row(self.close_button, REST, self.put_button, self.save_button)
        page = QWidget()
        in_column(fields, self.told, REST, over=page, margins="none")
        both = in_row((scrolled(page), 1), (self.picture, 1))
        in_column(Label("Cut plate", "heading"), (both, 1), row, over=self)
        self.size_for(150, 34, (1000, 560))
        for field in (self.name, self.pins, self.thickness, self.kerf, self.relief, self.upright):
            field.applied.connect(lambda _: self.design())
        for choice in (self.face, self.around, self.fit):
            choice.chosen.connect(lambda _: self.design())
        self.square.applied.connect(lambda _: self.design())
        self.tasks.answered.connect(self._on_designed)
        self.tasks.failed.connect(self._on_refusal)
        self.design()

    def _cells_for_a_face(self) -> tuple[Choices, Choices]:
        """Make the cells that only a plate for a part shows; they go when the form goes."""
        goes = tuple((_AROUND_WORDS[a], a) for a in get_args(WrapKind))
        cells = (Choices("Face", self._faces(), self), Choices("Goes", goes, self))
        for cell in cells:
            cell.setVisible(bool(self._of.part))
        return cells

    def _faces(self) -> Sequence[tuple[str, object]]:
        """The straight faces of the part, in words."""
        job, part = self._document.job, self._of.part
        found = [face for face in faces(job.parts) if face.of.part == part]
        found.sort(key=lambda face: -round(face.length, 3))
        return [
            (
                f"{face_title(job, part, PartFace('side', face.of.side), (*face.normal, 0.0))},"
                f" {format_length(face.length, job.display)}",
                face.of,
            )
            for face in found
        ]

    def _read_pins(self, text: str) -> tuple[Hole, ...]:
        """Two holes for the pins, or none.  Raise ValueError with a sentence."""
        if not text.strip():
            return ()
        holes = typed_holes(self._document.job.table, text)
        if len(set(holes)) != 2:
            raise ValueError("Type two different holes, or nothing for those farthest apart.")
        return holes

    def _show_pins(self, holes: object) -> str:
        table = self._document.job.table
        return " + ".join(address(table, hole) for hole in cast(tuple[Hole, ...], holes))

    # -- designing ---------------------------------------------------------------------------------

    def options(self) -> PlateOptions:
        """Return the choices that are in force."""
        usual = PlateOptions()
        return PlateOptions(
            thickness=cast(float, self.thickness.value()),
            over=cast(float, self.fit.value() or usual.over),
            kerf=cast(float, self.kerf.value()),
            relief=cast(float, self.relief.value()),
            square=self.square.isChecked(),
            upright=cast(float, self.upright.value()),
            around=cast(WrapKind, self.around.value() or "face"),
            holes=cast(tuple[Hole, Hole], self.pins.value()) or None,
            name=str(self.name.value() or ""),
        )

    def design(self) -> None:
        """Design the plate for the choices in force, in the background."""
        job, options, of = self._document.job, self.options(), self._of
        face = cast(FaceOf | None, self.face.value())

        def work(progress: Progress) -> Designed:
            if of.answer is not None:
                made = for_answer(job, of.answer, options, options.holes or of.holes)
            elif of.wanted is not None:
                made = _for_angle(job, of.wanted, of.limits, options, progress)
            elif face is None:
                raise ValueError("This part has no straight face; choose another part.")
            else:
                made = for_face(job, face, options, progress)
            return Designed(made, in_its_way(job, made))

        self._enable(None)
        self.tasks.start(work)

    def _on_designed(self, made: object) -> None:
        designed, job = cast(Designed, made), self._document.job
        self._enable(designed)
        lines = list(plate_lines(designed.design, job))
        lines.append(
            f"▲ It cannot lie there now: {designed.why}"
            if designed.why
            else "● Nothing is in its way."
        )
        self.told.setText("\n".join(lines))
        self.name.edit.setPlaceholderText(designed.design.wanted.name)
        self.picture.show_drawing(draw_cut_plate(job, designed.design), " ".join(lines))

    def _on_refusal(self, why: str) -> None:
        self._enable(None)
        self.told.setText(f"✕ {why}")
        self.picture.show_drawing((), why)

    def _enable(self, made: Designed | None) -> None:
        self.made = made
        self.save_button.setEnabled(made is not None)
        self.put_button.setEnabled(made is not None and not made.why)

    # -- what becomes of it ------------------------------------------------------------------------

    def save(self) -> None:
        """Write the drawing for the laser."""
        if self.made is None:
            return
        job, design = self._document.job, self.made.design
        name = f"{job.name} {design.wanted.name}"
        proposed = str(proposed_path(self._folder, name, ".dxf"))
        chosen = self._questions.save_path(proposed, "Save the cut plate", FILTER)
        if not chosen:
            return
        path = with_suffix(chosen, ".dxf")
        drawing = plate_drawing(design, cutter_notes(design, job))
        unit: DrawingUnit = "mm" if job.display.unit == "millimetres" else "in"
        svg = path.suffix.lower() == ".svg"
        try:
            save(path, svg_bytes(drawing) if svg else dxf_bytes(drawing, unit))
        except SaveFault as fault:
            self._questions.problem(f"“{path.name}” was not saved", str(fault))
            return
        self._say(f"{path.name} is saved.")
        self.told.setText(f"{path.name} is saved. Put the plate on the table to plan with it.")
        self.put_button.setDefault(self.put_button.isEnabled())

    def put(self) -> None:
        """Put the plate into the rack and on the table, as one undo step."""
        if self.made is None or self.made.why:
            return
        job: Job = self._document.job
        after, name = with_plate(job, self.made.design)
        self._document.do(after, f"Put {self.made.design.wanted.name} on the table", [name])
        self._say(f"{self.made.design.wanted.name} is on the table and in the rack.")
        self.accept()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Stop designing."""
        self.tasks.close()
        super().closeEvent(event)
