"""The weld list: every seam all round, by sides, with its size, what reaches it, and the deposit.

Plain values, and from them a table for the clipboard and CSV.  Draws nothing.
"""

from collections.abc import Mapping, Sequence

from msgspec import Struct

from gridjig.model import Display, Job, Part, Weldment
from gridjig.model.titles import thing_of, weldment_title
from gridjig.sheets.lists.csv_text import csv_text, harmless
from gridjig.sheets.text.joint_text import by_name, parts_words
from gridjig.sheets.text.weld_text import sides_in_words, size_in_words
from gridjig.solve.weldment.deposit import area, mass_of
from gridjig.solve.weldment.welding import (
    WeldLine,
    WeldTotal,
    times_made,
    weld_lines_of,
    weld_totals,
)
from gridjig.units import data_number, format_count, format_length
from gridjig.units.masses import format_small_mass
from gridjig.units.measures import format_volume

HEADINGS = ("Joint", "Parts", "Weldment", "Weld", "Size", "Welded", "Length", "Sides", "Deposit")


class WeldList(Struct, frozen=True):
    """The list of a job or of one of its weldments: by weldment, by the names of the joints.

    Each line is a joint of one weldment.  The sums are for all that are made: `made` is how often,
    by the id of a part.
    """

    job: Job
    weldments: tuple[Weldment, ...]
    made: Mapping[str, int]
    lines: tuple[WeldLine, ...]
    totals: tuple[WeldTotal, ...]

    @property
    def display(self) -> Display:
        """How lengths and masses are shown."""
        return self.job.display

    @property
    def length(self) -> float:
        """The length of all welds, mm."""
        return sum(total.length for total in self.totals)

    @property
    def mass(self) -> float:
        """The mass of all deposit that has a size, kg."""
        return sum(total.mass for total in self.totals)

    def weldment(self, line: WeldLine) -> str:
        """What the weldment of a joint is called; "" if the list is about one."""
        part = thing_of(self.job, line.one.joint.a)
        if len(self.weldments) < 2 or not isinstance(part, Part):
            return ""
        return weldment_title(self.job, part.weldment)


def weld_list(job: Job, weldment: str | None = None) -> WeldList:
    """Return the weld list of a job, or of one of its weldments."""
    wanted = tuple(one for one in job.weldments if weldment in (None, one.id))
    lines = tuple(line for one in wanted for line in by_name(weld_lines_of(job, one.id)))
    made = times_made(job)
    return WeldList(job, wanted, made, lines, weld_totals(lines, made))


def made_in_words(welds: WeldList) -> str:
    """Return whether the sums are for one or for all that are made; "" if one is made of each."""
    if all(one.quantity == 1 for one in welds.weldments):
        return ""
    each = ", ".join(
        f"{format_count(one.quantity)} × {weldment_title(welds.job, one.id)}"
        for one in welds.weldments
    )
    return f"Each joint is listed for one weldment; the sums are for all: {each}."


def totals_in_words(welds: WeldList) -> list[tuple[str, str, str, str, str]]:
    """Return the sum of each kind: kind, joints, length, volume and mass as shown."""
    shown = welds.display
    return [
        (
            total.kind,
            f"{total.count} joint{'' if total.count == 1 else 's'}"
            + (f", {total.open} without a size" if total.open else ""),
            format_length(total.length, shown),
            format_volume(total.volume, shown) if total.volume else "",
            format_small_mass(total.mass, shown) if total.volume else "",
        )
        for total in welds.totals
    ]


def cells(welds: WeldList) -> list[tuple[str, ...]]:
    """Return the table, one row per joint under HEADINGS."""
    shown = welds.display
    return [
        (
            line.one.name,
            parts_words(welds.job, line.one.joint),
            welds.weldment(line),
            "trim one first" if line.one.joint.kind == "overlap" else line.one.kind,
            size_in_words(line.one, shown),
            line.one.sides if line.taken else "",
            format_length(line.length, shown) if line.taken else "",
            sides_in_words(line.sides, shown),
            format_small_mass(mass_of(line.volume), shown) if line.volume else "",
        )
        for line in welds.lines
    ]


def to_text(welds: WeldList) -> str:
    """Return a tab-separated table, as spreadsheets paste it from the clipboard.

    The column of the weldment is left out if the list is about one.
    """
    rows: list[tuple[str, ...]] = [HEADINGS, *cells(welds)]
    if len(welds.weldments) < 2:
        at = HEADINGS.index("Weldment")
        rows = [(*row[:at], *row[at + 1 :]) for row in rows]
    return "".join(
        "\t".join(harmless(" ".join(cell.split())) for cell in row) + "\n" for row in rows
    )


def to_csv(welds: WeldList) -> str:
    """Return the list as comma-separated values (RFC 4180), one row per side; mm, degrees, mm3.

    Lengths and deposits are those of one weldment; `Made` is how many are made of it.
    """
    rows: list[Sequence[str]] = [
        (
            "Joint", "Parts", "Weld", "Leg mm", "Throat mm", "Side", "Reached", "Angle",
            "Length mm", "Welded", "Deposit mm3", "Weldment", "Made", "Ids",
        )
    ]  # fmt: skip
    for line in welds.lines:
        one = line.one
        part = thing_of(welds.job, one.joint.a)
        assert isinstance(part, Part)
        of = (weldment_title(welds.job, part.weldment), data_number(welds.made[part.id], 0))
        for side in line.sides:
            welded_here = side in line.taken
            volume = area(one.kind, one.leg, one.throat, side.angle) * side.length
            rows.append(
                (
                    one.name,
                    parts_words(welds.job, line.one.joint),
                    one.kind,
                    data_number(one.leg, 3),
                    data_number(one.throat, 3),
                    side.name,
                    side.reach,
                    data_number(side.angle, 2),
                    data_number(side.length, 3),
                    "yes" if welded_here else "no",
                    data_number(volume if welded_here else 0.0, 1),
                    *of,
                    f"{one.joint.a} {one.joint.b}",
                )
            )
        if one.kind == "plug" and line.volume is not None:
            rows.append(
                (
                    one.name,
                    parts_words(welds.job, line.one.joint),
                    one.kind,
                    data_number(one.leg, 3),
                    "0",
                    "plug",
                    "from above",
                    "",
                    "0",
                    "yes",
                    data_number(line.volume, 1),
                    *of,
                    f"{one.joint.a} {one.joint.b}",
                )
            )
    return csv_text(rows)
