"""The repeat order: what no longer holds on another table or rack, and picking again there.

Nothing changes until the set-up is picked again, which is one step.
"""

from typing import cast

from msgspec import Struct
from PySide6.QtCore import Qt
from PySide6.QtGui import QCloseEvent, QGuiApplication
from PySide6.QtWidgets import QWidget

from gridjig.files.library.assets import fits
from gridjig.files.library.user_library import offered_racks, offered_tables
from gridjig.model import Job, Table
from gridjig.qt.dialogs.questions import OPEN_FILTER, FileQuestions
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.tasks import TaskRunner
from gridjig.qt.widgets.announce import announce
from gridjig.qt.widgets.buttons import make_button
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.entry_list import EntryListView
from gridjig.qt.widgets.layout import REST, in_column, in_row
from gridjig.qt.widgets.list_entry import ListEntry
from gridjig.qt.widgets.plain import Label
from gridjig.rack import Rack
from gridjig.repeat.repick import RepickedSetup, repick
from gridjig.repeat.today import Today, check_today
from gridjig.session.document import Document
from gridjig.sheets.text.repeat_text import (
    repicked_lines,
    repicked_summary,
    today_lines,
    today_summary,
)
from gridjig.units.progress import Progress

from .other_job import OtherJob, OtherJobForm


class Looked(Struct, frozen=True):
    """What no longer holds, and what picking again would keep."""

    today: Today
    made: RepickedSetup


class RepeatForm(OtherJobForm):
    """Compares the job with a table and a rack, and picks its set-up again there."""

    topic = "table"

    def __init__(
        self,
        parent: QWidget,
        document: Document,
        questions: FileQuestions,
        folder: str,
        appearance: Appearance,
    ) -> None:
        super().__init__(parent, questions, folder, Label(role="freedom"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Repeat order")
        self._document = document
        self.looked: Looked | None = None
        self._lines: tuple[str, ...] = ()
        self.tasks = TaskRunner(self)
        job = document.job
        self.table = Choices("Table of today", self._tables(job))
        self.rack = Choices("Rack of today", self._racks(job))
        self.file_button = make_button("From a job…", self.from_file)
        self.told.setMinimumHeight(self.told.fontMetrics().lineSpacing() * 2 + 6)
        self.list = EntryListView("What no longer holds", appearance)
        self.list.setMinimumHeight(self.fontMetrics().lineSpacing() * 5)
        self.copy_button = make_button("Copy", self.copy, plain=False)
        self.pick_button = make_button("Pick again on this table", self.pick, plain=False)
        self.close_button = make_button("Close", self.reject, plain=False)
        row = in_row(self.close_button, REST, self.copy_button, self.pick_button)
        in_column(
            Label("Repeat order", "heading"), self.table, self.rack,
            in_row(self.file_button, REST), self.told, (self.list, 1), row, over=self,
        )  # fmt: skip
        self.size_for(84, 32, (600, 480))
        self.table.chosen.connect(lambda _: self._on_table())
        self.rack.chosen.connect(lambda _: self.look())
        self.tasks.answered.connect(self._on_looked)
        self.tasks.failed.connect(self.told.setText)
        self.look()

    def _tables(self, job: Job) -> tuple[tuple[str, object], ...]:
        others = (t for t in offered_tables().values() if t != job.table)
        return (("as in this job", job.table), *((table.name, table) for table in others))

    def _racks(self, job: Job) -> tuple[tuple[str, object], ...]:
        others = (r for r in offered_racks().values() if r != job.rack)
        return (("as in this job", job.rack), *((rack.name, rack) for rack in others))

    def _on_table(self) -> None:
        """Look at the table with a rack whose pins fit its holes, where there is one."""
        table = cast(Table, self.table.value())
        if not fits(cast(Rack, self.rack.value()), table):
            offered = (self._document.job.rack, *offered_racks().values())
            able = next((rack for rack in offered if fits(rack, table)), None)
            if able is not None:
                self.rack.set_value(able)
        self.look()

    def from_file(self) -> None:
        """Ask for a job whose table and rack to look at."""
        self.ask_for_job("Table and rack of a job", OPEN_FILTER)

    def take(self, other: OtherJob) -> None:
        """Look at the table and the rack of another job."""
        job, of, theirs = self._document.job, f"of {other.path.name}", other.job
        self.table.set_choices((*self._tables(job), (of, theirs.table)))
        self.rack.set_choices((*self._racks(job), (of, theirs.rack)))
        self.table.set_value(theirs.table)
        self.rack.set_value(theirs.rack)
        self.look()

    # -- looking -----------------------------------------------------------------------------------

    def look(self) -> None:
        """Look at the job on the chosen table and rack, in the background."""
        self.reading.cancel()
        job = self._document.job
        table, rack = cast(Table, self.table.value()), cast(Rack, self.rack.value())

        def work(progress: Progress) -> Looked:
            today = check_today(job, table, rack, progress.part(0, 400))
            return Looked(today, repick(job, table, rack, progress.part(400, 1000)))

        self.looked = None
        self.pick_button.setEnabled(False)
        self.copy_button.setEnabled(False)
        self.told.setText("Looking…")
        self.tasks.start(work)

    def _on_looked(self, answer: object) -> None:
        self.looked = looked = cast(Looked, answer)
        job = self._document.job
        first, second = today_lines(job, looked.today), repicked_lines(job, looked.made)
        summary = today_summary(looked.today)
        self._lines = (summary, *first, f"Picked again: {repicked_summary(looked.made)}", *second)
        self.told.setText(f"{summary}\n{self._lines[len(first) + 1]}")
        entries = [ListEntry("head 1", "As it was", heading=True)] if first else []
        entries += [ListEntry(f"now {n}", line) for n, line in enumerate(first)]
        entries += [ListEntry("head 2", "Picked again", heading=True)] if second else []
        entries += [ListEntry(f"then {n}", line) for n, line in enumerate(second)]
        self.list.show_entries(entries, None)
        differs = looked.made.job != job
        self.pick_button.setEnabled(differs)
        self.copy_button.setEnabled(True)
        self.pick_button.setDefault(differs)
        self.close_button.setDefault(not differs)

    def copy(self) -> None:
        """Put what is listed on the clipboard as text."""
        QGuiApplication.clipboard().setText("\n".join(self._lines))
        announce(self, "The list is on the clipboard.")

    def pick(self) -> None:
        """Take over the set-up as picked again, as one step."""
        if self.looked is None:
            return
        made = self.looked.made
        self._document.do(made.job, f"Pick the set-up again on {made.job.table.name}")
        self.accept()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Stop looking."""
        self.tasks.close()
        super().closeEvent(event)
