"""The form for standard weldments: kind, sizes and stock beside a live picture, and the place.

It puts ordinary members and plates on the table, as one undo step.
"""

from itertools import pairwise

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QBoxLayout,
    QFrame,
    QScrollArea,
    QWidget,
)

from gridjig.edits.copied_weldments import free_name
from gridjig.edits.starter_position import box_of, free_corner, place_warning
from gridjig.edits.starters import STARTERS, Starter, build, put_starter
from gridjig.edits.weldment_list import add_weldment, move_parts, rename_weldment
from gridjig.files.storage.last_sizes import keep_last_sizes, read_last_sizes
from gridjig.model import Part
from gridjig.model.by_weldment import parts_of, several
from gridjig.model.labels import address, find_hole
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.announce import announce
from gridjig.qt.widgets.buttons import make_button, scrolled
from gridjig.qt.widgets.fields import LengthField, TypedField
from gridjig.qt.widgets.layout import GAP, holder, in_column, in_row, split
from gridjig.qt.widgets.live_picture import LivePicture
from gridjig.qt.widgets.plain import Label, tip
from gridjig.qt.widgets.section_box import SectionCell
from gridjig.qt.widgets.tick import Tick
from gridjig.rack import Point
from gridjig.session.document import Document
from gridjig.sheets.lists.starter_preview import draw_alone, draw_on_table, list_words, mass_words
from gridjig.tools.core.wording import sentence
from gridjig.units import ParseError, format_length, parse_length
from gridjig.units.limits import LimitError

from .starter_fields import StarterFields
from .starter_kinds import StarterKinds


class StarterForm(FormDialog):
    """Puts one standard weldment on the document's table."""

    topic = "starters"

    def __init__(self, window: QWidget, document: Document, appearance: Appearance) -> None:
        super().__init__(window)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Standard weldment")
        self.document = document
        self.parts: tuple[Part, ...] = ()
        self._display = document.job.display
        self._metric = self._display.unit == "millimetres"
        self._typed_place = False
        self._last = read_last_sizes()
        self._pages: dict[str, StarterFields] = {}
        self._make_parts(appearance)
        self._lay_out()
        self.kinds.turned.connect(self._turn)
        self.corner.applied.connect(lambda _: self._on_place())
        self.z_low.applied.connect(lambda _: self._show())
        for field in (self.corner, self.z_low):
            field.edit.entered.connect(self._on_enter)
        keys = [starter.key for starter in STARTERS]
        last = next(reversed(self._last), "")
        self.kinds.setCurrentRow(keys.index(last) if last in keys else 0)
        self.kinds.setFocus()

    # -- building the form -----------------------------------------------------------------------

    def _make_parts(self, appearance: Appearance) -> None:
        self.kinds = StarterKinds(appearance, self._metric)
        self.area = QScrollArea()
        self.area.setWidgetResizable(True)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.picture = LivePicture("Picture of the weldment", appearance)
        self.place = LivePicture("Its position on the table", appearance)
        self.corner = TypedField(
            "Front left corner at", self._read_corner, self._show_corner, "a hole, or x, y"
        )
        self.corner.make_live()
        self.z_low = LengthField("Underside at", self._display)
        self.z_low.set_range(0.0, None)
        self.z_low.set_value(0.0)
        self.own_weldment = Tick(
            "As a weldment of its own",
            "Otherwise its parts are added to the current weldment",
            on=True,
        )
        if not parts_of(self.document.job, self.document.weldment):
            self.own_weldment.hide()
        self.mass = Label(role="heading")
        self.told = Label(copied=True)
        self.told.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.told.setAccessibleName("Its cut list")
        self.said = Label(role="complaint")
        self.apply_button = make_button("Put it on the table", self.apply, plain=False)
        self.apply_button.setDefault(True)
        self.cancel_button = make_button("Cancel", self.reject, plain=False)
        for enter in ("Ctrl+Return", "Ctrl+Enter"):
            QShortcut(QKeySequence(enter), self).activated.connect(self.apply_button.click)

    def _lay_out(self) -> None:
        below = in_column(self.corner, self.z_low, self.own_weldment, margins="foot", gap=GAP)
        middle = in_column((self.area, 1), below, margins="none")
        words = holder(in_column(self.mass, (self.told, 1), margins="line"))
        lower = in_row((scrolled(words), 3), (self.place, 2))
        right = in_column((self.picture, 3), (lower, 2), margins="none")
        body = split(holder(middle), holder(right), grows=1)
        top = in_row(self.kinds, (body, 1))
        row = in_row((self.said, 1), self.cancel_button, self.apply_button)
        in_column((top, 1), row, over=self, margins="dialog")
        room = self.screen().availableGeometry().size()
        self.resize(min(1240, room.width() - 24), min(820, room.height() - 60))
        letters = self.fontMetrics().averageCharWidth()
        left = max(300, letters * 42)
        right_ = self.width() - left - self.kinds.sizeHint().width()
        if right_ < letters * 60:
            left = max(300, letters * 34)
            right_ = self.width() - left - self.kinds.sizeHint().width()
            lower.setDirection(QBoxLayout.Direction.TopToBottom)
        body.setSizes([left, max(right_, left // 2)])

    # -- which one -------------------------------------------------------------------------------

    @property
    def fields(self) -> StarterFields:
        """Return the fields of the chosen weldment."""
        page = self.area.widget()
        assert isinstance(page, StarterFields)
        return page

    def _turn(self, starter: Starter) -> None:
        """Show the fields of another starter; typed values are kept while the form is open."""
        kept = self.area.takeWidget()
        if kept is not None:
            kept.setParent(self)
            kept.hide()
        if starter.key not in self._pages:
            page = StarterFields(starter, self._display, self._last.get(starter.key))
            page.changed.connect(self._make)
            page.entered.connect(self._on_enter)
            page.adding.connect(self._add_section)
            self._pages[starter.key] = page
        self.area.setWidget(self._pages[starter.key])
        self._pages[starter.key].show()
        stations = [self.kinds, *self.fields.stations(), self.corner.edit, self.z_low.edit]
        stations += [self.cancel_button, self.apply_button]
        for one, then in pairwise(stations):
            QWidget.setTabOrder(one, then)
        self._make()

    def _add_section(self, cell: SectionCell) -> None:
        from gridjig.qt.forms.shop.section_form import ask_section  # noqa: PLC0415 - rarely needed

        every = [one.box for page in self._pages.values() for one in page.stock.values()]
        others = [box for box in every if box is not cell.box]
        ask_section(self, self._display, [cell.box, *others], lambda _: self._make())

    # -- the parts it makes ----------------------------------------------------------------------

    def _make(self) -> None:
        fields = self.fields
        try:
            parts = build(
                fields.starter,
                fields.sections(),
                fields.numbers(),
                fields.chosen(),
                fields.places(),
            )
        except ValueError as fault:
            self._say(f"{sentence(str(fault))} The picture shows the last valid sizes.")
            self.apply_button.setEnabled(False)
            self.apply_button.setToolTip(tip(sentence(str(fault))))
            return
        self.apply_button.setEnabled(True)
        self.apply_button.setToolTip("Put it on the table  (Ctrl+Enter)")
        self.parts = parts
        if not self._typed_place:
            hole = free_corner(self.document.job, parts)
            self.corner.set_value(self.document.job.table.at(hole))
        self._show()

    def _show(self) -> None:
        job, parts = self.document.job, self.parts
        if not parts:
            return
        words = list_words(parts, job)
        self.mass.setText(mass_words(parts, job))
        self.told.setText(words)
        self.picture.show_drawing(draw_alone(parts, job), f"{self.fields.starter.name}. {words}")
        try:
            lying = self._lying()
        except LimitError as beyond:  # half-typed text may be huge: 100 m of 100 mm
            self._say(sentence(beyond.words(job.display)))
            return
        warning = place_warning(job, lying)
        self.place.show_drawing(draw_on_table(job, lying), warning or "There is room for it there.")
        self._say(f"▲ {warning}" if warning else "")

    def _lying(self) -> tuple[Part, ...]:
        """Return the parts where they will lie on the table."""
        job, ids = put_starter(self.document.job, self.parts, self._offset(), self._height())
        return tuple(part for part in job.parts if part.id in ids)

    def _offset(self) -> Point:
        at = self.corner.value()
        x, y = at if isinstance(at, tuple) else (0.0, 0.0)
        low_x, low_y, *_ = box_of(self.parts)
        return (x - low_x, y - low_y)

    def _is_high(self) -> bool:
        """True if it would be too high above the table wherever it lay."""
        try:
            put_starter(self.document.job, self.parts, (0.0, 0.0), self._height())
        except LimitError:
            return True
        return False

    def _height(self) -> float:
        value = self.z_low.value()
        return float(value) if isinstance(value, int | float) else 0.0

    def _say(self, words: str) -> None:
        if words != self.said.text():
            self.said.setText(words)
            announce(self, words)

    # -- where it goes ---------------------------------------------------------------------------

    def _on_place(self) -> None:
        self._typed_place = True
        self._show()

    def _read_corner(self, text: str) -> Point:
        table = self.document.job.table
        try:
            return table.at(find_hole(table, text))
        except ParseError:
            x, comma, y = text.partition(",")
            if not comma:
                raise
        unit = self._display.unit
        return (parse_length(x.strip(), unit), parse_length(y.strip(), unit))

    def _show_corner(self, value: object) -> str:
        if not isinstance(value, tuple):
            return ""
        table = self.document.job.table
        hole = table.nearest(*value)
        x, y = table.at(hole)
        if abs(x - value[0]) < 1e-6 and abs(y - value[1]) < 1e-6:
            return address(table, hole)
        return ", ".join(format_length(v, self._display) for v in value)

    def _on_enter(self) -> None:
        """Enter in any field presses the bold button, which says what is not accepted."""
        self.apply_button.click()

    # -- applying --------------------------------------------------------------------------------

    def apply(self) -> None:
        """Put the weldment on the table as one undo step, or focus the first field not accepted."""
        fault = self.fields.fault()
        for field in (self.corner, self.z_low):
            field.apply()
            if fault is None and field.has_complaint():
                fault = field, f"{field.label.text()}: {field.complaint.text()}"
        if fault is not None:
            fault[0].setFocus()
            self._say(fault[1].replace("✕ ", ""))
            return
        if not self.apply_button.isEnabled():
            return
        try:
            job, ids = put_starter(self.document.job, self.parts, self._offset(), self._height())
        except LimitError as beyond:
            (self.z_low if self._is_high() else self.corner).setFocus()
            self._say(sentence(beyond.words(self.document.job.display)))
            return
        keep_last_sizes(self.fields.starter.key, self.fields.last())
        name = self.fields.starter.name
        if self.own_weldment.isChecked() and not self.own_weldment.isHidden():
            job, home = add_weldment(job, free_name(job, name))
            job = move_parts(job, ids, home)
        elif not self.document.job.parts and not several(job) and not job.weldments[0].name:
            job = rename_weldment(job, job.weldments[0].id, name)  # as the next ones get theirs
        self.document.do(job, f"Put a {name[:1].lower()}{name[1:]} on the table", ids)
        self.accept()


def open_starter(window: QWidget, document: Document, appearance: Appearance) -> None:
    """Open the form over a window."""
    StarterForm(window, document, appearance).open()
