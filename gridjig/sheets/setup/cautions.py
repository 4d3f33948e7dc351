"""Cautions from what the program knows about a job, and what it hands over to others.

Each is tied to something in the job; what holds for every job comes last.  Figures name their
source.
"""

from collections.abc import Iterator

from gridjig.model import Member
from gridjig.model.stock import TUBES
from gridjig.model.titles import titles

from .blocks import Heading, Note, SheetBlock
from .facts import SheetFacts
from .work_blocks import people, weldments_loads

DEFERS = (
    "GridJig is a planning aid: it plans where pieces go. It does not qualify welds, lifts, people"
    " or electrical safety, and nothing here is a check of strength. It defers to the drawing, the"
    " shop's procedures, the makers' instructions and local law first; then to the standards that"
    " apply, such as ANSI Z49.1 and 29 CFR 1910 subpart Q in the US, or the EN and ISO standards"
    " named on the drawing; to qualified procedures and people for the welds; and to a licensed"
    " engineer for anything that carries people or load."
)
_HIGH = 150.0
"""A part that begins this far above the table falls far enough to hurt, mm.  No source."""


def caution_blocks(facts: SheetFacts) -> list[SheetBlock]:
    """Return the cautions of a job, and what the sheet defers to."""
    return [
        Heading("Cautions for this job"),
        *(Note(f"• {words}") for words in cautions(facts)),
        Heading("What this sheet leaves to others"),
        Note(DEFERS),
    ]


def cautions(facts: SheetFacts) -> tuple[str, ...]:
    """Return the cautions, those of this job first."""
    return (*_of_job(facts), *_ALWAYS)


def _of_job(facts: SheetFacts) -> Iterator[str]:
    job, placed = facts.job, facts.found.placed_pieces
    for one, whole in weldments_loads(job):
        if whole.mass > job.shop.one_lifts:
            name = titles(job, [one.id]) if one.name else "The weldment"
            yield (
                f"Lifting. {one.name or name} weighs {facts.shown.mass(whole.mass)}, more than one"
                f" person lifts here ({facts.shown.mass(job.shop.one_lifts)} in the best posture):"
                f" at least {people(job, whole.mass)} people or a hoist."
            )
    clamps = tuple(k for k in facts.order if placed[k].tip is not None)
    if clamps:
        yield (
            f"Pinch. Clamps {facts.numbered(clamps)} close on fingers; their handles get hot, and"
            " none of them holds against a force: a stop does."
            if len(clamps) > 1
            else f"Pinch. Clamp {facts.numbered(clamps)} closes on fingers; its handle gets hot."
        )
    raised = tuple(part.id for part in job.parts if part.z_low > 0.05)
    if raised:
        high = max(part.z_low for part in job.parts)
        far = " It is high enough to hurt." if high >= _HIGH else ""
        yield (
            f"Falling. {titles(job, raised)} above the table, up to {facts.shown.length(high)}:"
            f" hold each before its last clamp opens; a tack is not a support.{far}"
        )
    stacked = tuple(k for k in facts.order if len(placed[k].placement.lift) > 1)
    if stacked:
        yield f"Stacks. The risers under {facts.numbered(stacked)} can kick out: no side load."
    packed = tuple(k for k in facts.order if placed[k].placement.packing)
    if packed:
        yield (
            f"Loose packing in front of {facts.numbered(packed)}: it falls out on unloading, and"
            " from piece two on the part is out by its thickness. Tape it, and look each time."
        )
    hand = tuple(k for k in facts.order if placed[k].placement.clamped_by_hand)
    if hand:
        yield (
            f"Clamped by hand: {facts.numbered(hand)}. Nothing but friction holds the angle; gauge"
            " it again after the first part."
        )
    if any(isinstance(p, Member) and p.section.kind in (*TUBES, "round tube") for p in job.parts):
        yield (
            "Closed tubes. Vent a tube before its last weld; for galvanising every space needs vent"
            " and drain holes, or it may burst in the bath."
        )
    if any(found.kind == "overhang" for found in facts.found.findings):
        yield "Overhang: see the checks. A table can tip, and people walk into what sticks out."


_ALWAYS = (
    "Arc rays. The hood is down before the first tack, and screens stand for the others; shade by"
    " process and current (US 29 CFR 1910.133: wire 60 to 500 A at least 10).",
    "Fume. Head out of the plume, extraction at the arc. Zinc, cadmium, paint, oil and cleaner near"
    " an arc give off toxic fume.",
    "Fire. Spatter drops through the holes of the table: clear what is under and around it, and"
    " keep a watch of at least half an hour afterwards (US 29 CFR 1910.252).",
    "Electric shock. Dry gloves, dry floor; the work lead on the work or a clean spot of the table,"
    " close to the weld, never through pins or bearings.",
    "Sparks and eyes. Eye protection under the hood too when grinding or chipping.",
    "Gas cylinders. Chained upright, away from the arc, closed when you stop.",
)
