"""The title block of a setup sheet, with the fields of ISO 7200, and the foot of later pages."""

from collections.abc import Iterator

from msgspec import Struct

from gridjig.geometry.page import NARROW, WIDE, PageLine, PageLines, PageMark, PageText
from gridjig.model import Job
from gridjig.model.titles import hand_words, weldment_title
from gridjig.units import format_scale
from gridjig.units.seen import seen

from .facts import SheetFacts
from .flow import PageRoom
from .letters import LINE, lines_of, width_of

KIND = "Setup sheet"
WIDTH, HEIGHT = 180.0, 34.0
"""The title block, mm: ISO 7200 has it 180 mm wide."""
FOOT = 9.0
_CAPTION = 1.8


class _Field(Struct, frozen=True):
    """A field of the block: its caption, what stands in it, its share of the row."""

    caption: str
    words: str
    share: float
    strong: bool = False


def title_of_sheet(job: Job) -> str:
    """Return what the sheet is called."""
    return job.title_block.title or job.name


def title_block(
    facts: SheetFacts, at: PageRoom, scale: float, sheet: str, date: str
) -> list[PageMark]:
    """Return the title block in its box; `sheet` is such as 1/7."""
    marks: list[PageMark] = []
    rows = _rows(facts, scale, sheet, date)
    high = at.height / len(rows)
    rules = []
    for k, row in enumerate(rows):
        y = at.y + k * high
        total = sum(one.share for one in row)
        x = at.x
        for one in row:
            wide = at.width * one.share / total
            marks += _field(one, PageRoom(x, y, wide, high))
            if x > at.x:
                rules.append(((x, y), (x, y + high)))
            x += wide
        if k:
            rules.append(((at.x, y), (at.x + at.width, y)))
    marks.append(PageLines(tuple(rules), NARROW))
    right, bottom = at.x + at.width, at.y + at.height
    ring = ((at.x, at.y), (right, at.y), (right, bottom), (at.x, bottom))
    marks.append(PageLine(ring, WIDE, closed=True))
    return marks


def _rows(facts: SheetFacts, scale: float, sheet: str, date: str) -> tuple[tuple[_Field, ...], ...]:
    job = facts.job
    block = job.title_block
    units = {"millimetres": "mm", "inch decimals": "inches", "inch fractions": "inches"}
    other = "inches" if job.display.unit == "millimetres" else "mm"
    both = f" ({other})" if facts.choices.units == "both" else ""
    return (
        (
            _Field("Legal owner", block.owner, 4.2, strong=True),
            _Field("Title", title_of_sheet(job), 6.0, strong=True),
            _Field("Document number", block.number, 3.4, strong=True),
            _Field("Sheet", sheet, 1.2, strong=True),
        ),
        (
            _Field("Supplementary title", block.supplement, 4.2),
            _Field("Job", job.name, 4.4),
            _Field("Document type", KIND, 2.4),
            _Field("Status", block.status, 2.2),
        ),
        (
            _Field("Drawing", job.drawing, 3.2),
            _Field("Revision", job.revision, 1.4),
            _Field("Hand", _hands(job), 3.4),
            _Field("Way up", block.way_up, 2.2),
            _Field("Quantity", _quantities(job), 1.5),
            _Field("Scale", f"SCALE {format_scale(scale)}", 2.6),
        ),
        (
            _Field("Responsible dept.", block.department, 2.6),
            _Field("Technical reference", block.reference, 2.8),
            _Field("Created by", block.created_by, 2.6),
            _Field("Approved by", block.approved_by, 2.6),
            _Field("Date of issue", block.date or date, 2.2),
            _Field("Dimensions in", f"{units[job.display.unit]}{both}", 2.4),
        ),
    )


def _hands(job: Job) -> str:
    if len(job.weldments) == 1:
        return hand_words(job, job.weldments[0])
    return "; ".join(
        f"{weldment_title(job, one.id)}: {hand_words(job, one)}" for one in job.weldments
    )


def _quantities(job: Job) -> str:
    return ", ".join(str(one.quantity) for one in job.weldments)


def _field(one: _Field, at: PageRoom) -> Iterator[PageMark]:
    yield PageText(at.x + 1, at.y + 0.4, at.width - 2, 2.6, one.caption, _CAPTION, grey=True)
    if not one.words:
        return
    size = 3.5 if one.strong else 2.5
    wide = at.width - 2
    words = seen(one.words)
    while size > _CAPTION and width_of(words, size, one.strong) > wide:
        size = round(size - 0.1, 2)
    high = LINE * size
    low = 0.1 if one.strong else -0.4  # large letters keep clear of the caption
    lines = lines_of(words, size, wide, one.strong)
    yield PageText(
        at.x + 1,
        at.y + at.height - high + low,
        wide,
        high,
        lines[0] if len(lines) == 1 else f"{lines[0].rstrip()}…",
        size,
        bold=one.strong,
    )


def foot(facts: SheetFacts, at: PageRoom, sheet: str) -> list[PageMark]:
    """Return the foot of a page that has no title block."""
    job = facts.job
    told = (
        _Field("Document number", job.title_block.number, 2.2),
        _Field("Title", title_of_sheet(job), 4.4),
        _Field("Drawing", job.drawing, 2.0),
        _Field("Revision", job.revision, 1.0),
        _Field("Document type", KIND, 1.8),
        _Field("Sheet", sheet, 1.0, strong=True),
    )
    marks: list[PageMark] = []
    total = sum(one.share for one in told)
    x, rules = at.x, [((at.x, at.y), (at.x + at.width, at.y))]
    for one in told:
        wide = at.width * one.share / total
        marks += _field(one, PageRoom(x, at.y, wide, at.height))
        if x > at.x:
            rules.append(((x, at.y), (x, at.y + at.height)))
        x += wide
    return [*marks, PageLines(tuple(rules), NARROW)]
