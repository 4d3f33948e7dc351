"""How addresses are painted on the table: choices, shown at once in the picture beside them."""

from msgspec import structs
from PySide6.QtWidgets import QCheckBox, QComboBox, QWidget

from gridjig.edits.table import set_labels
from gridjig.model import Hole
from gridjig.model.labels import address
from gridjig.session.desk import Desk

from ..panes.formbase import Form
from ..quietbox import QuietBox
from ..widgets.cell import boxed

_AXES = (("letters", "Letters"), ("numbers", "Numbers"))
_CORNERS = (
    ("front left", "Front left"),
    ("front right", "Front right"),
    ("back left", "Back left"),
    ("back right", "Back right"),
)
_SIDES = (("front", "Front"), ("right", "Right"), ("back", "Back"), ("left", "Left"))
_FIRST = (("x", "The column, then the row"), ("y", "The row, then the column"))
_STARTS = ((1, "1"), (0, "0"))


class TableLabels(Form):
    """The label scheme of the draft's table."""

    def __init__(self, draft: Desk, parent: QWidget | None = None) -> None:
        super().__init__(draft, parent)
        self.boxes: dict[str, QComboBox] = {}
        self.heading("Addresses as painted on the table")
        along_x = self._choice("along_x", "Along x, columns", _AXES)
        along_y = self._choice("along_y", "Along y, rows", _AXES)
        zero = self._choice("zero", "Counting begins at the corner", _CORNERS)
        first = self._choice("first", "An address says first", _FIRST)
        start = self._choice("start", "Numbers begin with", _STARTS)
        operator = self._choice("operator", "The operator stands at the", _SIDES)
        self.pair(along_x, along_y)
        self.across(zero, first)
        self.pair(start, operator)
        self.skip = QCheckBox("Letters I and O are left out")
        self.skip.toggled.connect(lambda on: self._set("skip_i_o", on))
        self.across(self.skip)
        self.example = self.words()
        self.note = self.words()
        self.note.setObjectName("small")
        self.note.setText("Other addresses change no hole: all that is placed stays where it is.")
        self.reflow()

    def _choice(self, field: str, name: str, offers: tuple[tuple[object, str], ...]) -> QWidget:
        box = QuietBox()
        box.setAccessibleName(name)
        for value, words in offers:
            box.addItem(words, value)
        box.activated.connect(lambda index: self._set(field, box.itemData(index)))
        self.boxes[field] = box
        return boxed(name, box)

    def _set(self, field: str, value: object) -> None:
        labels = structs.replace(self.desk.job.table.labels, **{field: value})
        self.do(lambda job: set_labels(job, labels), "Paint other addresses")

    def show_draft(self) -> None:
        """Show the draft's scheme."""
        table = self.desk.job.table
        for field, box in self.boxes.items():
            box.setCurrentIndex(box.findData(getattr(table.labels, field)))
        scheme = table.labels
        letters = "letters" in (scheme.along_x, scheme.along_y)
        numbers = "numbers" in (scheme.along_x, scheme.along_y)
        self.boxes["start"].setEnabled(numbers)
        self.boxes["start"].setToolTip("" if numbers else "Neither axis has numbers")
        self.skip.setEnabled(letters)
        self.skip.setToolTip("" if letters else "Neither axis has letters")
        if self.skip.isChecked() != scheme.skip_i_o:
            self.skip.blockSignals(True)
            self.skip.setChecked(scheme.skip_i_o)
            self.skip.blockSignals(False)
        front = address(table, Hole(0, 0))
        back = address(table, Hole(table.columns - 1, table.rows - 1))
        self.example.setText(f"Front left is {front}, back right is {back}.")
