"""The chart of attainable angles for the wall: one angle a row, to be read from 2 m.

Capitals of 7 mm are 12 minutes of arc at 2 m, more than twice what good eyes need.  The columns are
as wide as their widest text with a gap between them, so that none touches another.
"""

from collections.abc import Sequence

from msgspec import Struct

from gridjig import __version__
from gridjig.geometry.page import FINE, WIDE, PageLine, PageLines, PageMark, PageText, SheetPage
from gridjig.model import Display
from gridjig.rack import Rack
from gridjig.sheets.lists.angle_chart import base_words, pair_text
from gridjig.sheets.text.cautions import ON_A_SHEET
from gridjig.solve.angles.chart import AngleChart
from gridjig.solve.angles.packed_chart import PackedRow
from gridjig.units import format_angle, format_angle_error, format_thickness

from .letters import LINE, lines_of, width_of
from .paper import SIZES, Paper

TITLE = "Angles from two equal pins"
HOW_TO = (
    "Steps: holes to the right (along the rows), then holes to the back (along the columns), from"
    " the near pin to the far one; the longest pair of its direction. Error: the angle made less"
    " the angle wanted, in minutes of arc; + is counter-clockwise. Packing: shims between the work"
    " and that pin, the work on the right of the way from near to far."
)
MAIN = 7.0
"""Height of the capitals of the angle and its pair, mm."""
_LEFT, _MARGIN, _GAP = 15.0, 10.0, 5.0
_LEAST_SIDE = 4.0
"""The least height of the other columns' capitals for a page held upright, mm."""
_SIDES = (5.0, 4.5, 4.0, 3.5, 3.0, 2.5)
_HEAD, _FOOT = 30.0, 8.0


class _ChartColumn(Struct, frozen=True):
    """A column: its heading, its texts, the height of its capitals, and whether it is bold."""

    head: str
    cells: tuple[str, ...]
    size: float
    bold: bool

    @property
    def width(self) -> float:
        """As wide as its widest text, mm."""
        widest = max((width_of(cell, self.size, self.bold) for cell in self.cells), default=0.0)
        return max(widest, width_of(self.head, 2.5, bold=True)) + 0.5


def wall_chart(
    chart: AngleChart,
    packed: Sequence[PackedRow],
    rack: Rack,
    display: Display,
    paper: Paper,
) -> tuple[SheetPage, ...]:
    """Return the pages of the chart; `packed` may be empty.

    They are held upright if all columns are large enough then, else lengthwise.
    """
    width, height = SIZES[paper]
    columns = _columns(chart, packed, rack, display, width - _LEFT - _MARGIN)
    if columns is None or columns[2].size < _LEAST_SIDE:
        width, height = height, width
        columns = _columns(chart, packed, rack, display, width - _LEFT - _MARGIN)
    if columns is None:  # a rack of many odd shims: what the pins do alone has room everywhere
        columns = _at_size(chart, (), rack, display, _SIDES[0])
    pitch = LINE * MAIN * 0.82
    a_page = int((height - 2 * _MARGIN - _HEAD - _FOOT) / pitch)
    count = -(-len(chart.rows) // a_page)
    a_page = -(-len(chart.rows) // count)
    return tuple(
        _page(chart, columns, display, (width, height), (k * a_page, a_page), (k + 1, count))
        for k in range(count)
    )


def _columns(
    chart: AngleChart,
    packed: Sequence[PackedRow],
    rack: Rack,
    display: Display,
    room: float,
) -> tuple[_ChartColumn, ...] | None:
    """The columns, the secondary ones as large as there is room for; None if there is not."""
    for side in _SIDES:
        made = _at_size(chart, packed, rack, display, side)
        if sum(column.width + _GAP for column in made) - _GAP <= room:
            return made
    return None


def _at_size(
    chart: AngleChart, packed: Sequence[PackedRow], rack: Rack, display: Display, side: float
) -> tuple[_ChartColumn, ...]:
    pins = (
        _ChartColumn("Angle", tuple(format_angle(r.wanted_deg) for r in chart.rows), MAIN, True),
        _ChartColumn("Steps", tuple(pair_text(r.steps) for r in chart.rows), MAIN, True),
        _ChartColumn(
            "Error", tuple(format_angle_error(r.error_arcmin) for r in chart.rows), side, False
        ),
    )
    if not packed:
        return pins
    return (
        *pins,
        _ChartColumn("Packed: steps", tuple(pair_text(r.steps) for r in packed), side, True),
        _ChartColumn("Packing", tuple(packing_text(r, rack, display) for r in packed), side, False),
        _ChartColumn(
            "Error", tuple(format_angle_error(r.error_arcmin) for r in packed), side, False
        ),
    )


def packing_text(row: PackedRow, rack: Rack, display: Display) -> str:
    """Return a stack and the pin that it is under: 1/8" + 1/64" far; a dash for none."""
    pieces = row.far or row.near
    if not pieces:
        return "—"
    told = " + ".join(format_thickness(rack.piece(one).thickness, display) for one in pieces)
    return f"{told} {'far' if row.far else 'near'}"


def _page(
    chart: AngleChart,
    columns: tuple[_ChartColumn, ...],
    display: Display,
    size: tuple[float, float],
    span: tuple[int, int],
    number: tuple[int, int],
) -> SheetPage:
    """One page with the rows from `span[0]`, `span[1]` of them."""
    width, height = size
    room = width - _LEFT - _MARGIN
    rows = chart.rows[span[0] : span[0] + span[1]]
    from_to = f"{format_angle(rows[0].wanted_deg)} to {format_angle(rows[-1].wanted_deg)}"
    marks: list[PageMark] = [
        PageText(_LEFT, _MARGIN, room - 60.0, 8.8, TITLE, 5.0, bold=True),
        PageText(_LEFT + room - 60.0, _MARGIN, 60.0, 8.8, from_to, 5.0, "right", bold=True),
    ]
    y = _MARGIN + 8.8
    subject = f"{chart.table.name}; base {base_words(chart, display)}"
    for words in (*lines_of(subject, 2.5, room), *lines_of(HOW_TO, 2.0, room)):
        high = 4.4 if words in subject else 3.4
        marks.append(PageText(_LEFT, y, room, high, words, 2.5 if high > 4 else 2.0))
        y += high
    top = _MARGIN + _HEAD
    lefts = _lefts(columns, room)
    for column, x in zip(columns, lefts, strict=True):
        marks.append(
            PageText(x, top - 4.6, column.width, 4.4, column.head, 2.5, bold=True, grey=True)
        )
    marks.append(PageLine(((_LEFT, top), (_LEFT + room, top)), WIDE))
    pitch = (height - _MARGIN - _FOOT - top) / span[1]
    for k in range(len(rows)):
        at = top + k * pitch
        for column, x in zip(columns, lefts, strict=True):
            cell = column.cells[span[0] + k]
            if cell:
                marks.append(
                    PageText(x, at, column.width, pitch, cell, column.size, bold=column.bold)
                )
    rules = tuple(
        ((_LEFT, top + k * pitch), (_LEFT + room, top + k * pitch)) for k in range(1, len(rows) + 1)
    )
    marks.append(PageLines(rules, FINE, "grey"))
    marks += _foot(width, height, number)
    return SheetPage(width, height, tuple(marks))


def _lefts(columns: Sequence[_ChartColumn], room: float) -> list[float]:
    """Where the columns begin, with what room is left shared between them."""
    spare = room - sum(column.width for column in columns)
    gap = min(spare / max(len(columns) - 1, 1), 3 * _GAP)
    made, x = [], _LEFT
    for column in columns:
        made.append(x)
        x += column.width + gap
    return made


def _foot(width: float, height: float, number: tuple[int, int]) -> list[PageMark]:
    bottom = height - _MARGIN - _FOOT + 1.0
    room = width - _LEFT - _MARGIN
    marks: list[PageMark] = [
        PageText(_LEFT, bottom + 3.2 * k, room - 40.0, 3.2, words, 1.8, grey=True)
        for k, words in enumerate(ON_A_SHEET)
    ]
    page = f"page {number[0]} of {number[1]}"
    x = _LEFT + room - 38.0
    return [
        *marks,
        PageText(x, bottom, 38.0, 3.2, page, 1.8, "right", grey=True),
        PageText(x, bottom + 3.2, 38.0, 3.2, f"GridJig {__version__}", 1.8, "right", grey=True),
    ]
