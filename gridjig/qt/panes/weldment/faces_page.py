"""Datum faces, and the gap from the chosen stop, on the grid, to each face of the weldment."""

from functools import partial
from typing import cast

from msgspec import structs
from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent

from gridjig.checks.riser_room import riser_warning
from gridjig.checks.stop_places import StopSearch, stop_before
from gridjig.edits.joints import set_critical, set_datum
from gridjig.edits.lookup import new_id
from gridjig.edits.placements import place
from gridjig.geometry.display import DisplayList
from gridjig.model import Datum, Job, Part
from gridjig.model.accuracy import LinearClass
from gridjig.model.by_weldment import only, weldment_of
from gridjig.model.titles import thing_of
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.announce import announce
from gridjig.qt.widgets.cells import ButtonRow, FoldingRow
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.plain import Button, Label
from gridjig.session.document import Document
from gridjig.sheets.drawings.layout import draw_datum, draw_remainder
from gridjig.sheets.text.layout_text import (
    datum_words,
    line_key,
    remainder_line,
    setting_words,
    summary_words,
)
from gridjig.sheets.text.list_line import ListLine
from gridjig.solve.layout.faults import LayoutFault
from gridjig.solve.layout.remainders import Remainder, Remainders, remainders, the_stop
from gridjig.solve.packing.stops import Stop, stops
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.tolerance import CLASSES
from gridjig.solve.weldment.datum import datum_faces
from gridjig.solve.weldment.faces import faces
from gridjig.tools.pick.angle_pick import EdgePick, PickableEdge
from gridjig.words.layout_fault_text import layout_fault_text

from .weldment_page import PageList, WeldmentPage

NO_FACE = "That is not a straight face of the weldment; pick another."
HEADS = {"x": "Left and right of the table", "y": "Front and back of the table"}


class FaceLineList(PageList):
    """A list of faces: Enter sets a stop in front of one, Space marks it as critical."""

    marked = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Mark the line as critical on Space."""
        if event.key() == Qt.Key.Key_Space and not event.modifiers():
            self.marked.emit()
        else:
            super().keyPressEvent(event)


class FacesPage(WeldmentPage):
    """Datum faces and gaps; emits `asked` when the stop or the tolerance class changes."""

    asked = Signal()
    topic = "where"

    def __init__(self, document: Document, appearance: Appearance) -> None:
        super().__init__(document, appearance)
        self.found: Remainders | None = None
        self.searches: dict[str, StopSearch] = {}
        self._told: tuple[object, ...] = ()
        self._known: tuple[Stop, ...] | None = None
        self.stop_box = Choices("Stop", [("", None)])
        self.class_box = Choices("Class, ISO 13920", ((f"class {c}", c) for c in CLASSES))
        self.class_box.set_value("B")
        self.add_row(FoldingRow(self.stop_box, self.class_box, stretch=(3, 2)), margins="head")
        self.long = self._datum_label("A")
        self.end = self._datum_label("B")
        self.pick_long = Button("Pick A", about="Click the long datum face on the plan")
        self.pick_end = Button("Pick B", about="Click the end datum face on the plan")
        self.propose = Button("As proposed", about="Use the proposed faces")
        self.add_row(ButtonRow(self.pick_long, self.pick_end, self.propose))
        self.summary = self.label("small")
        self.face_lines = FaceLineList(
            "Faces and the gap in front of each", appearance, single=False
        )
        self.list = self.face_lines
        self.column.addWidget(self.list, 1)
        self.set_stop = Button(
            "Set the stop",
            about="Put the stop named in each selected line on the table, with its slide or packing"
            "  (Enter)",
        )
        self.critical = Button(
            "Critical",
            "plain",
            about="This line of faces must lie on the grid; the search puts it there first (Space)",
        )
        self.critical.setCheckable(True)
        self.add_row((self.set_stop, 1), self.critical)
        self._connect()
        self.setFocusProxy(self.list)

    def _datum_label(self, letter: str) -> Label:
        made = self.label("freedom")
        made.setAccessibleName(f"Datum {letter}")
        return made

    def _connect(self) -> None:
        self.stop_box.chosen.connect(lambda _: self._ask())
        self.class_box.chosen.connect(lambda _: self._ask())
        self.pick_long.clicked.connect(partial(self.pick, "long"))
        self.pick_end.clicked.connect(partial(self.pick, "end"))
        self.propose.clicked.connect(self._propose)
        self.list.highlighted.connect(lambda _: self._on_highlight())
        self.list.chosen.connect(lambda _: self._show_critical())
        self.list.setting.connect(self.set_up)
        self.list.does = "Enter sets its stop, Space marks it as critical"
        self.face_lines.marked.connect(self._toggle)
        self.set_stop.clicked.connect(self.set_up)
        self.list.opened.connect(lambda _: self._draw(lead=True))
        self.critical.clicked.connect(self._toggle)

    # -- what is asked ---------------------------------------------------------------------------

    def stop(self) -> Stop | None:
        """Return the stop that gaps are computed for, or None if the rack has none."""
        chosen = self.stop_box.value()
        return chosen if isinstance(chosen, Stop) else None

    def linear_class(self) -> LinearClass:
        """Return the tolerance class that the drawing calls for."""
        return cast(LinearClass, self.class_box.value())

    def offer_stops(self) -> None:
        """List the stops of the rack; keep the chosen one, or start with a fixed one."""
        rack = self.document.job.rack
        known = stops(rack)
        if known is self._known:
            return
        self._known = known
        first = not self.stop()
        self.stop_box.set_choices([(stop.name, stop) for stop in known] or [("no stop", None)])
        if first and known:
            self.stop_box.set_value(the_stop(rack))

    def _ask(self) -> None:
        self.show_job()
        self.asked.emit()

    # -- showing ---------------------------------------------------------------------------------

    def show_job(self) -> None:
        """Compute the gaps and show them."""
        job = self.document.job
        self.offer_stops()
        asked = (
            job.parts, job.placements, job.table, job.rack, job.weldments, job.critical,
            job.display, self.document.weldment, self.stop(), self.linear_class(),
        )  # fmt: skip
        if len(asked) != len(self._told) or any(
            a is not b for a, b in zip(asked, self._told, strict=True)
        ):
            self._told = asked
            self._work_out(job)
        self._draw()

    def _work_out(self, job: Job) -> None:
        alone = only(job, self.document.weldment)
        datum = datum_faces(alone)
        for letter, label, which in (("A", self.long, "long"), ("B", self.end, "end")):
            label.setText(f"{letter}: {datum_words(alone, datum, which)}")
        self.propose.setEnabled(alone.weldments[0].datum != Datum())
        self.found, why = None, ""
        try:
            self.found = remainders(alone, self.stop(), self.linear_class())
        except LayoutFault as fault:
            why = layout_fault_text(fault.reason)
        self.searches = {}
        if self.found is not None:
            placed = self.document.placed_pieces
            self.searches = {
                line_key(one.line): stop_before(job, placed, one) for one in self.found.found
            }
        self.summary.setText(summary_words(alone, self.found) if self.found else f"✕ {why}")
        self.list.show_lines(self._lines(alone))
        self._show_critical()

    def _lines(self, job: Job) -> list[ListLine]:
        if self.found is None:
            return []
        lines: list[ListLine] = []
        for axis, head in HEADS.items():
            of_axis = [one for one in self.found.found if one.line.axis == axis]
            if of_axis:
                lines.append(ListLine(f"heading {axis}", head, heading=True))
            lines += [
                remainder_line(job, self.found, one, self.searches[line_key(one.line)])
                for one in of_axis
            ]
        return lines

    def highlighted(self) -> Remainder | None:
        """Return the highlighted line of faces, or None."""
        key = self.list.current_key()
        every = self.found.found if self.found is not None else ()
        return next((one for one in every if line_key(one.line) == key), None)

    def chosen(self) -> tuple[Remainder, ...]:
        """Return the selected lines of faces, from the top."""
        by_key = {line_key(one.line): one for one in self.found.found} if self.found else {}
        return tuple(by_key[key] for key in self.list.chosen_keys() if key in by_key)

    def set_up(self) -> None:
        """Put the stops of the selected lines on the table, as one undo step."""
        chosen = self.chosen()
        if not chosen:
            self.message.emit("Highlight a line of faces first.")
            return
        job, ids, told, why = self.document.job, list[str](), list[str](), list[str]()
        for one in chosen:
            # What has just been set is in the way of the next, and no longer on the rack.
            search = (
                stop_before(job, PlacedPieces().of(job), one)
                if ids
                else self.searches[line_key(one.line)]
            )
            setting = search.setting
            if setting is None:
                why.append(f"No stop or pin can be set in front of it. {search.why}")
                continue
            placement = structs.replace(
                setting.placement, id=new_id(job, job.rack.piece(setting.stop.piece).kind)
            )
            told.append(setting_words(job, setting))
            job = place(job, placement)
            ids.append(placement.id)
        if not ids:
            self.message.emit(why[0])
            return
        name = f"Set {told[0]}" if len(ids) == 1 else f"Set {len(ids)} stops"
        before, was = self.document.job, self.document.placed_pieces
        self.document.do(job, name, frozenset(ids))
        tight = riser_warning(before, was, job, self.document.placed_pieces)
        left = f" {len(why)} of {len(chosen)} cannot be set: {why[0]}" if why else ""
        self.message.emit(f"Set: {'; '.join(told)}. {tight or 'Ctrl+Z undoes it.'}{left}")

    def _on_highlight(self) -> None:
        self._show_critical()
        self._draw(lead=self.list.hasFocus())

    def _show_critical(self) -> None:
        chosen = self.chosen()
        settings = [self.searches[line_key(one.line)].setting for one in chosen]
        self.set_stop.setEnabled(any(settings))
        self.critical.setEnabled(bool(chosen))
        self.critical.setChecked(bool(chosen) and all(one.line.critical for one in chosen))

    def _draw(self, lead: bool = False) -> None:
        job, one = self.document.job, self.highlighted()
        drawing: DisplayList = draw_datum(datum_faces(job, self.document.weldment))
        if one is None:
            self.show_on_plan(drawing)
            return
        points = [p for face in one.line.faces for p in (face.a, face.b)] if lead else []
        self.show_on_plan((*drawing, *draw_remainder(job, one)), points)

    # -- choosing --------------------------------------------------------------------------------

    def pick(self, which: str) -> None:
        """Let the person pick a datum face on the plan."""
        letter = "A" if which == "long" else "B"
        tool = EdgePick(self.document, f"datum face {letter}", parts_only=True)
        self.picking.emit(tool, lambda: self._take(which, tool.picked[0]))

    def _take(self, which: str, edge: PickableEdge) -> None:
        face = edge.face
        if face is None or all(face != one.of for one in faces(self.document.job.parts)):
            # Shown here, because the next tool's hint overwrites the status strip.
            self.summary.setText(f"✕ {NO_FACE}")
            announce(self, NO_FACE, urgent=True)
            return
        letter = "A" if which == "long" else "B"
        job = self.document.job
        part = thing_of(job, face.part)
        assert isinstance(part, Part)
        one = weldment_of(job, part.weldment)
        datum = structs.replace(one.datum, **{which: face})
        with self.document.together():
            self.document.do(set_datum(job, datum, one.id), f"Choose datum face {letter}")
            self.document.work_on(one.id)

    def _propose(self) -> None:
        self.document.do(
            set_datum(self.document.job, Datum(), self.document.weldment),
            "Use the proposed datum faces",
        )

    def _toggle(self) -> None:
        chosen = self.chosen()
        if not chosen:
            return
        job = self.document.job
        mine = {face.of for one in chosen for face in one.line.faces}
        lines = "a line of faces" if len(chosen) == 1 else f"{len(chosen)} lines of faces"
        if all(one.line.critical for one in chosen):
            critical = set(job.critical) - mine
            name = f"Mark {lines} as not critical"
        else:
            critical = {*job.critical, *mine}
            name = f"Mark {lines} as critical"
        self.document.do(set_critical(job, sorted(critical)), name)
