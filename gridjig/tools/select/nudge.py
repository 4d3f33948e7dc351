"""Arrow keys on the selection: by holes, and by fine steps where the pins leave it free."""

from collections.abc import Mapping

from msgspec import structs

from gridjig.edits.lookup import with_placement
from gridjig.edits.selection import shift, shift_parts
from gridjig.model import Job, Part, Placement
from gridjig.model.titles import titles
from gridjig.solve.placed.solver import PlacedPiece, solve_placement
from gridjig.tools.core.arrow_keys import ARROWS, COARSE, fine_step
from gridjig.tools.core.pointer import KeyPress
from gridjig.tools.core.refusals import first_refusal
from gridjig.tools.core.tool import Commit, Nothing, Outcome
from gridjig.tools.core.wording import capital, distance, several, slid
from gridjig.tools.touch.door import keep_touching
from gridjig.units import format_angle, format_setting

from .drag_holes import move_name

_FINE_TURN = 0.5


_TO = {"left": "left", "right": "right", "up": "back", "down": "front"}
"""Where each arrow key moves things on the plan, as the operator sees it."""


def nudge(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], ids: frozenset[str], key: KeyPress
) -> Outcome:
    """Move the selection by an arrow key; refused with the reason if it cannot go there."""
    dx, dy = ARROWS[key.name]
    if not ids:
        return Nothing("Nothing is selected. Click something first, or press Ctrl+A for all.")
    if key.shift:
        return _fine(job, placed_pieces, ids, (dx, dy))
    count = COARSE if key.ctrl else 1
    moved = shift(job, ids, dx * count, dy * count)
    moved = keep_touching(job, placed_pieces, moved, ids)
    why = first_refusal(job, placed_pieces, moved, ids)
    if why is not None:
        return Nothing(why)
    return Commit(
        moved,
        move_name(moved, min(ids), ids),
        ids,
        merge_key=_merge_key("arrows", ids),
        said=f"{capital(several(moved, ids))}: {count} {'hole' if count == 1 else 'holes'}"
        f" to the {_TO[key.name]}.",
    )


def _merge_key(kind: str, ids: frozenset[str]) -> str:
    return f"{kind} {' '.join(sorted(ids))}"


def _fine(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], ids: frozenset[str], way: tuple[int, int]
) -> Outcome:
    things = [job.find(i) for i in sorted(ids)]
    step = fine_step(job.display)
    if all(isinstance(t, Part) for t in things):
        dx, dy = way[0] * step, way[1] * step
        moved = shift_parts(job, ids, dx, dy)
        name = titles(job, ids)
        hint = f"{capital(name)}: {distance(dx, dy, job.display)}."
        return Commit(moved, f"Move {name}", ids, _merge_key("fine", ids), hint)
    only = things[0]
    if len(things) > 1 or not isinstance(only, Placement):
        return Nothing(
            "Pieces sit in holes: together they move by whole holes, with the plain arrow keys."
        )
    return _fine_placement(job, placed_pieces, only, way[0] + way[1], step)


def _fine_placement(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], placement: Placement, sign: int, step: float
) -> Outcome:
    """Slide, reach or turn a single placement by a fine step, whichever is free first."""
    now = placed_pieces[placement.id]
    name = several(job, [placement.id])
    for wanted in _tries(placement, now, sign, step):
        got = solve_placement(job.table, job.rack, wanted)
        if got.fault is not None or same_pose(got, now):
            continue
        settled = structs.replace(
            placement, turn=got.turn, slide=got.slide, leaf=got.leaf, reach=got.reach
        )
        changed = with_placement(job, settled)
        ids = frozenset([placement.id])
        why = first_refusal(job, placed_pieces, changed, ids)
        if why is not None:
            return Nothing(why)
        verb = pose_verb(now, got)
        return Commit(
            changed,
            f"{verb} {titles(job, ids)}",
            ids,
            _merge_key("fine", ids),
            f"{capital(name)}: {pose_words(job, now, got)}.",
        )
    return Nothing(
        f"{capital(name)} is pinned and has no fine adjustment; the plain arrow keys move it by "
        "whole holes."
    )


def _tries(placement: Placement, now: PlacedPiece, sign: int, step: float) -> list[Placement]:
    """Return what a fine step can change: slide, reach, the arm's angle or the turn, in order."""
    piece, way = now.piece, now.way
    tries = []
    if way is not None and way.slides:
        tries.append(structs.replace(placement, turn=now.turn, slide=now.slide + sign * step))
    if piece is not None and piece.tip is not None:
        tries.append(structs.replace(placement, reach=now.reach + sign * step))
    if piece is not None and piece.pivot is not None:
        tries.append(structs.replace(placement, leaf=now.leaf + sign * _FINE_TURN))
    tries.append(structs.replace(placement, turn=now.turn + sign * _FINE_TURN, slide=now.slide))
    return tries


def same_pose(a: PlacedPiece, b: PlacedPiece) -> bool:
    """True if two placed pieces in the same holes have the same turn, slide, angle and reach."""
    return (
        abs(a.turn - b.turn) < 1e-9
        and abs(a.slide - b.slide) < 1e-9
        and abs(a.leaf - b.leaf) < 1e-9
        and abs(a.reach - b.reach) < 1e-9
    )


def pose_verb(before: PlacedPiece, after: PlacedPiece) -> str:
    """Return one word for what was done to a placement that stayed in its holes."""
    if abs(before.leaf - after.leaf) > 1e-9:
        return "Open"
    if abs(before.reach - after.reach) > 1e-9:
        return "Reach"
    return "Turn" if abs(before.turn - after.turn) > 1e-9 else "Slide"


def pose_words(job: Job, before: PlacedPiece, after: PlacedPiece) -> str:
    """Return the new setting of a placement that stayed in its holes, in the job's units."""
    verb = pose_verb(before, after)
    if verb == "Open":
        return f"opened to {format_angle(after.leaf)}"
    if verb == "Reach":
        return f"reaches {format_setting(after.reach, job.display)}"
    if verb == "Turn":
        return f"turned to {format_angle(after.turn)}"
    return slid(job, after)
