"""The cut list: what to saw from which stock, how each end is cut, how many, what it weighs.

Plain values, and from them a table for the clipboard and CSV.  Draws nothing.
"""

from collections.abc import Iterable, Sequence

from msgspec import Struct

from gridjig.geometry.equal_bars import Bar, bar_of, opposite_of
from gridjig.geometry.part_mass import mass
from gridjig.model import Job, Member, Plate, SectionKind, Weldment
from gridjig.model.by_weldment import number_to_make, parts_of
from gridjig.model.titles import hand_words, title, weldment_title
from gridjig.sheets.lists.csv_text import csv_text, harmless
from gridjig.sheets.text.cut_text import cuts_in_words, saw_in_words, scale_words
from gridjig.sheets.text.hole_text import drilled_words
from gridjig.sheets.text.sorting import natural
from gridjig.units import (
    Display,
    data_number,
    format_length,
    format_mass,
    format_measure,
    mass_words,
)

from .cut_plates import PlateLine, plate_lines

HEADINGS = (
    "Members", "Section", "Stock", "Long point", "Short point", "Cuts", "Count", "Hand",
    "Mass each", "Mass",
)  # fmt: skip
SAW_HEADINGS = ("Saw at start", "Saw at end")
AS_DRAWN, OPPOSITE = "as drawn", "opposite hand"


class CutLine(Struct, frozen=True):
    """Bars that are cut the same.  Lengths in mm, masses in kg; `each` is the mass of one.

    `first` is one of them.  `count` is the number to cut: of each as many as the job makes of its
    weldment.  `hand` is empty where the bar is its own opposite hand.  `beyond_saw`: the shop's saw
    does not go as far from square as one of the cuts.
    """

    first: Member
    ids: tuple[str, ...]
    names: tuple[str, ...]
    section: str
    kind: SectionKind
    long_point: float
    short_point: float
    cuts: str
    hand: str
    each: float
    count: int
    beyond_saw: bool = False


class StockTotal(Struct, frozen=True):
    """The total for one section: lengths to long points in mm without saw cuts, and mass in kg."""

    section: str
    kind: SectionKind
    count: int
    length: float
    mass: float


class WeldmentTotal(Struct, frozen=True):
    """One weldment of the list: its hand, how many are made, its parts, the mass of one in kg."""

    id: str
    title: str
    hand: str
    opposite_of: str | None
    quantity: int
    parts: int
    each: float


class CutList(Struct, frozen=True):
    """The whole list, with the job's name and the way lengths and masses are shown.

    `saw` is how far from square the shop's saw cuts, degrees.
    """

    job: str
    display: Display
    saw: float
    bars: tuple[CutLine, ...]
    plates: tuple[PlateLine, ...]
    totals: tuple[StockTotal, ...]
    weldments: tuple[WeldmentTotal, ...]

    @property
    def lines(self) -> tuple[CutLine | PlateLine, ...]:
        """All lines: the bars, then the plates."""
        return (*self.bars, *self.plates)

    @property
    def count(self) -> int:
        """The total number of bars and plates."""
        return sum(line.count for line in self.lines)

    @property
    def mass(self) -> float:
        """The total mass, kg."""
        return sum(line.each * line.count for line in self.lines)


def cut_list(job: Job, weldment: str | None = None) -> CutList:
    """Return the cut list of a job, or of one of its weldments: bars by section, then plates.

    Each part counts as often as its weldment is made.
    """
    wanted = [one for one in job.weldments if weldment in (None, one.id)]
    parts = [part for one in wanted for part in parts_of(job, one.id)] if weldment else job.parts
    bars = _bars(job, [p for p in parts if isinstance(p, Member)])
    plates = plate_lines(job, [p for p in parts if isinstance(p, Plate)])
    weldments = tuple(weldment_total(job, one) for one in wanted)
    return CutList(job.name, job.display, job.saw, bars, plates, _totals(bars), weldments)


def weldment_total(job: Job, one: Weldment) -> WeldmentTotal:
    """Return what a weldment is, how many are made of it, and the mass of one."""
    parts = parts_of(job, one.id)
    return WeldmentTotal(
        one.id,
        weldment_title(job, one.id),
        hand_words(job, one),
        one.opposite_of,
        one.quantity,
        len(parts),
        sum(mass(part) for part in parts),
    )


def _bars(job: Job, members: Iterable[Member]) -> tuple[CutLine, ...]:
    alike: dict[tuple[Bar, float], list[Member]] = {}
    hands: dict[Bar, str] = {}
    longer = {one.part: one.longer for one in job.allowances.parts}
    for member in members:
        bar, opposite = bar_of(member), opposite_of(member)
        alike.setdefault((bar, longer.get(member.id, 0.0)), []).append(member)
        if bar not in hands:
            drawn = OPPOSITE if opposite in hands else AS_DRAWN
            hands[bar] = "" if bar == opposite else drawn
    lines = [_bar(job, some, hands[bar], by) for (bar, by), some in alike.items()]
    return tuple(sorted(lines, key=_order))


def _bar(job: Job, members: list[Member], hand: str, longer: float) -> CutLine:
    first = members[0]
    beyond = job.beyond_saw(first.start) or job.beyond_saw(first.end)
    cuts = cuts_in_words(first.start, first.end, job.display, first.width)
    cuts = f"{cuts} ({saw_in_words(job)})" if beyond else cuts
    return CutLine(
        first=first,
        ids=tuple(m.id for m in members),
        names=tuple(title(job, m.id) if m.name else m.id for m in members),
        section=first.section.name,
        kind=first.section.kind,
        long_point=first.long_point,
        short_point=first.short_point,
        cuts="; ".join(filter(None, (cuts, _allowed(longer, job.display)))),
        hand=hand,
        each=mass(first),
        count=number_to_make(job, members),
        beyond_saw=beyond,
    )


def _allowed(longer: float, display: Display) -> str:
    """What is allowed for, beside the drawn length: whoever saws adds it, and nobody twice."""
    if not longer:
        return ""
    by = format_measure(abs(longer), display)
    return f"saw {by} {'longer' if longer > 0.0 else 'shorter'} than listed, for the welds"


def _order(line: CutLine) -> tuple[object, ...]:
    return (line.kind, natural(line.section), -round(line.long_point, 2), natural(line.names[0]))


def _totals(bars: Iterable[CutLine]) -> tuple[StockTotal, ...]:
    by_section: dict[tuple[str, SectionKind], list[CutLine]] = {}
    for line in bars:
        by_section.setdefault((line.section, line.kind), []).append(line)
    return tuple(
        StockTotal(
            section=section,
            kind=kind,
            count=sum(line.count for line in lines),
            length=sum(line.count * line.long_point for line in lines),
            mass=sum(line.count * line.each for line in lines),
        )
        for (section, kind), lines in by_section.items()
    )


def plate_in_words(line: PlateLine, display: Display) -> str:
    """Return its size as shown: 4" x 4" x 3/8"."""
    return " x ".join(format_length(v, display) for v in (line.length, line.width, line.thickness))


def plate_cuts_in_words(line: PlateLine, display: Display) -> str:
    """Return how a plate is cut, and its holes: square · 2 × Ø18 mm at 30 mm, 30 mm; ..."""
    shape = "to shape" if line.shaped else "square"
    return " · ".join(filter(None, (shape, drilled_words(line.holes, display))))


def cells(cuts: CutList) -> list[tuple[str, ...]]:
    """Return the table, one row per line under HEADINGS: bars, then plates."""
    shown = cuts.display
    rows: list[tuple[str, ...]] = [
        (
            ", ".join(line.names),
            line.section,
            line.kind,
            format_length(line.long_point, shown),
            format_length(line.short_point, shown),
            line.cuts,
            str(line.count),
            line.hand,
            format_mass(line.each, shown),
            format_mass(line.each * line.count, shown),
        )
        for line in cuts.bars
    ]
    rows += [
        (
            ", ".join(line.names),
            plate_in_words(line, shown),
            "plate",
            format_length(line.length, shown),
            format_length(line.width, shown),
            plate_cuts_in_words(line, cuts.display),
            str(line.count),
            "",
            format_mass(line.each, shown),
            format_mass(line.each * line.count, shown),
        )
        for line in cuts.plates
    ]
    return rows


def totals_in_words(cuts: CutList) -> list[tuple[str, str, str, str]]:
    """Return each section's total: its name, its kind, length and mass as shown."""
    shown = cuts.display
    return [
        (t.section, t.kind, format_length(t.length, shown), format_mass(t.mass, shown))
        for t in cuts.totals
    ]


WELDMENT_HEADINGS = ("Weldment", "Hand", "Made", "Parts", "Mass each", "Mass")


def weldment_cells(cuts: CutList) -> list[tuple[str, ...]]:
    """Return the weldments, one row each under WELDMENT_HEADINGS; none if there is only one.

    A single weldment that is made more than once has a row too, for the numbers to be understood.
    """
    if len(cuts.weldments) < 2 and all(one.quantity == 1 for one in cuts.weldments):
        return []
    shown = cuts.display
    return [
        (
            one.title,
            one.hand,
            str(one.quantity),
            str(one.parts),
            format_mass(one.each, shown),
            format_mass(one.each * one.quantity, shown),
        )
        for one in cuts.weldments
    ]


def to_text(cuts: CutList) -> str:
    """Return a tab-separated table, as spreadsheets paste it from the clipboard."""
    rows = [[mass_words(h, cuts.display) for h in HEADINGS], *cells(cuts)]
    return "".join(
        "\t".join(harmless(" ".join(cell.split())) for cell in row) + "\n" for row in rows
    )


def to_csv(cuts: CutList) -> str:
    """Return the list as comma-separated values (RFC 4180); plain numbers in mm and kg.

    The last columns are what the saw's scale reads at both ends: 0 for a square cut.
    """
    units = {"Long point": " mm", "Short point": " mm", "Mass each": " kg", "Mass": " kg"}
    rows: list[Sequence[str]] = [[*(h + units.get(h, "") for h in HEADINGS), "Ids", *SAW_HEADINGS]]
    for line, row in zip(cuts.lines, cells(cuts), strict=True):
        long, short = (
            (line.long_point, line.short_point)
            if isinstance(line, CutLine)
            else (line.length, line.width)
        )
        numbers = (data_number(long, 3), data_number(short, 3))
        masses = (data_number(line.each, 3), data_number(line.each * line.count, 3))
        saws = (
            (scale_words(line.first.start), scale_words(line.first.end))
            if isinstance(line, CutLine)
            else ("", "")
        )
        rows.append([*row[:3], *numbers, *row[5:8], *masses, " ".join(line.ids), *saws])
    return csv_text(rows)
