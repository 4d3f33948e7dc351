"""The scale bar: a length in the job's unit at its size on the screen, and the scale.

Works in dots; the scale is true on a screen that has been calibrated.
"""

import math
from functools import lru_cache

from PySide6.QtCore import QLineF
from PySide6.QtGui import QPainter, QPixmap

from gridjig.units import INCH, Display, format_length, format_scale

from .lettering import Lettering

_WANTED_MM = 32.0  # approximate length of the bar on the screen
_INCHES = (1 / 16, 1 / 8, 1 / 4, 1 / 2, 1, 2, 4, 6, 12, 24, 48, 96, 240, 480)


def bar_length(display: Display, table_mm: float) -> float:
    """Return the largest round length, table mm, not above the wanted one, or the smallest one."""
    if display.unit == "millimetres":
        decade = 10.0 ** math.floor(math.log10(table_mm))
        return max(n * decade for n in (1, 2, 5) if n * decade <= table_mm)
    below = [n for n in _INCHES if n * INCH <= table_mm]
    return (below[-1] if below else _INCHES[0]) * INCH


def scale_text(per_mm: float, scale: float) -> str:
    """Return the scale as written on drawings: "1:4", "1:2.5", "2:1".  `scale` in dots per table
    mm.
    """
    return format_scale(per_mm / scale)


@lru_cache(maxsize=64)
def _length_text(length: float, display: Display) -> str:
    return format_length(length, display)


def draw_scale_bar(lettering: Lettering, scale: float, display: Display) -> QPixmap:
    """Return the scale bar as a picture: the bar, its length, and the scale."""
    mm, unit = lettering.per_mm, lettering.unit
    length = bar_length(display, _WANTED_MM * mm / scale)
    long = length * scale
    text = _length_text(length, display)
    ratio = scale_text(mm, scale)
    pad, gap = 2 * mm, 2.5 * mm
    high = round(6.5 * mm)
    wide = round(
        pad + long + gap + lettering.width(text, "small") + gap + lettering.width(ratio) + pad
    )
    picture = QPixmap(wide, high)
    picture.fill(lettering.theme.colour("paper"))
    ink = lettering.theme.colour("ink")
    with QPainter(picture) as painter:
        painter.setPen(lettering.theme.pen("thin", unit))
        painter.drawRect(0, 0, wide - 1, high - 1)
        middle = round(high / 2)
        thick = max(2, round(1.1 * mm))
        for part in range(4):  # like a survey scale bar: filled and empty quarters
            x1, x2 = round(pad + long * part / 4), round(pad + long * (part + 1) / 4)
            if part % 2 == 0:
                painter.fillRect(x1, middle - thick // 2, x2 - x1, thick, ink)
            painter.drawRect(x1, middle - thick // 2, x2 - x1, thick)
        for end in (pad, pad + long):
            painter.drawLine(QLineF(round(end), middle - mm * 1.4, round(end), middle + mm * 1.4))
        at = pad + long
        lettering.write(painter, text, (at + gap / 2, middle), ink, size="small", anchor="right")
        lettering.write(painter, ratio, (wide - pad / 2, middle), ink, anchor="left")
    return picture
