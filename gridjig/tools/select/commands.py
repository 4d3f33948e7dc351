"""One-key commands on the selection: turn, flip, copy, delete.  Also for menus and buttons."""

from collections.abc import Iterable, Mapping

from msgspec import structs

from gridjig.edits.lookup import part_of, placement_of, with_placement
from gridjig.edits.parts import turn_about
from gridjig.edits.selection import put_copies, remove
from gridjig.geometry.box_index import Box, touch
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Job, Part, Placement
from gridjig.model.labels import address
from gridjig.model.titles import title, titles
from gridjig.rack import Point
from gridjig.solve.mounting.track import apart
from gridjig.solve.placed.cache import holes_besides
from gridjig.solve.placed.solver import TURN_OFF, PlacedPiece, solve_placement
from gridjig.solve.poses.choose import nearest_turn, turn_next
from gridjig.solve.weldment.meeting import GAP
from gridjig.tools.core.refusals import first_refusal
from gridjig.tools.core.tool import Commit, Nothing, Outcome
from gridjig.tools.core.wording import capital, several, slid, with_place
from gridjig.units import format_angle
from gridjig.words.placing_text import placing_text

from .freeing import freed
from .nudge import pose_words

NOTHING_SELECTED = "Nothing is selected. Click something first, or press Ctrl+A for all."
_PASTE_RANGE = 8
_ON = 0.05
"""How far a box may hang over the edge and still only reach it; mm."""


def delete(job: Job, ids: frozenset[str], verb: str = "Delete") -> Commit | Nothing:
    """Take the selection off the table.  There is no prompt, as undo brings it back."""
    if not ids:
        return Nothing(NOTHING_SELECTED)
    name = titles(job, sorted(ids))
    return Commit(
        remove(job, ids),
        f"{verb} {name}",
        frozenset(),
        hint=f"{capital(name)} taken off the table. Ctrl+Z undoes it.",
    )


def paste(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], originals: Iterable[Placement | Part]
) -> Outcome:
    """Place copies at the nearest whole pitches where all of them can stand.

    A whole weldment is copied to where it lies beside all others, on the table.
    """
    chosen = tuple(originals)
    if not chosen:
        return Nothing("Nothing has been copied. Make a selection and press Ctrl+C first.")
    lost = [t.piece for t in chosen if isinstance(t, Placement) and job.rack.find(t.piece) is None]
    if lost:
        return Nothing(f"The rack no longer has the piece {lost[0]}. Add it to the rack first.")
    own = len(put_copies(job, chosen, 0, 0)[0].weldments) > len(job.weldments)
    steps = _clear_steps(job, chosen) if own else _ring_of_steps()
    for step in steps:
        pasted, made = put_copies(job, chosen, *step)
        if first_refusal(job, placed_pieces, pasted, made) is None:
            name = titles(pasted, sorted(made))
            return Commit(
                pasted,
                f"Copy {name}",
                made,
                hint=f"{capital(several(pasted, sorted(made)))} pasted.",
            )
    if own:
        return Nothing("A copy of the whole weldment finds no free room on the table. Make room.")
    return Nothing(
        f"There is no room for a copy within {_PASTE_RANGE} holes. Make room, or copy less."
    )


def _ring_of_steps() -> list[tuple[int, int]]:
    """Return steps of whole pitches, nearest first; right and back before left and front."""
    side = range(-_PASTE_RANGE, _PASTE_RANGE + 1)
    steps = [(c, r) for c in side for r in side if c or r]
    return sorted(steps, key=lambda s: (abs(s[0]) + abs(s[1]), -s[0], -s[1]))


def _clear_steps(job: Job, chosen: tuple[Placement | Part, ...]) -> list[tuple[int, int]]:
    """Return steps of whole pitches after which the parts are clear of all others, nearest first.

    By boxes: that of all that is copied against that of each part on the table.
    """
    table = job.table
    x0, y0, x1, y1 = bounds([p for t in chosen if isinstance(t, Part) for p in part_ring(t)])
    boxes = [bounds(part_ring(part)) for part in job.parts]
    steps = []
    for columns in range(-table.columns, table.columns + 1):
        for rows in range(-table.rows, table.rows + 1):
            dx, dy = columns * table.pitch_x, rows * table.pitch_y
            box = (x0 + dx, y0 + dy, x1 + dx, y1 + dy)
            on = box[0] > -_ON and box[1] > -_ON
            on = on and box[2] < table.width + _ON and box[3] < table.depth + _ON
            if on and not any(_meet(box, other) for other in boxes):
                steps.append((columns, rows))
    return sorted(steps, key=lambda s: (abs(s[0]) + abs(s[1]), -s[0], -s[1]))


def _meet(a: Box, b: Box) -> bool:
    """True if two boxes come within a root gap of each other, as parts that are welded do."""
    return touch(a, b, GAP)


def turn(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], ids: frozenset[str], way: int
) -> Outcome:
    """Turn one thing to its next attainable pose: counter-clockwise for 1, clockwise for -1."""
    if len(ids) != 1:
        return Nothing(NOTHING_SELECTED if not ids else "R turns one thing at a time; select one.")
    thing_id = next(iter(ids))
    thing = job.find(thing_id)
    if isinstance(thing, Part):
        turned = turn_about(job, thing_id, 90.0 * way, _middle(thing))
        at = format_angle(part_of(turned, thing_id).turn)
        name = title(job, thing_id)
        return Commit(
            turned, f"Turn {name} to {at}", ids, hint=f"{capital(name)} is turned to {at}."
        )
    return _turn_placement(job, placed_pieces, placement_of(job, thing_id), way)


def _turn_placement(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], placement: Placement, way: int
) -> Outcome:
    """Return the next pose with nothing in the way, skipping those that are refused."""
    taken = holes_besides(placed_pieces, placement.id)
    start = placed_pieces[placement.id].turn
    turned = structs.replace(placement, turn=start)
    gone, why = 0.0, ""
    while True:
        before = turned.turn
        found = turn_next(job.table, job.rack, turned, way, taken)
        if not isinstance(found, Placement):
            return Nothing(why or placing_text(found, job.table, job.display))
        gone += (way * (found.turn - before)) % 360.0
        if gone > 360.0 - TURN_OFF:
            return Nothing(f"No other position is free here. {why}".strip())
        turned = found
        outcome = settle_turned(job, placed_pieces, turned, "Turn")
        if isinstance(outcome, Commit):
            return outcome
        why = why or outcome.hint


def settle(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], changed: Placement, verb: str
) -> Commit | Nothing:
    """Set a placement as one step; refused with the reason if something is in the way."""
    ids = frozenset([changed.id])
    after = with_placement(job, changed)
    why = first_refusal(job, placed_pieces, after, ids)
    if why is not None:
        return Nothing(why)
    there = solve_placement(job.table, job.rack, changed)
    name = title(job, changed.id)
    said = pose_words(job, placed_pieces[changed.id], there)
    return Commit(after, f"{verb} {name}", ids, hint=f"{capital(name)} {said}.")


def settle_turned(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], changed: Placement, verb: str
) -> Commit | Nothing:
    """Like `settle`, but a piece turned into something moves clear if it can, and says how."""
    outcome = settle(job, placed_pieces, changed, verb)
    other = freed(job, placed_pieces, changed) if isinstance(outcome, Nothing) else None
    if other is None:
        return outcome
    there = solve_placement(job.table, job.rack, other)
    name, at = title(job, changed.id), format_angle(there.turn)
    holes = " + ".join(address(job.table, hole) for hole in there.holes)
    out = f", {slid(job, there)}" if there.way is not None and there.way.slides else ""
    return Commit(
        with_placement(job, other),
        f"{verb} {name}",
        frozenset([changed.id]),
        hint=f"{capital(name)} turned to {at}, clear of what was in its way: in {holes}{out}.",
    )


def flip(job: Job, placed_pieces: Mapping[str, PlacedPiece], ids: frozenset[str]) -> Outcome:
    """Flip placements, each in its holes if possible, else about its first hole."""
    if not ids:
        return Nothing(NOTHING_SELECTED)
    flipped = job
    held = dict(placed_pieces)
    for placement in (p for p in job.placements if p.id in ids):
        over = _turned_over(flipped, held, placement)
        if isinstance(over, str):
            return Nothing(over)
        flipped = with_placement(flipped, over)
        held[over.id] = solve_placement(job.table, job.rack, over)
    if flipped is job:
        return Nothing("Parts of the weldment are not turned over one by one; R turns them.")
    for thing_id in sorted(ids):
        why = first_refusal(job, held, flipped, {thing_id})
        if why is not None:
            return Nothing(why)
    name = titles(job, sorted(ids))
    return Commit(flipped, f"Turn over {name}", ids, hint=f"{capital(name)} turned over.")


def _turned_over(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], placement: Placement
) -> Placement | str:
    piece = job.rack.find(placement.piece)
    if piece is None or not piece.flips:
        return f"{capital(with_place(job, placement.id))} cannot be used turned over."
    now = placed_pieces[placement.id]
    over = structs.replace(placement, flipped=not placement.flipped, turn=now.turn)
    there = solve_placement(job.table, job.rack, over)
    if there.fault is None and apart(there.turn, now.turn) < TURN_OFF:
        return structs.replace(over, turn=there.turn, slide=there.slide)
    wish = nearest_turn(
        job.table, job.rack, over, now.turn, holes_besides(placed_pieces, placement.id)
    )
    return wish.placement


def _middle(part: Part) -> Point:
    xs, ys = zip(*part_ring(part), strict=True)
    return ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
