"""The standard weldments to choose from, each with a small picture."""

from collections.abc import Mapping

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QIcon, QPainter, QPixmap
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QWidget

from gridjig.edits.starters import STARTERS, Starter, build
from gridjig.files.library.sections import find_section
from gridjig.geometry.display import DisplayList, Polyline
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.plate_holes import part_openings
from gridjig.model import Section
from gridjig.qt.paint.painter import Plotter
from gridjig.qt.paint.view import fitted
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.plain import tip

_PICTURE_MM = 11.0
_WIDEST_PX = 300
"""The most room for the names; longer ones wrap."""


class StarterKinds(QListWidget):
    """A list of starters; `turned` carries the one highlighted with the keyboard or a click."""

    turned = Signal(object)

    def __init__(self, appearance: Appearance, metric: bool, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Standard weldments")
        self.setWordWrap(True)
        self.setUniformItemSizes(False)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        side = max(appearance.metrics.whole(_PICTURE_MM), appearance.metrics.target)
        self.setIconSize(QSize(side, side))
        for starter in STARTERS:
            item = QListWidgetItem(starter.name)
            picture = self._picture(starter, appearance, metric, side)
            icon = QIcon(picture)
            icon.addPixmap(picture, QIcon.Mode.Selected)
            item.setIcon(icon)
            item.setToolTip(tip(starter.about))
            item.setData(Qt.ItemDataRole.AccessibleDescriptionRole, starter.about)
            self.addItem(item)
        letters = self.fontMetrics().averageCharWidth()
        self.setFixedWidth(side + min(letters * 26, _WIDEST_PX))
        self.currentRowChanged.connect(lambda row: self.turned.emit(STARTERS[row]))

    def _picture(
        self, starter: Starter, appearance: Appearance, metric: bool, side: int
    ) -> QPixmap:
        """Return the starter with its initial sizes, in plan."""
        dots = float(self.devicePixelRatioF())
        picture = QPixmap(round(side * dots), round(side * dots))
        picture.fill(appearance.theme.colour("paper"))
        drawing = _outlines(starter, metric)
        plotter = Plotter(appearance.theme, appearance.metrics.px_per_mm * dots, dots, self.font())
        plot = plotter.plot(drawing)
        assert plot.box is not None
        x0, y0, x1, y1 = plot.box
        view = fitted((x0, y0), (x1, y1), picture.width(), picture.height(), 3 * dots)
        with QPainter(picture) as painter:
            plotter.draw(painter, [plot], view)
        picture.setDevicePixelRatio(dots)
        return picture


def first_sections(starter: Starter, metric: bool) -> Mapping[str, Section]:
    """Return a starter's initial stock, from the metric or the inch list."""
    found = {one.key: find_section(one.metric if metric else one.inches) for one in starter.stock}
    return {key: section for key, section in found.items() if section is not None}


def first_numbers(starter: Starter, metric: bool) -> dict[str, float]:
    """Return a starter's initial sizes, mm or degrees."""
    return {size.key: size.default if metric else size.inches for size in starter.sizes}


def _outlines(starter: Starter, metric: bool) -> DisplayList:
    parts = build(starter, first_sections(starter, metric), first_numbers(starter, metric))
    return tuple(
        Polyline(part_ring(part), "thin", True, "work", openings=part_openings(part))
        for part in parts
    )
