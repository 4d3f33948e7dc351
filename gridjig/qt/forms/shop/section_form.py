"""The form for a custom stock section: its sizes, its mass, and keeping it for every job."""

from collections.abc import Callable, Sequence
from typing import cast

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QWidget

from gridjig.files.format.faults import SaveFault
from gridjig.files.library import user_library
from gridjig.files.library.sections import find_section
from gridjig.model import Section
from gridjig.model.stock import KINDS, ONE_SIZE, TUBES, WALLED, SectionKind, corner_radii
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.dialogs.questions import Questions
from gridjig.qt.widgets.buttons import make_button
from gridjig.qt.widgets.cell import boxed
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.combo_box import NoWheelComboBox
from gridjig.qt.widgets.fields import LengthField, TextField
from gridjig.qt.widgets.layout import REST, holder, in_column, in_grid, in_row
from gridjig.qt.widgets.plain import Label
from gridjig.qt.widgets.section_box import SectionBox, section_words
from gridjig.tools.core.wording import sentence
from gridjig.units import Display, format_area, format_line_mass, size_name
from gridjig.units.limits import LimitError, fault_of, words_of


class SectionSizeField(LengthField):
    """One size of a section, which its type limits; 0 until one is typed."""

    def __init__(self, label: str, display: Display, name: str) -> None:
        self._name = name
        super().__init__(label, display, 0.0)

    def _parse(self, text: str) -> float:
        value = super()._parse(text)
        beyond = fault_of(Section, self._name, value, self._display) if value else ""
        if beyond:
            raise ValueError(sentence(beyond))
        return value


class SectionForm(FormDialog):
    """Makes one section; `made` carries it once it is kept.

    Kept sections can be forgotten here; `forgotten` is then emitted.
    """

    topic = "member"

    made = Signal(object)
    forgotten = Signal()

    def __init__(self, window: QWidget, display: Display) -> None:
        super().__init__(window)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Custom section")
        self._display = display
        head = Label("Custom section", "heading")
        self.kind = Choices("Kind", ((kind.capitalize(), kind) for kind in KINDS))
        self.name = TextField("Name", needed=False, accepts="optional")
        self.width_ = SectionSizeField("Width", display, "width")
        self.height_ = SectionSizeField("Height", display, "height")
        self.wall = SectionSizeField("Wall or leg thickness", display, "wall")
        self.flange = SectionSizeField("Flange thickness", display, "flange")
        self.radius = SectionSizeField("Corner or root radius", display, "radius")
        self.toe = SectionSizeField("Inside or toe radius", display, "toe")
        self.told = Label(role="freedom")
        self.told.setMinimumHeight(self.told.fontMetrics().lineSpacing() * 2 + 6)
        self.keep_button = make_button("Add to the list", self.keep, plain=False)
        self.keep_button.setDefault(True)
        cells = in_grid(self.kind, self.name, *self._sizes(), columns=3)
        buttons = in_row(REST, make_button("Cancel", self.reject, plain=False), self.keep_button)
        in_column(head, cells, self.told, self._own_part(), REST, buttons, over=self)
        self.size_for(56, 20, (440, 380))
        for field in self._sizes():
            field.set_value(0.0)
            field.make_live()
            field.applied.connect(lambda _, field=field: self._on_size(field))
        self.name.applied.connect(lambda _: self._show())
        self.kind.chosen.connect(lambda _: self._on_kind())
        self._own_radii = False
        for field in (self.radius, self.toe):
            field.edit.textEdited.connect(self._on_radius)
        self._on_kind()

    def _own_part(self) -> QWidget:
        self.questions = Questions(self)
        self.kept = NoWheelComboBox()
        self.forget_button = make_button("Remove it…", self.forget, about="Take it off the list")
        kept = boxed("Your own sections", self.kept)
        self._own = holder(in_row((kept, 1), self.forget_button, margins="none"))
        self._fill_kept()
        return self._own

    def _fill_kept(self) -> None:
        self.kept.clear()
        for section in user_library.user_library().sections:
            self.kept.addItem(section_words(section), section.name)
        self._own.setVisible(self.kept.count() > 0)

    def forget(self) -> None:
        """Forget the chosen custom section."""
        name = self.kept.currentData()
        if not self.questions.forget("section", name):
            return
        try:
            user_library.forget_section(name)
        except SaveFault as fault:
            self.told.setText(f"✕ {fault}")
            return
        self._fill_kept()
        self.told.setText(f"{name} is no longer on the list; members cut from it keep it.")
        self.forgotten.emit()

    def _sizes(self) -> tuple[LengthField, ...]:
        return (self.width_, self.height_, self.wall, self.flange, self.radius, self.toe)

    def _kind(self) -> SectionKind:
        return cast(SectionKind, self.kind.value())

    def _on_radius(self, _: str) -> None:
        self._own_radii = True

    def _on_kind(self) -> None:
        kind = self._kind()
        self.width_.label.setText("Diameter" if kind.startswith("round") else "Width")
        self.height_.setVisible(kind not in ONE_SIZE)
        self.height_.label.setText("Thickness" if kind == "flat" else "Height")
        self.wall.setVisible(kind in WALLED)
        self.flange.setVisible(kind == "channel")
        for field in (self.radius, self.toe):
            field.setVisible(kind in (*TUBES, "angle", "channel"))
        self._on_size(None)

    def _on_size(self, field: LengthField | None) -> None:
        wall = self._mm(self.wall)
        if self._kind() in TUBES and wall > 0 and not self._own_radii:
            metric = self._display.unit == "millimetres"
            radius, toe = corner_radii(wall, "EN" if metric else "US")
            self.radius.set_value(radius)
            self.toe.set_value(toe)
        self._show(field)

    @staticmethod
    def _mm(field: LengthField) -> float:
        value = field.value()
        return float(value) if isinstance(value, int | float) else 0.0

    def _used(self, field: LengthField) -> float:
        return self._mm(field) if not field.isHidden() else 0.0

    def section(self) -> Section:
        """Return the section as typed.  Raise ValueError, with a sentence, if it is invalid."""
        kind = self._kind()
        width = self._mm(self.width_)
        height = width if kind in ONE_SIZE else self._mm(self.height_)
        if width <= 0 or height <= 0:
            raise ValueError("type its sizes; width and height must be greater than 0")
        typed = self.name.value()
        return Section(
            name=typed if isinstance(typed, str) and typed else self._called(kind, width, height),
            kind=kind,
            width=width,
            height=height,
            wall=self._used(self.wall),
            flange=self._used(self.flange),
            radius=self._used(self.radius),
            toe=self._used(self.toe),
        )

    def _called(self, kind: SectionKind, width: float, height: float) -> str:
        """Return a name made from the sizes, such as 45x45x2 or 1-3/4x1-3/4x1/8."""
        sizes = [width] if kind.startswith("round") else [width, height]
        if kind in WALLED:
            sizes.append(self._mm(self.wall))
        return size_name(sizes, self._display)

    def _show(self, typed: LengthField | None = None) -> None:
        """Tell what the section weighs, or why it is none: at the radius that was typed, or else
        below, as the size that it contradicts may come next.
        """
        try:
            section = self.section()
        except ValueError as fault:
            words = sentence(words_of(fault, self._display))
            if isinstance(fault, LimitError) and typed in (self.radius, self.toe):
                typed.complain(words)
            else:
                self.told.setText(words)
            return
        area = format_area(section.area, self._display)
        heavy = format_line_mass(section.mass(), self._display)
        self.told.setText(f"{section.name}: {area}, {heavy} of steel.")

    def keep(self) -> None:
        """Keep the section in the person's list, or say that the list already has this size."""
        for field in (self.name, *self._sizes()):
            field.apply()
            if field.has_complaint():
                return
        try:
            section = self.section()
        except ValueError as fault:
            self.told.setText(f"✕ {sentence(words_of(fault, self._display))}")
            return
        there = find_section(section.name, section.kind)
        if there is not None and there != section:
            self.told.setText(f"✕ The list already has {section.name}. Give yours another name.")
            self.name.edit.setFocus()
            return
        try:
            user_library.keep_section(section)
        except SaveFault as fault:
            self.told.setText(f"✕ {fault}")
            return
        self.made.emit(section)
        self.accept()


def ask_section(
    window: QWidget,
    display: Display,
    boxes: Sequence[SectionBox],
    taken: Callable[[Section], object],
) -> None:
    """Open the form over a window; a section that it makes is shown in the first of the boxes.

    All of them offer the list as it is then; `taken` is called with the section.
    """
    form = SectionForm(window, display)

    def offer() -> None:
        for box in boxes:
            box.offer(display.unit)

    def made(section: Section) -> None:
        offer()
        boxes[0].show_section(section)
        taken(section)

    form.made.connect(made)
    form.forgotten.connect(offer)
    form.open()
