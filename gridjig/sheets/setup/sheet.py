"""The setup sheet of a job: its pages, made from what is known of the job."""

from msgspec import Struct, structs

from gridjig.contact.values import JobContacts
from gridjig.geometry.page import SheetPage
from gridjig.model import Job
from gridjig.model.titles import weldment_title
from gridjig.units.progress import SILENT, Progress

from .blocks import Heading, Note, SheetBlock
from .cautions import caution_blocks
from .cut_blocks import cut_blocks
from .facts import KnownFacts, SheetFacts, facts_of, find_out
from .first_article import article_blocks
from .flow import flow, letters_of
from .layout import Unfit, laid_out
from .paper import Orientation, SheetChoices
from .set_blocks import check_blocks, pull_blocks, reading_blocks, set_blocks
from .shown import in_units
from .title_block import title_of_sheet
from .weld_map import weld_map
from .work_blocks import work_blocks

_WIDE = 1.2
"""A table this many times as wide as it is deep lies across a page."""


class SetupSheet(Struct, frozen=True):
    """The pages of a sheet, what it is called, and its scale as the mm that 1 mm stands for."""

    title: str
    scale: float
    pages: tuple[SheetPage, ...]


def setup_sheet(
    job: Job,
    choices: SheetChoices,
    date: str = "",
    found: KnownFacts | None = None,
    progress: Progress = SILENT,
) -> SetupSheet:
    """Return the setup sheet of a job.  Raise Unfit, or Cancelled through `progress`.

    `date` stands in the title block if the job names none; `found` is what is known of the job,
    with the findings in the units chosen (`in_units`).
    """
    progress.report(0, 8, "Checking")
    job = in_units(job, choices.units)
    facts = facts_of(job, choices, found or find_out(job, progress.part(0, 4)))
    letters = letters_of(choices)
    layout = laid_out(facts, letters)
    progress.report(4, 8, "Drawing the plan")
    scale = layout.scale()
    plan, crowded = layout.plan(scale)
    details = layout.details(scale, crowded, progress)
    progress.report(5, 8, "Writing the lists")
    lists = flow(blocks_of(facts, layout.left_out), layout.lists_room(), letters)
    progress.check()
    maps = [weld_map(facts, one, layout.lists_room(), letters) for one in job.weldments]
    lists = (*lists, *(one for one in maps if one))
    progress.report(7, 8, "Numbering pages")
    count = 1 + len(details) + len(lists)
    plan += layout.frames(details)
    pages = [layout.first(plan, scale, f"1/{count}", date)]
    for number, marks in enumerate((*(d.marks for d in details), *lists), 2):
        pages.append(layout.later(marks, f"{number}/{count}"))
    return SetupSheet(title_of_sheet(job), scale, tuple(pages))


def best_held(job: Job, choices: SheetChoices) -> SheetChoices:
    """Return the choices with the page held so that the plan is largest; if both are equal, as the
    table lies.

    Needs only the table.  Raise Unfit if the table fits neither way.
    """
    found: list[tuple[float, SheetChoices]] = []
    faults: list[Unfit] = []
    ways: list[Orientation] = ["portrait", "landscape"]
    if job.table.width > _WIDE * job.table.depth:
        ways.reverse()
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
    nothing = KnownFacts({}, JobContacts({}, {}, (), ()), ())
    facts = facts_of(structs.replace(job, placements=()), choices, nothing)
    return laid_out(facts, letters_of(choices)).scale()


def blocks_of(facts: SheetFacts, left_out: int) -> list[SheetBlock]:
    """Return what the lists say, in the order in which it is needed.

    `left_out`: how many dimensions found no room on the plan.
    """
    return [
        *pull_blocks(facts),
        *set_blocks(facts),
        *reading_blocks(facts),
        *cut_blocks(facts),
        *work_blocks(facts),
        *article_blocks(facts, left_out),
        *check_blocks(facts),
        *_notes(facts.job),
        *caution_blocks(facts),
    ]


def _notes(job: Job) -> list[SheetBlock]:
    notes: list[SheetBlock] = []
    if job.notes.strip():
        notes = [
            Heading("Notes of the job"),
            *(Note(n) for n in job.notes.split("\n") if n.strip()),
        ]
    for one in job.weldments:
        if one.note.strip():
            notes += [Heading(f"Notes of {weldment_title(job, one.id)}"), Note(one.note)]
    return notes
