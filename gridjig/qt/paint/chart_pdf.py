"""Paints the shop chart of attainable angles on PDF pages.

It does the layout only; the texts come from elsewhere.  All sizes are millimetres on paper.
Letters follow ISO 3098 (2.5, 3.5, 5 mm), lines ISO 128 (0.25 and 0.5 mm).
"""

from pathlib import Path
from typing import Literal

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QGuiApplication,
    QPageLayout,
    QPageSize,
    QPainter,
    QPdfWriter,
    QPen,
)

from gridjig import __version__
from gridjig.files.storage.saving import save
from gridjig.qt.paint.sheet_pdf import Unpainted
from gridjig.sheets.lists.angle_chart import ChartLine, ChartPage, ChartSheet

ChartPaper = Literal["A4", "Letter"]
SIZES: dict[ChartPaper, QPageSize.PageSizeId] = {
    "A4": QPageSize.PageSizeId.A4,
    "Letter": QPageSize.PageSizeId.Letter,
}
INK, GREY = QColor("#1A1A18"), QColor("#4B4A45")
TINT = QColor("#EFEDE6")
WIDE, NARROW = 0.5, 0.25
MARGIN = 10.0
_FOOT = 21.0
_DPI = 1200
# Column widths as fractions of a block; the last columns are right-aligned figures.
SHARES = (0.12, 0.155, 0.12, 0.155, 0.155, 0.13, 0.165)
_CAPITAL = 0.73  # cap height of DejaVu Sans as a fraction of its size
_RIGHT, _LEFT = Qt.AlignmentFlag.AlignRight, Qt.AlignmentFlag.AlignLeft
_MIDDLE = Qt.AlignmentFlag.AlignVCenter


def write_chart(sheet: ChartSheet, path: Path, paper: ChartPaper, backup: bool = True) -> None:
    """Write the chart to a PDF file, whole or not at all.  Raise SaveFault or Unpainted."""
    save(path, chart_pdf(sheet, paper), backup=backup)


def chart_pdf(sheet: ChartSheet, paper: ChartPaper) -> bytes:
    """Return the chart as the bytes of a PDF.  Raise Unpainted if that fails."""
    # Painting a page needs fonts but no screen.  Keep a reference to the application until the page
    # is painted.
    program = QGuiApplication.instance() or QGuiApplication(["gridjig", "-platform", "offscreen"])
    made = QBuffer()
    made.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(made)
    writer.setResolution(_DPI)
    writer.setTitle(sheet.title)
    writer.setCreator(f"GridJig {__version__}")
    layout = QPageLayout(
        QPageSize(SIZES[paper]), QPageLayout.Orientation.Portrait, QMarginsF(0, 0, 0, 0)
    )
    writer.setPageLayout(layout)
    size = QPageSize(SIZES[paper]).size(QPageSize.Unit.Millimeter)
    with QPainter(writer) as painter:
        well = painter.isActive()
        painter.scale(_DPI / 25.4, _DPI / 25.4)
        for index, page in enumerate(sheet.pages):
            if index:
                well = writer.newPage() and well
            _Page(painter, size, sheet).paint(page, index + 1)
    del program
    data = bytes(made.data().data())
    if not (well and data.startswith(b"%PDF-") and data.rstrip().endswith(b"%%EOF")):
        raise Unpainted("The pages could not be painted; close other programs and try again.")
    return data


class _Page:
    """One page being painted."""

    def __init__(self, painter: QPainter, size: QSizeF, sheet: ChartSheet) -> None:
        self.painter = painter
        self.sheet = sheet
        self.frame = QRectF(0, 0, size.width(), size.height()).adjusted(
            MARGIN, MARGIN, -MARGIN, -MARGIN
        )

    def paint(self, page: ChartPage, number: int) -> None:
        """Paint the frame, the head, two blocks of lines and the foot."""
        frame = self.frame
        self.line(INK, WIDE)
        self.painter.drawRect(frame)
        head = QRectF(frame.left(), frame.top(), frame.width(), 27.0)
        foot = QRectF(frame.left(), frame.bottom() - _FOOT, frame.width(), _FOOT)
        self.head(head, page)
        self.foot(foot, number)
        half = (len(page.lines) + 1) // 2
        top, bottom = head.bottom(), foot.top()
        for block, lines in enumerate((page.lines[:half], page.lines[half:])):
            left = frame.left() + block * frame.width() / 2
            self.block(QRectF(left, top, frame.width() / 2, bottom - top), lines, half)
        self.line(INK, WIDE)
        self.across(top)
        self.across(bottom)
        middle = frame.center().x()
        self.painter.drawLine(QPointF(middle, top), QPointF(middle, bottom))

    def head(self, at: QRectF, page: ChartPage) -> None:
        """Paint the title, what the chart is for, and the angles on this page."""
        inner = at.adjusted(3, 2.5, -3, -2)
        self.text(inner, self.sheet.title, 5.0, bold=True, align=_LEFT)
        self.text(inner, page.title, 5.0, bold=True, align=_RIGHT)
        for k, words in enumerate(self.sheet.subject):
            row = QRectF(inner.left(), inner.top() + 8.5 + 4.7 * k, inner.width(), 4.7)
            self.text(row, words, 2.5, align=_LEFT)

    def foot(self, at: QRectF, number: int) -> None:
        """Paint how to read the chart, the cautions, the program's name and the page number."""
        words = (*self.sheet.how_to, *self.sheet.cautions)
        for k, line in enumerate(words):
            row = QRectF(at.left() + 3, at.top() + 1.3 + 3.8 * k, at.width() - 6, 3.8)
            self.text(row, line, 1.8, align=_LEFT, grey=k < len(self.sheet.how_to))
        row = QRectF(at.left() + 3, at.bottom() - 4.2, at.width() - 6, 3.8)
        self.text(row, f"GridJig {__version__}", 1.8, align=_LEFT, grey=True)
        self.text(row, f"page {number} of {len(self.sheet.pages)}", 1.8, align=_RIGHT, grey=True)

    def block(self, at: QRectF, lines: tuple[ChartLine, ...], rows: int) -> None:
        """Paint the column heads and lines of one half of the page."""
        inner = at.adjusted(1.5, 0, -1.5, 0)
        head = 6.0
        step = (inner.height() - head) / rows
        self.cells(QRectF(inner.left(), inner.top(), inner.width(), head), self.sheet.heads, 2.0)
        self.line(INK, NARROW)
        self.painter.drawLine(
            QPointF(at.left(), at.top() + head), QPointF(at.right(), at.top() + head)
        )
        for k, chart_line in enumerate(lines):
            row = QRectF(inner.left(), inner.top() + head + k * step, inner.width(), step)
            if chart_line.strong:
                self.painter.fillRect(
                    QRectF(at.left() + 0.3, row.top(), at.width() - 0.6, step), TINT
                )
            self.cells(row, chart_line.cells, 2.5, strong=chart_line.strong)

    def cells(
        self, row: QRectF, texts: tuple[str, ...], height: float, *, strong: bool = False
    ) -> None:
        """Paint the texts of one line, each in its column."""
        left = row.left()
        for k, (text, share) in enumerate(zip(texts, SHARES, strict=True)):
            width = share * row.width()
            self.text(
                QRectF(left, row.top(), width - 1.0, row.height()),
                text,
                height,
                bold=strong and k < 2,
                align=_RIGHT | _MIDDLE,
            )
            left += width

    def text(
        self,
        at: QRectF,
        words: str,
        height: float,
        *,
        align: Qt.AlignmentFlag,
        bold: bool = False,
        grey: bool = False,
    ) -> None:
        """Paint text with that cap height, condensed where the space is too short."""
        font = QFont("DejaVu Sans")
        font.setBold(bold)
        for tag in ("liga", "clig", "dlig"):
            font.setFeature(QFont.Tag(tag), 0)
        font.setFeature(QFont.Tag("tnum"), 1)
        # Measure at a large pixel size: the metrics of a font a few mm high would be rounded.
        font.setPixelSize(100)
        scale = height / _CAPITAL / 100.0
        wide = QFontMetricsF(font).horizontalAdvance(words) * scale
        squeeze = min(1.0, at.width() / wide) if wide else 1.0
        self.painter.save()
        self.painter.setPen(GREY if grey else INK)
        self.painter.setFont(font)
        self.painter.translate(at.topLeft())
        self.painter.scale(scale * squeeze, scale)
        place = QRectF(0, 0, at.width() / scale / squeeze, at.height() / scale)
        self.painter.drawText(place, align | Qt.TextFlag.TextDontClip, words)
        self.painter.restore()

    def line(self, colour: QColor, width: float) -> None:
        """Set the pen for what follows."""
        self.painter.setPen(QPen(colour, width))
        self.painter.setBrush(Qt.BrushStyle.NoBrush)

    def across(self, y: float) -> None:
        """Draw a line across the frame."""
        self.painter.drawLine(QPointF(self.frame.left(), y), QPointF(self.frame.right(), y))
