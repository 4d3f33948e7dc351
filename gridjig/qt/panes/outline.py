"""The list of all that is placed, with place and state: the whole table without a pointer."""

from collections.abc import Mapping

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QWidget

from gridjig.checks.findings import Finding
from gridjig.model import Job
from gridjig.sheets.tell import placed_lines
from gridjig.solve import Stand

from ..widgets.layout import in_column
from ..widgets.plain import Label
from ..windowstyle import Look
from .lines import Entry, LinesView


class OutlinePane(QWidget):
    """Everything on the table as a list; choosing in it selects on the sheet."""

    chosen = Signal(object)
    shown = Signal(object)
    removing = Signal()

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.list = LinesView("What is placed", look)
        self.empty = Label("Nothing is on the table yet. Take a piece out of the rack drawer.")
        self.empty.setMargin(8)
        self.empty.setAlignment(Qt.AlignmentFlag.AlignTop)
        in_column(self.empty, (self.list, 1), over=self, margins="none")
        self.list.chosen.connect(self.chosen)
        self.list.opened.connect(lambda entry: self.shown.emit(frozenset(entry.ids)))
        self.list.removing.connect(self.removing)
        self.setFocusProxy(self.list)

    def set_look(self, look: Look) -> None:
        """Paint in another look."""
        self.list.set_look(look)

    def show_job(
        self,
        job: Job,
        stands: Mapping[str, Stand],
        findings: tuple[Finding, ...],
        selected: frozenset[str],
    ) -> None:
        """List what is on the table of this job and mark what is selected."""
        entries: list[Entry] = []
        sort = ""
        for line in placed_lines(job, stands, findings):
            if line.sort != sort:
                sort = line.sort
                head = "Weldment" if sort == "outline" else "Pieces"
                entries.append(Entry(f"heading {sort}", head, heading=True))
            word = "" if line.level == "fine" else f"{line.level}: "
            entries.append(
                Entry(
                    line.id,
                    line.name,
                    f"{word}{line.state}",
                    line.place,
                    line.level,
                    (line.id,),
                )
            )
        self.empty.setVisible(not entries)
        self.list.setVisible(bool(entries))
        self.list.show_entries(entries, selected)
