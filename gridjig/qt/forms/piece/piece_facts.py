"""A piece's name, kind, count, bin, pins and mass."""

from msgspec import structs
from PySide6.QtWidgets import QWidget

from gridjig.edits.rack import KINDS, MOST_OWNED, set_bin, set_owned, set_piece
from gridjig.geometry.piece_mass import mass_of
from gridjig.model import Job
from gridjig.qt.forms.piece_draft import PieceDraft
from gridjig.qt.widgets.cell_form import Taker
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.fields import CountField, LengthField, TextField, TypedField
from gridjig.qt.widgets.force_field import ForceField
from gridjig.qt.widgets.order_list import OrderEntry, OrderList
from gridjig.qt.widgets.tick import Tick
from gridjig.rack import Piece, Shank, kind_name
from gridjig.session.document import Document
from gridjig.tools.core.wording import capital
from gridjig.units import Display, format_length, format_mass, mass_words, parse_mass

_HANDS = (("No hand", "none"), ("Left hand", "left"), ("Right hand", "right"))


class PieceFacts(PieceDraft):
    """Everything about a piece except its sizes."""

    def __init__(self, draft: Document, piece_id: str, parent: QWidget | None = None) -> None:
        super().__init__(draft, piece_id, parent)
        field, its, to = self.field, self.its, self._to
        display = draft.job.display
        self.name = field(
            TextField("Name", needed=True), "name", to("name"), "Name the piece", wide=True
        )
        self.wording = field(
            TextField("Size in words", longest=80),
            "size",
            to("size"),
            "Change the size text",
            wide=True,
        )
        kinds = Choices("Kind", ((capital(kind_name(kind)), kind) for kind in KINDS))
        self.kind = field(kinds, "kind", to("kind"), "Change the kind")
        self.hand = field(Choices("Hand", _HANDS), "hand", to("hand"), "Change the hand")
        self.owned = field(
            CountField("On hand", 0, MOST_OWNED), "owned", its(set_owned), "Change the count"
        )
        self.bin = field(TextField("Bin", longest=40), "bin", its(set_bin), "Change the bin")
        self.mass = field(
            TypedField(mass_words("Mass", display), self._read_mass, self._show_mass),
            "mass",
            to("mass"),
            mass_words("Change the mass", display),
        )
        self.deep = field(
            LengthField("Pin length below it", display, low=0.0),
            "pin_length",
            to("pin_length"),
            "Change the pin length",
        )
        self.force = field(
            ForceField("Presses with", draft),
            lambda piece: piece.tip.force if piece.tip is not None else 0.0,
            self._to_force,
            "Change what it presses with",
        )
        self.flips = field(
            Tick("Can be turned over"), "flips", to("flips"), "Change whether it can be turned over"
        )
        self.pins_head = self.heading("Locking pins it takes, best first")
        self.pins_note = self.words("small")
        self.takes = OrderList("Locking pins it takes, best first")
        self.takes.list.setFixedHeight(self.fontMetrics().lineSpacing() * 8)
        self.across(self.takes)
        self.on(self.takes.ordered, self._on_order)
        self.on(self.takes.ticked, self._on_takes)
        self.reflow()

    def _to(self, key: str) -> Taker:
        """Return an edit that sets one attribute of the piece."""
        return lambda job, value: set_piece(job, structs.replace(self._piece(job), **{key: value}))

    def _to_force(self, job: Job, newtons: float) -> Job:
        piece = self._piece(job)
        assert piece.tip is not None
        return set_piece(job, structs.replace(piece, tip=structs.replace(piece.tip, force=newtons)))

    def _on_order(self, keys: tuple[str, ...]) -> None:
        takes = self._piece(self.document.job).takes
        self._order = keys
        self._on_takes(tuple(key for key in keys if key in takes))
        self.show_draft()

    _order: tuple[str, ...] = ()

    def _on_takes(self, keys: tuple[str, ...]) -> None:
        # Pins that this rack lacks may be on another rack, so they stay with the piece.
        piece = self._piece(self.document.job)
        away = tuple(pin for pin in piece.takes if self.document.job.rack.find(pin) is None)
        takes = (*keys, *away)
        self.do(lambda job: self._to("takes")(job, takes), "Change the pins it takes")

    # -- mass ------------------------------------------------------------------------------------

    def _read_mass(self, text: str) -> object:
        return parse_mass(text, self.document.job.display)

    def _show_mass(self, value: object) -> str:
        return format_mass(value, self.document.job.display) if isinstance(value, float) else ""

    # -- showing ---------------------------------------------------------------------------------

    def show_draft(self) -> None:
        """Show the piece as the draft has it."""
        job = self.document.job
        piece = self._piece(job)
        self.show_values(job)
        self.mass.set_accepts(f"outline: {format_mass(mass_of(piece), job.display)}")
        own_pins = any(isinstance(one, Shank) for one in piece.mounts)
        self.show_cell(self.deep, own_pins or piece.kind == "locking pin")
        self.deep.set_display(job.display)
        told = format_length(piece.below, job.display)
        self.deep.set_accepts(f"outline: {told}" if piece.below else "0 if not known")
        self.show_cell(self.force, piece.tip is not None)
        self.force.set_accepts("N or lb; empty: the shop's value for any clamp")
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
            OrderEntry(pin, _pin_words(pins[pin], job.display), pin in taken) for pin in order
        )
        self.takes.show_entries(entries)
        first = "No pin on this rack fits."
        if taken:
            first = f"It is pinned with {pins[taken[0]].name}."
        self.pins_note.setText(f"{first} Space ticks a pin, Alt with an arrow moves it.")


def _pin_words(pin: Piece, display: Display) -> str:
    across = format_length(pin.pin_diameter, display)
    size = pin.size or f"{across} dia"
    return f"{pin.name}, {size}"
