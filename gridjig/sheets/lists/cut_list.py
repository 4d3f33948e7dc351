"""The cut list: what to saw from which stock, how each end is cut, how many, what it weighs.

Plain values, and from them a table for the clipboard and CSV.  Draws nothing.
"""

from collections.abc import Iterable, Sequence

from msgspec import Struct

from gridjig.geometry.equal_bars import Bar, bar_of, opposite_of
from gridjig.geometry.part_mass import mass
from gridjig.model import EndCut, Job, Member, Plate, SectionKind
from gridjig.sheets.lists.csv_text import csv_text, harmless
from gridjig.sheets.text.hole_text import drilled_words
from gridjig.sheets.text.sorting import natural
from gridjig.units import Display, data_number, format_angle, format_length, format_mass

from .cut_plates import PlateLine, plate_lines

HEADINGS = (
    "Members", "Section", "Stock", "Long point", "Short point", "Cuts", "Count", "Hand",
    "Mass each", "Mass",
)  # fmt: skip
AS_DRAWN, OPPOSITE = "as drawn", "opposite hand"


class CutLine(Struct, frozen=True):
    """Bars that are cut the same.  Lengths in mm, masses in kg; `each` is the mass of one.

    `first` is one of them.  `hand` is empty where the bar is its own opposite hand.  `beyond_saw`:
    the shop's saw does not go as far from square as one of the cuts.
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
    beyond_saw: bool = False

    @property
    def count(self) -> int:
        """The number to cut."""
        return len(self.ids)


class StockTotal(Struct, frozen=True):
    """The total for one section: lengths to long points in mm without saw cuts, and mass in kg."""

    section: str
    kind: SectionKind
    count: int
    length: float
    mass: float


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


def cut_list(job: Job) -> CutList:
    """Return the cut list of a job's weldment: bars by section and length, then plates."""
    bars = _bars(job, [p for p in job.parts if isinstance(p, Member)])
    plates = plate_lines([p for p in job.parts if isinstance(p, Plate)])
    return CutList(job.name, job.display, job.saw, bars, plates, _totals(bars))


def _bars(job: Job, members: Iterable[Member]) -> tuple[CutLine, ...]:
    alike: dict[Bar, list[Member]] = {}
    hands: dict[Bar, str] = {}
    for member in members:
        bar, opposite = bar_of(member), opposite_of(member)
        alike.setdefault(bar, []).append(member)
        if bar not in hands:
            drawn = OPPOSITE if opposite in hands else AS_DRAWN
            hands[bar] = "" if bar == opposite else drawn
    lines = [_bar(job, some, hands[bar]) for bar, some in alike.items()]
    return tuple(sorted(lines, key=_order))


def _bar(job: Job, members: list[Member], hand: str) -> CutLine:
    first = members[0]
    beyond = job.beyond_saw(first.start) or job.beyond_saw(first.end)
    cuts = cuts_in_words(first.start, first.end, job.display, first.width)
    return CutLine(
        first=first,
        ids=tuple(m.id for m in members),
        names=tuple(m.name or m.id for m in members),
        section=first.section.name,
        kind=first.section.kind,
        long_point=first.long_point,
        short_point=first.short_point,
        cuts=f"{cuts} ({saw_in_words(job)})" if beyond else cuts,
        hand=hand,
        each=mass(first),
        beyond_saw=beyond,
    )


def _order(line: CutLine) -> tuple[object, ...]:
    return (line.kind, natural(line.section), -round(line.long_point, 2), natural(line.names[0]))


def saw_in_words(job: Job) -> str:
    """Return what is said of a cut that the shop's saw does not reach."""
    return f"beyond the shop's saw: {format_angle(job.saw)}"


def cuts_in_words(start: EndCut, end: EndCut, display: Display, width: float = 0.0) -> str:
    """Return how both ends of a bar are cut: square both ends; mitres opposed, 45° both ends.

    Mitres are opposed if the bar has a long and a short side, parallel if both sides are equal.
    `width` is that of the bar in plan, mm; where the tip of a point is, is left out if it is 0.
    """
    lean = "opposed" if start.angle * end.angle > 0 else "parallel"
    if start.kind == end.kind == "mitre" and start.plain and end.plain:
        one, other = sorted((format_angle(abs(cut.angle)) for cut in (start, end)), key=natural)
        return f"mitres {lean}, " + (f"{one} both ends" if one == other else f"{other} and {one}")
    several = start.more or end.more
    one, other = (cut_in_words(cut, display, width) for cut in (start, end))
    joint = "; " if several else " and "
    words = f"{one} both ends" if one == other else joint.join(sorted((one, other), reverse=True))
    return words if several or not start.angle or not end.angle else f"{words}, cuts {lean}"


def cut_in_words(cut: EndCut, display: Display, width: float = 0.0) -> str:
    """Return how one end is cut: square, mitre 45°, point, coped round 48.3 mm at 30°, notch ..."""
    angle = format_angle(abs(cut.angle))
    match cut.kind:
        case "square" | "mitre":
            if cut.more:
                return _several_in_words(cut, display, width)
            return f"mitre {angle}" if cut.angle else "square"
        case "cope":
            at = f" at {angle}" if cut.angle else ""
            words = f"coped round {format_length(cut.around, display)}{at}"
        case _:  # a notch
            sizes = (format_length(v, display) for v in (cut.along, cut.across))
            words = f"notch {' x '.join(sizes)}"
    also = " and ".join(format_angle(abs(saw.angle)) for saw in cut.more)
    return f"{words}, also cut at {also}" if also else words


def _several_in_words(cut: EndCut, display: Display, width: float) -> str:
    """Return an end of several saw cuts: point, 18.43° and 18.43°, tip in the middle."""
    if not width:
        angles = [format_angle(abs(saw.angle)) for saw in cut.saws]
        return f"cut at {' and '.join(angles)}"
    faces = [(round(angle, 6), wide) for angle, wide in cut.facets(width)]
    if len(faces) == 1:
        return cut_in_words(EndCut("mitre" if faces[0][0] else "square", faces[0][0]), display)
    angles = [format_angle(abs(angle)) if angle else "square" for angle, _ in faces]
    name = "point, " if faces[0][0] > 0 > faces[-1][0] else ""
    if name and len(faces) == 2 and abs(faces[0][1] - faces[1][1]) < 0.05:
        one, other = sorted(angles, key=natural, reverse=True)
        return f"point, {one} and {other}, tip in the middle"
    each = [
        f"{angle} over {format_length(wide, display)}"
        for angle, (_, wide) in zip(angles, faces, strict=True)
    ]
    return name + " and ".join(min(each, each[::-1]))


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
            plate_cuts_in_words(line, shown),
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


def to_text(cuts: CutList) -> str:
    """Return a tab-separated table, as spreadsheets paste it from the clipboard."""
    rows = [HEADINGS, *cells(cuts)]
    return "".join(
        "\t".join(harmless(" ".join(cell.split())) for cell in row) + "\n" for row in rows
    )


def to_csv(cuts: CutList) -> str:
    """Return the list as comma-separated values (RFC 4180); plain numbers in mm and kg."""
    units = {"Long point": " mm", "Short point": " mm", "Mass each": " kg", "Mass": " kg"}
    rows: list[Sequence[str]] = [[*(h + units.get(h, "") for h in HEADINGS), "Ids"]]
    for line, row in zip(cuts.lines, cells(cuts), strict=True):
        long, short = (
            (line.long_point, line.short_point)
            if isinstance(line, CutLine)
            else (line.length, line.width)
        )
        numbers = (data_number(long, 3), data_number(short, 3))
        masses = (data_number(line.each, 3), data_number(line.each * line.count, 3))
        rows.append([*row[:3], *numbers, *row[5:8], *masses, " ".join(line.ids)])
    return csv_text(rows)
