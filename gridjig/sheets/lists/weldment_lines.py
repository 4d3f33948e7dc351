"""The weldments of a job as lines for a list: each with its hand, number, parts and mass."""

from gridjig.geometry.part_mass import mass
from gridjig.model import Job
from gridjig.model.by_weldment import parts_of
from gridjig.model.titles import part_name
from gridjig.sheets.text.list_line import ListLine
from gridjig.units import format_mass

from .cut_list import WeldmentTotal, weldment_total

KEY = "weldment "
"""What the key of a weldment's line begins with; its id follows."""


def weldment_lines(job: Job) -> tuple[ListLine, ...]:
    """Return a line for each weldment, with a line for each of its parts below it."""
    lines: list[ListLine] = []
    for one in job.weldments:
        parts = parts_of(job, one.id)
        total = weldment_total(job, one)
        lines.append(
            ListLine(
                f"{KEY}{one.id}",
                f"{total.title[:1].upper()}{total.title[1:]}",
                f"{one.quantity} ×" if one.quantity > 1 else "",
                _under(job, total),
                ids=tuple(part.id for part in parts),
            )
        )
        lines += [
            ListLine(
                part.id,
                f"    {part_name(part)}",
                format_mass(mass(part), job.display),
                ids=(part.id,),
            )
            for part in parts
        ]
    return tuple(lines)


def _under(job: Job, total: WeldmentTotal) -> str:
    parts = {0: "no part yet", 1: "1 part"}.get(total.parts, f"{total.parts} parts")
    said = [total.hand] if len(job.weldments) > 1 else []
    said.append(parts)
    if total.parts:
        each = " each" if total.quantity > 1 else ""
        said.append(f"{format_mass(total.each, job.display)}{each}")
    return " · ".join(said)


def total_words(job: Job) -> str:
    """Return how many weldments and parts there are, and what all that the job makes weighs."""
    totals = [weldment_total(job, one) for one in job.weldments]
    if not job.parts:
        return "There is no weldment yet; draw a member or put a ready one on the table."
    whole = format_mass(sum(one.each * one.quantity for one in totals), job.display)
    made = sum(one.quantity for one in totals)
    if len(totals) == 1 and made == 1:
        return f"One weldment, {whole}."
    kinds = "1 weldment" if len(totals) == 1 else f"{len(totals)} weldments"
    return f"{kinds}, {made} made in all, {whole}."
