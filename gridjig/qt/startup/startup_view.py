"""The bare table: what the window shows before the code that works on it is loaded.

The plate and its holes are drawn by the same code as on the plan, and where the plan will be, so
that nothing moves when the rest of the window appears.  Text comes with the rest: loading a font
takes as long as painting all of this.
"""

from pathlib import Path

from msgspec import Struct
from PySide6.QtCore import QMargins, QRect
from PySide6.QtGui import QPainter, QScreen

from gridjig.files.format.faults import ReadFault
from gridjig.files.library.default_job import default_table
from gridjig.files.storage.settings import Settings
from gridjig.model import Table
from gridjig.qt.canvas.ground import PlateGround
from gridjig.qt.paint.view import plate_fitted
from gridjig.qt.style.metrics import Metrics, measured
from gridjig.qt.style.theme import Theme, choose

_MOST_BYTES = 1_000_000  # larger jobs are read only once, later


class StartupView(Struct, frozen=True):
    """A table and how it is to be shown.

    `round_sheet` is what the window has around the plan, logical px: drawer, menus and tools, form
    and lists, status bar.
    """

    table: Table
    theme: Theme
    metrics: Metrics
    round_sheet: QMargins

    def paint(self, painter: QPainter, window: QRect, dots: float) -> None:
        """Paint a whole window of that size (logical px), at `dots` device pixels per px."""
        painter.fillRect(window, self.theme.brush_of("panel"))
        sheet = window.marginsRemoved(self.round_sheet)
        if sheet.isEmpty():
            return
        size = QRect(0, 0, round(sheet.width() * dots), round(sheet.height() * dots))
        view = plate_fitted(self.table, sheet.width(), sheet.height(), self.metrics).times(dots)
        painter.translate(sheet.topLeft())
        painter.scale(1.0 / dots, 1.0 / dots)
        painter.setClipRect(size)
        PlateGround(self.theme, dots, self.table).draw(painter, view, size)


def startup_view(settings: Settings, screen: QScreen, path: Path | None) -> StartupView:
    """Return the table that the window will open with: that of the job at `path`, or the usual one.

    Faults in a job are reported when it is opened, not here.
    """
    table = default_table(settings)
    if path is not None and path.suffix == ".gridjig":
        from gridjig.files.jobs.job_file import load_job  # noqa: PLC0415 - not needed for a plain start

        try:
            if path.stat().st_size <= _MOST_BYTES:
                table = load_job(path).table
        except (OSError, ReadFault):
            pass
    metrics = measured(screen, settings)
    margins = QMargins(*settings.round_sheet)
    return StartupView(table, choose(settings.theme), metrics, margins)
