"""The bar scale of a plan, and the line that shows whether a print is true to size."""

from gridjig.geometry.page import FINE, NARROW, PageLine, PageLines, PageMark, PageText
from gridjig.model import Display
from gridjig.rack import Point
from gridjig.units import INCH, format_length

from .letters import width_of

_METRIC = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000)
_INCHES = (1, 2, 4, 6, 12, 24, 48, 96, 240, 480)
_LEAST, _MOST = 9.0, 56.0
CHECK = 100.0
"""Length of the check line, mm."""


def bar_scale(display: Display, size: float, x: float, y: float, scale: float) -> list[PageMark]:
    """Return a bar scale of two to four steps, black and white by turns, from its top left."""
    metric = display.unit == "millimetres"
    unit, steps = (1.0, _METRIC) if metric else (INCH, _INCHES)
    step = next((s for s in steps if s * unit / scale >= _LEAST), steps[-1])
    wide = step * unit / scale
    count = max(2, min(4, int(_MOST / wide)))
    bar = y + 4.6
    marks: list[PageMark] = []
    for k in range(count):
        left = x + k * wide
        ring = ((left, bar), (left + wide, bar), (left + wide, bar + 1.4), (left, bar + 1.4))
        marks.append(PageLine(ring, FINE, closed=True, fill="white" if k % 2 else "black"))
    whole = format_length(count * step * unit, display)
    nothing, last = (width_of(words, size) + 1.0 for words in ("0", whole))
    end = max(x + count * wide, x + nothing + 2.0 + last)
    marks.append(PageText(x, bar - 3.4, nothing, 3.2, "0", size))
    marks.append(PageText(end - last, bar - 3.4, last, 3.2, whole, size, "right"))
    return marks


def check_line(x: float, y: float) -> list[PageMark]:
    """Return a line of exactly 100 mm with end ticks, to see that a print is true to scale."""
    line = y + 5.6
    words = "100 mm check line: if it measures otherwise, print again at 100 % (no fitting)"
    strokes: tuple[tuple[Point, Point], ...] = (
        ((x, line), (x + CHECK, line)),
        ((x, line - 1.4), (x, line + 1.4)),
        ((x + CHECK, line - 1.4), (x + CHECK, line + 1.4)),
    )
    return [
        PageText(x + 1.0, line - 3.6, CHECK - 2.0, 3.2, words, 1.8, "centre"),
        PageLines(strokes, NARROW),
    ]
