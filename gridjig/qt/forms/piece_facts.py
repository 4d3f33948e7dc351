"""What a piece is called, what kind it is, how many there are and where, its pins and its mass."""

from msgspec import structs
from PySide6.QtWidgets import QCheckBox, QWidget

from gridjig.edits.rack import KINDS, MOST_OWNED, set_bin, set_owned, set_piece
from gridjig.geometry.weigh import mass_of
from gridjig.model import Job
from gridjig.rack import Piece
from gridjig.session.desk import Desk
from gridjig.units import Display, format_length, format_mass, parse_mass

from ..fields import CountField, TextField, TypedField
from ..panes.formbase import Form
from ..quietbox import QuietBox
from ..widgets.cell import boxed
from .rack_order import Ordered, OrderList

_HANDS = (("none", "Both, or none"), ("left", "Left hand"), ("right", "Right hand"))


class PieceFacts(Form):
    """All of a piece but its sizes."""

    def __init__(self, draft: Desk, piece_id: str, parent: QWidget | None = None) -> None:
        super().__init__(draft, parent)
        self._id = piece_id
        self.name = TextField("Name", needed=True)
        self.wording = TextField("Size in words", longest=80)
        self.kind = QuietBox()
        self.kind.setAccessibleName("Kind")
        for kind in KINDS:
            self.kind.addItem(kind[0].upper() + kind[1:], kind)
        self.hand = QuietBox()
        self.hand.setAccessibleName("Hand")
        for hand, words in _HANDS:
            self.hand.addItem(words, hand)
        self.flips = QCheckBox("Can be turned over")
        self.owned = CountField("Owned", 0, MOST_OWNED)
        self.bin = TextField("Bin", longest=40)
        self.mass = TypedField("Mass", self._read_mass, self._show_mass)
        self.takes = OrderList("Locking pins it takes, best first")
        self.takes.list.setFixedHeight(self.fontMetrics().lineSpacing() * 8)
        self.across(self.name, self.wording)
        self.pair(boxed("Kind", self.kind), boxed("Hand", self.hand))
        self.pair(self.owned, self.bin)
        self.pair(self.mass, self.flips)
        self.pins_head = self.heading("Locking pins it takes, best first")
        self.pins_note = self.words()
        self.pins_note.setObjectName("small")
        self.across(self.takes)
        self.reflow()
        self._connect()

    def _connect(self) -> None:
        self.name.applied.connect(lambda v: self._set("Name the piece", self.name, name=v))
        self.wording.applied.connect(lambda v: self._set("Write the size", self.wording, size=v))
        self.mass.applied.connect(lambda v: self._set("Change the mass", self.mass, mass=v))
        self.flips.toggled.connect(lambda on: self._set("Change the flip", None, flips=on))
        self.hand.activated.connect(
            lambda at: self._set("Change the hand", None, hand=self.hand.itemData(at))
        )
        self.kind.activated.connect(self._on_kind)
        self.owned.applied.connect(
            lambda v: self.do(lambda j: set_owned(j, self._id, v), "Count pieces", self.owned)
        )
        self.bin.applied.connect(
            lambda v: self.do(lambda j: set_bin(j, self._id, v), "Change the bin", self.bin)
        )
        self.takes.ordered.connect(self._on_order)
        self.takes.ticked.connect(self._on_takes)

    def _piece(self, job: Job) -> Piece:
        return job.rack.piece(self._id)

    def _set(self, step: str, field: TypedField | None, **values: object) -> None:
        def edit(job: Job) -> Job:
            return set_piece(job, structs.replace(self._piece(job), **values))

        self.do(edit, step, field)

    def _on_kind(self, index: int) -> None:
        self._set("Change the kind", None, kind=self.kind.itemData(index))
        self.show_draft()

    def _on_order(self, keys: tuple[str, ...]) -> None:
        takes = self._piece(self.desk.job).takes
        self._order = keys
        self._on_takes(tuple(key for key in keys if key in takes))
        self.show_draft()

    _order: tuple[str, ...] = ()

    def _on_takes(self, keys: tuple[str, ...]) -> None:
        # Pins that are not on this rack may hang on another one: they stay with the piece.
        piece = self._piece(self.desk.job)
        away = tuple(pin for pin in piece.takes if self.desk.job.rack.find(pin) is None)
        self._set("Change the pins it takes", None, takes=(*keys, *away))

    # -- mass ------------------------------------------------------------------------------------

    def _read_mass(self, text: str) -> object:
        return parse_mass(text, self.desk.job.display)

    def _show_mass(self, value: object) -> str:
        return format_mass(value, self.desk.job.display) if isinstance(value, float) else ""

    # -- showing ---------------------------------------------------------------------------------

    def show_draft(self) -> None:
        """Show the piece as the draft has it."""
        job = self.desk.job
        piece = self._piece(job)
        self.name.set_value(piece.name)
        self.wording.set_value(piece.size)
        self.kind.setCurrentIndex(self.kind.findData(piece.kind))
        self.hand.setCurrentIndex(self.hand.findData(piece.hand))
        self.flips.blockSignals(True)
        self.flips.setChecked(piece.flips)
        self.flips.blockSignals(False)
        self.owned.set_value(piece.owned)
        self.bin.set_value(piece.bin)
        self.mass.set_accepts(f"outline: {format_mass(mass_of(piece), job.display)}")
        self.mass.set_value(piece.mass)
        self._show_pins(job, piece)

    def _show_pins(self, job: Job, piece: Piece) -> None:
        for widget in (self.pins_head, self.pins_note, self.takes):
            self.show_cell(widget, piece.needs_pin)
        self.reflow()
        pins = {p.id: p for p in job.rack.pieces if p.kind == "locking pin"}
        taken = [pin for pin in piece.takes if pin in pins]
        others = [pin for pin in pins if pin not in taken]
        kept = [key for key in self._order if key in pins]
        order = kept if set(kept) == set(pins) else [*taken, *others]
        if [key for key in order if key in taken] != taken:
            order = [*taken, *others]
        entries = tuple(
            Ordered(pin, _pin_words(pins[pin], job.display), pin in taken) for pin in order
        )
        self.takes.show_entries(entries)
        first = f"It is pinned by {pins[taken[0]].name}." if taken else "No pin of this rack fits."
        self.pins_note.setText(f"{first} Space ticks a pin, Alt with an arrow moves it.")

    def faulty(self) -> TypedField | None:
        """Take over what is being typed; the first field that holds something not accepted."""
        fields: tuple[TypedField, ...] = (self.name, self.wording, self.owned, self.bin, self.mass)
        for field in fields:
            field.apply()
        return next((f for f in fields if f.has_complaint()), None)


def _pin_words(pin: Piece, display: Display) -> str:
    across = format_length(pin.pin_diameter, display)
    size = pin.size or f"{across} dia"
    return f"{pin.name}, {size}"
