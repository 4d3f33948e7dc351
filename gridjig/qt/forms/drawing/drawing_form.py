"""The form that imports a drawing: its unit, the layers to use, what they become and where.

The file is read and outlines are made in the background; the form shows the results.
"""

from pathlib import Path

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import (
    QCheckBox,
    QProgressBar,
    QWidget,
)

from gridjig.edits.copied_weldments import free_name
from gridjig.edits.weldment_list import add_weldment
from gridjig.files.drawings.drawing import UNITS, Count, Drawing, Report, outlined, read_drawing
from gridjig.files.drawings.member import guess_section
from gridjig.files.drawings.parts import (
    ImportedParts,
    LayerUse,
    require_outlines,
    step_name,
    to_job,
    to_parts,
    usual_thickness,
)
from gridjig.files.drawings.report import (
    accuracy_words,
    doubt_words,
    size_words,
    unit_words,
    unused_words,
    used_words,
)
from gridjig.files.library import sections
from gridjig.geometry.display import DisplayList as Shown
from gridjig.model import Section
from gridjig.model.labels import address, find_hole
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.paint.svg_process import read_svg
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.tasks import TaskRunner, Work
from gridjig.qt.widgets.announce import announce
from gridjig.qt.widgets.buttons import make_button, narrow, scrolled
from gridjig.qt.widgets.cell import boxed
from gridjig.qt.widgets.combo_box import NoWheelComboBox
from gridjig.qt.widgets.fields import LengthField, TypedField
from gridjig.qt.widgets.layout import REST, holder, in_column, in_row, split
from gridjig.qt.widgets.live_picture import LivePicture
from gridjig.qt.widgets.plain import Label, tip
from gridjig.qt.widgets.section_box import SectionCell
from gridjig.rack import Point
from gridjig.session.document import Document
from gridjig.units import format_extent
from gridjig.units.spelling import spelled

from .drawing_picture import curves_of, left_out, show_drawing, show_parts
from .layer_list import LayerList

_SHOW_BAR_MS = 300
_UNIT_WORDS = {
    "mm": spelled("millimetres"),
    "cm": spelled("centimetres"),
    "m": spelled("metres"),
    "in": "inches",
    "ft": "feet",
}


def read_any(path: Path, report: Report) -> Drawing:
    """Return the drawing of a DXF or SVG file.  Raise ReadFault if it cannot be read."""
    if path.suffix.lower() == ".svg":
        return read_svg(path, None, report)
    return read_drawing(path, None, report)


class DrawingForm(FormDialog):
    """Imports one drawing into the document's job, as one undo step."""

    topic = "drawing"

    def __init__(
        self, window: QWidget, document: Document, appearance: Appearance, path: Path
    ) -> None:
        super().__init__(window)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Import a drawing")
        self.document = document
        self.path = path
        self.drawing: Drawing | None = None
        self.brought: ImportedParts | None = None
        self._doubt = ""  # a question about the unit that is not answered yet
        self._display = document.job.display
        self._make_parts(appearance)
        self._lay_out()
        self._connect()
        self.tasks.start(lambda progress: read_any(path, progress.report))
        self._bar_timer.start()
        self._update_enabled()

    # -- building the form -----------------------------------------------------------------------

    def _make_parts(self, appearance: Appearance) -> None:
        self.tasks = TaskRunner(self)
        self.head = Label(self.path.name, "heading")
        self.unit = NoWheelComboBox()
        self.unit.setAccessibleName("Unit of the drawing")
        narrow(self.unit)
        self.layers = LayerList(self._display)
        self.kind = NoWheelComboBox()
        self.kind.setAccessibleName("What the outlines become")
        narrow(self.kind)
        self.kind.addItem("Plates", False)
        self.kind.addItem("Members where the width matches the section", True)
        self.section = SectionCell("Section of the members")
        self.section.box.offer(self._display.unit)
        self.thickness = LengthField("Plate thickness", self._display)
        inches = self._display.unit != "millimetres"
        self.thickness.set_range(25.4 / 16 if inches else 0.1, None)
        self.thickness.set_value(usual_thickness(self._display))
        self.z_low = LengthField("Underside at", self._display)
        self.z_low.set_range(0.0, None)
        self.z_low.set_value(0.0)
        self.hole = TypedField(
            "Lower left corner", self._read_hole, accepts="a hole; empty for the middle"
        )
        self.hole.set_value("")
        self.inner = QCheckBox("Inner outlines are parts, not holes")
        self.border = QCheckBox("Keep the border and the title block")
        self.border.hide()
        self.own_weldment = QCheckBox("As a weldment of its own")
        if not self.document.job.parts:
            self.own_weldment.hide()
        self.told = Label(copied=True)
        self.told.setAccessibleName("What is imported and what is not used")
        self.told.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.picture = LivePicture("Picture of the drawing", appearance)
        self.bar = QProgressBar()
        self.bar.setAccessibleName("Reading the drawing")
        self.bar.setRange(0, 0)
        self.bar.hide()
        self._bar_timer = QTimer(self)
        self._bar_timer.setSingleShot(True)
        self._bar_timer.setInterval(_SHOW_BAR_MS)
        self.apply_button = make_button("Import it", self.apply, plain=False)
        self.apply_button.setDefault(True)
        self.cancel_button = make_button("Cancel", self.reject, plain=False)

    def _lay_out(self) -> None:
        sizes = in_row((self.thickness, 1), (self.z_low, 1))
        told = scrolled(self.told)
        told.setMinimumHeight(self.fontMetrics().lineSpacing() * 7)
        side = in_column(
            boxed("Unit of the drawing", self.unit),
            (boxed("Layers", self.layers), 1),
            boxed("The selected layers, or all, become", self.kind),
            self.section,
            sizes,
            self.hole,
            self.inner,
            self.border,
            self.own_weldment,
            (told, 1),
            margins="left",
        )
        body = split(scrolled(holder(side)), self.picture, grows=1)
        row = in_row((self.bar, 1), REST, self.cancel_button, self.apply_button)
        in_column(self.head, (body, 1), row, over=self)
        room = self.screen().availableGeometry().size()
        self.resize(min(1200, room.width() - 40), min(760, room.height() - 80))
        left = min(max(420, self.fontMetrics().averageCharWidth() * 52), self.width() * 2 // 3)
        body.setSizes([left, self.width() - left])

    def _connect(self) -> None:
        self.tasks.answered.connect(self._on_came)
        self.tasks.failed.connect(self._on_failed)
        self.tasks.progressed.connect(self._on_progress)
        self.unit.activated.connect(self._on_unit)
        self.layers.changed.connect(self._make)
        self.layers.picked.connect(self._on_picked)
        self.kind.activated.connect(lambda _: self._on_kind())
        self.section.chosen.connect(self._on_section)
        self.section.box.adding.connect(self._add_section)
        self.thickness.applied.connect(lambda mm: self.layers.change(thickness=mm))
        self.z_low.applied.connect(lambda mm: self.layers.change(z_low=mm))
        self.hole.applied.connect(lambda _: self._make())
        self.inner.toggled.connect(lambda _: self._make())
        self.border.toggled.connect(lambda _: self._make())
        self._bar_timer.timeout.connect(self._show_bar)
        self.finished.connect(lambda _: self.tasks.cancel())

    # -- what is typed ---------------------------------------------------------------------------

    def _read_hole(self, text: str) -> str:
        """Return the address of the hole typed, or "" for none.  Raise ParseError if unreadable."""
        table = self.document.job.table
        return address(table, find_hole(table, text)) if text.strip() else ""

    def _at(self) -> Point | None:
        """Return where the lower left corner goes, or None for the middle of the table."""
        table, typed = self.document.job.table, str(self.hole.value())
        return table.at(find_hole(table, typed)) if typed else None

    # -- results of the background tasks ---------------------------------------------------------

    def _on_came(self, answer: object) -> None:
        self._hide_bar()
        if isinstance(answer, Drawing):
            self._take_drawing(answer)
        elif isinstance(answer, ImportedParts):
            self.brought = answer
            self._show_brought(answer)
        self._update_enabled()

    def _take_drawing(self, drawing: Drawing) -> None:
        first = self.drawing is None
        self.drawing = drawing
        if first:
            self._doubt = doubt_words(drawing, self._display)
            self._fill_units(drawing)
        self.border.setVisible(bool(drawing.aside))
        thickness, z_low = self.thickness.value(), self.z_low.value()
        assert isinstance(thickness, float)
        assert isinstance(z_low, float)
        self.layers.show_drawing(drawing, LayerUse("", z_low, thickness))
        self._make()

    def _fill_units(self, drawing: Drawing) -> None:
        """List the units, each with the drawing's size in that unit."""
        self.unit.clear()
        known = drawing.sketch.unit
        units = [*UNITS] if known is None or known in UNITS else [known, *UNITS]
        if known is None:
            self.unit.addItem("Choose the unit: the file does not state it", None)
        elif self._doubt:
            self.unit.addItem(f"Choose the unit. {self._doubt}", None)
        for unit in units:
            size = size_words(drawing, unit, self._display)
            said = ", as the file says" if unit == known else ""
            self.unit.addItem(f"{_UNIT_WORDS.get(unit, unit)}: {size}{said}", unit)
        asked = known is None or self._doubt
        self.unit.setCurrentIndex(0 if asked else self.unit.findData(known))

    def _on_failed(self, words: str) -> None:
        self._hide_bar()
        self.brought = None
        self._tell(f"✕ {words}")
        self.picture.show_drawing(self._plain_picture(), words)
        self._update_enabled()

    def _on_progress(self, done: int, total: int | None, _: str) -> None:
        self.bar.setRange(0, total or 0)
        self.bar.setValue(done)

    def _show_bar(self) -> None:
        if self.tasks.busy:
            self.bar.show()

    def _hide_bar(self) -> None:
        self._bar_timer.stop()
        self.bar.hide()

    # -- what to make ----------------------------------------------------------------------------

    def _send(self, work: Work) -> None:
        self.brought = None
        self.bar.setRange(0, 0)
        self._bar_timer.start()
        self.tasks.start(work)
        self._update_enabled()

    def _on_unit(self) -> None:
        unit, drawing = self.unit.currentData(), self.drawing
        if drawing is not None and unit is not None:
            self._doubt = ""
            self._send(lambda progress: outlined(drawing.sketch, unit, progress.report))

    def _on_picked(self) -> None:
        """Show in the fields below the list what the selected layer becomes."""
        use = self.layers.picked_use()
        if use is not None:
            self.thickness.set_value(use.thickness)
            self.z_low.set_value(use.z_low)
            self.kind.setCurrentIndex(int(use.section is not None))
            if use.section is not None:
                self.section.set_value(use.section)
            self._update_enabled()

    def _on_kind(self) -> None:
        """Members are of the section chosen before, or else of the one that fits most outlines."""
        if not self.kind.currentData():
            self.layers.change(section=(None,))
        elif self.section.box.section is not None:
            self.layers.change(section=(self.section.box.section,))
        elif self.drawing is not None:
            names = [use.layer for use in self.layers.uses()]
            guessed = guess_section(self.drawing, names, sections.sections())
            section = guessed.section if guessed else sections.sections()[0]
            self.section.set_value(section)
            self.layers.change(section=(section,))
        self._update_enabled()

    def _on_section(self, section: object) -> None:
        assert isinstance(section, Section)
        self.kind.setCurrentIndex(1)
        self.layers.change(section=(section,))

    def _add_section(self) -> None:
        from gridjig.qt.forms.shop.section_form import ask_section  # noqa: PLC0415 - rarely needed

        ask_section(self, self._display, [self.section.box], self._on_section)

    def _make(self) -> None:
        """Make the parts as the form now says."""
        drawing, uses = self.drawing, self.layers.uses()
        if drawing is None:
            return
        try:
            require_outlines(drawing, bars=True)
        except ValueError as fault:
            self._on_failed(str(fault))
            return
        if drawing.unit is None or self._doubt:
            self.tasks.cancel()
            self._hide_bar()
            self.brought = None
            shown = self._plain_picture()
            self.picture.show_drawing(shown, "The drawing alone.")
            wish = "Choose the unit that gives the right size; then the parts can be made."
            doubt = self._doubt and f"▲ {self._doubt}"
            told = (doubt, unit_words(drawing), wish, left_out(curves_of(drawing)))
            self._tell(" ".join(words for words in told if words))
            self._update_enabled()
            return
        job, at, inner = self.document.job, self._at(), self.inner.isChecked()
        border = self.border.isChecked()
        self._send(lambda _: to_parts(job, drawing, uses, at, inner, border))

    # -- what is shown ---------------------------------------------------------------------------

    def _plain_picture(self) -> Shown:
        return show_drawing(self.drawing, self.layers.uses()) if self.drawing else ()

    def _show_brought(self, brought: ImportedParts) -> None:
        drawing, table = self.drawing, self.document.job.table
        assert drawing is not None
        spoken = used_words(drawing, brought)
        self.picture.show_drawing(show_parts(table, brought), spoken)
        size = format_extent(brought.width, brought.depth, self._display)
        lines = [f"To import: {spoken}. Overall {size}."]
        if brought.unlike:
            unlike = Count(
                brought.unlike,
                "is not as wide as the section and becomes a plate.",
                "are not as wide as the section and become plates.",
            )
            lines.append(str(unlike))
        if brought.width > table.width or brought.depth > table.depth:
            lines.append("▲ It is larger than the table.")
        unused = unused_words(drawing, self.layers.uses(), brought, self.border.isChecked())
        if unused:
            lines.append("Not used: " + "; ".join(unused) + ".")
        if unit_words(drawing):
            lines.append(unit_words(drawing))
        lines += [f"Repaired: {words}." for words in drawing.repaired]
        lines += [accuracy_words(drawing), left_out(len(brought.parts))]
        self._tell("\n".join(line for line in lines if line))

    def _tell(self, words: str) -> None:
        self.told.setText(words)
        announce(self, words)

    def _update_enabled(self) -> None:
        """Enable the widgets that can be used now."""
        read = self.drawing is not None
        for part in (self.unit, self.layers, self.kind, self.thickness, self.z_low, self.inner):
            part.setEnabled(read)
        self.section.setEnabled(read and bool(self.kind.currentData()))
        self.hole.setEnabled(read)
        self.apply_button.setEnabled(self.brought is not None and not self.tasks.busy)
        self.apply_button.setToolTip(tip("" if self.brought else self.told.text().split("\n")[0]))

    # -- applying --------------------------------------------------------------------------------

    def apply(self) -> None:
        """Put the parts into the job as one undo step, and select them."""
        if self.brought is None or self.drawing is None:
            return
        job, home = self.document.job, self.document.weldment
        if self.own_weldment.isChecked():
            job, home = add_weldment(job, free_name(job, self.path.stem[:120]))
        job = to_job(job, self.brought, home)
        ids = frozenset(part.id for part in self.brought.parts)
        self.document.do(job, step_name(self.drawing), ids)
        self.accept()
