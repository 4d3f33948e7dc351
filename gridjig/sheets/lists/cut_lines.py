"""The cut list as lines for a narrow list: a heading for each section, its bars; plates last."""

from itertools import groupby

from gridjig.sheets.text.list_line import ListLine
from gridjig.units import format_length, format_mass

from .cut_list import CutLine, CutList, plate_cuts_in_words, plate_in_words
from .cut_plates import PlateLine


def cut_lines(cuts: CutList) -> tuple[ListLine, ...]:
    """Return every line of the list under its section, with the section's total."""
    lines: list[ListLine] = []
    totals = {(t.section, t.kind): t for t in cuts.totals}
    for stock, bars in groupby(cuts.bars, key=lambda line: (line.section, line.kind)):
        total = totals[stock]
        length = format_length(total.length, cuts.display)
        lines.append(
            ListLine(
                f"stock {stock[0]} {stock[1]}",
                f"{stock[0]} {stock[1]}",
                f"{length}, {format_mass(total.mass, cuts.display)}",
                heading=True,
            )
        )
        lines += [_bar(line, cuts) for line in bars]
    if cuts.plates:
        mass = format_mass(sum(p.each * p.count for p in cuts.plates), cuts.display)
        lines.append(ListLine("plates", "Plates", mass, heading=True))
        lines += [_plate(line, cuts) for line in cuts.plates]
    return tuple(lines)


def _bar(line: CutLine, cuts: CutList) -> ListLine:
    long = format_length(line.long_point, cuts.display)
    short = format_length(line.short_point, cuts.display)
    points = "" if long == short else f"short point {short}"
    cut = " · ".join(filter(None, (points, line.cuts, line.hand)))
    return ListLine(
        "/".join(line.ids),
        ", ".join(line.names),
        f"{line.count} × {long}",
        f"{cut}\n{_masses(line, cuts)}",
        ids=line.ids,
    )


def _plate(line: PlateLine, cuts: CutList) -> ListLine:
    cut = plate_cuts_in_words(line, cuts.display)
    shape = f"cut {cut}" if line.shaped else cut
    return ListLine(
        "/".join(line.ids),
        ", ".join(line.names),
        f"{line.count} ×",
        f"{plate_in_words(line, cuts.display)} · {shape}\n{_masses(line, cuts)}",
        ids=line.ids,
    )


def _masses(line: CutLine | PlateLine, cuts: CutList) -> str:
    each = format_mass(line.each, cuts.display)
    if line.count == 1:
        return each
    return f"{each} each, {format_mass(line.each * line.count, cuts.display)}"


def total_words(cuts: CutList) -> str:
    """Return how much there is to cut, what it weighs, and what lengths are measured between."""
    if not cuts.lines:
        return "Nothing to cut yet: draw a member or put a ready weldment on the table."
    pieces = "1 piece" if cuts.count == 1 else f"{cuts.count} pieces"
    return (
        f"{pieces} to cut, {format_mass(cuts.mass, cuts.display)}. Lengths are long points, without"
        " the saw cuts."
    )
