"""The joints list: where parts meet and how they are welded; drawn on the sheet while visible."""

from collections.abc import Iterable
from typing import Any, cast

from PySide6.QtWidgets import QWidget

from gridjig.edits.joints import clear_welds, name_joint, set_welds
from gridjig.model import Job, WeldKind
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.cell_form import CellForm
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.fields import LengthField, TextField
from gridjig.qt.widgets.plain import Button
from gridjig.qt.widgets.tick import Tick
from gridjig.session.document import Document
from gridjig.sheets.drawings.joints import draw_joints
from gridjig.sheets.text.joint_text import joint_lines, kind_words, total_words
from gridjig.solve.weldment.welds import KINDS, Welded, welded, welded_of

from .weldment_page import WeldmentPage


class LegField(LengthField):
    """A weld leg size that may be left empty; its value is then 0, for no choice."""

    def _format(self, value: object) -> str:
        return super()._format(value) if value else ""

    def _parse(self, text: str) -> float:
        return super()._parse(text) if text.strip() else 0.0

    def say_open(self, words: str) -> None:
        """Set the words that are shown while the field is empty."""
        self.edit.setPlaceholderText(words)


class JointForm(CellForm):
    """Name, weld and leg of the selected joints."""

    margins = "line"

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(document, parent)
        self.name = self.field(TextField("Name", longest=40, needed=True))
        self.leg = self.field(LegField("Weld leg", document.job.display))
        self.kind = self.field(
            Choices("Weld", ((kind_words(kind), kind) for kind in KINDS)), wide=True
        )
        self.every = Tick("For all joints", "Weld and leg are set for every joint at once")
        self.suggest = Button(
            "Suggested weld",
            "plain",
            about="Use the suggested weld, without a size; names stay",
        )
        self.pair(self.every, self.suggest)
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
        self.add_list("Joints", single=False)
        self.form = JointForm(document)
        self.column.addWidget(self.form)
        self.form.message.connect(self.message)
        self.list.highlighted.connect(lambda _: self._on_highlight())
        self.list.selectionModel().selectionChanged.connect(lambda *_: self._show_form())
        self.list.opened.connect(lambda _: self._draw(lead=True))
        self.list.setting.connect(self.form.name.setFocus)
        self.form.on(self.form.kind.chosen, self._on_kind)
        self.form.on(self.form.leg.applied, self._on_leg)
        self.form.on(self.form.name.applied, self._on_name)
        self.form.every.toggled.connect(lambda _: self._show_form())
        self.form.on(self.form.suggest.clicked, lambda *_: self._on_suggest())
        self.setFocusProxy(self.list)

    # -- showing ---------------------------------------------------------------------------------

    def show_job(self) -> None:
        """Show the current joints."""
        job = self.document.job
        self.total.setText(total_words(job, self.document.weldment))
        mine = {one.joint.id for one in self._every()}
        lines = [line for line in joint_lines(job) if line.key in mine]
        self.list.show_lines(lines)
        self.list.setEnabled(bool(lines))
        if lines and not self.list.chosen_keys():
            self.list.go_first()
        self.form.leg.set_display(job.display)
        self._show_form()
        self._draw()

    def _on_highlight(self) -> None:
        self._draw(lead=self.list.hasFocus())

    def _draw(self, lead: bool = False) -> None:
        """Draw all joints; with `lead`, bring the highlighted one into view."""
        key = self.list.current_key()
        one = next((w for w in welded(self.document.job) if w.joint.id == key), None)
        points = [one.joint.place, *one.joint.seam] if one is not None and lead else []
        self.show_on_sheet(draw_joints(self.document.job, key), points)

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
        for part in (form.kind, form.leg, form.suggest):
            part.setEnabled(bool(chosen))
        alone = len(chosen) == 1 and not form.every.isChecked()
        form.name.setEnabled(alone)
        form.name.set_value(chosen[0].name if alone else "")
        form.name.set_accepts("" if alone else "choose one joint")
        form.every.setEnabled(bool(self._every()))
        if chosen:
            kinds, legs = {one.kind for one in chosen}, {one.leg for one in chosen}
            form.kind.set_value(chosen[0].kind)
            form.leg.set_value(chosen[0].leg if len(legs) == 1 else 0.0)
            mixed = len(kinds) > 1 or len(legs) > 1
            form.leg.say_open("not all alike" if mixed else "not chosen")

    # -- choosing --------------------------------------------------------------------------------

    def _ids(self) -> set[str]:
        return {one.joint.id for one in self.chosen()}

    def _named(self, verb: str) -> str:
        """Return the name of an undo step: what is done to which joint, or to how many."""
        chosen = self.chosen()
        return f"{verb} {chosen[0].name}" if len(chosen) == 1 else f"{verb} {len(chosen)} joints"

    def _on_kind(self, kind: object) -> None:
        chosen = cast(WeldKind, kind)
        self.form.do(
            lambda job: set_welds(job, self._ids(), kind=chosen), self._named("Change the weld of")
        )

    def _on_leg(self, leg: object) -> None:
        size = cast(float, leg)
        self.form.do(
            lambda job: set_welds(job, self._ids(), leg=size),
            self._named("Change the leg of"),
            self.form.leg,
        )

    def _on_name(self, name: object) -> None:
        (one,) = self.chosen()
        self.form.do(
            lambda job: name_joint(job, one.joint.id, str(name)),
            f"Name {one.name} {name}",
            self.form.name,
        )

    def _on_suggest(self) -> None:
        self.form.do(lambda job: clear_welds(job, self._ids()), self._named("Suggest the weld of"))
