"""Cutting a name that does not fit, so that it still tells which of several things it is."""

from collections.abc import Iterable

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics

from gridjig.sheets.text.shortening import distinct_end


def elided(letters: QFontMetrics, name: str, others: Iterable[str], width: int) -> str:
    """Return a name as it fits a width, px: whole, or from the words that tell it apart on, and
    then cut at its end.
    """
    if letters.horizontalAdvance(name) <= width:
        return name
    return letters.elidedText(distinct_end(name, others), Qt.TextElideMode.ElideRight, width)
