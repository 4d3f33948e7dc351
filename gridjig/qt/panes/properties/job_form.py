"""The form of the job itself, shown while nothing is selected."""

from functools import partial
from typing import cast, get_args

from msgspec import structs
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from gridjig.edits.allowances import set_linear_class, set_shop_value, set_straight_class
from gridjig.edits.details import (
    rename_job,
    set_display,
    set_drawing,
    set_notes,
    set_saw,
    set_sawing,
)
from gridjig.edits.loading import set_clamp_force, set_friction
from gridjig.edits.shop_values import SHOP_VALUES, ShopQuantity, set_shop_limit
from gridjig.edits.typed_bars import bars_words, read_bars
from gridjig.model import Display, Job, StockBar, Table
from gridjig.model.accuracy import LinearClass, StraightClass
from gridjig.qt.widgets.cell_form import CellForm
from gridjig.qt.widgets.cells import OptionalLengthField
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.fields import (
    AngleField,
    FineLengthField,
    LengthField,
    NoteField,
    TextField,
    TypedField,
)
from gridjig.qt.widgets.plain import Button, Label
from gridjig.session.document import Document
from gridjig.sheets.text.allowance_changes import SHOP_VALUE_NAMES
from gridjig.units import (
    format_force,
    format_length,
    format_mass,
    format_number,
    parse_force,
    parse_mass,
)
from gridjig.units.forces import parse_friction
from gridjig.units.spelling import spelled

UNIT_CHOICES: tuple[tuple[str, Display, str], ...] = (
    ("8", Display(denominator=8), "Inch fractions, to 1/8"),
    ("16", Display(denominator=16), "Inch fractions, to 1/16"),
    ("32", Display(denominator=32), "Inch fractions, to 1/32"),
    ("64", Display(denominator=64), "Inch fractions, to 1/64"),
    ("decimals", Display(unit="inch decimals"), "Inch decimals"),
    ("mm", Display(unit="millimetres"), spelled("Millimetres")),
)


def unit_key(display: Display) -> str:
    """Return the key of the choice that shows lengths as this display does."""
    for key, choice, _ in UNIT_CHOICES:
        if choice.unit == display.unit and (
            display.unit != "inch fractions" or choice.denominator == display.denominator
        ):
            return key
    raise KeyError(display.unit)


def unit_display(key: str, now: Display) -> Display:
    """Return the display of a choice; a unit without fractions keeps the current fraction."""
    choice = next(d for k, d, _ in UNIT_CHOICES if k == key)
    return choice if choice.unit == "inch fractions" else structs.replace(now, unit=choice.unit)


def table_words(table: Table, display: Display) -> str:
    """Return a table in one line: size, holes and pitch."""

    def shown(mm: float) -> str:
        return format_length(mm, display)

    pitch = shown(table.pitch_x)
    if table.pitch_y != table.pitch_x:
        pitch = f"{pitch} by {shown(table.pitch_y)}"
    return (
        f"{shown(table.width)} by {shown(table.depth)}, {shown(table.thickness)} thick;"
        f" {table.columns} by {table.rows} holes of {shown(table.hole_diameter)}, {pitch} apart"
    )


def _shop_value(name: str, job: Job) -> float:
    return float(getattr(job.accuracy, name))


def _with_shop_value(name: str, job: Job, mm: float) -> Job:
    return set_shop_value(job, name, mm)


def _shop_limit(name: str, job: Job) -> float:
    return float(getattr(job.shop, name))


def _with_shop_limit(name: str, job: Job, value: float) -> Job:
    return set_shop_limit(job, name, value)


class JobForm(CellForm):
    """Texts, unit, saw and bars, clamps, tolerance class, torch, table and rack."""

    action_wanted = Signal(str)

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(document, parent)
        self.buttons: dict[str, Button] = {}
        field = self.field
        self.heading("This job")
        self.name = field(
            TextField("Name of the job", needed=True), "name", rename_job, "Name the job", wide=True
        )
        self.drawing = field(
            TextField("Drawing"),
            "drawing",
            lambda job, v: set_drawing(job, v, job.revision),
            "Name the drawing",
        )
        self.revision = field(
            TextField("Revision"),
            "revision",
            lambda job, v: set_drawing(job, job.drawing, v),
            "Set the revision",
        )
        self.unit = field(
            Choices("Lengths shown in", ((words, key) for key, _, words in UNIT_CHOICES)),
            lambda job: unit_key(job.display),
            lambda job, key: set_display(job, unit_display(key, job.display)),
            "Change the unit",
            wide=True,
        )
        self.saw = field(
            AngleField("Saw cuts up to", "° from square; the shop's own limit"),
            "saw",
            set_saw,
            "Set the saw's limit",
            wide=True,
        )
        self._sawing()
        self.heading("Clamps and friction")
        self.force = field(
            TypedField(
                "Each clamp presses with",
                lambda text: parse_force(text, document.shown.display),
                lambda newtons: format_force(float(str(newtons)), document.shown.display),
                "N or lb; a shop value",
            ),
            lambda job: job.holding.clamp_force,
            set_clamp_force,
            "Set the force of a clamp",
            wide=True,
        )
        self.friction = field(
            TypedField(
                "Friction",
                parse_friction,
                lambda value: format_number(float(str(value))),
                "0 to 1; a shop value, unmachined steel about 0.15",
            ),
            lambda job: job.holding.friction,
            set_friction,
            "Set the friction",
            wide=True,
        )
        self.heading("Tolerance class and the shop's accuracy")
        self.linear = field(
            Choices("Lengths and angles", ((f"class {c}", c) for c in get_args(LinearClass))),
            lambda job: job.accuracy.linear,
            set_linear_class,
            "Choose the tolerance class",
            wide=True,
        )
        self.straight = field(
            Choices("Straightness", ((f"class {c}", c) for c in get_args(StraightClass))),
            lambda job: job.accuracy.straight,
            set_straight_class,
            "Choose the straightness class",
            wide=True,
        )
        self.shop = {
            name: field(
                FineLengthField(f"{called[:1].upper()}{called[1:]} ±", document.shown.display, 0.0),
                partial(_shop_value, name),
                partial(_with_shop_value, name),
                f"Set the error of {called}",
                wide=True,
            )
            for name, called in SHOP_VALUE_NAMES.items()
        }
        self.words(
            "small",
            "Classes by ISO 13920. The limits are shop values from common practice, to start with:"
            " measure your own. Hole position counts where the table has no tolerance of its own.",
        )
        self.heading("Room for the torch, and lifting")
        self.limits = {
            name: field(
                self._limit_field(called, quantity),
                partial(_shop_limit, name),
                partial(_with_shop_limit, name),
                f"Set the {called}",
                wide=True,
            )
            for name, (called, quantity) in SHOP_VALUES.items()
        }
        self.words(
            "small",
            "The torch takes a cone with its tip in the weld. These are shop values: measure your"
            " own torch. 23 kg (51 lb) is the load constant of the NIOSH lifting equation.",
        )
        self.weldment = self._part("Weldment", "Add a standard weldment…", "weldment.starter")
        self.table = self._part("Table", "Change the table…", "table.form")
        self.rack = self._part("Rack", "Change the rack…", "rack.form")
        self.notes = field(NoteField("Notes"), "notes", set_notes, "Write notes", wide=True)
        self.reflow()

    def _sawing(self) -> None:
        """Declare what members are sawn from."""
        shown = self.document.job.display

        def words(bars: object) -> str:
            return bars_words(cast(tuple[StockBar, ...], bars), self.document.shown.display)

        def changed(job: Job, **more: object) -> Job:
            return set_sawing(job, structs.replace(job.sawing, **more))

        self.bars = self.field(
            TypedField(
                "Lengths of bars",
                lambda text: read_bars(text, self.document.shown.display),
                words,
                "with ; between them; empty: the usual one",
            ),
            lambda job: job.sawing.bars,
            lambda job, bars: changed(job, bars=bars),
            "Set the lengths of bars",
            wide=True,
        )
        self.kerf = self.field(
            OptionalLengthField("Kerf of the saw", shown, "usual", live=False),
            lambda job: job.sawing.kerf,
            lambda job, mm: changed(job, kerf=mm),
            "Set the kerf",
            wide=True,
        )
        self.trim = self.field(
            LengthField("Trim of each bar", shown, 0.0),
            lambda job: job.sawing.trim,
            lambda job, mm: changed(job, trim=mm),
            "Set the trim",
            wide=True,
        )

    def _limit_field(self, called: str, quantity: ShopQuantity) -> TypedField:
        """The field of one of the shop's values."""
        label, document = f"{called[:1].upper()}{called[1:]}", self.document
        if quantity == "length":
            return LengthField(label, document.shown.display, 0.0)
        if quantity == "angle":
            return AngleField(label, "°, up to 80°")
        return TypedField(
            label,
            lambda text: parse_mass(text, document.shown.display),
            lambda kg: format_mass(float(str(kg)), document.shown.display),
            "kg or lb",
        )

    def _part(self, heading: str, words: str, wanted: str) -> Label:
        """Add a heading, a text to be filled in, and the button of an action; return the text."""
        self.heading(heading)
        told = self.words()
        self.buttons[wanted] = self.button(words, lambda: self.action_wanted.emit(wanted))
        return told

    def show_job(self) -> None:
        """Show the document's job as it is now."""
        job = self.document.shown
        for length in (self.kerf, self.trim):
            length.set_display(job.display)
        self.show_values(job)
        parts = len(job.parts)
        count = ("1 part." if parts == 1 else f"{parts} parts.") if parts else "No part yet."
        many = len(job.weldments)
        self.weldment.setText(f"{many} weldments, {count}" if many > 1 else count)
        marked = len(job.table.marks)
        marks = f" {marked} marked." if marked else ""
        self.table.setText(f"{job.table.name}\n{table_words(job.table, job.display)}.{marks}")
        owned = sum(p.owned for p in job.rack.pieces)
        self.rack.setText(f"{job.rack.name}\n{owned} pieces of {len(job.rack.pieces)} kinds.")
