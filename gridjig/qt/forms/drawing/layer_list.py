"""The list of a drawing's layers: which are used, what they contain, and what each becomes."""

from msgspec import structs
from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTreeWidget, QTreeWidgetItem

from gridjig.files.drawings.drawing import Count, Drawing, DrawingLayer
from gridjig.files.drawings.parts import LayerUse
from gridjig.model import Section
from gridjig.qt.widgets.copying import let_copy
from gridjig.qt.widgets.plain import tip
from gridjig.sheets.text.sorting import measured
from gridjig.units import Display, format_length

_NAME, _HOLDS, _BECOMES = 0, 1, 2
_ROOM_PX = 10  # Qt does not count the frame of the check box
_WIDEST_PX = 180


class _Layer(QTreeWidgetItem):
    """A layer's line; numbers in its texts are sorted by value."""

    def __lt__(self, other: QTreeWidgetItem) -> bool:
        tree = self.treeWidget()
        column = tree.sortColumn() if tree is not None else _NAME
        return measured(self.text(column)) < measured(other.text(column))


class LayerList(QTreeWidget):
    """A line for each layer, ticked if it is used; a click on the name of a column sorts by it.

    Choices made below the list apply to the selected lines.  `changed` is emitted when the parts to
    make change, `picked` when the selection changes.
    """

    changed = Signal()
    picked = Signal()

    def __init__(self, display: Display) -> None:
        super().__init__()
        self._display = display
        self._uses: dict[str, LayerUse] = {}
        self.setAccessibleName("Layers of the drawing")
        self.setColumnCount(3)
        self.setHeaderLabels(["Layer", "Holds", "Becomes"])
        self.setRootIsDecorated(False)
        self.setUniformRowHeights(True)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.header().setSectionResizeMode(_HOLDS, QHeaderView.ResizeMode.Stretch)
        self.header().setStretchLastSection(False)
        self.setSortingEnabled(True)
        self.header().setSortIndicator(-1, Qt.SortOrder.AscendingOrder)  # as in the drawing
        let_copy(self)
        self.itemChanged.connect(lambda *_: self.changed.emit())
        self.itemSelectionChanged.connect(self.picked)

    def show_drawing(self, drawing: Drawing, usual: LayerUse) -> None:
        """Show the layers; those shown before keep their choices.

        A new layer gets the use `usual`, and is ticked if it has outlines and is not hidden.
        """
        ticked = {use.layer for use in self.uses()}
        known = set(self._uses)
        self.blockSignals(True)
        if {layer.name for layer in drawing.layers} != known:
            self._fill(drawing, usual, known, ticked)
        items = {item.text(_NAME): item for item in self._items()}
        for layer in drawing.layers:
            item = items[layer.name]
            holds = holds_words(layer, drawing)
            item.setText(_HOLDS, holds)
            item.setToolTip(_HOLDS, tip(holds))
        self._tell()
        self.blockSignals(False)

    def _fill(self, drawing: Drawing, usual: LayerUse, known: set[str], ticked: set[str]) -> None:
        self.clear()
        for layer in drawing.layers:
            self._uses.setdefault(layer.name, structs.replace(usual, layer=layer.name))
            item = _Layer([layer.name])
            use = layer.name in ticked if layer.name in known else is_usual(layer)
            item.setCheckState(_NAME, Qt.CheckState.Checked if use else Qt.CheckState.Unchecked)
            self.addTopLevelItem(item)

    def _items(self) -> list[QTreeWidgetItem]:
        """Return all items; as a list, because a text set in one may sort them anew."""
        items = map(self.topLevelItem, range(self.topLevelItemCount()))
        return [item for item in items if item is not None]

    def uses(self) -> tuple[LayerUse, ...]:
        """Return what the ticked layers become."""
        checked = Qt.CheckState.Checked
        return tuple(
            self._uses[item.text(_NAME)]
            for item in self._items()
            if item.checkState(_NAME) == checked
        )

    def picked_use(self) -> LayerUse | None:
        """Return what the first selected layer becomes, or None if none is selected."""
        names = [item.text(_NAME) for item in self._items() if item.isSelected()]
        return self._uses[names[0]] if names else None

    def change(
        self,
        *,
        thickness: float | None = None,
        z_low: float | None = None,
        section: tuple[Section | None] | None = None,
    ) -> None:
        """Change what the selected layers become, or all of them if none is selected."""
        chosen = [item for item in self._items() if item.isSelected()] or list(self._items())
        for item in chosen:
            name = item.text(_NAME)
            use = self._uses[name]
            self._uses[name] = structs.replace(
                use,
                thickness=use.thickness if thickness is None else thickness,
                z_low=use.z_low if z_low is None else z_low,
                section=use.section if section is None else section[0],
            )
        self.blockSignals(True)
        self._tell()
        self.blockSignals(False)
        self.changed.emit()

    def _tell(self) -> None:
        for item in self._items():
            item.setText(_BECOMES, becomes_words(self._uses[item.text(_NAME)], self._display))
        self._fit_columns()

    def _fit_columns(self) -> None:
        """Give each column what it holds, and the one between at least its heading."""
        heads = self.header()
        half = (self.viewport().width() - heads.sectionSizeHint(_HOLDS)) // 2
        for column in (_NAME, _BECOMES):
            self.resizeColumnToContents(column)
            wide = min(self.columnWidth(column) + _ROOM_PX, _WIDEST_PX, half)
            self.setColumnWidth(column, max(wide, heads.sectionSizeHint(column)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the columns to the new width."""
        super().resizeEvent(event)
        self._fit_columns()


def is_usual(layer: DrawingLayer) -> bool:
    """True if a layer is used by default."""
    return bool(layer.outlines or layer.bars) and not layer.hidden


def holds_words(layer: DrawingLayer, drawing: Drawing) -> str:
    """Return what a layer of a drawing contains, in words."""
    crossed = sum(one.layer == layer.name for one in drawing.crossings)
    aside = sum(name == layer.name for name, _ in drawing.aside)
    counts = (
        Count(len(layer.outlines), "outline", "outlines"),
        Count(len(layer.openings), "opening", "openings"),
        Count(len(layer.paths), "open line", "open lines"),
        Count(crossed, "loop that crosses itself", "loops that cross themselves"),
        Count(aside, "shape of the border", "shapes of the border"),
    )
    words = ", ".join(str(count) for count in counts if count.number)
    return f"{words or 'nothing'}{' (hidden)' if layer.hidden else ''}"


def becomes_words(use: LayerUse, display: Display) -> str:
    """Return what a layer's outlines become, in words."""
    height = f", {format_length(use.z_low, display)} up" if use.z_low else ""
    thick = f"plates {format_length(use.thickness, display)}"
    return f"{use.section.name if use.section else thick}{height}"
