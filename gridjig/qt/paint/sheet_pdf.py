"""Writes pages as a PDF: searchable text, the job's file inside."""

import re
from collections.abc import Sequence

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QSizeF
from PySide6.QtGui import QGuiApplication, QPageLayout, QPageSize, QPainter, QPdfWriter

from gridjig import __version__
from gridjig.geometry.page import SheetPage
from gridjig.units.progress import SILENT, Progress

from .page_painter import PagePainter

RESOLUTION = 1200
"""Dots per inch: a line end is placed to 0.02 mm."""


class Unpainted(Exception):  # noqa: N818  (it says what was not done)
    """The pages could not be painted; str() gives one sentence."""


def pages_pdf(
    title: str,
    pages: Sequence[SheetPage],
    attached: tuple[str, bytes, str] | None = None,
    progress: Progress = SILENT,
) -> bytes:
    """Return pages as the bytes of a PDF.  Raise Unpainted, or Cancelled through `progress`.

    `attached` is a file to put inside: its name, its bytes, its media type.
    """
    making = PdfMaking(title, pages, attached)
    for number in range(len(pages)):
        progress.report(number, len(pages), "Painting")
        making.step()
    return making.done()


class PdfMaking:
    """A PDF in the making: a page a step, so that a window can go on meanwhile."""

    def __init__(
        self,
        title: str,
        pages: Sequence[SheetPage],
        attached: tuple[str, bytes, str] | None = None,
    ) -> None:
        # Painting a page needs fonts but no screen.  Keep a reference to the application until the
        # page is painted.
        self._program = QGuiApplication.instance() or QGuiApplication(
            ["gridjig", "-platform", "offscreen"]
        )
        self._pages = pages
        self._made = QBuffer()
        self._made.open(QIODevice.OpenModeFlag.WriteOnly)
        self._writer = QPdfWriter(self._made)
        self._writer.setResolution(RESOLUTION)
        self._writer.setTitle(title)
        self._writer.setCreator(f"GridJig {__version__}")
        if attached is not None:
            self._writer.addFileAttachment(*attached)
        self._writer.setPageLayout(page_layout(pages[0]))
        self._painting = PagePainter()
        self._painter = QPainter(self._writer)
        self._well = self._painter.isActive()
        self._painter.scale(RESOLUTION / 25.4, RESOLUTION / 25.4)
        self.painted = 0

    def step(self) -> None:
        """Paint the next page."""
        if self.painted:
            self._well = self._writer.newPage() and self._well
        self._painting.paint(self._painter, self._pages[self.painted])
        self.painted += 1

    def __del__(self) -> None:
        """End if nobody has: a painter that outlives its writer kills the process."""
        self.drop()

    def drop(self) -> None:
        """End without a PDF."""
        if self._painter.isActive():
            self._painter.end()

    def done(self) -> bytes:
        """Return the bytes.  Raise Unpainted if anything failed."""
        self.drop()
        data = bytes(self._made.data().data())
        if not (self._well and data.startswith(b"%PDF-") and data.rstrip().endswith(b"%%EOF")):
            raise Unpainted("The pages could not be painted; close other programs and try again.")
        return _BLANKS.sub(lambda found: found[0].replace(b"<0009>", b"<0020>"), data)


_BLANKS = re.compile(
    rb"\n[0-9]+ 0 obj\n<< /Length [0-9]+ >>\nstream\n/CIDInit (?:(?!endstream).)*?endcmap",
    re.DOTALL,
)
"""The tables from glyphs to letters.  Qt gives the blank as a tab there, so that nobody would find
two words; no line of a job's file begins like one of these.
"""


def page_layout(page: SheetPage) -> QPageLayout:
    """Return the layout of a page of that size, without margins."""
    wide, high = page.width, page.height
    upright = QSizeF(min(wide, high), max(wide, high))
    turned = wide > high
    held = QPageLayout.Orientation.Landscape if turned else QPageLayout.Orientation.Portrait
    size = QPageSize(upright, QPageSize.Unit.Millimeter, "", QPageSize.SizeMatchPolicy.FuzzyMatch)
    return QPageLayout(size, held, QMarginsF(0, 0, 0, 0))
