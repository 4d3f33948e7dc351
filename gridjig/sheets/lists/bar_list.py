"""Which bars to buy for a job's members, and how to cut each: the least that has to be bought.

Members are cut to their long points; of a mitred end, what lies beyond it is swarf.
"""

from collections.abc import Callable, Iterable, Sequence
from itertools import groupby

from msgspec import Struct

from gridjig.model import Job, SectionKind, StockBar
from gridjig.sheets.lists.csv_text import csv_text
from gridjig.sheets.text.cut_text import scale_words
from gridjig.sheets.text.list_line import ListLine
from gridjig.solve.cutting import process
from gridjig.solve.cutting.values import (
    MICRO,
    BarLength,
    CuttingAnswer,
    CuttingTask,
    WantedPieces,
)
from gridjig.units import Display, data_number, format_count, format_length
from gridjig.units.lengths import INCH
from gridjig.units.progress import SILENT, Progress

from .cut_list import CutLine, cut_list

USUAL_METRIC, USUAL_INCH = 6000.0, 240.0 * INCH
"""The lengths that bars are bought in where the job names none: 6 m, or 20 ft.  Common practice."""
USUAL_KERF_METRIC, USUAL_KERF_INCH = 3.0, INCH / 8.0
"""What a cut takes where the job does not say: common practice for a chop saw or a cold saw."""


class BarPiece(Struct, frozen=True):
    """Equal pieces of one bar: how many, whose they are, how long (mm), and the saw's scale."""

    count: int
    names: tuple[str, ...]
    ids: tuple[str, ...]
    length: float
    start: str
    end: str

    @property
    def saw(self) -> str:
        """What the saw's scale reads: 0°, or at both ends 45° + 30°."""
        return self.start if self.start == self.end else f"{self.start} + {self.end}"


class BarCut(Struct, frozen=True):
    """Bars that are cut alike: how many, how long, what from each, and what is left of each."""

    count: int
    length: float
    on_hand: bool
    pieces: tuple[BarPiece, ...]
    offcut: float


class SectionBars(Struct, frozen=True):
    """All bars of one section; lengths in mm.

    At least `bound` has to be bought.  `uncut` are the pieces for which there is no bar.
    """

    section: str
    kind: SectionKind
    cuts: tuple[BarCut, ...]
    bought: float
    bound: float
    uncut: tuple[BarPiece, ...]

    @property
    def proven(self) -> bool:
        """True if no other way takes less to be bought."""
        return self.bought <= self.bound

    @property
    def to_buy(self) -> tuple[tuple[int, float], ...]:
        """How many bars of each length to buy, longest first."""
        counts: dict[float, int] = {}
        for cut in self.cuts:
            if not cut.on_hand:
                counts[cut.length] = counts.get(cut.length, 0) + cut.count
        return tuple((counts[length], length) for length in sorted(counts, reverse=True))


class BarList(Struct, frozen=True):
    """The bars of a job, with what is taken off by the saw and how lengths are shown.

    `left_out` are bars on hand that name no section where several sections are cut.
    """

    job: str
    display: Display
    kerf: float
    trim: float
    sections: tuple[SectionBars, ...]
    left_out: tuple[StockBar, ...] = ()


def usual_bar(display: Display) -> StockBar:
    """Return the bar that is bought where the job names none."""
    metric = display.unit == "millimetres"
    return StockBar(length=USUAL_METRIC if metric else USUAL_INCH)


def kerf_of(job: Job) -> float:
    """Return what a cut takes away, mm."""
    if job.sawing.kerf is not None:
        return job.sawing.kerf
    return USUAL_KERF_METRIC if job.display.unit == "millimetres" else USUAL_KERF_INCH


Solver = Callable[[Sequence[CuttingTask], Progress], tuple[CuttingAnswer, ...]]


def bar_list(
    job: Job,
    weldment: str | None = None,
    progress: Progress = SILENT,
    solver: Solver | None = None,
) -> BarList:
    """Return the bars of a job, or of one of its weldments.  Raises Cancelled.

    `solver` answers the tasks of all sections; a process of its own does if none is given.
    """
    cuts = cut_list(job, weldment)
    groups = [
        (stock, tuple(lines))
        for stock, lines in groupby(cuts.bars, key=lambda line: (line.section, line.kind))
    ]
    unsaid = tuple(bar for bar in job.sawing.bars if bar.have is not None and not bar.section)
    only = unsaid if len(groups) == 1 else ()
    asked = [_task(job, section, lines, only) for (section, _), lines in groups]
    answers = (solver or process.cheapest_of_all)([task for task, _ in asked], progress)
    sections = tuple(
        _section(*stock, lines, task, bars, answer)
        for (stock, lines), (task, bars), answer in zip(groups, asked, answers, strict=True)
    )
    left_out = () if only else unsaid
    return BarList(cuts.job, cuts.display, kerf_of(job), job.sawing.trim, sections, left_out)


def _task(
    job: Job, section: str, lines: Iterable[CutLine], only: tuple[StockBar, ...]
) -> tuple[CuttingTask, tuple[StockBar, ...]]:
    """What is to be cut of a section, and the bars there are for it.

    Bars of that very section come before those of any; what is on hand adds to either.  `only` are
    bars on hand that name no section, where no other is cut.
    """
    listed = job.sawing.bars
    mine = [bar for bar in listed if bar.section == section]
    others = [bar for bar in listed if not bar.section]
    bought = [bar for bar in mine if bar.have is None]
    bought = bought or [bar for bar in others if bar.have is None] or [usual_bar(job.display)]
    on_hand = [bar for bar in mine if bar.have is not None]
    bars = (*bought, *on_hand, *only)
    task = CuttingTask(
        tuple(WantedPieces(_micro(line.long_point), line.count) for line in lines),
        tuple(BarLength(_micro(bar.length), bar.have) for bar in bars),
        _micro(kerf_of(job)),
        _micro(job.sawing.trim),
    )
    return task, bars


def _micro(mm: float) -> int:
    return round(mm * MICRO)


def _section(
    section: str,
    kind: SectionKind,
    lines: Sequence[CutLine],
    task: CuttingTask,
    bars: Sequence[StockBar],
    answer: CuttingAnswer,
) -> SectionBars:
    made = [
        BarCut(
            cut.count,
            bars[cut.bar].length,
            bars[cut.bar].have is not None,
            tuple(_piece(lines[at], len(tuple(some))) for at, some in groupby(cut.pieces)),
            cut.offcut / MICRO,
        )
        for cut in answer.cut
    ]
    made.sort(key=lambda one: (one.on_hand, -one.length, one.offcut, -one.count))
    uncut = tuple(_piece(lines[at], many) for at, many in enumerate(answer.uncut) if many)
    return SectionBars(
        section, kind, tuple(made), answer.bought / MICRO, answer.bound / MICRO, uncut
    )


def _piece(line: CutLine, count: int) -> BarPiece:
    return BarPiece(
        count,
        line.names,
        line.ids,
        line.long_point,
        scale_words(line.first.start),
        scale_words(line.first.end),
    )


# -- in words --------------------------------------------------------------------------------------


def buy_words(one: SectionBars, display: Display) -> str:
    """Return what to buy of a section: 3 × 20'; nothing if what is on hand is enough."""
    told = [f"{format_count(n)} × {format_length(mm, display)}" for n, mm in one.to_buy]
    return ", ".join(told) or "nothing"


def proof_words(one: SectionBars, display: Display) -> str:
    """Return how good the answer is: nothing less will do, or how much less might; for the pieces
    that there is a bar for.
    """
    if one.uncut and not one.cuts:
        return "no bar is long enough"
    if one.proven:
        return f"proven{' for the others' if one.uncut else ''}: nothing less works"
    least, more = format_length(one.bound, display), format_length(one.bought - one.bound, display)
    return f"at least {least} has to be bought; up to {more} less might work"


def piece_words(piece: BarPiece, display: Display) -> str:
    """Return pieces of one bar: 2 × 24" Foot, saw 45°."""
    names = ", ".join(piece.names)
    return (
        f"{format_count(piece.count)} × {format_length(piece.length, display)} {names},"
        f" saw {piece.saw}"
    )


def offcut_words(cut: BarCut, display: Display) -> str:
    """Return what is left of a bar."""
    return f"off-cut {format_length(cut.offcut, display)}" if cut.offcut else "no off-cut"


def uncut_words(one: SectionBars, display: Display) -> str:
    """Return which pieces no bar is left for, or is long enough for; "" if there are none."""
    if not one.uncut:
        return ""
    told = "; ".join(piece_words(piece, display) for piece in one.uncut)
    return f"No bar for {told}: add a longer bar, or one that is bought as needed"


def sawing_words(bars: BarList) -> str:
    """Return what the saw takes away: kerf 1/8", each bar trimmed by 1/2" first."""
    told = [f"kerf {format_length(bars.kerf, bars.display)}"]
    if bars.trim:
        told.append(f"each bar trimmed by {format_length(bars.trim, bars.display)} first")
    if bars.left_out:
        left = "; ".join(
            f"{format_count(bar.have or 0)} on hand of {format_length(bar.length, bars.display)}"
            for bar in bars.left_out
        )
        told.append(f"not used: {left}, as no section is named for what is on hand")
    return ", ".join(told)


def bar_lines(bars: BarList) -> tuple[ListLine, ...]:
    """Return the list as lines for a narrow list, a heading for each section."""
    shown = bars.display
    lines: list[ListLine] = []
    for one in bars.sections:
        key = f"bars {one.section} {one.kind}"
        lines.append(
            ListLine(key, f"Bars of {one.section}", f"buy {buy_words(one, shown)}", heading=True)
        )
        for at, cut in enumerate(one.cuts):
            from_ = "on hand" if cut.on_hand else "to buy"
            told = [piece_words(piece, shown) for piece in cut.pieces]
            ids = dict.fromkeys(one for piece in cut.pieces for one in piece.ids)
            lines.append(
                ListLine(
                    f"{key} {at}",
                    f"{format_count(cut.count)} × {format_length(cut.length, shown)} {from_}",
                    offcut_words(cut, shown),
                    "\n".join(told),
                    ids=tuple(ids),
                )
            )
        words = uncut_words(one, shown)
        if words:
            lines.append(ListLine(f"{key} uncut", words, level="look"))
        lines.append(ListLine(f"{key} proof", _sentence(proof_words(one, shown))))
    return tuple(lines)


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."


HEADINGS = (
    "Section", "Stock", "Bars", "Bar mm", "From", "Members", "Count", "Length mm", "Saw at start",
    "Saw at end", "Off-cut mm", "Ids",
)  # fmt: skip


def to_csv(bars: BarList) -> str:
    """Return the list as comma-separated values, one row for the equal pieces of a bar.

    Bars on hand that are not used come last, in rows that have no section and no members.
    """
    rows: list[Sequence[str]] = [HEADINGS]
    for one in bars.sections:
        for cut in one.cuts:
            rows += [
                _row(one, piece, cut, "on hand" if cut.on_hand else "to buy")
                for piece in cut.pieces
            ]
        rows += [_row(one, piece, None, "no bar") for piece in one.uncut]
    rows += [_left_out_row(bar) for bar in bars.left_out]
    return csv_text(rows)


def _left_out_row(bar: StockBar) -> Sequence[str]:
    told = {
        "Bars": str(bar.have or 0),
        "Bar mm": data_number(bar.length, 3),
        "From": "on hand, not used: no section named",
    }
    return [told.get(head, "") for head in HEADINGS]


def _row(one: SectionBars, piece: BarPiece, cut: BarCut | None, from_: str) -> Sequence[str]:
    return (
        one.section,
        one.kind,
        "" if cut is None else str(cut.count),
        "" if cut is None else data_number(cut.length, 3),
        from_,
        ", ".join(piece.names),
        str(piece.count),
        data_number(piece.length, 3),
        piece.start,
        piece.end,
        "" if cut is None else data_number(cut.offcut, 3),
        " ".join(piece.ids),
    )
