"""The place that typed points are counted from: the table's corner, or one set for the weldment."""

import re

from msgspec import structs

from gridjig.edits.starter_position import box_of
from gridjig.geometry.display import DisplayList, Polyline, TextLabel
from gridjig.model import Job
from gridjig.model.labels import find_hole
from gridjig.rack import Point
from gridjig.units import ParseError, parse_length

_ORIGIN = re.compile(r"\s*(?:origin|from)\b\s*=?\s*(.*)", re.IGNORECASE)
_CROSS = 12.0
"""Half the size of the cross that marks the origin, mm."""

STEP = "Set where places are typed from"
ORIGIN_SET = "Places are now counted from there."


def origin_of(job: Job) -> Point:
    """The place of the table that typed points are counted from, mm."""
    return job.origin or (0.0, 0.0)


def typed_origin(job: Job, text: str) -> Job | None:
    """The job with the origin that a text names, or None if the text is about something else.

    `origin table`, `origin corner` (of the weldment), `origin C4` or `origin 300, 200`, counted
    from the table's corner.  Raises ParseError with what is accepted.
    """
    match = _ORIGIN.fullmatch(text)
    if match is None:
        return None
    at = _place(job, text, match[1].strip())
    return job if at == job.origin else structs.replace(job, origin=at)


def _place(job: Job, text: str, said: str) -> Point | None:
    if said.casefold() in ("table", "the table", "table corner", "0", "0, 0"):
        return None
    if said.casefold() in ("corner", "weldment", "weldment corner"):
        if not job.parts:
            why = "the weldment has no corner yet; draw a part first, or type origin 300, 200"
            raise ParseError(text, None, why)
        x0, y0, _, _ = box_of(job.parts)
        return (round(x0, 6), round(y0, 6))
    try:
        return job.table.at(find_hole(job.table, said))
    except ParseError:
        pass
    numbers = said.split(",")
    if len(numbers) != 2:
        why = "type origin table, origin corner, origin C4 or origin 300, 200"
        raise ParseError(text, None, why)
    unit = job.display.unit
    return (parse_length(numbers[0], unit), parse_length(numbers[1], unit))


def draw_origin(job: Job) -> DisplayList:
    """A cross where typed points are counted from; nothing for the table's own corner."""
    if job.origin is None:
        return ()
    x, y = job.origin
    return (
        Polyline(((x - _CROSS, y), (x + _CROSS, y)), "centre"),
        Polyline(((x, y - _CROSS), (x, y + _CROSS)), "centre"),
        TextLabel((x, y - _CROSS), "0, 0", "graphite", anchor="below", size="small", cleared=True),
    )
