"""The joints list: where parts meet and how they are welded; drawn on the plan while visible."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any, cast

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from gridjig.edits.allowances import allowance_of, set_measured, set_opened, set_spread
from gridjig.edits.joints import clear_welds, name_joint, set_welds
from gridjig.model import Display, Job, WeldedSides, WeldKind
from gridjig.proof.out.closing import closings
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.cell_form import CellForm
from gridjig.qt.widgets.cells import ButtonRow
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.fields import FineLengthField, LengthField, TextField
from gridjig.qt.widgets.plain import Button
from gridjig.qt.widgets.tick import Tick
from gridjig.session.document import Document
from gridjig.sheets.drawings.joints import draw_joints
from gridjig.sheets.text.closing_text import closing_words
from gridjig.sheets.text.joint_text import joint_lines, kind_words, total_words
from gridjig.sheets.text.weld_text import formula_words, size_words
from gridjig.solve.weldment.welding import weld_lines_of, weld_totals
from gridjig.solve.weldment.welds import KINDS, SIDES, THROATED, Welded, welded, welded_of
from gridjig.units import format_count

from .weldment_page import WeldmentPage


class WeldSizeField(LengthField):
    """A weld size that may be left empty; its value is then 0, for no choice."""

    def _format(self, value: object) -> str:
        return super()._format(value) if value else ""

    def _parse(self, text: str) -> float:
        return super()._parse(text) if text.strip() else 0.0

    def say_open(self, words: str) -> None:
        """Set the words that are shown while the field is empty."""
        self.edit.setPlaceholderText(words)


class ClosingField(FineLengthField):
    """By how much a joint closes, as measured; empty, or 0, goes by the published rules."""

    def __init__(self, label: str, display: Display) -> None:
        super().__init__(label, display)
        self.edit.setPlaceholderText("by published rules")

    def _format(self, value: object) -> str:
        return super()._format(value) if value else ""

    def _parse(self, text: str) -> float:
        return super()._parse(text) if text.strip() else 0.0


_SIZE_NAMES: Mapping[str, str] = {
    "butt": "Depth (s)",
    "flare bevel": "Depth (s)",
    "plug": "Hole diameter",
    "fillet": "Leg (z)",
    "corner": "Leg (z)",
    "none": "Leg (z)",
}
"""What a weld's size is called; the letters are those that drawings to ISO 2553 put before it."""


class JointForm(CellForm):
    """Name, weld, size, welded sides and allowance of the selected joints."""

    margins = "line"

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(document, parent)
        display = document.job.display
        self.name = self.field(TextField("Name", longest=40, needed=True))
        self.sides = self.field(Choices("Welded", ((side.capitalize(), side) for side in SIDES)))
        self.leg = self.field(WeldSizeField(_SIZE_NAMES["fillet"], display))
        self.throat = self.field(WeldSizeField("Throat (a)", display))
        self.kind = self.field(
            Choices("Weld", ((kind_words(kind), kind) for kind in KINDS)), wide=True
        )
        self.every = Tick("For all joints", "Weld, size and sides are set for every joint at once")
        self.suggest = Button(
            "Suggested weld",
            "plain",
            about="Use the suggested weld, without a size; names stay",
        )
        self.pair(self.every, self.suggest)
        self.measured = self.field(ClosingField("Closes by", display), wide=True)
        self.spread = self.field(FineLengthField("Give or take", display, 0.0), wide=True)
        self.opened = self.field(FineLengthField("Set open in the jig by", display), wide=True)
        self.closing = self.words("small")
        self.told = self.words("small")
        self.reflow()

    def subject(self, job: Job) -> Any:
        """Return the joints that the form shows, or None if any of them is gone."""
        ids = {one.joint.id for one in welded(job)}
        return ids if self._of and set(cast(Iterable[str], self._of)) <= ids else None


class JointsPage(WeldmentPage):
    """All joints with their welds."""

    topic = "joints"

    def __init__(self, document: Document, appearance: Appearance) -> None:
        super().__init__(document, appearance)
        self._shown: tuple[Job, str] | None = None
        self.total = self.label()
        self.total.setAccessibleName("How many joints and how much weld")
        self.total.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
        self.add_list("Joints", single=False)
        self.form = JointForm(document)
        self.column.addWidget(self.form)
        self.form.message.connect(self.message)
        self.list.highlighted.connect(lambda _: self._on_highlight())
        self.list.selectionModel().selectionChanged.connect(lambda *_: self._show_form())
        self.list.opened.connect(lambda _: self._draw(lead=True))
        self.list.setting.connect(self.form.name.setFocus)
        self.list.does = "Enter goes to its form"
        self.form.on(self.form.kind.chosen, self._on_kind)
        self.form.on(self.form.leg.applied, self._on_leg)
        self.form.on(self.form.throat.applied, self._on_throat)
        self.form.on(self.form.sides.chosen, self._on_sides)
        self.form.on(self.form.name.applied, self._on_name)
        self.form.on(self.form.measured.applied, self._on_measured)
        self.form.on(self.form.spread.applied, self._on_spread)
        self.form.on(self.form.opened.applied, self._on_opened)
        self.form.every.toggled.connect(lambda _: self._show_form())
        self.form.on(self.form.suggest.clicked, lambda *_: self._on_suggest())
        self.copy = Button("Copy", about="Copy the weld list as a table")
        self.save = Button("Save CSV…", about="Save every side of every seam as CSV")
        self.copy.clicked.connect(lambda: self.action_wanted.emit("welds.copy"))
        self.save.clicked.connect(lambda: self.action_wanted.emit("welds.save"))
        self.add_row(ButtonRow(self.copy, self.save), margins="text")
        self.setFocusProxy(self.list)

    # -- showing ---------------------------------------------------------------------------------

    def show_job(self) -> None:
        """Show the current joints."""
        job = self.document.job
        # Two lines always: with sizes it says the deposit, and nothing may move under the pointer.
        self.total.setText("x\nx")
        self.total.setMinimumHeight(self.total.sizeHint().height())
        self.total.setText(total_words(job, self.document.weldment))
        mine = {one.joint.id for one in self._every()}
        lines = [line for line in joint_lines(job) if line.key in mine]
        self.list.show_lines(lines)
        self.list.setEnabled(bool(lines))
        if lines and not self.list.chosen_keys():
            self.list.go_first()
        form = self.form
        for size in (form.leg, form.throat, form.measured, form.spread, form.opened):
            size.set_display(job.display)
        for button in (self.copy, self.save):
            button.setEnabled(bool(lines))
        self._show_form()
        self._draw()

    def _on_highlight(self) -> None:
        self._draw(lead=self.list.hasFocus())

    def _draw(self, lead: bool = False) -> None:
        """Draw all joints; with `lead`, bring the highlighted one into view."""
        key = self.list.current_key()
        one = next((w for w in welded(self.document.job) if w.joint.id == key), None)
        points = [one.joint.place, *one.joint.seam] if one is not None and lead else []
        self.show_on_plan(draw_joints(self.document.job, key), points)

    def _every(self) -> tuple[Welded, ...]:
        """Return the joints of the current weldment."""
        return welded_of(self.document.job, self.document.weldment)

    def chosen(self) -> tuple[Welded, ...]:
        """Return the joints that the form shows."""
        every = self._every()
        if self.form.every.isChecked():
            return every
        keys = set(self.list.chosen_keys())
        return tuple(one for one in every if one.joint.id in keys)

    def _show_form(self) -> None:
        chosen, form = self.chosen(), self.form
        form.turn_to(tuple(one.joint.id for one in chosen))
        for part in (form.kind, form.leg, form.throat, form.sides, form.suggest):
            part.setEnabled(bool(chosen))
        self._show_allowance(chosen)
        alone = len(chosen) == 1 and not form.every.isChecked()
        form.name.setEnabled(alone)
        form.name.set_value(chosen[0].name if alone else "")
        form.name.set_accepts("" if alone else "choose one joint")
        form.every.setEnabled(bool(self._every()))
        mine = weld_lines_of(self.document.job, self.document.weldment)
        told = formula_words(weld_totals(mine))
        if chosen:
            first = chosen[0]
            kinds = {one.kind for one in chosen}
            sizes = {(one.leg, one.throat) for one in chosen}
            form.kind.set_value(first.kind)
            form.sides.set_value(first.sides)
            mixed = len(sizes) > 1
            for field, value in ((form.leg, first.leg), (form.throat, first.throat)):
                field.set_value(value if len(sizes) == 1 else 0.0)
                field.say_open("not all alike" if mixed else "not chosen")
            form.leg.label.setText(_SIZE_NAMES[first.kind])
            form.throat.setEnabled(bool(kinds & set(THROATED)))
            if len(sizes) == 1:
                told = " ".join(filter(None, (size_words(first, self.document.job.display), told)))
        form.told.setText(told)

    def _show_allowance(self, chosen: tuple[Welded, ...]) -> None:
        """Show what is allowed for; of several joints, only what all of them share."""
        job, form = self.document.job, self.form
        own = [allowance_of(job, one.joint.id) for one in chosen]
        shared = {(one.measured, one.spread, one.opened) for one in own}
        measured, spread, opened = shared.pop() if len(shared) == 1 else (None, 0.0, 0.0)
        form.measured.set_value(measured or 0.0)
        form.spread.set_value(spread)
        form.opened.set_value(opened)
        for field in (form.measured, form.spread, form.opened):
            field.setEnabled(bool(chosen))
        first = next((c for c in closings(job) if chosen and c.id == chosen[0].joint.id), None)
        form.closing.setText(closing_words(first, job.display) if first is not None else "")

    # -- choosing --------------------------------------------------------------------------------

    def _ids(self) -> set[str]:
        return {one.joint.id for one in self.chosen()}

    def _named(self, verb: str) -> str:
        """Return the name of an undo step: what is done to which joint, or to how many."""
        return f"{verb} {_whose(self.chosen())}"

    def _on_kind(self, kind: object) -> None:
        chosen = cast(WeldKind, kind)
        self.form.do(
            lambda job: set_welds(job, self._ids(), kind=chosen), self._named("Change the weld of")
        )

    def _on_leg(self, leg: object) -> None:
        size, called = cast(float, leg), _SIZE_NAMES[self.chosen()[0].kind]
        alike = [one for one in self.chosen() if _SIZE_NAMES[one.kind] == called]
        what = called.partition(" (")[0].lower()
        self._set_size(what, alike, lambda job, ids: set_welds(job, ids, leg=size), self.form.leg)

    def _on_throat(self, throat: object) -> None:
        size = cast(float, throat)
        alike = [one for one in self.chosen() if one.kind in THROATED]
        self._set_size(
            "throat", alike, lambda job, ids: set_welds(job, ids, throat=size), self.form.throat
        )

    def _set_size(
        self,
        what: str,
        those: Sequence[Welded],
        edit: Callable[[Job, set[str]], Job],
        field: LengthField,
    ) -> None:
        """Set a size of the chosen joints that have one of that name, and say which have none: a
        leg is no butt's depth and no plug's hole.
        """
        chosen = self.chosen()
        ids = {one.joint.id for one in those}
        name = f"Change the {what} of {_whose(those)}"
        if self.form.do(lambda job: edit(job, ids), name, field) and len(those) < len(chosen):
            self.form.message.emit(
                f"The {what} is set for {format_count(len(those))} of"
                f" {format_count(len(chosen))} joints. The others have no {what}: select them by"
                " themselves."
            )

    def _on_sides(self, sides: object) -> None:
        chosen = cast(WeldedSides, sides)
        self.form.do(
            lambda job: set_welds(job, self._ids(), sides=chosen),
            self._named("Change the welded sides of"),
        )

    def _on_name(self, name: object) -> None:
        (one,) = self.chosen()
        self.form.do(
            lambda job: name_joint(job, one.joint.id, str(name)),
            f"Name {one.name} {name}",
            self.form.name,
        )

    def _on_measured(self, mm: object) -> None:
        """Nothing, or 0, goes by the published rules again."""
        measured = cast(float, mm) or None
        self.form.do(
            lambda job: set_measured(job, self._ids(), measured),
            self._named("Measure the closing of"),
            self.form.measured,
        )

    def _on_spread(self, mm: object) -> None:
        spread = cast(float, mm)
        self.form.do(
            lambda job: set_spread(job, self._ids(), spread),
            self._named("Measure the spread of"),
            self.form.spread,
        )

    def _on_opened(self, mm: object) -> None:
        opened = cast(float, mm)
        self.form.do(
            lambda job: set_opened(job, self._ids(), opened),
            self._named("Set open"),
            self.form.opened,
        )

    def _on_suggest(self) -> None:
        self.form.do(lambda job: clear_welds(job, self._ids()), self._named("Suggest the weld of"))


def _whose(joints: Sequence[Welded]) -> str:
    return joints[0].name if len(joints) == 1 else f"{format_count(len(joints))} joints"
