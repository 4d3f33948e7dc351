"""Where things stand on the pages of a setup sheet: frame, plan, details, title block."""

import math
from collections.abc import Sequence

from msgspec import Struct

from gridjig import __version__
from gridjig.geometry.box_index import Box
from gridjig.geometry.page import FINE, NARROW, WIDE, PageLine, PageMark, PageText, SheetPage
from gridjig.sheets.text.cautions import ON_A_SHEET
from gridjig.units import format_length, format_scale
from gridjig.units.progress import Progress

from .dimensions import dimension_room, dimensions
from .facts import SheetFacts
from .flow import LARGE, Letters, PageRoom
from .letters import LINE, lines_of, width_of
from .paper import SCALES, fitting_scale
from .places import Occupied
from .plan_labels import TableWindow, label_bands
from .plan_view import draw_view
from .scale_marks import bar_scale, check_line
from .set_blocks import table_words
from .strokes import PaperFrame
from .title_block import FOOT, HEIGHT, WIDTH, foot, title_block
from .windows import windows

LEFT, MARGIN = 20.0, 10.0
"""The frame's distance from the page's edges, mm: ISO 5457, with its filing margin on the left."""
_OPERATOR = 4.0
_BAR = 6.6
_DETAIL_PITCH = 10.0
"""Holes at least this far apart on paper leave room for an address beside each, mm."""


class Unfit(ValueError):  # noqa: N818  (the request does not fit the paper)
    """The plan does not fit the page at the scale asked for; str() gives one sentence."""


class Detail(Struct, frozen=True):
    """A page with a part of the plan enlarged, that part in table mm, and its number."""

    window: Box
    number: int
    marks: tuple[PageMark, ...]


def laid_out(facts: SheetFacts, letters: Letters) -> "Layout":
    """Return the layout of a sheet, without the filing margin if that makes the plan larger."""
    both = [Layout(facts, letters, left) for left in (LEFT, MARGIN)]
    return min(both, key=lambda one: one.fits() or math.inf)


class Layout:
    """Where things stand on the pages of one sheet."""

    def __init__(self, facts: SheetFacts, letters: Letters, left: float = LEFT) -> None:
        self._facts = facts
        self._letters = letters
        width, height = facts.choices.size
        self._size = (width, height)
        self._frame = PageRoom(left, MARGIN, width - left - MARGIN, height - 2 * MARGIN)
        beside = self._frame.width - WIDTH
        self._dims = dimension_room(facts, letters)
        self._bands = label_bands(facts.job.table, letters)
        lines = self._identity(beside) if beside > 40.0 else ()
        step = LINE * letters.small
        self._beside = bool(lines) and (len(lines) + 1) * step <= HEIGHT
        if not self._beside:
            lines = self._identity(self._frame.width)
        self._lines = lines
        self._plan: tuple[TableWindow, Occupied] | None = None
        self.left_out = 0
        """How many dimensions found no room on the plan; known once it is drawn."""
        self._above_block = 0.0 if self._beside else (len(lines) + 0.6) * step

    def _identity(self, width: float) -> tuple[str, ...]:
        return tuple(
            line
            for words in table_words(self._facts)
            for line in lines_of(words, self._letters.small, width - 3.0)
        )

    def lists_room(self) -> PageRoom:
        """The box that lists fill on each page."""
        frame = self._frame
        return PageRoom(frame.x + 3, frame.y + 3, frame.width - 6, frame.height - 6 - FOOT)

    # -- the plan --------------------------------------------------------------------------------

    def _plan_room(self) -> PageRoom:
        """The box for the plan with its labels and dimensions."""
        frame = self._frame
        high = frame.height - HEIGHT - self._above_block - _BAR
        return PageRoom(frame.x + 1, frame.y + 1, frame.width - 2, high - 1)

    def _net(self) -> tuple[float, float]:
        """Room for the table itself, mm on paper."""
        room = self._plan_room()
        return (
            room.width - self._dims[1] - 2 * self._bands[0] - self._aside(),
            room.height - self._dims[0] - 2 * self._bands[1] - self._below(),
        )

    def _aside(self) -> float:
        """Room at the left for the word that says where the operator stands."""
        return _OPERATOR if self._facts.job.table.labels.operator == "left" else 0.0

    def _below(self) -> float:
        """Room below or above the plan for it."""
        return _OPERATOR if self._facts.job.table.labels.operator != "left" else 0.0

    def fits(self) -> float | None:
        """The scale asked for, or the largest of ISO 5455 that fits; None if it does not fit."""
        table, asked = self._facts.job.table, self._facts.choices.scale
        if asked is None:
            return fitting_scale(table.width, table.depth, self._net())
        fits = fitting_scale(table.width / asked, table.depth / asked, self._net()) == 1.0
        return asked if fits else None

    def scale(self) -> float:
        """The scale asked for, or the largest of ISO 5455 that fits.  Raise Unfit."""
        found = self.fits()
        if found is not None:
            return found
        table, asked = self._facts.job.table, self._facts.choices.scale
        display = self._facts.job.display
        size = " x ".join(format_length(v, display) for v in (table.width, table.depth))
        largest = fitting_scale(table.width, table.depth, self._net())
        do = f"choose {format_scale(largest)} or" if largest is not None else "choose"
        at = f" at {format_scale(asked)}" if asked is not None else ""
        raise Unfit(f"The table, {size}, does not fit this page{at}; {do} a larger paper.")

    def plan(self, scale: float) -> tuple[list[PageMark], tuple[str, ...]]:
        """The whole table with its dimensions, and the placements that are crowded on it."""
        table, room, net = self._facts.job.table, self._plan_room(), self._net()
        spare = (net[0] - table.width / scale, net[1] - table.depth / scale)
        x = room.x + self._bands[0] + self._aside() + spare[0] / 2
        y = room.y + self._dims[0] + self._bands[1] + spare[1] / 2 + table.depth / scale
        if table.labels.operator == "back":
            y += _OPERATOR
        view = TableWindow(
            PaperFrame(x, y, scale), (0.0, 0.0, table.width, table.depth), self._letters
        )
        occupied = Occupied()
        marks = self._operator(view)
        for one in marks:
            occupied.take((one.x, one.y, one.x + one.width, one.y + one.height))
        drawn = draw_view(self._facts, view, occupied)
        texts = [one for one in drawn.marks if isinstance(one, PageText)]
        dims, self.left_out = dimensions(self._facts, view, texts)
        self._plan = (view, occupied)
        return [*drawn.marks, *dims, *marks], drawn.crowded

    def frames(self, details: Sequence[Detail]) -> list[PageMark]:
        """Where the details are on the plan: a chain line, and the number where there is room."""
        if self._plan is None:
            return []
        view, occupied = self._plan
        size = self._letters.small
        marks: list[PageMark] = []
        for one in details:
            left, bottom = view.frame.at((one.window[0], one.window[1]))
            right, top = view.frame.at((one.window[2], one.window[3]))
            ring = ((left, top), (right, top), (right, bottom), (left, bottom))
            marks.append(PageLine(ring, FINE, "grey", "chain", closed=True))
            words = f"Detail {one.number}"
            wide, high = width_of(words, size, bold=True) + 1.0, 1.5 * size
            places = [
                (x, y, x + wide, y + high)
                for y in (top + 0.3, bottom - high - 0.3)
                for x in (left + 0.3, right - wide - 0.3, (left + right - wide) / 2)
            ]
            box = next((b for b in places if occupied.free(b)), None)
            if box is not None:
                occupied.take(box)
                marks.append(
                    PageText(
                        box[0], box[1], wide, high, words, size, "centre", bold=True, cleared=True
                    )
                )
        return marks

    def _operator(self, view: TableWindow) -> list[PageText]:
        """Where the operator stands: a word and a wedge that points at the table."""
        left, top, right, bottom = view.box
        size = self._letters.small
        words = "OPERATOR"
        wide, high = 0.95 * len(words) * size * 1.05 + 1.0, _OPERATOR
        middle = ((left + right) / 2, (top + bottom) / 2)
        beside, above = self._bands
        match self._facts.job.table.labels.operator:
            case "front":
                at = (middle[0] - wide / 2, bottom + above)
            case "back":
                over = top - above - self._dims[0] - high
                at = (middle[0] - wide / 2, over)
            case "left":
                x = left - beside - _OPERATOR
                box = (x, middle[1] - wide / 2, _OPERATOR, wide)
                return [PageText(*box, words, size, "centre", bold=True, up=True)]
            case _:
                at = (right - wide, bottom + above)
                words = f"{words} AT THE RIGHT"
                at = (right - 1.9 * wide, bottom + above)
                wide *= 1.9
        return [PageText(at[0], at[1], wide, high, words, size, "centre", bold=True)]

    # -- details ---------------------------------------------------------------------------------

    def details(
        self, scale: float, crowded: Sequence[str], progress: Progress
    ) -> tuple[Detail, ...]:
        """Pages on which the crowded pieces are enlarged; none if the plan has room for all."""
        facts, table = self._facts, self._facts.job.table
        pitch = min(table.pitch_x, table.pitch_y)
        need = _DETAIL_PITCH * (1.4 if self._letters is LARGE else 1.0)
        fine = [one for one in reversed(SCALES) if one < scale and pitch / one >= need]
        made: list[Detail] = []
        left = list(crowded)
        for enlarged in fine:
            boxes = {k: facts.boxes[k] for k in left if k in facts.boxes}
            if not boxes:
                break
            room = self._detail_room()
            wanted = windows(boxes, table, room.width * enlarged, room.height * enlarged)
            still: dict[str, None] = {}
            for window in progress.each(wanted, "Drawing details"):
                one, crowd = self._detail(len(made) + 1, window, enlarged, enlarged == fine[-1])
                made.append(one)
                still |= dict.fromkeys(crowd)
            left = [k for k in left if k in still]
        return tuple(made)

    def _detail_room(self) -> PageRoom:
        frame = self._frame
        beside, above = self._bands
        return PageRoom(
            frame.x + beside + 1,
            frame.y + above + 12.0,
            frame.width - 2 * beside - 2,
            frame.height - 2 * above - FOOT - 14.0,
        )

    def _detail(
        self, number: int, window: Box, scale: float, last: bool
    ) -> tuple[Detail, tuple[str, ...]]:
        """One detail, and the placements that are crowded even there."""
        letters, room = self._letters, self._detail_room()
        wide, deep = (window[2] - window[0]) / scale, (window[3] - window[1]) / scale
        x = room.x + (room.width - wide) / 2 - window[0] / scale
        y = room.y + (room.height - deep) / 2 + deep + window[1] / scale
        view = TableWindow(PaperFrame(x, y, scale), window, letters)
        drawn = draw_view(self._facts, view, Occupied(), last)
        left, top, right, bottom = view.box
        size = letters.heading
        words = f"Detail {number}: SCALE {format_scale(scale)}"
        frame = self._frame
        title = PageText(
            frame.x + 3, frame.y + 2, frame.width - 6, LINE * size, words, size, bold=True
        )
        ring = ((left, top), (right, top), (right, bottom), (left, bottom))
        border = PageLine(ring, NARROW, dash="chain", closed=True)
        return Detail(window, number, (title, *drawn.marks, border)), drawn.crowded

    # -- pages -----------------------------------------------------------------------------------

    def first(
        self,
        plan: Sequence[PageMark],
        scale: float,
        sheet: str,
        date: str,
    ) -> SheetPage:
        """The first page: title block, identity of the table, plan, bar scale, check line."""
        frame = self._frame
        bottom = frame.y + frame.height
        block_wide = min(WIDTH, frame.width)
        block = PageRoom(frame.x + frame.width - block_wide, bottom - HEIGHT, block_wide, HEIGHT)
        marks: list[PageMark] = []
        marks += title_block(self._facts, block, scale, sheet, date)
        step = LINE * self._letters.small
        x = frame.x + 1.5
        y = bottom - HEIGHT + 0.5 * step if self._beside else bottom - HEIGHT - self._above_block
        wide = (frame.width - block_wide if self._beside else frame.width) - 3.0
        for line in self._lines:
            marks.append(PageText(x, y, wide, step, line, self._letters.small))
            y += step
        if not self._beside:
            top = bottom - HEIGHT - self._above_block - 0.5
            marks.append(PageLine(((frame.x, top), (frame.x + frame.width, top)), NARROW))
        marks += plan
        top = bottom - HEIGHT - self._above_block - _BAR
        display = self._facts.job.display
        marks += bar_scale(display, self._letters.small, frame.x + 4, top, scale)
        marks += check_line(frame.x + frame.width - 104.0, top)
        rule = bottom - HEIGHT
        if self._beside:
            marks.append(PageLine(((frame.x, rule), (frame.x + frame.width, rule)), WIDE))
        return self._page(marks)

    def later(self, marks: Sequence[PageMark], sheet: str) -> SheetPage:
        """A page after the first."""
        frame = self._frame
        at = PageRoom(frame.x, frame.y + frame.height - FOOT, frame.width, FOOT)
        return self._page([*marks, *foot(self._facts, at, sheet)])

    def _page(self, marks: Sequence[PageMark]) -> SheetPage:
        frame = self._frame
        right, bottom = frame.x + frame.width, frame.y + frame.height
        ring = ((frame.x, frame.y), (right, frame.y), (right, bottom), (frame.x, bottom))
        below = [
            PageText(
                frame.x, bottom + 0.2 + 2.4 * k, frame.width - 26.0, 2.4, words, 1.6, grey=True
            )
            for k, words in enumerate(ON_A_SHEET)
        ]
        made = f"GridJig {__version__}"
        program = PageText(right - 24.0, bottom + 0.2, 24.0, 2.4, made, 1.6, "right", grey=True)
        border = PageLine(ring, WIDE, closed=True)
        return SheetPage(*self._size, (*marks, border, *below, program))
