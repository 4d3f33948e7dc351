"""The opposite hand beside a weldment: lines to mirror it about, and what is in the way."""

from collections.abc import Iterator, Mapping, Set
from typing import Literal

from msgspec import Struct

from gridjig.checks.conflicts import every_clash
from gridjig.checks.neighbours import placed_part
from gridjig.contact.overlap import overlap
from gridjig.edits.other_hand import OtherHand, other_hand
from gridjig.geometry.box_index import touch
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds, covered
from gridjig.model import Job, Part, Placement
from gridjig.model.by_weldment import parts_of
from gridjig.model.labels import column_label, row_label
from gridjig.model.titles import thing_of, title, weldment_title
from gridjig.solve.layout.remainders import grid_along
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.placed.solver import solve_placement
from gridjig.solve.weldment.faces import Axis
from gridjig.solve.weldment.meeting import DEEP, GAP
from gridjig.units import format_length
from gridjig.units.progress import SILENT, Progress
from gridjig.words.placing_text import placing_text

Side = Literal["right", "left", "back", "front"]
SIDES: tuple[Side, ...] = ("right", "left", "back", "front")
_WAYS: Mapping[Side, tuple[Axis, int]] = {
    "right": ("x", 1), "left": ("x", -1), "back": ("y", 1), "front": ("y", -1),
}  # fmt: skip
_NAMED = 3
"""How many of the things in the way are named."""


class HandBeside(Struct, frozen=True):
    """The opposite hand across one line, and what keeps it from being there.

    `axis` and `at`, mm, are the line.  `in_the_way` are sentences; empty if it fits.
    """

    made: OtherHand
    axis: Axis
    at: float
    in_the_way: tuple[str, ...]


def axis_of(side: Side) -> Axis:
    """The axis along which the opposite hand on that side is mirrored."""
    return _WAYS[side][0]


def lines(job: Job, weldment: str, side: Side) -> tuple[float, ...]:
    """The lines of holes and midway between two, on that side of a weldment's middle; mm.

    The nearest comes first, the last lies on the furthest holes.  Empty without parts.
    """
    axis, way = _WAYS[side]
    k = 0 if axis == "x" else 1
    points = [p[k] for part in parts_of(job, weldment) for p in part_ring(part)]
    if not points:
        return ()
    first, pitch = grid_along(job.table, axis)
    count = job.table.columns if axis == "x" else job.table.rows
    middle = (min(points) + max(points)) / 2.0
    every = (first + n * pitch / 2.0 for n in range(2 * count - 1))
    found = [at for at in every if (at - middle) * way >= 0]
    return tuple(sorted(found, key=lambda at: abs(at - middle)))


def line_words(job: Job, axis: Axis, at: float) -> str:
    """What a line is called: column M, or midway between columns M and N."""
    first, pitch = grid_along(job.table, axis)
    twice = round(2.0 * (at - first) / pitch)
    label, what = (column_label, "column") if axis == "x" else (row_label, "row")
    low = label(job.table, twice // 2)
    if twice % 2 == 0:
        return f"{what} {low}"
    return f"midway between {what}s {low} and {label(job.table, twice // 2 + 1)}"


def beside(
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    weldment: str,
    pieces: Set[str],
    axis: Axis,
    at: float,
) -> HandBeside:
    """The opposite hand of a weldment with these pieces across a line, with all in the way.

    Raises ValueError if the line does not suit the holes, or the weldment has no parts.
    """
    made = other_hand(job, weldment, pieces, axis, at)
    return HandBeside(made, axis, at, tuple(_in_the_way(job, placed_pieces, made)))


def nearest(
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    weldment: str,
    pieces: Set[str],
    side: Side,
    progress: Progress = SILENT,
) -> HandBeside | None:
    """The opposite hand across the nearest line on that side where nothing is in its way.

    All lines are tried, at most twice as many as there are holes in a row; None if none fits.
    Raises ValueError if the weldment has no parts; Cancelled through `progress`.
    """
    axis = axis_of(side)
    for at in progress.each(lines(job, weldment, side), "Looking for a line to mirror about"):
        made = other_hand(job, weldment, pieces, axis, at)
        if next(_in_the_way(job, placed_pieces, made), None) is None:
            return HandBeside(made, axis, at, ())
    return None


def _in_the_way(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], made: OtherHand
) -> Iterator[str]:
    """Sentences about what is in the way; the quick ones to find first."""
    yield from made.no_hole
    after = made.job
    parts = [part for part in after.parts if part.id in made.made]
    over = _overhang(job, parts)
    if over:
        yield over
    yield from _laps(after, parts, job)
    yield from _clashes(after, placed_pieces, made)


def _overhang(job: Job, parts: list[Part]) -> str:
    x0, y0, x1, y1 = bounds([p for part in parts for p in part_ring(part)])
    table = job.table
    out = max(-x0, -y0, x1 - table.width, y1 - table.depth)
    if out <= 0.05:
        return ""
    return f"It hangs over the edge of the table by {format_length(out, job.display)}."


def near(one: Part, other: Part, gap: float) -> bool:
    """True if two parts come within a gap of each other, mm, as two that are welded do."""
    if not touch(bounds(part_ring(one)), bounds(part_ring(other)), gap):
        return False
    if max(one.z_low, other.z_low) - min(one.z_high, other.z_high) > gap:
        return False
    return bool(covered(part_ring(one)).distance(covered(part_ring(other))) <= gap + DEEP)


def _laps(after: Job, parts: list[Part], job: Job) -> Iterator[str]:
    for part in parts:
        for other in job.parts:
            found = overlap(placed_part(part), placed_part(other))
            if found is not None:
                by = format_length(found.depth, job.display)
                yield f"{_called(after, part.id)} lies in {title(after, other.id)}, {by} deep."
            elif near(part, other, GAP):
                yield (
                    f"{_called(after, part.id)} would be within a root gap of"
                    f" {title(after, other.id)}."
                )


def _clashes(
    after: Job, placed_pieces: Mapping[str, PlacedPiece], made: OtherHand
) -> Iterator[str]:
    """Clashes of what is new with what was there; among the new they are those of the originals."""
    stood = []
    for placement in after.placements:
        if placement.id not in made.made:
            stood.append(placed_pieces[placement.id])
            continue
        there = solve_placement(after.table, after.rack, placement)
        if there.fault is not None:
            why = placing_text(there.fault, after.table, after.display)
            yield f"{_called(after, placement.id)} cannot stand there. {why}"
        stood.append(there)
    new = made.made
    for clash in every_clash(stood, map(placed_part, after.parts)).found:
        if (clash.a in new) != (clash.b in new):
            mine, other = (clash.a, clash.b) if clash.a in new else (clash.b, clash.a)
            if clash.hole is not None:
                yield f"{_called(after, mine)} needs the hole of {title(after, other)}."
            else:
                yield f"{_called(after, mine)} runs into {title(after, other)}."


def _called(after: Job, thing_id: str) -> str:
    """What one of the new things is called, as the copy of its original."""
    thing = thing_of(after, thing_id)
    if isinstance(thing, Placement):
        return f"The copy of {title(after, thing_id)}"
    return title(after, thing_id)


def told(job: Job, found: HandBeside) -> tuple[str, ...]:
    """What is made, what stays behind and why, and what is in the way; a sentence each."""
    made = found.made
    name = weldment_title(made.job, made.weldment)
    pieces = sum(p.id in made.made for p in made.job.placements)
    with_ = {0: "without pieces", 1: "with 1 piece"}.get(pieces, f"with {pieces} pieces")
    line = line_words(job, found.axis, found.at)
    about = f"the line {line}" if line.startswith("midway") else line
    said = [f"{name}, {with_}, mirrored about {about}."]
    if made.over:
        said.append(f"Turned over: {', '.join(title(made.job, one) for one in made.over)}.")
    if made.exchanged:
        names = ", ".join(title(made.job, one) for one in made.exchanged)
        said.append(f"The piece of the other hand is taken for: {names}.")
    if made.single:
        names = ", ".join(title(job, one) for one in made.single)
        said.append(f"On the line, for both hands: {names}.")
    said += [f"✕ {why}" for why in made.no_twin]
    said += [f"✕ {why}" for why in found.in_the_way[:_NAMED]]
    if len(found.in_the_way) > _NAMED:
        said.append(f"✕ and {len(found.in_the_way) - _NAMED} more in the way.")
    return tuple(said)
