"""The bare table: what the window shows before anything that works on it is loaded.

The plate, its holes and its border are drawn by what draws them in the sheet, in the place where
the sheet will lie, so that nothing moves when the rest of the window comes.
"""

from pathlib import Path

from msgspec import Struct
from PySide6.QtCore import QMargins, QRect
from PySide6.QtGui import QGuiApplication, QPainter, QRegion, QScreen

from gridjig.files.faults import ReadFault
from gridjig.files.fresh import usual_display, usual_table
from gridjig.files.settings import Settings
from gridjig.model import Display, Table

from .canvas_frame import Border
from .canvas_ground import Ground
from .canvas_view import plate_fitted
from .lettering import Lettering
from .metrics import Metrics, measure
from .theme import Theme, choose

_MOST_BYTES = 1_000_000  # of a larger job the table is not read twice


class Bare(Struct, frozen=True):
    """An empty table and how it is to be shown.

    `round_sheet` is what the window has round the sheet, logical px: drawer, menus and tools, form
    and lists, strip.
    """

    table: Table
    display: Display
    theme: Theme
    metrics: Metrics
    round_sheet: QMargins

    def paint(self, painter: QPainter, window: QRect, dots: float) -> None:
        """Paint all of a window of that size (logical px), `dots` device pixels to the px."""
        painter.fillRect(window, self.theme.brush_of("panel"))
        sheet = window.marginsRemoved(self.round_sheet)
        if sheet.isEmpty():
            return
        size = QRect(0, 0, round(sheet.width() * dots), round(sheet.height() * dots))
        view = plate_fitted(self.table, sheet.width(), sheet.height(), self.metrics).times(dots)
        lettering = Lettering(
            self.theme, self.metrics.px_per_mm * dots, dots, QGuiApplication.font()
        )
        painter.translate(sheet.topLeft())
        painter.scale(1.0 / dots, 1.0 / dots)
        painter.setClipRect(size)
        Ground(self.theme, dots, self.table).draw(painter, view, size)
        border = Border(lettering, self.table, self.display)
        border.draw(painter, view, (size.width(), size.height()), QRegion(size), None)


def bare_table(settings: Settings, screen: QScreen, path: Path | None) -> Bare:
    """The table that the window will open with: that of the job at `path`, or the usual one.

    What is wrong with a job is told when it is opened, not here.
    """
    table, display = usual_table(settings), usual_display(settings)
    if path is not None and path.suffix == ".gridjig":
        from gridjig.files.jobfile import load_job  # noqa: PLC0415 - not needed for a plain start

        try:
            if path.stat().st_size <= _MOST_BYTES:
                job = load_job(path)
                table, display = job.table, job.display
        except (OSError, ReadFault):
            pass
    metrics = measure(screen, settings.px_per_mm, settings.glove)
    margins = QMargins(*settings.round_sheet)
    return Bare(table, display, choose(settings.theme), metrics, margins)
