"""A jig suggested for the weldment: the search beside the window, its answers, and taking one."""

from functools import partial
from typing import cast

from msgspec import structs
from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QWidget

from gridjig.qt.canvas.plan_picture import Unpictured, plan_png
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.panes.weldment.weldment_page import PageList
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.tasks.runner import TaskRunner
from gridjig.qt.widgets.buttons import make_button, scrolled
from gridjig.qt.widgets.fields import TypedField
from gridjig.qt.widgets.layout import REST, holder, in_column, in_grid, in_row
from gridjig.qt.widgets.picture_view import PictureView
from gridjig.qt.widgets.plain import Label
from gridjig.qt.widgets.tick import Tick
from gridjig.session.document import Document
from gridjig.sheets.text.suggestion_text import (
    ONLY_PLANNED,
    alternative_lines,
    none_lines,
    reason_lines,
)
from gridjig.suggest.values import Alternative, Suggestion, Weights, Wishes
from gridjig.units import format_number
from gridjig.units.progress import Progress

WEIGHT_NAMES = {
    "piece": "Each piece",
    "packing": "Each shim",
    "spacing": "Stops close together",
    "critical": "Packing, critical face",
    "weld": "A piece near a weld",
    "reach": "Reach, each m",
    "room": "Standing out, each m",
    "askew": "Lying askew",
    "loose": "Each contact missing",
    "look": "Each thing to look at",
}
"""What each weight of a suggestion is called."""
_WIDE = 720
_SEARCH, _STOP = "Search", "Stop"


class SuggestForm(FormDialog):
    """Searches while it is open; the highlighted set-up is shown on the plan until one is taken."""

    topic = "suggest"
    better = Signal(int, object)
    """The number of a search, and the best that it has found so far."""

    def __init__(self, parent: QWidget, document: Document, appearance: Appearance) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Suggest a jig")
        self._document, self._appearance = document, appearance
        self._job = document.job
        self.found = Suggestion(())
        self._search = 0
        self._pictures: dict[int, QImage] = {}
        self.tasks = TaskRunner(self)
        self._make_fields()
        self._lay_out()
        self.better.connect(self._on_better)
        self.tasks.progressed.connect(self._on_progress)
        self.tasks.answered.connect(
            lambda answer: self._on_better(self._search, cast(Suggestion, answer))
        )
        self.tasks.failed.connect(self.told.setText)
        self.tasks.ended.connect(self._on_end)
        self.finished.connect(self._on_finished)
        self.search()
        self.list.setFocus()

    def _make_fields(self) -> None:
        placed = bool(self._job.placements)
        self.keep = Tick(
            "Finish what I began", "Keep every piece on the table and add what is missing", placed
        )
        self.move_ = Tick("Move the work", "If that helps: by part of a pitch, or quarter turns")
        self.inside = Tick("Stops inside too", "Shrinkage tightens the work on them")
        for tick in (self.keep, self.move_, self.inside):
            tick.applied.connect(lambda _: self.search())
        self.weights: dict[str, TypedField] = {}
        for name, called in WEIGHT_NAMES.items():
            field = TypedField(called, partial(_weight, name), _shown, "points")
            field.set_value(getattr(Weights(), name))
            field.applied.connect(lambda _: self.search())
            self.weights[name] = field
        self.list = PageList("Set-ups found", self._appearance)
        self.reasons = PageList(
            "Why each piece stands where it does", self._appearance, single=False
        )
        self.picture = PictureView("The set-up on the table")
        self.told = Label("", "small")
        self.searching = make_button(_SEARCH, self._on_search, plain=False)
        self.cancel = make_button("Cancel", self.reject, plain=False)
        self.some = make_button(
            "Use only the chosen pieces", self.take_some, plain=False,
            about="Take those that are highlighted under Why; the work must not move for them",
        )  # fmt: skip
        self.use = make_button("Use this set-up", self.take, plain=False)
        self.use.setDefault(True)
        self.list.highlighted.connect(lambda _: self._show_chosen())
        self.list.setting.connect(self.take)
        self.reasons.chosen.connect(lambda _: self._update_buttons())

    def _lay_out(self) -> None:
        ticks = in_column(self.keep, self.move_, self.inside, margins="none")
        weights = in_column(
            Label("What a set-up costs", "heading"),
            in_grid(*self.weights.values(), columns=1),
            REST,
            margins="none",
        )
        page = holder(in_column(ticks, weights, margins="none"))
        asked = scrolled(page)
        bar = asked.verticalScrollBar().sizeHint().width()
        asked.setMinimumWidth(page.minimumSizeHint().width() + bar)
        answers = in_column(
            (self.list, 2), Label("Why", "heading"), (self.reasons, 3), margins="none"
        )
        body = in_row((asked, 2), (answers, 3), (self.picture, 3), margins="none")
        row = in_row((self.told, 1), self.searching, self.cancel, self.some, self.use)
        in_column((body, 1), Label(ONLY_PLANNED, "small"), row, over=self)
        self.size_for(150, 40, (900, 560))

    # -- the search --------------------------------------------------------------------------------

    def wishes(self) -> Wishes:
        """Return what is asked for."""
        weights = Weights(**{k: float(str(f.value())) for k, f in self.weights.items()})
        keep = self.keep.isChecked()
        return Wishes(
            keep=keep,
            move=self.move_.isChecked() and not keep,
            inside=self.inside.isChecked(),
            weights=weights,
        )

    def search(self) -> None:
        """Search anew; what was found for other wishes is dropped."""
        self._search += 1
        job, wishes, tell = self._job, self.wishes(), partial(self.better.emit, self._search)

        def work(progress: Progress) -> Suggestion:
            from gridjig.suggest.search import suggest  # noqa: PLC0415 - highspy, numpy

            return suggest(job, wishes, progress, tell)

        self._pictures.clear()
        self._fill(Suggestion(()))
        self.tasks.start(work)  # which ends the search before it
        self.searching.setText(_STOP)
        self.told.setText("Searching…")

    def _on_search(self) -> None:
        if self.tasks.busy:
            self.tasks.cancel()
        else:
            self.search()

    def _on_better(self, search: int, found: Suggestion) -> None:
        if search == self._search:
            self._pictures.clear()
            self._fill(found)

    def _on_progress(self, done: int, total: int | None, words: str) -> None:
        self.told.setText(f"{words}…")

    def _on_end(self) -> None:
        self.searching.setText(_SEARCH)
        many = len(self.found.alternatives)
        self.told.setText("" if many else "No set-up was found.")

    # -- what was found ----------------------------------------------------------------------------

    def _fill(self, found: Suggestion) -> None:
        before, every = self.chosen(), found.alternatives
        self.found = found
        self.list.show_lines(alternative_lines(found) or none_lines(found))
        still = [n for n, one in enumerate(every) if before is not None and _same(one, before)]
        if still and still[0]:
            self.list.setCurrentIndex(self.list.lines.index(still[0]))
        else:
            self.list.go_first()
        self._show_chosen()

    def chosen(self) -> Alternative | None:
        """Return the highlighted set-up."""
        row = self.list.currentIndex().row()
        every = self.found.alternatives
        return every[row] if 0 <= row < len(every) else (every[0] if every else None)

    def _show_chosen(self) -> None:
        one = self.chosen()
        self.reasons.show_lines(reason_lines(one) if one is not None else ())
        self._document.preview(one.job if one is not None else None)
        self._paint(one)
        self._update_buttons()

    def _paint(self, one: Alternative | None) -> None:
        if one is None:
            self.picture.show_picture(None)
            return
        at = self.found.alternatives.index(one)
        if at not in self._pictures:
            try:
                data = plan_png(one.job, _WIDE, self._appearance.theme)
            except Unpictured:
                data = b""
            self._pictures[at] = QImage.fromData(data)
        spoken = ", ".join(line.spoken for line in alternative_lines(self.found)[at : at + 1])
        self.picture.show_picture(self._pictures[at], spoken)

    def _update_buttons(self) -> None:
        one = self.chosen()
        self.use.setEnabled(one is not None)
        still = one is not None and one.shift == (0.0, 0.0) and not one.turn
        self.some.setEnabled(still and bool(self._chosen_pieces()))

    def _chosen_pieces(self) -> frozenset[str]:
        return frozenset(key.rpartition(" ")[0] for key in self.reasons.chosen_keys())

    # -- taking it ---------------------------------------------------------------------------------

    def take(self) -> None:
        """Use the highlighted set-up, as one step."""
        one = self.chosen()
        if one is not None and self.use.isEnabled():
            self._search += 1  # what is still on its way comes too late
            self.tasks.cancel()
            self._document.do(one.job, "Suggest a jig", ())
            self.accept()

    def take_some(self) -> None:
        """Add only the pieces that are highlighted under Why, as one step."""
        one, ids = self.chosen(), self._chosen_pieces()
        if one is None or not ids:
            return
        stood = {p.id for p in self._job.placements}
        added = tuple(p for p in one.job.placements if p.id in ids and p.id not in stood)
        job = structs.replace(self._job, placements=(*self._job.placements, *added))
        self._search += 1
        self.tasks.cancel()
        self._document.do(job, "Suggest some of a jig", [p.id for p in added])
        self.accept()

    def _on_finished(self) -> None:
        self._search += 1
        self.tasks.close()
        self._document.preview(None)


def _same(one: Alternative, other: Alternative) -> bool:
    return one.job is other.job or one.job == other.job


def _weight(name: str, text: str) -> float:
    try:
        value = float(text.strip())
        Weights(**{name: value})
    except ValueError as fault:
        raise ValueError("A weight is a number of points from 0 to 1000.") from fault
    return value


def _shown(value: object) -> str:
    return format_number(float(str(value)))


def open_suggest(parent: QWidget, document: Document, appearance: Appearance) -> None:
    """Open the form over the window."""
    SuggestForm(parent, document, appearance).open()
