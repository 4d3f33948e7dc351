"""What changed since the last save, or from another file: read, copied, or put in the notes."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QWidget

from gridjig.edits.details import add_to_notes
from gridjig.model import Job
from gridjig.qt.dialogs.questions import FileQuestions
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.announce import announce
from gridjig.qt.widgets.buttons import make_button
from gridjig.qt.widgets.entry_list import EntryListView
from gridjig.qt.widgets.layout import REST, in_column, in_row
from gridjig.qt.widgets.list_entry import ListEntry
from gridjig.qt.widgets.plain import Label
from gridjig.session.document import Document
from gridjig.sheets.text.change_text import (
    ChangeLine,
    change_lines,
    changes_text,
    count_of_changes,
    for_the_notes,
    gathered,
)

from .other_job import OtherJob, OtherJobForm

_KINDS = "Jobs, the versions before them, and setup sheets (*.gridjig *.bak *.pdf)"
_LAST = "the last save"


class ChangesForm(OtherJobForm):
    """Lists the changes of the job since the last save, or from a file that the user chooses."""

    topic = "files"
    unread = "cannot be compared"

    def __init__(
        self,
        parent: QWidget,
        document: Document,
        asks: FileQuestions,
        folder: str,
        appearance: Appearance,
    ) -> None:
        super().__init__(parent, asks, folder, Label())
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Changes")
        self._document = document
        self._since = _LAST
        self.lines: tuple[ChangeLine, ...] = ()
        self.head = Label(role="heading")
        self.list = EntryListView("What changed", appearance)
        self.list.setMinimumHeight(self.fontMetrics().lineSpacing() * 10)
        self.last_button = make_button("Since the last save", self.since_last)
        self.file_button = make_button("From another file…", self.from_file)
        self.copy_button = make_button("Copy", self.copy, plain=False)
        self.add_button = make_button("Add to the notes", self.add, plain=False)
        self.close_button = make_button("Close", self.reject, plain=False)
        which = in_row(self.last_button, self.file_button, REST)
        row = in_row(REST, self.copy_button, self.close_button, self.add_button)
        in_column(self.head, which, self.told, (self.list, 1), row, over=self)
        self.size_for(80, 32, (560, 480))
        self.since_last()

    def since_last(self) -> None:
        """Show what changed since the last save."""
        self.reading.cancel()
        saved = self._document.saved
        if saved is None:
            self._show((), _LAST)
            self.told.setText(
                "This job was recovered and has not been saved since. Choose the file to compare"
                " it with."
            )
            return
        self._compare(saved, _LAST)

    def from_file(self) -> None:
        """Ask for a job, and show what changed from it to this one."""
        self.ask_for_job("Compare with a job", _KINDS)

    def take(self, other: OtherJob) -> None:
        """Show what changed from another job to this one."""
        old = other.job
        revision = f", revision {old.revision}" if old.revision else ""
        self._compare(old, f"{other.path.name}{revision}")

    def _compare(self, old: Job, since: str) -> None:
        self._show(change_lines(old, self._document.job), since)
        count = count_of_changes(self.lines)
        self.told.setText(f"{count[:1].upper()}{count[1:]}.")

    def _show(self, lines: tuple[ChangeLine, ...], since: str) -> None:
        self.lines, self._since = lines, since
        self.head.setText(f"Changes since {since}")
        entries: list[ListEntry] = []
        group = ""
        for n, line in enumerate(gathered(lines)):
            if line.group != group:
                group = line.group
                entries.append(ListEntry(f"group {group}", group, heading=True))
            entries.append(ListEntry(f"line {n}", line.name, line.words, ids=line.ids))
        self.list.show_entries(entries, None)
        self.copy_button.setEnabled(bool(lines))
        notes = bool(for_the_notes(lines, since))
        self.add_button.setEnabled(notes)
        self.add_button.setDefault(notes)
        self.close_button.setDefault(not notes)

    def copy(self) -> None:
        """Put the changes on the clipboard as text."""
        QGuiApplication.clipboard().setText(
            f"Changes since {self._since}:\n{changes_text(self.lines)}"
        )
        announce(self, f"{count_of_changes(self.lines)} on the clipboard.")

    def add(self) -> None:
        """Add the changes to the job's notes, as one step, and close."""
        text = for_the_notes(self.lines, self._since)
        try:
            job = add_to_notes(self._document.job, text)
        except ValueError as fault:
            self.told.setText(f"✕ {fault}")
            announce(self, str(fault))
            return
        self._document.do(job, "Add the changes to the notes")
        self.accept()
