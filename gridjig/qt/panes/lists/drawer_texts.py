"""The texts of a line of the drawer: which there are, in which font and colour, and how tall."""

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QFont, QFontMetrics

from gridjig.sheets.lists.drawer_list import DrawerLine
from gridjig.units.unbroken import unbroken

DrawerText = tuple[str, QFont, str, int]
"""A text, its font, the name of its colour, and its height in px."""


def fonts(base: QFont) -> tuple[QFont, QFont]:
    """Return the fonts of headings and of the smaller texts."""
    strong, small = QFont(base), QFont(base)
    strong.setBold(True)
    small.setPointSizeF(base.pointSizeF() * 0.85)
    return strong, small


class DrawerTexts:
    """The texts of each piece, measured again only when it, the font or the room has changed: Qt
    asks for the height of every line several times, and measuring wrapped text takes long.
    """

    def __init__(self) -> None:
        self._measured: dict[str, tuple[tuple[DrawerLine, str, int], list[DrawerText]]] = {}

    def of(self, line: DrawerLine, font: QFont, room: int) -> list[DrawerText]:
        """Return the texts of a piece's line; they wrap at `room` px, so that none is cut."""
        asked = (line, font.key(), room)
        held = self._measured.get(line.piece_id)
        if held is None or held[0] != asked:
            held = self._measured[line.piece_id] = (asked, _measured(line, font, room))
        return held[1]


def _measured(line: DrawerLine, font: QFont, room: int) -> list[DrawerText]:
    font, (_, small) = QFont(font), fonts(font)  # that of an option ends with the option
    measures, small_measures = QFontMetrics(font), QFontMetrics(small)
    fits = measures.horizontalAdvance(line.name) <= room
    rows = (
        (line.name if fits else line.short_name, font, measures, "ink"),
        (line.size, small, small_measures, "graphite"),
        (line.count_words, small, small_measures, "clash_text" if line.short else "graphite"),
    )
    wrap = int(Qt.TextFlag.TextWordWrap)
    box = QRect(0, 0, room, 2000)
    return [
        (words, one, colour, measure.boundingRect(box, wrap, unbroken(words)).height())
        for words, one, measure, colour in rows
        if words
    ]
