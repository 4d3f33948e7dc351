"""A searchable list of stock sections: the person's own first, then by unit."""

from collections.abc import Sequence

from PySide6.QtCore import QStringListModel, Qt, Signal, SignalInstance
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QComboBox, QCompleter, QWidget

from gridjig.files.library import sections
from gridjig.files.library.section_search import exact_sections, search_sections
from gridjig.model import Section
from gridjig.units import Unit

from .cell import Cell
from .combo_box import NoWheelComboBox
from .line_edit import ClickedEdit
from .plain import explain
from .styled import restyle

_OFFERED = 60
"""The most sections in the list under what is typed; more has to be typed to see the rest."""
_TOLD = 3

ADD = "Add or remove your own…"


def section_words(section: Section) -> str:
    """Return a section as the list shows it: `2x2x1/8 square tube`."""
    return f"{section.name} {section.kind}"


class SectionBox(NoWheelComboBox):
    """A combo box of sections.

    `chosen` carries a section, `refused` why a typed text is not one, or "" once that no longer
    holds; `adding` asks for a new one.  A text that cannot be read stays, and so does the section
    in force; left empty, it shows again.
    """

    chosen = Signal(object)
    refused = Signal(str)
    adding = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.section: Section | None = None
        self._unit: Unit | None = None
        self._offered: tuple[Section, ...] = ()
        self.setEditable(True)
        self.setLineEdit(ClickedEdit())
        self.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self.setAccessibleName("Section")
        explain(self, "Section: type to search, such as 2x2 or angle 50")
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(14)
        self.setMaxVisibleItems(16)
        self._found = QStringListModel(self)
        completer = QCompleter(self._found, self)
        completer.setCompletionMode(QCompleter.CompletionMode.UnfilteredPopupCompletion)
        completer.setMaxVisibleItems(16)
        self.setCompleter(completer)
        completer.activated.connect(self._on_completed)
        self.activated.connect(self._on_activated)
        edit = self.lineEdit()
        assert edit is not None
        edit.textEdited.connect(self._on_edited)
        edit.returnPressed.connect(self._on_typed)

    def offer(self, unit: Unit) -> None:
        """Fill the list, with sections in this unit first; called again after one was added."""
        metric = unit == "millimetres"
        first, second = ("EN", "US") if metric else ("US", "EN")
        own_and_first = sections.sections(first)  # type: ignore[arg-type]
        known = set(map(section_words, own_and_first))
        rest = [s for s in sections.sections(second) if section_words(s) not in known]  # type: ignore[arg-type]
        offered = (*own_and_first, *rest)
        if offered == self._offered:
            return
        self._unit, self._offered = unit, offered
        self.clear()
        self.addItems([section_words(section) for section in offered])
        self.addItem(ADD)
        self._show()

    def ready(self, unit: Unit) -> None:
        """Fill the list, unless it is already filled for this unit."""
        if unit != self._unit:
            self.offer(unit)

    def show_section(self, section: Section) -> None:
        """Set the section; leave text alone that is being typed."""
        edit = self.lineEdit()
        assert edit is not None
        if section == self.section and (edit.hasFocus() or edit.text() == section_words(section)):
            return
        self.section = section
        self._show()

    def _show(self) -> None:
        if self.section is not None:
            self.setCurrentIndex(self.findText(section_words(self.section)))
            self.setEditText(section_words(self.section))
            edit = self.lineEdit()
            assert edit is not None
            edit.setCursorPosition(0)
            edit.setModified(False)
        restyle(self, "wrong", False)

    def _show_again(self) -> None:
        """Show the section in force; what was refused is gone."""
        was = self.is_refused
        self._show()
        if was:
            self.refused.emit("")

    @property
    def is_refused(self) -> bool:
        """True while the box holds a text that is not accepted."""
        return bool(self.property("wrong"))

    @property
    def differs(self) -> bool:
        """True while the text is not that of the section in force."""
        edit = self.lineEdit()
        return edit is not None and (edit.isModified() or self.is_refused)

    def _on_activated(self, index: int) -> None:
        if 0 <= index < len(self._offered):
            self._take(self._offered[index])
        elif self.itemText(index) == ADD:
            self._show()
            self.adding.emit()

    def _on_edited(self, text: str) -> None:
        """Offer what the text may mean; sizes are understood in either unit."""
        found = search_sections(text, self._offered)[:_OFFERED]
        self._found.setStringList([section_words(section) for section in found])

    def _on_completed(self, words: str) -> None:
        found = next((s for s in self._offered if section_words(s) == words), None)
        if found is not None:
            self._take(found)

    def _on_typed(self) -> None:
        text = self.currentText().strip()
        if not text:  # cleared and left: the section in force is shown again
            self._show_again()
            return
        if self.section is not None and text == section_words(self.section):
            return
        found = read_section(text, self._offered)
        if not isinstance(found, Section):
            restyle(self, "wrong", True)
            self.refused.emit(found)
            return
        self._take(found)

    def _on_left(self) -> None:
        edit = self.lineEdit()
        if edit is not None and not edit.hasFocus() and edit.isModified():
            self._on_typed()

    def _take(self, section: Section) -> None:
        same = section == self.section
        self.section = section
        self._show_again()
        if not same:
            self.chosen.emit(section)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Give the section in force back on Esc, if something else was typed."""
        edit = self.lineEdit()
        if event.key() == Qt.Key.Key_Escape and edit is not None and self.differs:
            self._show_again()
            edit.selectAll()
            event.accept()
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Select all of the text, ready to be typed over."""
        super().focusInEvent(event)
        edit = self.lineEdit()
        if edit is not None and event.reason() != Qt.FocusReason.PopupFocusReason:
            edit.selectAll()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Apply what was typed, unless the focus went to a menu or to another window."""
        super().focusOutEvent(event)
        if self._surroundings.whole() and event.reason() not in (
            Qt.FocusReason.PopupFocusReason,
            Qt.FocusReason.ActiveWindowFocusReason,
        ):
            self._on_left()


def read_section(text: str, offered: Sequence[Section]) -> Section | str:
    """Return the section that a text means, or a sentence about why there is none, or several."""
    named = sections.find_section(text)
    if named is not None:
        return named
    exact = exact_sections(text, offered)
    by_size = [section for section in exact if section.name[:1].isdigit()]
    if len(by_size) == 1:  # a tube is called by its sizes alone, an angle is not
        return by_size[0]
    found = exact or search_sections(text, offered)
    if len(found) == 1:
        return found[0]
    if not found:
        return (
            f"“{text}” is not on the list of sections. Type one such as 2x2x1/8 or 50x50x3, or add"
            " your own."
        )
    told = ", ".join(section_words(section) for section in found[:_TOLD])
    more = f" and {len(found) - _TOLD} more" if len(found) > _TOLD else ""
    return f"“{text}” fits {len(found)} sections: {told}{more}. Type more of it, or pick one."


class SectionCell(Cell):
    """A section as a cell of a form, with any complaint below it."""

    def __init__(self, name: str = "Section", parent: QWidget | None = None) -> None:
        self.box = SectionBox()
        super().__init__(name, self.box, focus=self.box, parent=parent)
        self.box.refused.connect(self.show_complaint)

    @property
    def chosen(self) -> SignalInstance:
        """The signal that carries the section chosen by the person."""
        return self.box.chosen

    def set_value(self, section: object) -> None:
        """Set the section without emitting a signal."""
        assert isinstance(section, Section)
        self.box.show_section(section)
