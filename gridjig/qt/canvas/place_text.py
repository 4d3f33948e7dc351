"""The pointer's position as text: the address of the nearest hole and the distance from it."""

from functools import lru_cache

from gridjig.model import Table
from gridjig.model.labels import address
from gridjig.rack import Point
from gridjig.units import INCH, Display, format_length


def place_text(table: Table, display: Display, at: Point) -> str:
    """`C4` at a hole, `C4 +3/8" -1/4"` beside it (first along x, then along y)."""
    hole = table.nearest(*at)
    centre = table.at(hole)
    grid = _grid(display)
    offsets = [round((at[k] - centre[k]) / grid) * grid for k in (0, 1)]
    text = address(table, hole)
    if offsets == [0.0, 0.0]:
        return text
    return " ".join([text, *(_signed(offset, display) for offset in offsets)])


def _grid(display: Display) -> float:
    """Return the step that the position is rounded to: a pointer is no gauge, so no finer than the
    display.
    """
    if display.unit == "millimetres":
        return 1.0
    return INCH / display.denominator if display.unit == "inch fractions" else INCH / 100


@lru_cache(maxsize=1024)
def _signed(offset: float, display: Display) -> str:
    sign = "−" if offset < 0 else "+"
    return sign + format_length(abs(offset), display)
