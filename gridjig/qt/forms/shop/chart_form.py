"""The form for the angle chart: base limits and paper, and saving as PDF or CSV."""

import math
from collections.abc import Callable
from pathlib import Path
from typing import cast

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from gridjig.angle.question import bases_within
from gridjig.files.format.faults import SaveFault
from gridjig.files.storage.locations import proposed_path
from gridjig.files.storage.saving import save
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.dialogs.questions import CSV_FILTER, PDF_FILTER, FileQuestions, with_suffix
from gridjig.qt.paint.sheet_pdf import Unpainted, pages_pdf
from gridjig.qt.widgets.buttons import make_button
from gridjig.qt.widgets.cells import OptionalLengthField
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.layout import REST, in_column, in_grid, in_row
from gridjig.qt.widgets.plain import Label
from gridjig.session.document import Document
from gridjig.sheets.lists.angle_chart import chart_csv
from gridjig.sheets.setup.paper import PAPERS, Paper
from gridjig.sheets.setup.wall_chart import TITLE, wall_chart
from gridjig.solve.angles.chart import AngleChart, angle_chart
from gridjig.solve.angles.faults import AngleFault
from gridjig.solve.angles.packed_chart import PackedRow, packed_chart
from gridjig.units import format_angle, format_angle_error
from gridjig.words.angle_fault_text import angle_fault_text


class ChartForm(FormDialog):
    """Says how good the chart would be for these limits, and saves it."""

    topic = "angle"

    def __init__(
        self,
        parent: QWidget,
        document: Document,
        questions: FileQuestions,
        folder: str,
        say: Callable[[str], None],
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Angle chart")
        self._questions = questions
        self._folder = folder
        self._say = say
        self._document = document
        display = document.job.display
        head = Label("Angle chart", "heading")
        about = Label(
            f"The best pair of holes of {document.job.table.name} for every half degree from 0 to"
            " 90, both pins the same size. Marked holes are left out."
        )
        self.low = OptionalLengthField("Base from", display, "any")
        self.high = OptionalLengthField("Base to", display, "any")
        self.paper = Choices("Paper", ((paper, paper) for paper in PAPERS))
        self.paper.set_value("A4" if display.unit == "millimetres" else "Letter")
        self.told = Label(role="freedom")
        self.told.setMinimumHeight(self.told.fontMetrics().lineSpacing() * 2 + 6)
        self.pdf = make_button("Save as PDF", self._save_pdf, plain=False)
        self.csv = make_button("Save as CSV", self._save_csv, plain=False)
        self.close_ = make_button("Close", self.reject, plain=False)
        self.pdf.setDefault(True)
        bases = in_grid(self.low, self.high, self.paper, columns=3)
        buttons = in_row(self.close_, REST, self.csv, self.pdf)
        in_column(head, about, bases, self.told, REST, buttons, over=self)
        self.size_for(76, 16, (520, 0))
        self.low.applied.connect(lambda _: self._tell())
        self.high.applied.connect(lambda _: self._tell())
        self.chart: AngleChart | None = None
        self._tell()

    def _tell(self) -> None:
        """Compute the chart, or say at the field why there is none and keep the last one."""
        low, high = bases_within(math.inf, self.low.mm(), self.high.mm())
        fields = {"base_from": self.low, "base_to": self.high}
        job = self._document.job
        try:
            self.chart = angle_chart(job.table, low, high)
        except AngleFault as fault:
            fields.get(fault.field, self.high).complain(
                angle_fault_text(fault, job.table, job.display)
            )
            return
        for field in fields.values():
            field.complain("")
        worst = self.chart.worst
        self.told.setText(
            f"{len(self.chart.rows)} angles; the largest error is"
            f" {format_angle_error(worst.error_arcmin)} at {format_angle(worst.wanted_deg)}."
        )

    def packed(self) -> tuple[PackedRow, ...]:
        """Return the nearest answers with the rack's shims; none if it has no shims."""
        return () if self.chart is None else packed_chart(self.chart, self._document.job.rack)

    def _path(self, suffix: str, kinds: str) -> Path | None:
        name = f"{self._document.job.name} angles"
        proposed = str(proposed_path(self._folder, name, suffix))
        chosen = self._questions.save_path(proposed, "Save the chart", kinds)
        return with_suffix(chosen, suffix) if chosen else None

    def _save_pdf(self) -> None:
        path = self._path(".pdf", PDF_FILTER) if self.chart is not None else None
        if path is None or self.chart is None:
            return
        job, paper = self._document.job, cast(Paper, self.paper.value())
        pages = wall_chart(self.chart, self.packed(), job.rack, job.display, paper)
        try:
            save(path, pages_pdf(TITLE, pages))
        except (SaveFault, Unpainted) as fault:
            self._questions.problem(f"“{path.name}” was not saved", str(fault))
            return
        self._saved(path)

    def _save_csv(self) -> None:
        path = self._path(".csv", CSV_FILTER) if self.chart is not None else None
        if path is None or self.chart is None:
            return
        try:
            save(path, chart_csv(self.chart, self.packed()).encode("utf-8-sig"))
        except SaveFault as fault:
            self._questions.problem(f"“{path.name}” was not saved", str(fault))
            return
        self._saved(path)

    def _saved(self, path: Path) -> None:
        self._say(f"{path.name} is saved.")
        self.accept()


def open_chart(
    parent: QWidget,
    document: Document,
    questions: FileQuestions,
    folder: str,
    say: Callable[[str], None],
) -> None:
    """Open the form; `folder` is proposed for files, `say` reports that one has been saved."""
    form = ChartForm(parent, document, questions, folder, say)
    form.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    form.open()
