"""The form of several selected things: moves them together, by holes, or parts by a length."""

from collections.abc import Callable
from functools import partial
from typing import Any

from PySide6.QtWidgets import QWidget

from gridjig.checks.needs import left_of, needs
from gridjig.edits.selection import shift, shift_parts
from gridjig.edits.typed_packing import (
    add_packing,
    drop_packing,
    shared_packing,
    takes_packing,
    thickness,
    type_packing,
)
from gridjig.geometry.part_mass import load, total
from gridjig.model import Job
from gridjig.model.titles import title, titles
from gridjig.qt.widgets.cell_form import CellForm
from gridjig.qt.widgets.fields import CountField, LengthField
from gridjig.session.document import Document
from gridjig.tools.core.refusals import first_refused
from gridjig.tools.core.tool import apply_outcome
from gridjig.tools.core.wording import distance, sentence
from gridjig.tools.select.to_face import bring_to_face
from gridjig.units import format_length, format_mass
from gridjig.units.limits import LimitError
from gridjig.units.spelling import spelled

from .repeat_cells import RepeatCells
from .stack_field import StackField
from .weldment_cell import WeldmentCell


class SeveralForm(CellForm):
    """Shows what is selected and moves it as one."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(document, parent)
        self._ids: frozenset[str] = frozenset()
        display, field = document.job.display, self.field
        self.title = self.heading()
        self.names = self.words()
        self.columns = field(CountField("To the right", -1000, 1000, "whole holes"))
        self.rows = field(CountField("To the back", -1000, 1000, "whole holes"))
        self.right = field(LengthField("To the right", display))
        self.away = field(LengthField("To the back", display))
        self._clear()
        self.move_button = self.button("Move them", self._on_move)
        self.words("small", "Less than 0 moves to the left or towards the front.")
        self.thick = field(LengthField("Packing in front of each", display, low=0.0), wide=True)
        self.on(self.thick.applied, self._on_thick)
        self.packing = StackField("Packing of each, piece by piece", "Add packing to each")
        self.across(self.packing)
        self.on(
            self.packing.added,
            lambda shim: self._pack(lambda job: add_packing(job, self._ids, shim)),
        )
        self.on(
            self.packing.dropped,
            lambda: self._pack(lambda job: drop_packing(job, self._ids)),
        )
        self.bring = self.button("Bring them to the face", self._on_bring)
        self.weight = self.words("freedom")
        self.weldment = WeldmentCell(lambda: self._ids)
        self.across(self.weldment)
        self.on(
            self.weldment.chosen,
            lambda v: self.do(
                partial(self.weldment.moved, chosen=v), "Move parts to another weldment"
            ),
        )
        self.repeat = RepeatCells(self, display)
        self.reflow()

    def subject(self, job: Job) -> Any:
        """Return what is selected, or None if any of it is gone."""
        found = [job.find(i) for i in self._ids]
        return None if None in found else found

    def show_things(self, ids: frozenset[str]) -> None:
        """Show what is selected."""
        job = self.document.shown
        self.turn_to(ids)
        self._ids = ids
        self.title.setText(f"{len(ids)} selected")
        order = [*(o.id for o in job.parts), *(p.id for p in job.placements)]
        names = [title(job, i) for i in order if i in ids]
        more = f" and {len(names) - 8} more" if len(names) > 8 else ""
        self.names.setText(", ".join(names[:8]) + more)
        self._show_parts(job)

    def _show_parts(self, job: Job) -> None:
        """Show copies, opposite hand and mass, if only parts of the weldment are selected."""
        parts = [part for part in job.parts if part.id in self._ids]
        weldment = len(parts) == len(self._ids)
        for counts, length in ((self.columns, self.right), (self.rows, self.away)):
            self.show_cell(counts, not weldment)
            self.show_cell(length, weldment)
            length.set_display(job.display)
        packed = takes_packing(job, self._ids)
        self.show_cell(self.thick, bool(packed))
        self.show_cell(self.packing, bool(packed))
        self.show_cell(self.bring, any(p.id in self._ids for p in job.placements))
        self.thick.set_display(job.display)
        depths = {round(thickness(job, p), 6) for p in packed}
        depth = depths.pop() if len(depths) == 1 else None
        self.thick.set_value(depth)
        self._show_packing(job, depth)
        for cell in (self.weight, *self.repeat.cells()):
            self.show_cell(cell, weldment)
        self.show_cell(self.weldment, self.weldment.show_parts(job))
        if weldment:
            self.repeat.show_parts(job, self._ids)
        if weldment and not self.document.previewing:
            there = total(load(part) for part in parts)
            x, y, z = (format_length(v, job.display) for v in (there.x, there.y, there.z))
            self.weight.setText(
                spelled(
                    f"{format_mass(there.mass, job.display)} together."
                    f" Centre of gravity at {x}, {y}, {z} high."
                )
            )
        self.reflow()

    def _show_packing(self, job: Job, depth: float | None) -> None:
        """Show the packing that all have, or that it differs, and the shims that are left."""
        shims, needed = job.rack.shims, needs(job)
        left = {p.id: left_of(p, needed.get(p.id)) for p in shims}
        words = "" if depth is None else f"{format_length(depth, job.display)} thick"
        stack = shared_packing(job, self._ids)
        if stack is None:
            self.packing.show_differing(shims, left, words)
        else:
            self.packing.show_stack(stack, shims, left, words)

    def _on_thick(self, mm: float) -> None:
        """Set the packing in front of each piece that takes it, made up from the rack's shims."""
        document = self.document
        try:
            typed = type_packing(document.job, self._ids, mm)
        except LimitError as beyond:
            self.thick.complain(sentence(beyond.words(self.document.job.display)))
            return
        if typed.job is None:
            self.thick.complain(sentence(typed.says))
            return
        if self._may_pack(typed.job, self.thick.complain):
            document.do(typed.job, "Set the packing")
            self.message.emit(sentence(typed.says))

    def _pack(self, edit: Callable[[Job], Job]) -> None:
        """Give each the packing that was chosen from the list, or say what is in the way of one."""

        def checked(job: Job) -> Job:
            packed = edit(job)
            return packed if self._may_pack(packed, self.message.emit) else job

        self.do(checked, "Change the packing")

    def _may_pack(self, job: Job, refuse: Callable[[str], None]) -> bool:
        """True if every piece can stand with its packing as it is in `job`."""
        refused = first_refused(self.document.job, self.document.placed_pieces, job, self._ids)
        if refused is not None:
            thing_id, why = refused
            refuse(sentence(f"{title(job, thing_id)}: {why}"))
        return refused is None

    def _on_bring(self) -> None:
        document = self.document
        outcome = bring_to_face(document.job, document.placed_pieces, self._ids)
        apply_outcome(document, outcome)
        self.message.emit(outcome.said)

    def _clear(self) -> None:
        for field in (self.columns, self.rows):
            field.set_value(0)
        for length in (self.right, self.away):
            length.set_value(0.0)

    def _on_move(self) -> None:
        lengths = self.right.isVisibleTo(self)
        fields = (self.right, self.away) if lengths else (self.columns, self.rows)
        for field in fields:
            field.apply()
            if field.has_complaint():
                return
        if lengths:
            self._move_work()
        else:
            self._move_by_holes()

    def _move_work(self) -> None:
        """Move parts, which sit in no hole, by any length; a resulting clash is a finding."""
        dx, dy = self.right.value(), self.away.value()
        if not isinstance(dx, float) or not isinstance(dy, float):
            return
        try:
            moved = shift_parts(self.document.job, self._ids, dx, dy)
        except LimitError as beyond:
            sideways = _beyond(lambda: shift_parts(self.document.job, self._ids, dx, 0.0))
            (self.right if sideways else self.away).complain(
                sentence(beyond.words(self.document.job.display))
            )
            return
        far = distance(dx, dy, self.document.job.display)
        if self.document.do(moved, f"Move {titles(moved, self._ids)}: {far}"):
            self._clear()

    def _move_by_holes(self) -> None:
        columns, rows = self.columns.value(), self.rows.value()
        if not isinstance(columns, int) or not isinstance(rows, int):
            return
        try:
            moved = shift(self.document.job, self._ids, columns, rows)
        except LimitError as beyond:
            sideways = _beyond(lambda: shift(self.document.job, self._ids, columns, 0))
            (self.columns if sideways else self.rows).complain(
                sentence(beyond.words(self.document.job.display))
            )
            return
        refused = first_refused(self.document.job, self.document.placed_pieces, moved, self._ids)
        if refused is not None:
            thing_id, why = refused
            self.columns.complain(sentence(f"{title(moved, thing_id)}: {why}"))
            return
        if self.document.do(moved, f"Move {len(self._ids)} by {columns}, {rows} holes"):
            self._clear()


def _beyond(edit: Callable[[], object]) -> bool:
    """True if an edit asks for a value beyond its limits."""
    try:
        edit()
    except LimitError:
        return True
    return False
