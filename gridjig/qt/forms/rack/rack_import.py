"""Imports the pieces of a rack file, after showing what this would add and change."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QRadioButton,
    QWidget,
)

from gridjig.files.format.faults import ReadFault
from gridjig.files.jobs.rack_file import read_rack
from gridjig.model import Job
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.dialogs.questions import RACK_FILTER, FileQuestions
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.buttons import make_button
from gridjig.qt.widgets.entry_list import EntryListView
from gridjig.qt.widgets.layout import REST, in_column, in_row
from gridjig.qt.widgets.list_entry import ListEntry
from gridjig.qt.widgets.plain import Label, tip
from gridjig.rack import Rack

from .rack_changes import RackImport, take

_HEADS = (("added", "Added"), ("changed", "Changed"), ("gone", "Removed"))


class ImportForm(FormDialog):
    """Asks how to import a rack; once accepted, `job` is the resulting job."""

    topic = "rack"

    def __init__(
        self,
        job: Job,
        other: Rack,
        file_name: str,
        appearance: Appearance,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Import a rack")
        self._before = job
        self._other = other
        self.job: Job | None = None
        self._taking: RackImport | None = None
        head = Label(f"{file_name}: {other.name}, {len(other.pieces)} kinds of piece", "heading")
        self.merge = QRadioButton("Add its pieces to this rack")
        self.replace = QRadioButton("Replace this rack with it")
        self.merge.setChecked(True)
        self.about = Label()
        self.list = EntryListView("What the file changes", appearance)
        self.list.setMinimumHeight(self.fontMetrics().lineSpacing() * 10)
        self.take_button = make_button("Import these pieces", self._take, plain=False)
        self.take_button.setDefault(True)
        row = in_row(REST, make_button("Cancel", self.reject, plain=False), self.take_button)
        in_column(head, self.merge, self.replace, self.about, (self.list, 1), row, over=self)
        self.merge.toggled.connect(lambda _: self._show())
        room = self.screen().availableGeometry().size()
        self.resize(min(720, room.width() - 40), min(640, room.height() - 80))
        self._show()

    def _show(self) -> None:
        taking = self._taking = take(self._before, self._other, self.replace.isChecked())
        counts = [
            f"{sum(c.does == does for c in taking.changes)} {word.lower()}" for does, word in _HEADS
        ]
        counts = counts if self.replace.isChecked() else counts[:2]
        words = f"{', '.join(counts)}, {taking.same} the same."
        if taking.why:
            words = f"✕ {taking.why}"
        elif not taking.changes:
            words = "The file has nothing that this rack does not already have."
        self.about.setText(words)
        self.take_button.setEnabled(not taking.why)
        self.take_button.setToolTip(tip(taking.why))
        entries: list[ListEntry] = []
        for does, word in _HEADS:
            of_it = [c for c in taking.changes if c.does == does]
            if of_it:
                entries.append(ListEntry(does, word, right=str(len(of_it)), heading=True))
            entries += [
                ListEntry(f"{does} {c.piece.id}", c.piece.name, c.words, ids=(c.piece.id,))
                for c in of_it
            ]
        self.list.show_entries(entries, None)

    def _take(self) -> None:
        assert self._taking is not None
        self.job = self._taking.job
        self.accept()


def ask_import(
    parent: QWidget,
    questions: FileQuestions,
    folder: str,
    job: Job,
    appearance: Appearance,
    taken: Callable[[Job | None, str], None],
) -> None:
    """Ask for a rack file and how to import it.

    `taken` gets the job with the pieces, or None if the rack has them already, and the name of the
    file.  If the file cannot be read, a message says where and what was expected.
    """
    chosen = questions.open_path(folder, "Import a rack", RACK_FILTER)
    if not chosen:
        return
    path = Path(chosen)
    try:
        other = read_rack(path)
    except ReadFault as fault:
        questions.problem(f"“{path.name}” was not imported", str(fault))
        return
    if other == job.rack:
        taken(None, path.name)
        return
    form = ImportForm(job, other, path.name, appearance, parent)
    form.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    form.accepted.connect(lambda: taken(form.job, path.name))
    form.open()
