"""The cut list: what to saw from which stock, and which bars to buy for it.

A click selects the members of a line.  The bars are worked out in the background.
"""

from gridjig.model import Job
from gridjig.model.by_weldment import several
from gridjig.model.titles import weldment_title
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.tasks import TaskRunner
from gridjig.qt.widgets.cells import ButtonRow
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.plain import Button
from gridjig.session.document import Document
from gridjig.sheets.lists.bar_list import BarList, bar_lines, bar_list, sawing_words
from gridjig.sheets.lists.cut_lines import cut_lines, total_words
from gridjig.sheets.lists.cut_list import CutList, cut_list

from .weldment_page import WeldmentPage

ALL: tuple[tuple[str, object], ...] = (("all weldments", None),)


class CutsPage(WeldmentPage):
    """The cut list with its totals, and buttons to copy or save it."""

    topic = "cuts"

    def __init__(self, document: Document, appearance: Appearance) -> None:
        super().__init__(document, appearance)
        self.cuts: CutList | None = None
        self.bars: BarList | None = None
        self.tasks = TaskRunner(self)
        self._job: Job | None = None
        self.of = Choices("Cut list of", ALL)
        self.of.chosen.connect(lambda _: self._again())
        self.add_row(self.of)
        self.total = self.label()
        self.total.setAccessibleName("What there is to cut")
        self.add_list("Cut list", single=False)
        self.copy = Button("Copy", about="Copy the cut list as a table")
        self.save = Button("Save CSV…", about="Save the cut list as CSV")
        self.copy.clicked.connect(lambda: self.action_wanted.emit("cuts.copy"))
        self.save.clicked.connect(lambda: self.action_wanted.emit("cuts.save"))
        self.add_row(ButtonRow(self.copy, self.save), margins="text")
        self.list.chosen.connect(document.select)
        self.list.opened.connect(lambda entry: self.revealed.emit(self.list.ids_with(entry)))
        self.list.setting.connect(self.reveal_chosen)
        self.tasks.answered.connect(self._on_bars)
        self.setFocusProxy(self.list)

    def show_job(self) -> None:
        """Show what stock the weldment is cut from."""
        job, last = self.document.job, self._job
        same = (
            last is not None
            and last.parts is job.parts
            and last.weldments is job.weldments
            and last.display == job.display
            and last.sawing == job.sawing
        )
        self._job = job
        if not same:
            self.of.set_choices(
                (*ALL, *((weldment_title(job, one.id), one.id) for one in job.weldments))
            )
            self.of.setVisible(several(job))
            if not several(job) or self.of.value() is None:
                self.of.set_value(None)
            wanted = self.of.value()
            self.cuts = cuts = cut_list(job, None if wanted is None else str(wanted))
            self.total.setText(total_words(cuts))
            self.bars = None
            self.list.show_lines(cut_lines(cuts))
            self._look_for_bars(job, None if wanted is None else str(wanted))
            self.list.setEnabled(bool(cuts.lines))
            for button in (self.copy, self.save):
                button.setEnabled(bool(cuts.lines))
        self.list.show_entries(self.list.given, self.document.selection)

    def _look_for_bars(self, job: Job, wanted: str | None) -> None:
        """Work out which bars to buy, unless there is nothing to cut from bars."""
        self.tasks.cancel()
        if self.cuts is not None and self.cuts.bars:
            self.tasks.start(
                lambda progress: bar_list(job, wanted, progress), lambda: self._job is job
            )

    def _on_bars(self, answer: object) -> None:
        assert isinstance(answer, BarList)
        assert self.cuts is not None
        self.bars = answer
        self.list.show_lines((*cut_lines(self.cuts), *bar_lines(answer)))
        self.total.setText(
            f"{total_words(self.cuts)} Below: the bars to cut them from, {sawing_words(answer)}."
        )

    def _again(self) -> None:
        self._job = None
        self.show_job()
