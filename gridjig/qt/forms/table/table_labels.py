"""How addresses are painted on the table: choices that show at once in the picture."""

from msgspec import structs
from PySide6.QtWidgets import QWidget

from gridjig.edits.table import set_labels
from gridjig.model import Hole, Job
from gridjig.model.labels import address
from gridjig.qt.widgets.cell_form import AnyField, CellForm
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.plain import tip
from gridjig.qt.widgets.tick import Tick
from gridjig.session.document import Document

_Offers = tuple[tuple[object, str], ...]
_AXES: _Offers = (("letters", "Letters"), ("numbers", "Numbers"))
_CORNERS: _Offers = (
    ("front left", "Front left"),
    ("front right", "Front right"),
    ("back left", "Back left"),
    ("back right", "Back right"),
)
_SIDES: _Offers = (("front", "Front"), ("right", "Right"), ("back", "Back"), ("left", "Left"))
_FIRST: _Offers = (("x", "The column, then the row"), ("y", "The row, then the column"))
_STARTS: _Offers = ((1, "1"), (0, "0"))
_CHOICES: tuple[tuple[str, str, _Offers, bool], ...] = (
    ("along_x", "Along x, columns", _AXES, False),
    ("along_y", "Along y, rows", _AXES, False),
    ("zero", "Counting starts at the corner", _CORNERS, True),
    ("first", "An address starts with", _FIRST, True),
    ("start", "Numbers start at", _STARTS, False),
    ("operator", "The operator stands at the", _SIDES, False),
)
"""Attribute of the scheme, name, choices, and whether it takes a whole row."""


class TableLabels(CellForm):
    """The label scheme of the draft's table."""

    def __init__(self, draft: Document, parent: QWidget | None = None) -> None:
        super().__init__(draft, parent)
        self.boxes: dict[str, Choices] = {}
        self.heading("Addresses as painted on the table")
        for key, name, offers, wide in _CHOICES:
            choices = Choices(name, ((words, value) for value, words in offers))
            self.boxes[key] = self._label_field(choices, key, wide)
        self.skip = self._label_field(Tick("Letters I and O are left out"), "skip_i_o", True)
        self.example = self.words()
        self.words(
            "small", "Changing the addresses moves nothing: everything placed stays in its holes."
        )
        self.reflow()

    def _label_field(self, field: AnyField, key: str, wide: bool) -> AnyField:
        """Return a field for one attribute of the scheme."""

        def take(job: Job, value: object) -> Job:
            return set_labels(job, structs.replace(job.table.labels, **{key: value}))

        def shows(job: Job) -> object:
            return getattr(job.table.labels, key)

        return self.field(field, shows, take, "Change the addresses", wide)

    def show_draft(self) -> None:
        """Show the draft's label scheme."""
        table = self.document.job.table
        self.show_values(self.document.job)
        axes = (table.labels.along_x, table.labels.along_y)
        start = self.boxes["start"].box
        for cell, kind, words in (
            (start, "numbers", start.currentText()),
            (self.skip, "letters", ""),
        ):
            cell.setEnabled(kind in axes)
            cell.setToolTip(tip(words if kind in axes else f"Neither axis has {kind}"))
        front = address(table, Hole(0, 0))
        back = address(table, Hole(table.columns - 1, table.rows - 1))
        self.example.setText(f"Front left is {front}, back right is {back}.")
