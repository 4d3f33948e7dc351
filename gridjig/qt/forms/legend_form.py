"""The legend of the plan: every sign as it is painted there, with what it means."""

import math

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPixmap
from PySide6.QtWidgets import QApplication, QWidget

from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.paint.painter import Plotter
from gridjig.qt.paint.view import View
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.buttons import make_button, scrolled
from gridjig.qt.widgets.layout import GAP, REST, holder, in_column, in_row
from gridjig.qt.widgets.plain import Label
from gridjig.session.document import Document
from gridjig.sheets.lists.legend import HIGH, WIDE, LegendGroup, LegendLine, legend

_LETTERS, _LINES = 92, 52


class LegendForm(FormDialog):
    """Shows the legend in two columns; the window stays usable, Esc closes it."""

    topic = "select"

    def __init__(self, parent: QWidget, appearance: Appearance) -> None:
        super().__init__(parent)
        self.setWindowTitle("Signs on the plan")
        self._pictures: list[tuple[LegendLine, Label]] = []
        groups = legend()
        half = sum(len(group.lines) + 1 for group in groups) / 2
        columns: list[list[QWidget]] = [[], []]
        for group in groups:
            into = columns[0] if len(columns[0]) + len(group.lines) / 2 < half else columns[1]
            into += self._group(group)
        page = in_row(
            *((holder(in_column(*column, REST, margins="form", gap=GAP)), 1) for column in columns),
            margins="none",
        )
        close = make_button("Close", self.reject, plain=False)
        close.setDefault(True)
        in_column((scrolled(holder(page)), 1), in_row(REST, close), over=self)
        self.set_appearance(appearance)
        self.size_for(_LETTERS, _LINES, (720, 560))

    def set_appearance(self, appearance: Appearance) -> None:
        """Paint the samples as the plan is painted."""
        for line, picture in self._pictures:
            picture.setPixmap(sample_of(line, appearance, self.devicePixelRatioF()))

    def _group(self, group: LegendGroup) -> list[QWidget]:
        lines = [self._line(one) for one in group.lines]
        return [Label(group.head, "heading"), *lines]

    def _line(self, line: LegendLine) -> QWidget:
        picture = Label()
        self._pictures.append((line, picture))
        picture.setAccessibleName(line.words)
        return holder(in_row(picture, (Label(line.words), 1), margins="none", gap=8))


def sample_of(line: LegendLine, appearance: Appearance, dots: float = 1.0) -> QPixmap:
    """Return the sample of a line, as large as letters are, painted as on the plan."""
    metrics = appearance.metrics
    scale = metrics.letters * dots
    picture = QPixmap(math.ceil(WIDE * scale), math.ceil(HIGH * scale))
    picture.setDevicePixelRatio(dots)
    picture.fill(appearance.theme.colour("paper"))
    font = QApplication.font()
    plotter = Plotter(appearance.theme, metrics.px_per_mm * scale, scale, font)
    with QPainter(picture) as painter:
        painter.scale(1.0 / dots, 1.0 / dots)
        plotter.draw(painter, [plotter.plot(line.sample)], View(scale, 0.0, HIGH * scale))
    return picture


def open_legend(window: QWidget, document: Document, appearance: Appearance) -> None:
    """Open the legend beside the window."""
    form = LegendForm(window, appearance)
    form.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    form.show()
