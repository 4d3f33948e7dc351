"""The form of one placed piece: what it is, where it stands, and exact entry of every choice."""

from collections.abc import Callable
from functools import partial

from PySide6.QtWidgets import QWidget

from gridjig.checks.needs import left_of, needs
from gridjig.contact.accepted import open_gap
from gridjig.edits.extra_pins import NEEDED, further, pin_in, pull_last
from gridjig.edits.lookup import placement_of, with_placement
from gridjig.edits.placements import (
    flip,
    rename,
    set_accepted_gap,
    set_clamped_by_hand,
    set_force,
    set_lift,
    set_note,
    set_packing,
)
from gridjig.edits.typed_packing import thickness, type_packing
from gridjig.edits.typed_values import (
    TurnChoice,
    TypedResult,
    take_turn_choice,
    turn_choices,
    type_face_distance,
    type_hole,
    type_leaf,
    type_reach,
    type_turn,
)
from gridjig.geometry import wrap
from gridjig.model import Hole, Job, Placement
from gridjig.model.labels import address, find_hole
from gridjig.qt.widgets.cell import boxed
from gridjig.qt.widgets.cell_form import ThingForm
from gridjig.qt.widgets.combo_box import NoWheelComboBox
from gridjig.qt.widgets.fields import AngleField, LengthField, NoteField, TextField, TypedField
from gridjig.qt.widgets.force_field import ForceField
from gridjig.qt.widgets.setting_field import SettingField
from gridjig.qt.widgets.tick import Tick
from gridjig.rack import Piece
from gridjig.session.document import Document
from gridjig.sheets.text.cautions import piece_cautions
from gridjig.sheets.text.contact_text import piece_contact_lines
from gridjig.sheets.text.placed_text import default_force_words, freedom_words, turn_range
from gridjig.solve.placed.cache import holes_besides
from gridjig.solve.placed.face_distance import FaceDistance, face_distance
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.tools.core.refusals import newly_refused
from gridjig.tools.core.tool import apply_outcome
from gridjig.tools.core.wording import sentence
from gridjig.tools.select.freeing import freed
from gridjig.tools.select.to_face import bring_to_face
from gridjig.tools.touch.door import keep_touching
from gridjig.units import format_angle, format_length, format_rounded_angle

from .stack_field import StackField


class PlacementForm(ThingForm):
    """Shows the selected placement; each field commits as a named undo step."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(document, parent)
        display, field, its = document.job.display, self.field, self.its
        self._pin_step: Callable[[Job], Job] | None = None
        self._offers: tuple[TypedResult, ...] = ()
        self._ways_of: tuple[object, ...] = ()
        self._ways: tuple[TurnChoice, ...] = ()
        self.title = self.heading()
        self.freedom = self.words("freedom")
        self.contact = self.words("freedom")
        self.contact.setAccessibleName("What it touches")
        self.caution = self.words("small")
        self.name = field(
            TextField("Name", accepts="optional"), "name", its(rename), "Name the piece", wide=True
        )
        self.holes = [self._hole_field(i) for i in range(3)]
        self.pin = self.button("", self._on_pin)
        self.face = field(SettingField("Face from hole", display), wide=True)
        self.turn = field(AngleField("Turn"))
        self.leaf = field(AngleField("Arm opened to"))
        self.take = self.button("Use the nearest", lambda: self._on_take(0))
        self.take_other = self.button("Use the other way round", lambda: self._on_take(1))
        self.poses = NoWheelComboBox()
        self.pose_box = boxed("Angles that the holes allow", self.poses)
        self.across(self.pose_box)
        self.leaf_words = self.words("small")
        self.reach = field(SettingField("Reach", display))
        force = ForceField("Presses with", document)
        self.force = field(force, "force", its(set_force), "Set its force", wide=True)
        self.flipped = field(
            Tick("Turned over"), "flipped", lambda job, _: flip(job, self.thing_id), "Turn over",
            wide=True,
        )  # fmt: skip
        self.by_hand = field(
            Tick(
                "Clamped by hand",
                "The shop clamps it where its pins leave it free, and trusts that; the check then"
                " no longer asks for another pin",
            ),
            "clamped_by_hand", its(set_clamped_by_hand), "Clamp by hand", wide=True,
        )  # fmt: skip
        self.gap = field(
            Tick("Gap accepted", "The gap before the work stays open; the check then accepts it"),
            lambda placement: placement.accepted_gap > 0.0,
            lambda job, on: set_accepted_gap(job, self.thing_id, self._open() if on else 0.0),
            "Accept the gap",
            wide=True,
        )
        self.lift = StackField("Under it", "Add a riser or shim")
        self.across(self.lift)
        self.thick = field(LengthField("Packing in front of its face", display, low=0.0), wide=True)
        self.packing = StackField("Packing, piece by piece", "Add packing")
        self.across(self.packing)
        self.bring = self.button("Bring to the face", self._on_bring)
        self.note = field(NoteField("Note"), "note", its(set_note), "Write a note", wide=True)
        self._connect()

    def _hole_field(self, index: int) -> TypedField:
        def read(text: str) -> Hole:
            return find_hole(self.document.shown.table, text)

        def show(value: object) -> str:
            return address(self.document.shown.table, value) if isinstance(value, Hole) else ""

        label = "Hole" if index == 0 else f"Hole {index + 1}"
        accepts = "moves the piece" if index == 0 else "moves this end"
        field = self.field(TypedField(label, read, show, accepts))
        self.on(field.applied, lambda hole: self._on_hole(index, hole))
        return field

    def _connect(self) -> None:
        self.on(
            self.face.applied,
            lambda v: self._go(
                type_face_distance(self.document.job, self._stand(), v),
                "Slide to a distance",
                self.face,
            ),
        )
        self.on(
            self.reach.applied,
            lambda v: self._go(
                type_reach(self.document.job, self._stand(), v), "Set the reach", self.reach
            ),
        )
        self.on(self.turn.applied, self._on_turn)
        self.on(self.leaf.applied, self._on_leaf)
        self.on(self.poses.activated, self._on_pose)
        self.on(self.thick.applied, self._on_thick)
        self._on_stack(self.lift, set_lift, "Change what is under it")
        self._on_stack(self.packing, set_packing, "Change the packing")

    def _on_stack(self, stack: StackField, edit: Callable[..., Job], step: str) -> None:
        self.on(stack.changed, lambda v: self.do(lambda job: edit(job, self.thing_id, v), step))

    # -- showing ---------------------------------------------------------------------------------

    def show_thing(self, thing_id: str) -> None:
        """Show the placement with this id as the document has it now."""
        job = self.document.shown
        placement = placement_of(job, thing_id)
        there = self.document.placed_pieces[thing_id]
        piece = job.rack.piece(placement.piece)
        if self.turn_to(thing_id):
            self._make_offers(None)
        self.title.setText(f"{piece.name}{f', {piece.size}' if piece.size else ''}")
        self.freedom.setText(sentence(freedom_words(job, there)))
        self._show_contact(job)
        self.caution.setText(piece_cautions(job, there))
        self.show_cell(self.caution, bool(self.caution.text()))
        self.show_values(job)
        self._show_holes(placement)
        if not self.document.previewing:
            self._show_pin(job, there)
        self._show_turn(there)
        self._show_lengths(job, there, piece)
        self._show_leaf(piece, there, job)
        self.show_cell(self.flipped, piece.flips)
        free = there.way is not None and there.way.kind != "pinned"
        self.show_cell(self.by_hand, free or placement.clamped_by_hand)
        self.show_cell(self.gap, self._open() > 0.0 or placement.accepted_gap > 0.0)
        self._show_stacks(job, placement, there)
        self.reflow()

    def _show_contact(self, job: Job) -> None:
        """Show what the piece touches, also while it is dragged."""
        lines = piece_contact_lines(job, self.document.contacts, self.thing_id)
        self.contact.setText("\n".join(sentence(line) for line in lines))
        self.show_cell(self.contact, bool(lines))

    def _open(self) -> float:
        """Return the gap that can be accepted, mm; 0 if there is none."""
        return open_gap(self.document.contacts, self.thing_id)

    def _show_holes(self, placement: Placement) -> None:
        for index, field in enumerate(self.holes):
            there = index < len(placement.seats)
            self.show_cell(field, there)
            if there:
                field.set_value(placement.seats[index].hole)

    def _show_pin(self, job: Job, there: PlacedPiece) -> None:
        """Offer to pin another hole that lies over a table hole, or to take the last pin out."""
        seats = there.placement.seats
        spare = further(job, there, holes_besides(self.document.placed_pieces, self.thing_id))
        if spare:
            self.pin.setText(f"Pin it in {address(job.table, spare[0].hole)} too")
            self._pin_step = partial(pin_in, thing_id=self.thing_id, seats=seats, seat=spare[0])
        elif len(seats) > NEEDED:
            self.pin.setText(f"Take the pin out of {address(job.table, seats[-1].hole)}")
            self._pin_step = partial(pull_last, thing_id=self.thing_id, seats=seats)
        self.show_cell(self.pin, bool(spare) or len(seats) > NEEDED)

    def _show_turn(self, there: PlacedPiece) -> None:
        self.turn.set_value(there.turn)
        way = there.way
        free = way is not None and way.turn_low < way.turn_high
        if free and way is not None and way.turn_high - way.turn_low < 360:
            self.turn.set_accepts(" to ".join(map(format_angle, turn_range(there, way))))
        else:
            self.turn.set_accepts("° ccw" if free else "° ccw, by the holes")
        self._show_ways(there)

    def _show_ways(self, there: PlacedPiece) -> None:
        """List the turns about the first hole, except while something is being dragged."""
        job = self.document.job
        key = (there.placement, job.table, job.rack, job.placements)
        if not self.document.previewing and (
            len(key) != len(self._ways_of)
            or any(a is not b for a, b in zip(key, self._ways_of, strict=True))
        ):
            self._ways_of = key
            self._ways = turn_choices(job, self.thing_id, self._taken())
            self.poses.clear()
            for way in self._ways:
                self.poses.addItem(f"{format_angle(way.turn)}   in {way.holes}")
        self.show_cell(self.pose_box, len(self._ways) > 1)
        if self._ways:
            holes = set(there.holes)
            off = [
                (
                    round(abs(wrap(way.turn - there.turn)), 6),
                    {s.hole for s in way.pose.seats} != holes,
                )
                for way in self._ways
            ]
            self.poses.setCurrentIndex(off.index(min(off)))

    def _taken(self) -> frozenset[Hole]:
        return holes_besides(self.document.placed_pieces, self.thing_id)

    def _show_lengths(self, job: Job, there: PlacedPiece, piece: Piece) -> None:
        distance: FaceDistance | None = face_distance(job, there)
        self.show_cell(self.face, distance is not None)
        if distance is not None:
            self.face.set_range(distance.low, distance.high)
            self.face.set_value(distance.now)
        self.show_cell(self.reach, piece.tip is not None)
        self.show_cell(self.force, piece.tip is not None)
        if piece.tip is not None:
            self.force.set_accepts(default_force_words(job, piece))
            self.reach.set_range(piece.tip.reach_min, piece.tip.reach_max)
            self.reach.set_value(there.reach)

    def _show_leaf(self, piece: Piece, there: PlacedPiece, job: Job) -> None:
        self.show_cell(self.leaf, piece.pivot is not None)
        self.show_cell(self.leaf_words, piece.pivot is not None)
        if piece.pivot is None:
            return
        self.leaf.set_value(there.leaf)
        low, high, hole = there.leaf_low, there.leaf_high, there.leaf_hole
        self.leaf.set_accepts("by its pin" if hole else " to ".join(map(format_angle, (low, high))))
        by = f"Locked by a pin in {address(job.table, hole)}" if hole else "Set by its scale"
        self.leaf_words.setText(f"{by}; good to {format_rounded_angle(there.leaf_play)}.")

    def _show_stacks(self, job: Job, placement: Placement, there: PlacedPiece) -> None:
        needed = needs(job)
        shims = job.rack.shims
        loose = (*job.rack.risers, *shims)
        left = {p.id: left_of(p, needed.get(p.id)) for p in loose}
        self.lift.show_stack(
            placement.lift, loose, left, f"{format_length(there.z, job.display)} high"
        )
        piece = job.rack.piece(placement.piece)
        self.show_cell(self.packing, piece.takes_packing or bool(placement.packing))
        self.show_cell(self.thick, piece.takes_packing)
        self.show_cell(self.bring, bool(piece.faces or piece.rounds or piece.tip))
        depth = thickness(job, placement)
        self.thick.set_display(job.display)
        self.thick.set_value(depth)
        self.packing.show_stack(
            placement.packing, shims, left, f"{format_length(depth, job.display)} thick"
        )

    # -- doing -----------------------------------------------------------------------------------

    def _stand(self) -> PlacedPiece:
        return self.document.placed_pieces[self.thing_id]

    def _on_hole(self, index: int, hole: Hole) -> None:
        step = f"Move to {address(self.document.job.table, hole)}"
        answer = type_hole(self.document.job, self.thing_id, index, hole)
        if answer.job is not None and index == 0:
            kept = keep_touching(
                self.document.job,
                self.document.placed_pieces,
                answer.job,
                frozenset([self.thing_id]),
            )
            answer = TypedResult(kept)
        self._go(answer, step, self.holes[index])

    def _on_turn(self, degrees: float) -> None:
        answer = type_turn(self.document.job, self.thing_id, degrees, self._taken())
        self._go(answer, f"Turn to {format_angle(degrees)}", self.turn)

    def _on_leaf(self, degrees: float) -> None:
        answer = type_leaf(self.document.job, self.thing_id, degrees, self._taken())
        self._go(answer, f"Open the arm to {format_angle(degrees)}", self.leaf)

    def _on_pose(self, index: int) -> None:
        way = self._ways[index]
        self.turn.restore()
        self._commit(
            take_turn_choice(self.document.job, self.thing_id, way, self._taken()),
            f"Turn to {format_angle(way.turn)}",
            self.turn,
        )

    def _on_thick(self, mm: float) -> None:
        typed = type_packing(self.document.job, {self.thing_id}, mm)
        if typed.job is None:
            self.thick.complain(sentence(typed.says))
            return
        self.thick.set_value(thickness(typed.job, placement_of(typed.job, self.thing_id)))
        if self._commit(typed.job, "Set the packing", self.thick):
            self.message.emit(sentence(typed.says))

    def _on_bring(self) -> None:
        document = self.document
        outcome = bring_to_face(document.job, document.placed_pieces, frozenset([self.thing_id]))
        apply_outcome(document, outcome)
        self.message.emit(outcome.said)

    def _on_take(self, which: int) -> None:
        one = self._offers[which]
        self._make_offers(None)
        for field in self.typed():
            if field.has_complaint():
                field.restore()
        self.reflow()
        if one.offer is not None:
            self._commit(one.offer, f"Set to {one.nearest}", self.turn, one.told)

    def _on_pin(self) -> None:
        if self._pin_step is not None:
            self._commit(self._pin_step(self.document.job), self.pin.text(), self.holes[0])

    def _make_offers(self, answer: TypedResult | None) -> None:
        """Offer the nearest to what was typed, and the other way round where that is closer."""
        both = (answer, answer and answer.other)
        self._offers = tuple(one for one in both if one is not None and one.offer is not None)
        for one, button in zip(self._offers, (self.take, self.take_other), strict=False):
            way = ", the other way round" if one is not answer else ""
            button.setText(f"Use {one.nearest}{way}")
        for least, button in enumerate((self.take, self.take_other)):
            self.show_cell(button, len(self._offers) > least)

    def _go(self, answer: TypedResult, step: str, field: TypedField) -> None:
        self._make_offers(answer)
        self.reflow()
        if answer.job is None:
            field.complain(sentence(answer.says))
        else:
            self._commit(answer.job, step, field, answer.told)

    def _commit(self, job: Job, step: str, field: TypedField, told: str = "") -> bool:
        """Commit an undo step and say what is told of it.

        If something is in the way, say so at the field and return False.
        """
        before = self.document.job, self.document.placed_pieces
        why = newly_refused(*before, job, {self.thing_id})
        if why is not None and field is self.turn:
            clear = freed(*before, placement_of(job, self.thing_id))
            if clear is not None:
                job, why = with_placement(job, clear), None
                told = f"{told or f'{step}.'} It now stands clear of what was in its way."
        if why is not None:
            field.complain(sentence(why))
            return False
        self.document.do(job, step)
        if told:
            self.message.emit(told)
        return True
