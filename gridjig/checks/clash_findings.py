"""What is said of two things in one place."""

from gridjig.model import Job
from gridjig.model.labels import address
from gridjig.units import format_count

from .conflicts import Clash, overlap_words
from .finding import Finding, told_apart

APART = "Two things cannot be in one place; what only touches does not overlap."
"""The limit that overlaps are held to."""


def crowded(finding_id: str, most: int, things: str) -> Finding:
    """Return what is said where more pairs of such things overlap than were compared."""
    return Finding(
        finding_id,
        "clash",
        "stop",
        f"More than {format_count(most)} pairs of {things} overlap; only the first ones were"
        " compared.",
        None,
        (),
        "Delete the duplicates and check again.",
    )


def clash_finding(job: Job, clash: Clash, with_part: bool) -> Finding:
    """Return what is said of a clash; `with_part` if the second thing is a part."""
    a, b = told_apart(job, clash.a), told_apart(job, clash.b)
    ids = (clash.a, clash.b)
    mark = f"{clash.kind}/{clash.a}/{clash.b}"
    if clash.hole is not None:
        what = f"Hole {address(job.table, clash.hole)} is taken by {a} and by {b}."
        do = "Move one of the two: a hole takes one pin."
        return Finding(mark, "hole", "stop", what, job.table.at(clash.hole), ids, do)
    by = overlap_words(job, clash)
    if clash.kind == "handle":
        what = f"A clamp's handle swings {by} into {b}: {a} and {b} are too close."
        do = "Turn the clamp, or make sure its handle never has to go there."
        return Finding(
            mark, "clash", "look", what, clash.where, ids, do, clash.depth, 0.0, "mm", APART
        )
    if with_part:
        what = f"{a} runs {by} into {b}."
        do = f"Move {a} back by {by}, or move the work."
    else:
        what = f"{a} and {b} overlap by {by}."
        do = "Move one of the two, or raise one clear of the other."
    return Finding(mark, "clash", "stop", what, clash.where, ids, do, clash.depth, 0.0, "mm", APART)
