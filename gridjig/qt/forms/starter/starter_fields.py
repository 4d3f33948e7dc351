"""The fields for one standard weldment, built from its data: sizes, options and stock."""

import math
import re
from typing import cast

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from gridjig.edits.starters import Starter, StarterSize
from gridjig.files.storage.last_sizes import LastSizes
from gridjig.model import Display, Section
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.fields import AngleField, CountField, LengthField, TypedField
from gridjig.qt.widgets.layout import GAP, REST, in_column
from gridjig.qt.widgets.plain import Label
from gridjig.qt.widgets.section_box import SectionCell
from gridjig.units import INCH, format_angle, format_coordinate, parse_angle, parse_length
from gridjig.units.spelling import spelled

from .starter_kinds import first_numbers, first_sections


class RangedAngle(AngleField):
    """An angle field that shows its range."""

    def __init__(self, label: str, low: float, high: float) -> None:
        super().__init__(label, f"{format_angle(low)} to {format_angle(high)}, 4:12")
        self._low, self._high = low, high
        self._read = self._parse

    def _parse(self, text: str) -> float:
        value = parse_angle(text)
        if not self._low <= value <= self._high:
            raise ValueError(
                f"{self._format(value)} is out of range; it goes from"
                f" {self._format(self._low)} to {self._format(self._high)}."
            )
        return value


class PlacesField(TypedField):
    """A list of lengths such as 0, 600, 1200."""

    def __init__(self, label: str, display: Display, none: str) -> None:
        self._display = display
        self._none = none
        example = "0, 600, 1200" if display.unit == "millimetres" else "0, 12, 24"
        accepts = f"{example}; empty: {none}" if none else example
        super().__init__(label, self._parse, self._shown, accepts)

    def _parse(self, text: str) -> tuple[float, ...]:
        parts = [part.strip() for part in re.split(r"[;,]", text) if part.strip()]
        if not parts and not self._none:
            raise ValueError("Type at least one length, such as 0, 600, 1200.")
        return tuple(parse_length(part, self._display.unit) for part in parts)

    def _shown(self, value: object) -> str:
        lengths = cast(tuple[float, ...], value)
        return ", ".join(format_coordinate(mm, self._display) for mm in lengths)


class StarterFields(QWidget):
    """Asks for the sizes, options and stock of one starter; emits `changed` after valid changes."""

    changed = Signal()
    adding = Signal(object)

    entered = Signal()

    def __init__(
        self,
        starter: Starter,
        display: Display,
        last: LastSizes | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        last = last or LastSizes()
        metric = display.unit == "millimetres"
        self.starter = starter
        self.sizes: dict[str, TypedField] = {}
        self.choices: dict[str, Choices] = {}
        self.stock: dict[str, SectionCell] = {}
        self.lists: dict[str, TypedField] = {}
        numbers = first_numbers(starter, metric)
        for size in starter.sizes:
            field = _field(size, display)
            kept = last.numbers.get(size.key, numbers[size.key])
            number = kept if size.low <= kept <= size.high else numbers[size.key]
            field.set_value(int(number) if size.measure == "count" else number)
            self._live(field)
            self.sizes[size.key] = field
        for places in starter.places:
            field = PlacesField(places.label, display, places.none)
            first = places.default if metric else places.inches
            field.set_value(last.places.get(places.key, first))
            self._live(field)
            self.lists[places.key] = field
        for one in starter.choices:
            choice = Choices(
                one.label, ((spelled(word.capitalize()), word) for word in one.options)
            )
            if last.choices.get(one.key) in one.options:
                choice.set_value(last.choices[one.key])
            choice.chosen.connect(lambda _: self._on_choice())
            self.choices[one.key] = choice
        sections = first_sections(starter, metric)
        for stock in starter.stock:
            cell = SectionCell(stock.label)
            cell.box.ready(display.unit)
            cell.set_value(last.sections.get(stock.key, sections[stock.key]))
            cell.chosen.connect(lambda _: self.changed.emit())
            cell.box.adding.connect(lambda cell=cell: self.adding.emit(cell))
            self.stock[stock.key] = cell
        fields = (*self.sizes.values(), *self.lists.values())
        cells = (*fields, *self.choices.values(), *self.stock.values())
        in_column(Label(starter.about), *cells, REST, over=self, margins="form", gap=GAP)
        self._show_used()

    def _live(self, field: TypedField) -> None:
        field.make_live()
        field.applied.connect(lambda _: self.changed.emit())
        field.edit.entered.connect(self.entered)

    def _on_choice(self) -> None:
        self._show_used()
        self.changed.emit()

    def _show_used(self) -> None:
        """Show the sections that the chosen options have parts of."""
        chosen = self.chosen()
        for stock in self.starter.stock:
            self.stock[stock.key].setVisible(stock.used(chosen))

    def stations(self) -> list[QWidget]:
        """Return the widgets in tab order."""
        return [
            *(field.edit for field in self.sizes.values()),
            *(field.edit for field in self.lists.values()),
            *(choice.box for choice in self.choices.values()),
            *(cell.box for cell in self.stock.values()),
        ]

    def numbers(self) -> dict[str, float]:
        """Return the sizes in force, mm and degrees."""
        return {key: cast(float, field.value()) for key, field in self.sizes.items()}

    def places(self) -> dict[str, tuple[float, ...]]:
        """Return the lists of places in force, mm."""
        return {key: cast(tuple[float, ...], f.value()) for key, f in self.lists.items()}

    def last(self) -> LastSizes:
        """Return everything in force, to be kept for the next time."""
        return LastSizes(self.numbers(), self.chosen(), self.sections(), self.places())

    def chosen(self) -> dict[str, str]:
        """Return the options in force."""
        return {key: cast(str, choice.value()) for key, choice in self.choices.items()}

    def sections(self) -> dict[str, Section]:
        """Return the stock in force."""
        found = {key: cell.box.section for key, cell in self.stock.items()}
        return {key: section for key, section in found.items() if section is not None}

    def fault(self) -> tuple[QWidget, str] | None:
        """Return the first cell whose text is not accepted, and its complaint, or None."""
        for field in (*self.sizes.values(), *self.lists.values()):
            field.apply()
            if field.has_complaint():
                return field, f"{field.label.text()}: {field.complaint.text()}"
        chosen = self.chosen()
        for stock in self.starter.stock:
            cell = self.stock[stock.key]
            if cell.complaint.text() and stock.used(chosen):
                return cell, f"{stock.label}: {cell.complaint.text()}"
        return None


def _field(size: StarterSize, display: Display) -> TypedField:
    if size.measure == "count":
        return CountField(size.label, int(size.low), int(size.high))
    if size.measure == "angle":
        return RangedAngle(size.label, size.low, size.high)
    field = LengthField(size.label, display)
    field.set_range(*_round_range(size, display))
    return field


def _round_range(size: StarterSize, display: Display) -> tuple[float, float]:
    """Return the range of a length, narrowed to round numbers of the display's unit."""
    if display.unit == "millimetres":
        return (size.low, size.high)
    step = INCH / 2.0 if size.low >= 10.0 else INCH / 16.0
    return (math.ceil(size.low / step - 1e-9) * step, math.floor(size.high / INCH) * INCH)
