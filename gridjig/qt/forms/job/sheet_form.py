"""The setup sheet: how it is to be, what it looks like, printing it and saving it as PDF.

The preview shows the very pages that are printed.  They are made in the background; painting them
goes a page at a time, so that the window goes on and it can be stopped.
"""

import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any, cast

from msgspec import Struct, structs
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QPushButton, QWidget

from gridjig.files.format.faults import SaveFault
from gridjig.files.jobs.job_file import write_job
from gridjig.files.jobs.sheet_file import MEDIA_TYPE, SHEET, attachment_name
from gridjig.files.storage.locations import proposed_path
from gridjig.files.storage.saving import save
from gridjig.model import Job
from gridjig.proof.report import ProofReport
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.dialogs.questions import PDF_FILTER, FileQuestions, with_suffix
from gridjig.qt.paint.sheet_pdf import PdfMaking, Unpainted
from gridjig.qt.paint.sheet_print import PrintMaking
from gridjig.qt.tasks import TaskRunner
from gridjig.qt.tasks.timers import call_later
from gridjig.qt.widgets.announce import announce
from gridjig.qt.widgets.buttons import make_button, scrolled
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.layout import REST, holder, in_column, in_grid, in_row
from gridjig.qt.widgets.page_view import PageView
from gridjig.qt.widgets.plain import Label
from gridjig.qt.widgets.tick import Tick
from gridjig.session.document import Document
from gridjig.sheets.setup.facts import KnownFacts, find_out, known
from gridjig.sheets.setup.paper import (
    PAPERS,
    SCALES,
    Orientation,
    Paper,
    SheetChoices,
    SheetUnits,
)
from gridjig.sheets.setup.sheet import SetupSheet, best_held, setup_sheet
from gridjig.sheets.setup.shown import in_units
from gridjig.units import format_count, format_scale
from gridjig.units.progress import Progress

from .title_block_form import TitleBlockForm


class MadeSheet(Struct, frozen=True):
    """A sheet, the job that it is of, its units, and what was found out about that job in them."""

    job: Job
    units: SheetUnits
    known: KnownFacts
    sheet: SetupSheet


def make(
    job: Job,
    choices: SheetChoices,
    held: Orientation | None,
    known: KnownFacts | None,
    date: str,
    progress: Progress,
) -> MadeSheet:
    """Make a sheet; `held` None holds the page so that the plan is largest.  Raise Unfit."""
    found = known if known is not None else find_out(in_units(job, choices.units), progress)
    chosen = best_held(job, choices) if held is None else choices
    return MadeSheet(job, choices.units, found, setup_sheet(job, chosen, date, found, progress))


class SheetForm(FormDialog):
    """Chooses paper, scale and units, shows every page, prints and saves."""

    topic = "sheet"

    def __init__(
        self,
        parent: QWidget,
        document: Document,
        questions: FileQuestions,
        folder: str,
        say: Callable[[str], None],
        report: Callable[[], ProofReport | None] = lambda: None,
    ) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Setup sheet")
        self._document, self._questions, self._folder, self._say = document, questions, folder, say
        self._report = report
        self.made: MadeSheet | None = None
        self.at = 0
        self._painting: PdfMaking | PrintMaking | None = None
        self._total = 0
        self._ending: Callable[[], None] = self._nothing
        self._tasks = TaskRunner(self)
        self._tasks.answered.connect(self._on_made)
        self._tasks.failed.connect(self._on_refused)
        self._tasks.progressed.connect(self._on_progress)
        for keys, step in (("PgUp", -1), ("PgDown", 1)):  # not those of a choice that has the focus
            QShortcut(QKeySequence(keys), self).activated.connect(partial(self.turn, step))
        self._choices(document.job)
        self._parts()
        self._lay_out()
        self._unsubscribe = document.subscribe(self._on_document)
        self.finished.connect(self._on_finished)
        self._on_document()

    # -- assembly --------------------------------------------------------------------------------

    def _choices(self, job: Job) -> None:
        metric = job.display.unit == "millimetres"
        self.paper = Choices("Paper", ((paper, paper) for paper in PAPERS))
        self.paper.set_value("A4" if metric else "Letter")
        self.held = Choices(
            "Orientation",
            (("automatic", None), ("portrait", "portrait"), ("landscape", "landscape")),
        )
        self.held.set_value(None)
        scales = [(f"SCALE {format_scale(scale)}", scale) for scale in SCALES[1:10]]
        self.scale = Choices("Scale of the plan", [("automatic", None), *scales])
        self.scale.set_value(None)
        other = "inches" if metric else "mm"
        self.units = Choices("Units", (("the job's", "job"), (f"with {other} too", "both")))
        self.units.set_value("job")
        self.large = Tick("Large print, for arm's length", "Letters and hole addresses are larger")
        for choice in (self.paper, self.held, self.scale, self.units):
            choice.chosen.connect(lambda _: self.remake())
        self.large.applied.connect(lambda _: self.remake())

    def _parts(self) -> None:
        self.title_block = TitleBlockForm(self._document)
        self.view = PageView("Page of the setup sheet")
        self.told = Label(role="freedom")
        self.told.setMinimumHeight(self.told.fontMetrics().lineSpacing() * 2 + 6)
        self.number = Label()
        self.before = make_button("Previous page", lambda: self.turn(-1), about="or press Page Up")
        self.after = make_button("Next page", lambda: self.turn(1), about="or press Page Down")
        self.stop = make_button("Stop", self.cancel, plain=False)
        self.close_button = make_button("Close", self.reject, plain=False)
        self.print_button = make_button("Print…", self.print_pages, plain=False)
        self.save_button = make_button("Save as PDF…", self.save_pdf, plain=False)
        self.save_button.setDefault(True)

    def _lay_out(self) -> None:
        chosen = in_grid(self.paper, self.held, self.scale, self.units, columns=1)
        side = holder(in_column(chosen, self.large, self.title_block, REST, margins="none"))
        side_box = scrolled(side)
        bar = side_box.verticalScrollBar().sizeHint().width()
        side_box.setMinimumWidth(side.minimumSizeHint().width() + bar)
        pages = in_row(self.before, self.after, (self.number, 1))
        shown = in_column((self.view, 1), pages)
        body = in_row(side_box, (shown, 1))
        foot = in_row(
            (self.told, 1), self.stop, self.close_button, self.print_button, self.save_button
        )
        in_column((body, 1), foot, over=self, margins="dialog")
        room = self.screen().availableGeometry().size()
        self.resize(min(1240, room.width() - 24), min(860, room.height() - 60))

    # -- making the pages ------------------------------------------------------------------------

    def chosen(self) -> SheetChoices:
        """Return how the sheet is to be, as chosen; held upright if that is left to it."""
        return SheetChoices(
            paper=cast(Paper, self.paper.value()),
            orientation=cast(Orientation, self.held.value() or "portrait"),
            scale=cast(float | None, self.scale.value()),
            units="both" if self.units.value() == "both" else "job",
            large=self.large.isChecked(),
        )

    def remake(self) -> None:
        """Make the pages anew, in the background."""
        self.cancel()
        job, choices = self._document.job, self.chosen()
        held = cast(Orientation | None, self.held.value())
        found = self._known(job, choices.units)
        date = time.strftime("%Y-%m-%d")
        self._tasks.start(
            lambda progress: make(job, choices, held, found, date, progress),
            lambda: self._document.job is job,
        )
        self._update()

    def _known(self, job: Job, units: SheetUnits) -> KnownFacts | None:
        """What is known of the job already: from the pages before, or from the window's check.

        Findings are sentences with lengths in them, those of the window in the units of the job.
        """
        made, document = self.made, self._document
        if made is not None and made.units == units:
            titled = structs.replace(job, title_block=made.job.title_block)
            if titled == made.job:  # what stands in the title block changes nothing else
                return made.known
        report = None if document.previewing or units == "both" else self._report()
        return None if report is None else known(document.placed_pieces, report)

    def _on_document(self) -> None:
        self.title_block.show_job()
        if self.made is None or self.made.job is not self._document.job:
            self.remake()

    def _on_made(self, made: Any) -> None:
        assert isinstance(made, MadeSheet)
        self.made = made
        count = len(made.sheet.pages)
        self.at = min(self.at, count - 1)
        pages = "1 page" if count == 1 else f"{format_count(count)} pages"
        self.told.setText(f"{pages}, plan at SCALE {format_scale(made.sheet.scale)}.")
        self._update()

    def _on_refused(self, why: str) -> None:
        self.made = None
        self.told.setText(f"✕ {why}")
        announce(self, why)
        self._update()

    def _on_progress(self, done: int, total: int | None, words: str) -> None:
        of = f" {done} of {total}" if total else ""
        self.told.setText(f"{words}{of}…")

    # -- turning pages ---------------------------------------------------------------------------

    def turn(self, step: int) -> None:
        """Show the next page, or with -1 the one before."""
        if self.made is not None:
            self.at = max(0, min(self.at + step, len(self.made.sheet.pages) - 1))
            self._update()

    def _update(self) -> None:
        made = self.made
        pages = made.sheet.pages if made is not None else ()
        page = pages[self.at] if pages else None
        spoken = "" if page is None else " ".join(text.words for text in page.texts[:40])
        self.view.show_page(page, spoken)
        self.number.setText(f"Page {self.at + 1} of {len(pages)}" if pages else "")
        self.before.setEnabled(self.at > 0)
        self.after.setEnabled(self.at + 1 < len(pages))
        busy = self._tasks.busy or self._painting is not None
        self.stop.setEnabled(busy)
        for button in (self.print_button, self.save_button):
            button.setEnabled(bool(pages) and not busy)

    # -- printing and saving ---------------------------------------------------------------------

    def save_pdf(self) -> None:
        """Ask where, and write the PDF with the job inside."""
        made = self.made
        if made is None:
            return
        proposed = str(proposed_path(self._folder, f"{made.job.name} setup sheet", SHEET))
        chosen = self._questions.save_path(proposed, "Save the setup sheet", PDF_FILTER)
        if not chosen:
            return
        path = with_suffix(chosen, SHEET)
        inside = (attachment_name(made.job), write_job(made.job), MEDIA_TYPE)
        making = PdfMaking(made.sheet.title, made.sheet.pages, inside)
        self._paint(making, len(made.sheet.pages), lambda: self._write(path, making))

    def _write(self, path: Path, making: PdfMaking) -> None:
        try:
            save(path, making.done())
        except (SaveFault, Unpainted) as fault:
            self._questions.problem(f"“{path.name}” was not saved", str(fault))
            return
        self._say(f"{path.name} is saved, with the job inside.")
        self.accept()

    def print_pages(self) -> None:
        """Ask for a printer, and print."""
        from PySide6.QtPrintSupport import QPrintDialog, QPrinter  # noqa: PLC0415 - only to print

        made = self.made
        if made is None:
            return
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        printer.setDocName(made.sheet.title)
        printer.setFromTo(1, len(made.sheet.pages))
        dialog = QPrintDialog(printer, self)
        dialog.setOption(QPrintDialog.PrintDialogOption.PrintPageRange)
        dialog.setMinMax(1, len(made.sheet.pages))
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        for button in dialog.findChildren(QPushButton):  # Qt leaves less room than our buttons take
            button.setMinimumWidth(button.sizeHint().width())
        dialog.accepted.connect(lambda: self.print_on(printer))
        dialog.setWindowModality(Qt.WindowModality.WindowModal)
        dialog.show()

    def print_on(self, printer: Any) -> None:
        """Print the pages on a printer."""
        if self.made is None:
            return
        making = PrintMaking(printer, self.made.sheet.pages)
        self._paint(making, making.count, lambda: self._printed(making))

    def _printed(self, making: PrintMaking) -> None:
        try:
            making.done()
        except Unpainted as fault:
            self._questions.problem("The setup sheet was not printed", str(fault))
            return
        self._say("The setup sheet is printed.")
        self.accept()

    def _paint(
        self, making: PdfMaking | PrintMaking, total: int, ending: Callable[[], None]
    ) -> None:
        self._painting, self._total, self._ending = making, total, ending
        self._update()
        call_later(self, self._step)

    def _step(self) -> None:
        making = self._painting
        if making is None:
            return
        if making.painted < self._total:
            making.step()
            self.told.setText(f"Painting page {making.painted} of {self._total}…")
            call_later(self, self._step)
            return
        self._painting = None
        self._ending()
        self._update()

    def cancel(self) -> None:
        """Stop making or painting."""
        if self._painting is not None:
            self._painting.drop()
            self._painting = None
            self.told.setText("Stopped; nothing was saved or printed.")
        if self._tasks.busy:
            self._tasks.cancel()
            self.told.setText("Stopped.")
        self._update()

    def _nothing(self) -> None:
        """Nothing to end yet."""

    def _on_finished(self) -> None:
        self._unsubscribe()
        self.made = None  # so that nothing is saved or printed before the form is deleted
        self.cancel()
        self._tasks.close()
        focus = self.focusWidget()
        if focus is not None:
            focus.clearFocus()


def open_sheet_form(
    parent: QWidget,
    document: Document,
    questions: FileQuestions,
    folder: str,
    say: Callable[[str], None],
    report: Callable[[], ProofReport | None],
) -> SheetForm:
    """Open the form; `folder` is proposed for files, `say` reports what was saved or printed.

    `report` gives what the window's check has found out of the job, so that it is not done twice.
    """
    form = SheetForm(parent, document, questions, folder, say, report)
    form.open()
    return form
