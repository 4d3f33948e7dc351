"""A jig suggested for the weldment: the search beside the window, its answers, and taking one."""

from functools import partial
from typing import cast

from msgspec import structs
from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QWidget

from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.qt.canvas.plan_picture import Unpictured, plan_png
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.panes.weldment.weldment_page import PageList
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.tasks.runner import TaskRunner
from gridjig.qt.tasks.timers import call_later
from gridjig.qt.widgets.buttons import make_button, scrolled
from gridjig.qt.widgets.fields import TypedField
from gridjig.qt.widgets.layout import GAP, REST, holder, in_column, in_grid, in_row
from gridjig.qt.widgets.picture_card import PictureCard
from gridjig.qt.widgets.plain import Label
from gridjig.qt.widgets.tick import Tick
from gridjig.session.document import Document
from gridjig.sheets.text.suggestion_text import (
    ONLY_PLANNED,
    alternative_lines,
    card_lines,
    none_lines,
    pieces_of_line,
    reason_lines,
)
from gridjig.suggest.values import MOST_SECONDS, Alternative, Suggestion, Weights, Wishes
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
_WIDE = 480
"""The width of a small picture, px."""
_ROUND = 120.0
"""How much of the table is shown round the work, mm: what holds it stands there."""
_SECONDS = 60.0
"""How long it looks for better ones unless it is stopped, s."""
_SEARCH, _STOP, _ON = "Search", "Stop", "Keep looking"


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
        self._search, self._filling, self._picked = 0, False, False
        self._all_tried, self._seconds = False, _SECONDS
        self._before, self._trouble = Suggestion(()), ""
        self._pictures: dict[int, QImage] = {}
        self.tasks = TaskRunner(self)
        self._make_fields()
        self._lay_out()
        self.better.connect(self._on_better)
        self.tasks.progressed.connect(self._on_progress)
        self.tasks.answered.connect(lambda answer: self._on_answer(cast(Suggestion, answer)))
        self.tasks.failed.connect(self._on_fail)
        self.tasks.ended.connect(self._on_end)
        self.finished.connect(self._on_finished)
        self.search()
        self.list.setFocus()

    def _make_fields(self) -> None:
        placed = bool(self._job.placements)
        self.keep = Tick(
            "Finish what I began", "Keep every piece on the table and add what is missing", placed
        )
        self.move_ = Tick(
            "Move the work",
            "If that helps: along the grid, by part of a pitch, quarter turns",
            not placed,
        )
        self.slopes = Tick(
            "Other turns too", "Also so that each sloping member runs along the grid in its place"
        )
        self.face_down = Tick("Face down too", "Let the work be turned over as well")
        self.inside = Tick("Stops inside too", "Shrinkage tightens the work on them")
        for tick in (self.keep, self.move_, self.slopes, self.face_down, self.inside):
            tick.applied.connect(lambda _: self._on_tick())
        self._update_ticks()
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
        self.cards = [PictureCard(self._appearance) for _ in range(Wishes().alternatives)]
        for number, card in enumerate(self.cards):
            card.clicked.connect(partial(self._choose, number))
            card.hovered.connect(partial(self._hover, number))
        self.told = Label("", "small")
        self.searching = make_button(_SEARCH, self._on_search, plain=False)
        self.cancel = make_button("Cancel", self.reject, plain=False)
        self.some = make_button(
            "Use only what is chosen", self.take_some, plain=False,
            about="Take the parts' pieces, or single ones, that are highlighted under Why",
        )  # fmt: skip
        self.use = make_button("Use this set-up", self.take, plain=False)
        self.use.setDefault(True)
        self.list.highlighted.connect(lambda _: self._on_highlight())
        self.list.setting.connect(self.take)
        self.reasons.chosen.connect(lambda _: self._update_buttons())

    def _on_tick(self) -> None:
        self._update_ticks()
        self.search()

    def _update_ticks(self) -> None:
        """What the work may do is asked only where it may move at all."""
        keep = self.keep.isChecked()
        self.move_.setEnabled(not keep)
        for tick in (self.slopes, self.face_down):
            tick.setEnabled(self.move_.isChecked() and not keep)

    def _lay_out(self) -> None:
        ticks = in_column(
            self.keep, self.move_, self.slopes, self.face_down, self.inside, margins="none"
        )
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
        pictures = in_row(*((card, 1) for card in self.cards), margins="none", gap=GAP)
        why = in_column(Label("Why", "heading"), (self.reasons, 1), margins="none")
        lists = in_row((self.list, 3), (why, 4), margins="none")
        answers = in_column((pictures, 4), (lists, 5), margins="none")
        body = in_row((asked, 2), (answers, 7), margins="none")
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
            slopes=self.slopes.isChecked() and not keep,
            inside=self.inside.isChecked(),
            face_down=self.face_down.isChecked() and not keep,
            seconds=self._seconds,
            weights=weights,
        )

    def search(self) -> None:
        """Search anew; what was found for other wishes is dropped."""
        self._seconds = _SECONDS
        self._start(Suggestion(()))

    def keep_looking(self) -> None:
        """Search for longer; what was found stays until there is something as good."""
        self._seconds = min(2.0 * self._seconds, MOST_SECONDS)
        self._start(self.found)

    def _start(self, before: Suggestion) -> None:
        self._search += 1
        self._before, self._all_tried, self._trouble = before, False, ""
        job, wishes, tell = self._job, self.wishes(), partial(self.better.emit, self._search)

        def work(progress: Progress) -> Suggestion:
            from gridjig.suggest.search import suggest  # noqa: PLC0415 - highspy, numpy

            return suggest(job, wishes, progress, tell)

        if not before.alternatives:
            self._pictures.clear()
            self._picked = False
            self._fill(before)
        self.tasks.start(work)  # which ends the search before it
        self.searching.setText(_STOP)
        self.searching.setEnabled(True)
        self.told.setText("Searching…")

    def _on_search(self) -> None:
        """Stop, or keep looking; there is nothing more to find once everything was tried."""
        if self.tasks.busy:
            self.tasks.cancel()
        else:
            self.keep_looking()

    def _on_better(self, search: int, found: Suggestion) -> None:
        if search == self._search and not _poorer(found, self._before):
            self._pictures.clear()
            self._fill(found)

    def _on_answer(self, found: Suggestion) -> None:
        self._all_tried = found.ended
        self._on_better(self._search, found)

    def _on_progress(self, done: int, total: int | None, words: str) -> None:
        self.told.setText(f"{words}…")

    def _on_fail(self, trouble: str) -> None:
        self._trouble = trouble

    def _on_end(self) -> None:
        self.searching.setText(_SEARCH if self._all_tried else _ON)
        self.searching.setEnabled(not self._all_tried)
        if self._trouble:
            self.told.setText(self._trouble)
        elif not self._all_tried:
            better = "there may be a better one" if self.found.alternatives else "nothing found yet"
            self.told.setText(f"Stopped: {better}.")
        elif self.found.alternatives:
            self.told.setText(" ".join(self.found.left_out))
        else:
            self.told.setText("No set-up was found.")

    # -- what was found ----------------------------------------------------------------------------

    def _fill(self, found: Suggestion) -> None:
        before, every = self.chosen() if self._picked else None, found.alternatives
        self.found, self._filling = found, True
        self.list.show_lines(alternative_lines(found) or none_lines(found))
        still = [n for n, one in enumerate(every) if before is not None and _same(one, before)]
        if still and still[0]:
            self.list.setCurrentIndex(self.list.lines.index(still[0]))
        else:
            self.list.go_first()
        self._filling = False
        self._show_chosen()

    def _on_highlight(self) -> None:
        """Show what the person has picked; it stays when better ones come."""
        if not self._filling:
            self._picked = True
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
        self._show_cards(one)
        self._update_buttons()

    def _show_cards(self, chosen: Alternative | None) -> None:
        every, lines = self.found.alternatives, card_lines(self.found)
        for number, card in enumerate(self.cards):
            there = number < len(every)
            card.setEnabled(there)
            card.show_lines(lines[number] if there else ())
            card.show_picture(self._pictures.get(number))
            if there and every[number] is chosen:
                card.setChecked(True)
        call_later(self, self._paint_next)

    def _paint_next(self) -> None:
        """Paint one picture that is not there yet, and come back for the next."""
        every = self.found.alternatives[: len(self.cards)]
        number = next((n for n in range(len(every)) if n not in self._pictures), None)
        if number is None:
            return
        one = every[number]
        x0, y0, x1, y1 = bounds([p for part in one.job.parts for p in part_ring(part)])
        box = (x0 - _ROUND, y0 - _ROUND, x1 + _ROUND, y1 + _ROUND)
        try:
            data = plan_png(one.job, _WIDE, self._appearance.theme, one.report.findings, box)
        except Unpictured:
            data = b""
        self._pictures[number] = QImage.fromData(data)
        self.cards[number].show_picture(self._pictures[number])
        call_later(self, self._paint_next)

    def _choose(self, number: int, _: bool = False) -> None:
        """Choose a set-up by its picture."""
        self.list.setCurrentIndex(self.list.lines.index(number))

    def _hover(self, number: int, on: bool) -> None:
        """Show a set-up on the plan while the pointer is on its picture; then the chosen one."""
        every, chosen = self.found.alternatives, self.chosen()
        one = every[number] if on and number < len(every) else chosen
        self._document.preview(one.job if one is not None else None)

    def _update_buttons(self) -> None:
        one = self.chosen()
        self.use.setEnabled(one is not None and one.changes)
        (self.cancel if one is not None and not one.changes else self.use).setDefault(True)
        self.some.setEnabled(one is not None and self._may_take_some(one))

    def _may_take_some(self, one: Alternative) -> bool:
        """True if some is chosen, and no piece that stands would be left behind by the work."""
        return bool(self._chosen_pieces()) and (one.still or not self._job.placements)

    def _chosen_pieces(self) -> frozenset[str]:
        one = self.chosen()
        keys = self.reasons.chosen_keys()
        return frozenset(
            name for key in keys if one is not None for name in pieces_of_line(one, key)
        )

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
        """Add only what is highlighted under Why, as one step; the work lies as in the set-up."""
        one, ids = self.chosen(), self._chosen_pieces()
        if one is None or not self._may_take_some(one):
            return
        stood = {p.id for p in self._job.placements}
        added = tuple(p for p in one.job.placements if p.id in ids and p.id not in stood)
        job = structs.replace(one.job, placements=(*self._job.placements, *added))
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


def _poorer(found: Suggestion, before: Suggestion) -> bool:
    """True if there is less in it than in what was found before."""
    if not found.alternatives or not before.alternatives:
        return bool(before.alternatives)
    counts = [(one.alternatives[0].score, -len(one.alternatives)) for one in (found, before)]
    return counts[0] > counts[1]


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
