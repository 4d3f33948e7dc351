"""Imports the pieces of a rack, after showing what each line would add, change or remove."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QRadioButton,
    QWidget,
)

from gridjig.edits.rack_import import compare, imported
from gridjig.files.format.faults import ReadFault
from gridjig.files.jobs.rack_of_job import rack_in
from gridjig.model import Job
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.dialogs.questions import RACK_SOURCE_FILTER, FileQuestions
from gridjig.qt.widgets.buttons import make_button
from gridjig.qt.widgets.layout import REST, in_column, in_row
from gridjig.qt.widgets.plain import Label, tip
from gridjig.rack import Rack

from .import_list import ImportList, TickLine
from .rack_changes import HEADS, line_words


class ImportForm(FormDialog):
    """Asks what to import of a rack; once accepted, `job` is the resulting job."""

    topic = "rack"

    def __init__(
        self, job: Job, other: Rack, file_name: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Import a rack")
        self._before = job
        self._other = other
        self.job: Job | None = None
        self._made: Job | None = None
        head = Label(f"{file_name}: {other.name}, {len(other.pieces)} kinds of piece", "heading")
        self.merge = QRadioButton("Add its pieces to this rack")
        self.replace = QRadioButton("Replace this rack with it")
        self.merge.setChecked(True)
        self.about = Label()
        self.list = ImportList("What the file changes")
        self.list.setMinimumHeight(self.fontMetrics().lineSpacing() * 10)
        self.all_button = make_button("Take every line", self._take_all)
        self.none_button = make_button("Leave every line", self._leave_all)
        self.take_button = make_button("Import the ticked lines", self._take, plain=False)
        self.take_button.setDefault(True)
        cancel = make_button("Cancel", self.reject, plain=False)
        row = in_row(self.all_button, self.none_button, REST, cancel, self.take_button)
        in_column(head, self.merge, self.replace, self.about, (self.list, 1), row, over=self)
        self.merge.toggled.connect(lambda _: self._show())
        self.list.ticked.connect(self._try)
        room = self.screen().availableGeometry().size()
        self.resize(min(760, room.width() - 40), min(680, room.height() - 80))
        self._show()
        self.list.setFocus()

    def _show(self) -> None:
        """Show the lines of the chosen way to import."""
        job = self._before
        self._compared = compare(job.rack, self._other, self.replace.isChecked())
        shown: list[TickLine] = []
        for does, word in HEADS:
            of_it = [line for line in self._compared.lines if line.does == does]
            if of_it and does not in ("name", "walk"):
                shown.append(TickLine("", f"{word}, {len(of_it)}"))
            for line in of_it:
                told = line_words(line, job.rack, self._other, job.display)
                shown.append(TickLine(line.key, line.piece.name if line.piece else word, told))
        self.list.show_lines(tuple(shown), self._compared.usual(job))
        self._try()

    def _try(self) -> None:
        """Say what the ticked lines would do, or why they cannot be done."""
        taken = self.list.taken()
        lines = self._compared.lines
        same = f"{self._compared.same} the same"
        why = ""
        try:
            self._made = imported(self._before, self._compared, taken)
        except ValueError as fault:
            self._made, why = None, str(fault)
        counts = [
            f"{sum(line.does == does and line.key in taken for line in lines)} of {count}"
            f" {word.lower()}"
            for does, word in HEADS[:3]
            if (count := sum(line.does == does for line in lines))
        ]
        words = f"{', '.join((*counts, same))}."
        if not lines:
            words = "The file has nothing that this rack does not already have."
        self.about.setText(f"✕ {why}" if why else words)
        can = not why and (bool(taken) or not lines)
        self.take_button.setEnabled(can)
        self.take_button.setToolTip(tip(why or ("" if can else "Tick a line to import it.")))
        self.all_button.setEnabled(len(taken) < len(lines))
        self.none_button.setEnabled(bool(taken))

    def _take_all(self) -> None:
        self.list.tick(self.list.keys())

    def _leave_all(self) -> None:
        self.list.tick(frozenset())

    def _take(self) -> None:
        self.job = self._made
        self.accept()


def ask_import(
    parent: QWidget,
    questions: FileQuestions,
    folder: str,
    job: Job,
    taken: Callable[[Job | None, str], None],
) -> None:
    """Ask for a rack file, or a job file with a rack in it, and what to import of it.

    `taken` gets the job with the pieces, or None if the rack has them already, and the name of the
    file.  If the file cannot be read, a message says where and what was expected.
    """
    chosen = questions.open_path(folder, "Import a rack", RACK_SOURCE_FILTER)
    if not chosen:
        return
    path = Path(chosen)
    try:
        other = rack_in(path)
    except ReadFault as fault:
        questions.problem(f"“{path.name}” was not imported", str(fault))
        return
    if other == job.rack:
        taken(None, path.name)
        return
    form = ImportForm(job, other, path.name, parent)
    form.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    form.accepted.connect(lambda: taken(form.job, path.name))
    form.open()
