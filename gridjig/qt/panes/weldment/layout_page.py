"""Where on the table: moves the weldment as one, as typed or to where it needs least packing.

What is highlighted or typed is shown on the plan as a ghost; Enter carries it out.
"""

from functools import partial
from typing import cast

from PySide6.QtWidgets import QWidget

from gridjig.edits import weldment
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Job
from gridjig.model.by_weldment import only, parts_of
from gridjig.model.titles import weldment_title
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.tasks import TaskRunner
from gridjig.qt.widgets.cell_form import CellForm
from gridjig.qt.widgets.fields import AngleField, LengthField
from gridjig.qt.widgets.flow_layout import FlowLayout
from gridjig.qt.widgets.layout import GAP, holder, inset
from gridjig.qt.widgets.plain import Button
from gridjig.qt.widgets.tick import Tick
from gridjig.session.document import Document
from gridjig.sheets.drawings.layout import draw_moved, draw_put
from gridjig.sheets.text.layout_text import put_key, put_line
from gridjig.sheets.text.places_text import move_words, tried_words
from gridjig.solve.layout.faults import LayoutFault
from gridjig.solve.layout.places import WeldmentPlace, WeldmentPlaces, weldment_places
from gridjig.tools.core.wording import sentence
from gridjig.units import format_angle, format_length
from gridjig.units.limits import LimitError
from gridjig.units.progress import Progress
from gridjig.words.layout_fault_text import layout_fault_text

from .faces_page import FacesPage
from .weldment_page import WeldmentPage

TURNED = (0, 90, 180, 270)
KEPT = 12


def _answered(
    search: "partial[WeldmentPlaces]", progress: Progress
) -> WeldmentPlaces | LayoutFault:
    """The places, or why there are none: both are answers, to be put into words."""
    try:
        return search(progress=progress)
    except LayoutFault as fault:
        return fault


class MoveForm(CellForm):
    """How far to move the weldment, and by how much to turn it."""

    margins = "text"

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(document, parent)
        self.right = self.field(LengthField("To the right", document.job.display))
        self.back = self.field(LengthField("To the back", document.job.display))
        self.turn = self.field(AngleField("Turn about its middle"))
        self.move_button = Button(
            "Move it",
            "plain",
            about="Move the whole weldment by these amounts; pieces stay in their holes",
        )
        for field in self.fields():
            field.set_value(0.0)
            field.make_live()
        self.pair(self.move_button)
        self.reflow()

    def fields(self) -> tuple[LengthField | AngleField, ...]:
        """Return all three fields."""
        return (self.right, self.back, self.turn)

    def values(self) -> tuple[float, float, float]:
        """Return the move to the right and to the back, mm, and the turn, degrees."""
        right, back, turn = (cast(float, field.value()) for field in self.fields())
        return right, back, turn

    def moved(self, job: Job, one: str) -> Job:
        """Return the job with a weldment moved as typed."""
        if not parts_of(job, one):
            return job
        dx, dy, turn = self.values()
        about = weldment.middle(job, one)
        return weldment.move(weldment.turn(job, turn, about, one), dx, dy, one)


class LayoutPage(WeldmentPage):
    """Moves the weldment as one."""

    topic = "where"

    def __init__(self, document: Document, appearance: Appearance, faces: FacesPage) -> None:
        super().__init__(document, appearance)
        self.faces = faces
        self.found: WeldmentPlaces | None = None
        self._asked: tuple[object, ...] = ()
        self.tasks = TaskRunner(self)
        self.form = MoveForm(document)
        self.column.addWidget(self.form)
        self.turned = Tick("Turned too", "Also try quarter turns", on=True)
        self.flipped = Tick("Face down too", "Also try it turned over", on=True)
        self.inner = Tick("Inner faces too", "Also count stops in front of inward faces")
        for box in (self.turned, self.flipped, self.inner):
            box.toggled.connect(lambda _: self._ask())
        self.told = self.label("small")
        flow = inset(FlowLayout(gap=GAP), "line")
        for box in (self.turned, self.flipped, self.inner):
            flow.addWidget(box)
        self.column.addWidget(holder(flow))
        self.add_list("Positions, least packing first")
        self.set = Button(
            "Put it there",
            "plain",
            about="Move the weldment to the highlighted position  (Enter)",
        )
        self.add_row(self.set)
        self.statement = self.label("small")
        self._connect()
        self.setFocusProxy(self.list)

    def _connect(self) -> None:
        for field in self.form.fields():
            field.applied.connect(lambda _: self._show_typed())
            field.edit.entered.connect(self._on_move)
        self.form.move_button.clicked.connect(self._on_move)
        self.tasks.answered.connect(self._on_found)
        self.tasks.failed.connect(self._on_failed)
        self.list.highlighted.connect(self._on_highlight)
        self.list.setting.connect(self.set_up)
        self.list.does = "Enter moves the work there"
        self.set.clicked.connect(self.set_up)
        self.faces.asked.connect(self.refresh)

    # -- typed -----------------------------------------------------------------------------------

    def _show_typed(self) -> None:
        job, one = self.document.job, self.document.weldment
        try:
            after = self.form.moved(job, one)
        except LimitError as beyond:
            self.message.emit(sentence(beyond.words(self.document.job.display)))
            return
        self.show_on_plan(draw_moved(only(job, one), only(after, one)))

    def _on_move(self) -> None:
        form, job = self.form, self.document.job
        for field in form.fields():
            field.apply()
            if field.has_complaint():
                field.setFocus()
                return
        try:
            after = form.moved(job, self.document.weldment)
        except LimitError as beyond:
            self.message.emit(sentence(beyond.words(self.document.job.display)))
            return
        if after is job:
            self.message.emit("Type how far to move it first.")
            return
        name = f"Move {weldment_title(job, self.document.weldment)} by {self._typed_words()}"
        for field in form.fields():
            field.set_value(0.0)
            field.restore()
        self.document.do(after, name)
        self.message.emit(f"{name}. Ctrl+Z undoes it.".replace("Move", "Moved", 1))

    def _typed_words(self) -> str:
        right, back, turn = self.form.values()
        display = self.document.job.display
        said = [
            f"{format_length(abs(by), display)} {ahead if by > 0 else behind}"
            for by, ahead, behind in (
                (right, "to the right", "to the left"),
                (back, "to the back", "to the front"),
            )
            if by
        ]
        if turn:
            said.append(format_angle(turn))
        return ", ".join(said)

    # -- search ----------------------------------------------------------------------------------

    def show_job(self) -> None:
        """Search for places, unless nothing has changed since the last search."""
        job = self.document.job
        self.faces.offer_stops()
        for field in (self.form.right, self.form.back):
            field.set_display(job.display)
        self._ask()
        self._on_highlight(self.list.current_key())

    def _ask(self) -> None:
        job = self.document.job
        stop, kind = self.faces.stop(), self.faces.linear_class()
        turns = TURNED if self.turned.isChecked() else (0,)
        flips, inner = self.flipped.isChecked(), self.inner.isChecked()
        asked = (
            job.parts, job.table, job.rack, job.weldments, job.critical, job.display,
            self.document.weldment, stop, kind, turns, flips, inner,
        )  # fmt: skip
        if len(asked) == len(self._asked) and all(map(_same, asked, self._asked)):
            return
        self._asked = asked
        name = stop.name if stop is not None else "no stop"
        self.told.setText(f"With {name}, class {kind}: choose others under Stops.")
        self.statement.setText("Looking for positions…")
        search = partial(
            weldment_places,
            only(job, self.document.weldment),
            stop,
            linear_class=kind,
            turns=turns,
            flips=flips,
            inner=inner,
            top=KEPT,
            others=[p for p in job.parts if p.weldment != self.document.weldment],
        )
        self.tasks.start(partial(_answered, search))

    def _on_found(self, found: object) -> None:
        if isinstance(found, LayoutFault):
            self._on_failed(layout_fault_text(found.reason))
            return
        assert isinstance(found, WeldmentPlaces)
        self.found = found
        held = self.list.current_key()
        self.list.show_lines(put_line(self.document.job, found, put) for put in found.found)
        self.statement.setText(tried_words(found))
        self.set.setEnabled(bool(found.found))
        if not (held and self.list.go_to(held)):
            self.list.setCurrentIndex(self.list.lines.index(-1))
            # Not hasFocus: the window may be in the background when the places have been found.
            if self.window().focusWidget() is self.list:
                self.list.go_first()
        self._on_highlight(self.list.current_key())

    def _on_failed(self, words: str) -> None:
        self.found = None
        self.list.show_lines(())
        self.set.setEnabled(False)
        self.statement.setText(sentence(words))
        self._on_highlight("")

    def highlighted(self) -> WeldmentPlace | None:
        """Return the highlighted place, or None."""
        key = self.list.current_key()
        found = self.found.found if self.found is not None else ()
        return next((put for put in found if put_key(put) == key), None)

    def _on_highlight(self, _: str) -> None:
        put, job = self.highlighted(), only(self.document.job, self.document.weldment)
        self.set.setEnabled(put is not None)
        if put is None:
            self.show_on_plan(())
            return
        after = weldment.put(job, put)
        points = [p for part in after.parts for p in part_ring(part)]
        self.show_on_plan(draw_put(job, put), points if self.list.hasFocus() else ())

    def set_up(self) -> None:
        """Move the weldment to the highlighted place, as one undo step."""
        put, job = self.highlighted(), self.document.job
        if put is None:
            self.message.emit("Highlight a position in the list first.")
            return
        one = self.document.weldment
        after = weldment.put(job, put, one)
        if after is job:
            self.message.emit("It is already there.")
            return
        called, moved = weldment_title(job, one), move_words(put, job.display)
        self.document.do(after, f"Put {called}: {moved[:1].lower()}{moved[1:]}")
        self.message.emit(f"{moved}. Ctrl+Z undoes it.")

    # -- the rest --------------------------------------------------------------------------------

    def close_document(self) -> None:
        """Stop searching."""
        self.tasks.close()


def _same(one: object, other: object) -> bool:
    return one is other or (not isinstance(one, tuple) and one == other)
