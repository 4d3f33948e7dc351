"""The cut list: what to saw from which stock; a click selects the members of a line."""

from gridjig.model import Job
from gridjig.session.desk import Desk
from gridjig.sheets.cut_tell import cut_lines, total_words
from gridjig.sheets.cuts import CutList, cut_list

from ..widgets.plain import Button
from ..windowstyle import Look
from .angle_fields import ButtonRow
from .weldment_page import WeldmentPage


class CutsPage(WeldmentPage):
    """The list with its totals and the ways to take it along."""

    topic = "cuts"

    def __init__(self, desk: Desk, look: Look) -> None:
        super().__init__(desk, look)
        self.cuts: CutList | None = None
        self._job: Job | None = None
        self.total = self.label()
        self.total.setAccessibleName("What there is to cut")
        self.add_list("Cut list", single=False)
        self.copy = Button("Copy", about="Copy the cut list as a table")
        self.save = Button("Save CSV…", about="Save the cut list as CSV")
        self.copy.clicked.connect(lambda: self.wanted.emit("cuts.copy"))
        self.save.clicked.connect(lambda: self.wanted.emit("cuts.save"))
        self.add_row(ButtonRow(self.copy, self.save), margins="text")
        self.list.chosen.connect(desk.select)
        self.list.opened.connect(lambda entry: self.revealed.emit(frozenset(entry.ids)))
        self.list.setting.connect(self._reveal)
        self.setFocusProxy(self.list)

    def show_job(self) -> None:
        """Show what the weldment is cut from."""
        job, last = self.desk.job, self._job
        same = last is not None and last.outlines is job.outlines and last.display == job.display
        self._job = job
        if not same:
            self.cuts = cuts = cut_list(job)
            self.total.setText(total_words(cuts))
            self.list.show_lines(cut_lines(cuts))
            self.list.setEnabled(bool(cuts.lines))
            for button in (self.copy, self.save):
                button.setEnabled(bool(cuts.lines))
        self.list.show_entries(self.list.lines.entries, self.desk.selection)

    def _reveal(self) -> None:
        keys = set(self.list.chosen_keys())
        ids = frozenset(i for e in self.list.lines.entries if e.key in keys for i in e.ids)
        if ids:
            self.revealed.emit(ids)
