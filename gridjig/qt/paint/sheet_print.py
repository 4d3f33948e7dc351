"""Prints pages: the same marks as in the PDF and in the preview, page by page."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtGui import QPainter

from gridjig.geometry.page import SheetPage

from .page_painter import PagePainter
from .sheet_pdf import Unpainted, page_layout

if TYPE_CHECKING:
    from PySide6.QtPrintSupport import QPrinter


class PrintMaking:
    """Pages going to a printer, a page a step, so that a window can go on meanwhile."""

    def __init__(self, printer: "QPrinter", pages: Sequence[SheetPage]) -> None:
        """Begin; the printer's range of pages, if it has one, says which ones."""
        first, last = printer.fromPage(), printer.toPage()
        self._pages = pages[max(first - 1, 0) : last] if last else pages
        self._printer = printer
        printer.setFullPage(True)
        printer.setPageLayout(page_layout(self._pages[0]))
        self._painting = PagePainter()
        self._painter = QPainter(printer)
        self._well = self._painter.isActive()
        self._painter.scale(printer.resolution() / 25.4, printer.resolution() / 25.4)
        self.painted = 0

    @property
    def count(self) -> int:
        """How many pages are printed."""
        return len(self._pages)

    def step(self) -> None:
        """Print the next page."""
        if self.painted:
            self._well = self._printer.newPage() and self._well
        self._painting.paint(self._painter, self._pages[self.painted])
        self.painted += 1

    def __del__(self) -> None:
        """End if nobody has: a painter that outlives its printer kills the process."""
        self.drop()

    def drop(self) -> None:
        """End; what was not sent yet is not printed."""
        if not self._painter.isActive():
            return
        if self.painted < len(self._pages):
            self._printer.abort()
        self._painter.end()

    def done(self) -> None:
        """End well.  Raise Unpainted if anything failed."""
        self.drop()
        if not self._well:
            raise Unpainted("The printer took no pages; look whether it is on and has paper.")
