"""Wording shared by all tools: things with their places, distances with their unit."""

import re
from collections.abc import Iterable

from gridjig.model import Hole, Job, Part, Table
from gridjig.model.labels import address
from gridjig.model.titles import title, titles
from gridjig.solve.placed.face_distance import face_distance
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units import Display, format_length, format_setting

BY = re.compile(r"\s*(?:,|(?:(?<![a-z])|(?<=in|mm|cm|ft))(?:x|by)(?![a-z])|×)\s*", re.IGNORECASE)
"""The sign between two typed sizes: `24 x 2`, or `24x2` for short."""


def hole_name(table: Table, hole: Hole) -> str:
    """Return the address of a hole, or words that it is off the table."""
    return address(table, hole)


def anchor_hole(job: Job, thing_id: str) -> Hole | None:
    """Return the hole that identifies a placement, that of its first seat; None for an outline."""
    thing = job.find(thing_id)
    if thing is None or isinstance(thing, Part):
        return None
    return thing.seats[0].hole


def with_place(job: Job, thing_id: str) -> str:
    """Return a thing's title with its hole, such as `fixed stop at C4`."""
    hole = anchor_hole(job, thing_id)
    name = title(job, thing_id)
    return name if hole is None else f"{name} at {hole_name(job.table, hole)}"


def several(job: Job, ids: Iterable[str]) -> str:
    """Return one thing with its place, or how many there are."""
    chosen = list(ids)
    return with_place(job, chosen[0]) if len(chosen) == 1 else titles(job, chosen)


def distance(dx: float, dy: float, display: Display) -> str:
    """Return a move (mm) in words in the job's unit, such as `150 mm to the right, 50 mm to the "
    "back`."""
    parts = []
    if dx:
        parts.append(f"{format_length(abs(dx), display)} to the {'right' if dx > 0 else 'left'}")
    if dy:
        parts.append(f"{format_length(abs(dy), display)} to the {'back' if dy > 0 else 'front'}")
    return ", ".join(parts) or "not moved"


def slid(job: Job, there: PlacedPiece) -> str:
    """Return how far a piece is slid, as its form shows it: by its face, or else its slot."""
    face = face_distance(job, there)
    if face is None:
        return f"slid to {format_setting(there.slide, job.display)}"
    return f"face {format_setting(face.now, job.display)} from the hole"


def capital(text: str) -> str:
    """Return the text with a capital first letter."""
    return text[:1].upper() + text[1:]


def sentence(words: str) -> str:
    """Return words as a sentence, with a capital and a full stop."""
    words = capital(words.strip())
    return words if not words or words[-1] in ".!?" else f"{words}."
