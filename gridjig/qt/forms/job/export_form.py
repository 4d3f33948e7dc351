"""What goes out: a drawing of the set-up or the table, a list, a picture of the plan.

The form says what will be in the file before it is written; writing runs in the background.
"""

from collections.abc import Callable
from pathlib import Path
from typing import cast

from PySide6.QtCore import Qt
from PySide6.QtGui import QCloseEvent, QGuiApplication, QImage
from PySide6.QtWidgets import QWidget

from gridjig.files.exports.dxf import DrawingUnit, dxf_bytes
from gridjig.files.exports.svg import svg_bytes
from gridjig.files.format.faults import SaveFault
from gridjig.files.storage.locations import proposed_path
from gridjig.files.storage.saving import save
from gridjig.geometry.layered import LayeredDrawing
from gridjig.model import Job
from gridjig.qt.canvas.plan_picture import Unpictured, plan_png, png_bytes
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.dialogs.questions import CSV_FILTER, FileQuestions, with_suffix
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.tasks import TaskRunner
from gridjig.qt.widgets.announce import announce
from gridjig.qt.widgets.buttons import make_button, scrolled
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.layout import REST, holder, in_column, in_grid, in_row
from gridjig.qt.widgets.plain import Label
from gridjig.qt.widgets.tick import Tick
from gridjig.session.document import Document
from gridjig.sheets.drawings.true_size import CONTENTS, Content, setup_drawing, table_drawing
from gridjig.sheets.lists.every_list import LISTS, NamedList
from gridjig.units import format_count, format_extent
from gridjig.units.progress import Progress
from gridjig.units.spelling import spelled

DXF, SVG, CSV, PNG = ".dxf", ".svg", ".csv", ".png"
FILTERS = {
    DXF: "Drawings (*.dxf)",
    SVG: "Drawings (*.svg)",
    CSV: CSV_FILTER,
    PNG: "Pictures (*.png)",
}
CONTENT_WORDS: dict[Content, str] = {
    "table": "Edge of the table",
    "holes": "Holes",
    "pieces": "Pieces and pins",
    "members": "Weldment",
    "labels": "Names and addresses",
}
WHAT = (
    ("Set-up, as a drawing", "setup"),
    ("Top plate of the table, as a drawing", "table"),
    ("A list, for a spreadsheet", "list"),
    ("Picture of the plan", "picture"),
)


class ExportForm(FormDialog):
    """Says what goes out, and writes it."""

    topic = "files"

    def __init__(
        self,
        parent: QWidget,
        document: Document,
        questions: FileQuestions,
        folder: str,
        appearance: Appearance,
        say: Callable[[str], None],
        view: Callable[[], QImage],
    ) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Export")
        self._document, self._questions, self._folder = document, questions, folder
        self._appearance, self._say, self._view = appearance, say, view
        self.tasks = TaskRunner(self)
        self._then: Callable[[object], None] = self._copied  # what is done with what was made
        metric = document.job.display.unit == "millimetres"
        self.what = Choices("What goes out", WHAT)
        self.kind = Choices("File", (("DXF", DXF), ("SVG", SVG)))
        self.unit = Choices("Unit of the DXF", (("millimetres", "mm"), ("inches", "in")))
        self.unit.set_value("mm" if metric else "in")
        self.list = Choices("List", tuple((one.title, one) for one in LISTS))
        self.shows = Choices(
            "Shows", (("the whole table", "table"), ("what the window shows", "view"))
        )
        self.ticks = {one: Tick(words, on=True) for one, words in CONTENT_WORDS.items()}
        self.contents = in_grid(*self.ticks.values(), columns=2)
        self.told = Label(role="freedom")
        self.told.setMinimumHeight(self.told.fontMetrics().lineSpacing() * 3 + 6)
        self.copy_button = make_button("Copy", self.copy, plain=False)
        self.save_button = make_button("Save…", self.save, plain=False)
        self.close_button = make_button("Close", self.reject, plain=False)
        self.save_button.setDefault(True)
        row = in_row(self.close_button, REST, self.copy_button, self.save_button)
        asked = in_column(
            self.what, self.kind, self.unit, self.list, self.shows, self.contents, REST,
            margins="none",
        )  # fmt: skip
        self.area = scrolled(holder(asked))
        in_column(Label("Export", "heading"), (self.area, 1), self.told, row, over=self)
        self.size_for(64, 24, (500, 560))
        for choice in (self.what, self.kind, self.unit, self.list, self.shows):
            choice.chosen.connect(lambda _: self.tell())
        for tick in self.ticks.values():
            tick.applied.connect(lambda _: self.tell())
        self.tasks.progressed.connect(self._on_progress)
        self.tasks.answered.connect(self._on_answer)
        self.tasks.failed.connect(self._on_refusal)
        self.tasks.ended.connect(self.tell_busy)
        self.tell()

    # -- what goes out -----------------------------------------------------------------------------

    @property
    def suffix(self) -> str:
        """How the name of the file ends."""
        what = self.what.value()
        if what in ("setup", "table"):
            return str(self.kind.value())
        return CSV if what == "list" else PNG

    def wanted(self) -> list[Content]:
        """Return what of the set-up is drawn."""
        return [one for one in CONTENTS if self.ticks[one].isChecked()]

    def drawing(self) -> LayeredDrawing:
        """Return the drawing that is chosen."""
        job = self._document.job
        if self.what.value() == "table":
            return table_drawing(job.table)
        return setup_drawing(job, self.wanted(), self._document.placed_pieces)

    def tell(self) -> None:
        """Show the choices that matter, and say what will be in the file."""
        what = self.what.value()
        drawn = what in ("setup", "table")
        self.kind.setVisible(drawn)
        self.unit.setVisible(self.suffix == DXF)
        self.contents.setVisible(what == "setup")
        self.list.setVisible(what == "list")
        self.shows.setVisible(what == "picture")
        self.copy_button.setVisible(what == "list")
        self.save_button.setEnabled(not (what == "setup" and not self.wanted()))
        self.told.setText(self._words())

    def _words(self) -> str:
        if self.what.value() == "list":
            return (
                "One line each, with numbers in mm, degrees and kg that a spreadsheet can compute"
                " with."
            )
        if self.what.value() == "picture":
            return spelled("The plan as it is on the screen, in its colours.")
        if not self.wanted() and self.what.value() == "setup":
            return "Everything is left out; tick what is to be drawn."
        drawing = self.drawing()
        drawn = {shape.layer for shape in drawing.shapes}
        layers = ", ".join(one.name.lower() for one in drawing.layers if one.name in drawn)
        size = format_extent(
            drawing.high[0] - drawing.low[0],
            drawing.high[1] - drawing.low[1],
            self._document.job.display,
        )
        return f"True size, {size}, {format_count(len(drawing))} shapes on the layers {layers}."

    # -- writing -----------------------------------------------------------------------------------

    def copy(self) -> None:
        """Put the list on the clipboard as a table."""
        chosen, job = cast(NamedList, self.list.value()), self._document.job
        self._start(lambda _: chosen.text(job), self._copied)

    def _copied(self, text: object) -> None:
        lines = str(text).count("\n") - 1
        QGuiApplication.clipboard().setText(str(text))
        self.told.setText(f"{format_count(lines)} lines are on the clipboard as a table.")
        announce(self, self.told.text())

    def save(self) -> None:
        """Ask where, and write the file."""
        job, suffix = self._document.job, self.suffix
        path = self._path(job, suffix)
        if path is None:
            return
        if suffix == PNG:
            try:
                self._write(path, self._picture(job))
            except Unpictured as fault:
                self.told.setText(f"✕ {fault}")
            return
        self._start(self._work(job, suffix), lambda data: self._write(path, cast(bytes, data)))

    def _work(self, job: Job, suffix: str) -> Callable[[Progress], bytes]:
        """Return the work that makes the bytes of the file."""
        if suffix == CSV:
            chosen = cast(NamedList, self.list.value())
            # The byte order mark tells spreadsheets that the file is UTF-8.
            return lambda _: chosen.csv(job).encode("utf-8-sig")
        drawing, unit = self.drawing(), cast(DrawingUnit, self.unit.value())
        if suffix == SVG:
            return lambda progress: svg_bytes(drawing, progress)
        return lambda progress: dxf_bytes(drawing, unit, progress)

    def _picture(self, job: Job) -> bytes:
        if self.shows.value() == "view":
            return png_bytes(self._view())
        return plan_png(job, theme=self._appearance.theme)

    def _path(self, job: Job, suffix: str) -> Path | None:
        what = self.what.value()
        of = {"setup": "set-up", "table": "top plate", "picture": "plan"}
        name = cast(NamedList, self.list.value()).title if what == "list" else of[str(what)]
        proposed = str(proposed_path(self._folder, f"{job.name} {name.lower()}", suffix))
        chosen = self._questions.save_path(proposed, "Export", FILTERS[suffix])
        return with_suffix(chosen, suffix) if chosen else None

    def _start(self, work: Callable[[Progress], object], then: Callable[[object], None]) -> None:
        self._then = then
        self.tasks.start(work)
        self.tell_busy()

    def _on_answer(self, made: object) -> None:
        self._then(made)

    def tell_busy(self) -> None:
        """Keep the buttons from starting a second thing at once."""
        busy = self.tasks.busy
        self.save_button.setEnabled(not busy)
        self.copy_button.setEnabled(not busy)
        self.close_button.setText("Cancel" if busy else "Close")

    def _on_progress(self, done: int, total: int | None, words: str) -> None:
        of = f" {format_count(done)} of {format_count(total)}" if total else ""
        self.told.setText(f"{words}{of}…")

    def _on_refusal(self, why: str) -> None:
        self.told.setText(f"✕ {why}")
        announce(self, why)

    def _write(self, path: Path, data: bytes) -> None:
        try:
            save(path, data)
        except SaveFault as fault:
            self._questions.problem(f"“{path.name}” was not saved", str(fault))
            return
        self._say(f"{path.name} is saved.")
        self.accept()

    def reject(self) -> None:
        """Cancel what is being written, or close."""
        if self.tasks.busy:
            self.tasks.cancel()
            self.tell()
            return
        super().reject()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Stop what is being written."""
        self.tasks.close()
        super().closeEvent(event)
