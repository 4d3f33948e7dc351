"""The setup sheet of a job: its pages, made from what is known of the job."""

from collections.abc import Sequence

from msgspec import Struct, structs

from gridjig import __version__
from gridjig.contact.values import JobContacts
from gridjig.geometry.box_index import Box
from gridjig.geometry.page import (
    FINE,
    NARROW,
    WIDE,
    Page,
    PageLine,
    PageLines,
    PageMark,
    PageText,
)
from gridjig.model import Job
from gridjig.model.titles import weldment_title
from gridjig.rack import Point
from gridjig.sheets.drawings.plan import box_of_stand
from gridjig.units import INCH, format_length, format_scale
from gridjig.units.progress import SILENT, Progress

from .blocks import Block, Heading, Note
from .cautions import FOOT as CAUTION
from .cautions import caution_blocks
from .cut_blocks import cut_blocks
from .dimensions import dimension_room, dimensions
from .facts import Found, SheetFacts, facts_of, find_out
from .first_article import article_blocks
from .flow import LARGE, NORMAL, Letters, Room, flow
from .letters import LINE, lines_of
from .paper import SCALES, Orientation, SheetChoices
from .places import Occupied
from .plan_view import PlanView, draw_view, label_bands
from .set_blocks import check_blocks, pull_blocks, reading_blocks, set_blocks, table_words
from .strokes import PlanFrame
from .title_block import FOOT, HEIGHT, WIDTH, foot, title_block, title_of_sheet
from .work_blocks import work_blocks

LEFT, MARGIN = 20.0, 10.0
"""The frame's distance from the page's edges, mm: ISO 5457, with its filing margin on the left."""
_OPERATOR = 4.0
_BAR = 6.6
_DETAIL_PITCH = 10.0
"""Holes at least this far apart on paper leave room for an address beside each, mm."""


class Unfit(ValueError):  # noqa: N818  (the request does not fit the paper)
    """The plan does not fit the page at the scale asked for; str() gives one sentence."""


class SetupSheet(Struct, frozen=True):
    """The pages of a sheet, what it is called, and its scale as the mm that 1 mm stands for."""

    title: str
    scale: float
    pages: tuple[Page, ...]


def setup_sheet(
    job: Job,
    choices: SheetChoices,
    date: str = "",
    found: Found | None = None,
    progress: Progress = SILENT,
) -> SetupSheet:
    """Return the setup sheet of a job.  Raise Unfit, or Cancelled through `progress`.

    `date` stands in the title block if the job names none; `found` is what is known of the job.
    """
    progress.report(0, 8, "Checking")
    facts = facts_of(job, choices, found or find_out(job, progress.part(0, 4)))
    letters = LARGE if choices.large else NORMAL
    layout = _Layout(facts, letters)
    progress.report(4, 8, "Drawing the plan")
    scale = layout.scale()
    plan, crowded = layout.plan(scale)
    details = layout.details(scale, crowded, progress)
    progress.report(5, 8, "Writing the lists")
    lists = flow(_blocks(facts), layout.lists_room(), letters)
    progress.check()
    progress.report(7, 8, "Numbering pages")
    count = 1 + len(details) + len(lists)
    pages = [layout.first(plan, scale, f"1/{count}", date, details)]
    for number, marks in enumerate((*(d.marks for d in details), *lists), 2):
        pages.append(layout.later(marks, f"{number}/{count}"))
    return SetupSheet(title_of_sheet(job), scale, tuple(pages))


def best_held(job: Job, choices: SheetChoices) -> SheetChoices:
    """Return the choices with the page held so that the plan is largest; upright if both are equal.

    Needs only the table.  Raise Unfit if the table fits neither way.
    """
    found: list[tuple[float, SheetChoices]] = []
    faults: list[Unfit] = []
    ways: tuple[Orientation, Orientation] = ("portrait", "landscape")
    for way in ways:
        held = structs.replace(choices, orientation=way)
        try:
            found.append((sheet_scale(job, held), held))
        except Unfit as fault:
            faults.append(fault)
    if not found:
        raise faults[0]
    return min(found, key=lambda one: one[0])[1]


def sheet_scale(job: Job, choices: SheetChoices) -> float:
    """Return the scale of a sheet's plan, as the mm that 1 mm stands for.  Raise Unfit."""
    nothing = Found({}, JobContacts({}, {}, (), ()), ())
    facts = facts_of(structs.replace(job, placements=()), choices, nothing)
    return _Layout(facts, LARGE if choices.large else NORMAL).scale()


def _blocks(facts: SheetFacts) -> list[Block]:
    """What the lists say, in the order in which it is needed."""
    return [
        *pull_blocks(facts),
        *set_blocks(facts),
        *reading_blocks(facts),
        *cut_blocks(facts),
        *work_blocks(facts),
        *article_blocks(facts),
        *check_blocks(facts),
        *_notes(facts.job),
        *caution_blocks(facts),
    ]


def _notes(job: Job) -> list[Block]:
    notes: list[Block] = []
    if job.notes.strip():
        notes = [
            Heading("Notes of the job"),
            *(Note(n) for n in job.notes.split("\n") if n.strip()),
        ]
    for one in job.weldments:
        if one.note.strip():
            notes += [Heading(f"Notes of {weldment_title(job, one.id)}"), Note(one.note)]
    return notes


class _Detail(Struct, frozen=True):
    """A page with a part of the plan enlarged, and that part in table mm."""

    window: Box
    marks: tuple[PageMark, ...]


class _Layout:
    """Where things stand on the pages of one sheet."""

    def __init__(self, facts: SheetFacts, letters: Letters) -> None:
        self._facts = facts
        self._letters = letters
        width, height = facts.choices.size
        self._size = (width, height)
        self._frame = Room(LEFT, MARGIN, width - LEFT - MARGIN, height - 2 * MARGIN)
        beside = self._frame.width - WIDTH
        self._dims = dimension_room(facts, letters)
        self._bands = label_bands(facts.job.table, letters)
        lines = self._identity(beside) if beside > 40.0 else ()
        step = LINE * letters.small
        self._beside = bool(lines) and (len(lines) + 1) * step <= HEIGHT
        if not self._beside:
            lines = self._identity(self._frame.width)
        self._lines = lines
        self._above_block = 0.0 if self._beside else (len(lines) + 0.6) * step

    def _identity(self, width: float) -> tuple[str, ...]:
        return tuple(
            line
            for words in table_words(self._facts)
            for line in lines_of(words, self._letters.small, width - 3.0)
        )

    def lists_room(self) -> Room:
        """The box that lists fill on each page."""
        frame = self._frame
        return Room(frame.x + 3, frame.y + 3, frame.width - 6, frame.height - 6 - FOOT)

    # -- the plan --------------------------------------------------------------------------------

    def _plan_room(self) -> Room:
        """The box for the plan with its labels and dimensions."""
        frame = self._frame
        high = frame.height - HEIGHT - self._above_block - _BAR
        return Room(frame.x + 1, frame.y + 1, frame.width - 2, high - 1)

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

    def scale(self) -> float:
        """The scale asked for, or the largest of ISO 5455 that fits.  Raise Unfit."""
        table, net = self._facts.job.table, self._net()
        asked = self._facts.choices.scale
        fitting = [
            one
            for one in ((asked,) if asked is not None else SCALES)
            if table.width / one <= net[0] + 1e-6 and table.depth / one <= net[1] + 1e-6
        ]
        if fitting:
            return fitting[0]
        display = self._facts.job.display
        size = " x ".join(format_length(v, display) for v in (table.width, table.depth))
        largest = next(
            (one for one in SCALES if table.width / one <= net[0] and table.depth / one <= net[1]),
            None,
        )
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
        view = PlanView(PlanFrame(x, y, scale), (0.0, 0.0, table.width, table.depth), self._letters)
        occupied = Occupied()
        marks = self._operator(view)
        drawn = draw_view(self._facts, view, occupied)
        dims, _ = dimensions(self._facts, view)
        return [*drawn.marks, *dims, *marks], drawn.crowded

    def _operator(self, view: PlanView) -> list[PageMark]:
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
    ) -> tuple[_Detail, ...]:
        """Pages on which the crowded pieces are enlarged; none if the plan has room for all."""
        table = self._facts.job.table
        pitch = min(table.pitch_x, table.pitch_y)
        need = _DETAIL_PITCH * (1.4 if self._letters is LARGE else 1.0)
        fine = [one for one in SCALES if one < scale and pitch / one >= need]
        if not crowded or not fine:
            return ()
        enlarged = fine[-1]
        frame = self._frame
        beside, above = self._bands
        room = Room(
            frame.x + beside + 1,
            frame.y + above + 12.0,
            frame.width - 2 * beside - 2,
            frame.height - 2 * above - FOOT - 14.0,
        )
        windows = self._windows(crowded, room.width * enlarged, room.height * enlarged)
        made = []
        for number, window in enumerate(progress.each(windows, "Drawing details"), 1):
            made.append(self._detail(number, window, room, enlarged))
        return tuple(made)

    def _windows(self, crowded: Sequence[str], wide: float, deep: float) -> list[Box]:
        """Parts of the table, at most so large, in which every crowded piece is whole."""
        boxes: dict[str, Box] = {}
        for k in crowded:
            box = box_of_stand(self._facts.found.placed_pieces[k])
            if box is not None:
                boxes[k] = box
        left = sorted(boxes, key=lambda k: (round(boxes[k][1]), boxes[k][0]))
        windows: list[Box] = []
        while left:
            row = boxes[left[0]][1]
            level = [k for k in left if boxes[k][3] <= row + deep] or left[:1]
            start = min(boxes[k][0] for k in level)
            inside = [k for k in level if boxes[k][2] <= start + wide] or level[:1]
            x0, y0 = min(boxes[k][0] for k in inside), min(boxes[k][1] for k in inside)
            x1, y1 = max(boxes[k][2] for k in inside), max(boxes[k][3] for k in inside)
            windows.append(self._widened((x0, y0, x1, y1), wide, deep))
            taken = set(inside)
            left = [k for k in left if k not in taken]
        return windows

    def _widened(self, box: Box, wide: float, deep: float) -> Box:
        """A window round a box: room about it for labels, but no more than the page and the table."""
        table = self._facts.job.table
        made = []
        for low, high, most, end in (
            (box[0], box[2], wide, table.width),
            (box[1], box[3], deep, table.depth),
        ):
            room = min(most, end) if high - low <= end else most
            spare = max(0.0, min(room - (high - low), 2.5 * table.pitch_x))
            start = low - spare / 2
            size = high - low + spare
            if size <= end:
                start = min(max(start, 0.0), end - size)
            made.append((start, start + min(size, most)))
        (x0, x1), (y0, y1) = made
        return (x0, y0, x1, y1)

    def _detail(self, number: int, window: Box, room: Room, scale: float) -> _Detail:
        letters = self._letters
        wide, deep = (window[2] - window[0]) / scale, (window[3] - window[1]) / scale
        x = room.x + (room.width - wide) / 2 - window[0] / scale
        y = room.y + (room.height - deep) / 2 + deep + window[1] / scale
        view = PlanView(PlanFrame(x, y, scale), window, letters)
        occupied = Occupied()
        drawn = draw_view(self._facts, view, occupied)
        left, top, right, bottom = view.box
        size = letters.heading
        words = f"Detail {number}: SCALE {format_scale(scale)}"
        frame = self._frame
        title = PageText(
            frame.x + 3, frame.y + 2, frame.width - 6, LINE * size, words, size, bold=True
        )
        ring = ((left, top), (right, top), (right, bottom), (left, bottom))
        return _Detail(
            window, (title, *drawn.marks, PageLine(ring, NARROW, dash="chain", closed=True))
        )

    # -- pages -----------------------------------------------------------------------------------

    def first(
        self,
        plan: Sequence[PageMark],
        scale: float,
        sheet: str,
        date: str,
        details: Sequence[_Detail],
    ) -> Page:
        """The first page: title block, identity of the table, plan, bar scale, check line."""
        frame = self._frame
        bottom = frame.y + frame.height
        block_wide = min(WIDTH, frame.width)
        block = Room(frame.x + frame.width - block_wide, bottom - HEIGHT, block_wide, HEIGHT)
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
        marks += self._bar_scale(frame.x + 4, top, scale)
        marks += self._check_line(frame.x + frame.width - 104.0, top)
        rule = bottom - HEIGHT
        if self._beside:
            marks.append(PageLine(((frame.x, rule), (frame.x + frame.width, rule)), WIDE))
        del details
        return self._page(marks)

    def later(self, marks: Sequence[PageMark], sheet: str) -> Page:
        """A page after the first."""
        frame = self._frame
        at = Room(frame.x, frame.y + frame.height - FOOT, frame.width, FOOT)
        return self._page([*marks, *foot(self._facts, at, sheet)])

    def _page(self, marks: Sequence[PageMark]) -> Page:
        frame = self._frame
        right, bottom = frame.x + frame.width, frame.y + frame.height
        ring = ((frame.x, frame.y), (right, frame.y), (right, bottom), (frame.x, bottom))
        y = bottom + 1.0
        half = frame.width - 40.0
        caution = PageText(frame.x, y, half, 3.4, CAUTION, 1.8, grey=True)
        program = PageText(
            right - 38.0, y, 38.0, 3.4, f"GridJig {__version__}", 1.8, "right", grey=True
        )
        border = PageLine(ring, WIDE, closed=True)
        return Page(*self._size, (*marks, border, caution, program))

    def _bar_scale(self, x: float, y: float, scale: float) -> list[PageMark]:
        """A bar scale of three or four steps, black and white by turns."""
        metric = self._facts.job.display.unit == "millimetres"
        unit = 1.0 if metric else INCH
        steps = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000) if metric else (
            1, 2, 4, 6, 12, 24, 48, 96, 240, 480
        )  # fmt: skip
        step = next((s for s in steps if s * unit / scale >= 9.0), steps[-1])
        wide = step * unit / scale
        count = max(2, min(4, int(56.0 / wide)))
        bar = y + 4.6
        marks: list[PageMark] = []
        for k in range(count):
            left = x + k * wide
            ring = ((left, bar), (left + wide, bar), (left + wide, bar + 1.4), (left, bar + 1.4))
            marks.append(PageLine(ring, FINE, closed=True, fill="white" if k % 2 else "black"))
        size = self._letters.small
        for k in range(count + 1):
            words = format_length(k * step * unit, self._facts.job.display)
            at = x + k * wide
            if k in (0, count) or count < 4 and wide > 12.0:
                align = "left" if k == 0 else "right" if k == count else "centre"
                left = at if k == 0 else at - 14.0 if k == count else at - 7.0
                marks.append(PageText(left, bar - 3.4, 14.0, 3.2, words, size, align))
        return marks

    def _check_line(self, x: float, y: float) -> list[PageMark]:
        """A line of exactly 100 mm with end ticks, to see that the print is true to scale."""
        line = y + 5.6
        words = "100 mm check line: if it measures otherwise, print again at 100 % (no fitting)"
        strokes: tuple[tuple[Point, Point], ...] = (
            ((x, line), (x + 100.0, line)),
            ((x, line - 1.4), (x, line + 1.4)),
            ((x + 100.0, line - 1.4), (x + 100.0, line + 1.4)),
        )
        size = 1.8
        return [
            PageText(x + 1.0, line - 3.6, 98.0, 3.2, words, size, "centre"),
            PageLines(strokes, NARROW),
        ]
