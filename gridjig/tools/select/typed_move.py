"""Text typed for the selection: a hole to move to, or an angle or length to set.

It is set exactly, or the nearest possible value is named; nothing is rounded silently.
"""

import re
from collections.abc import Mapping

from msgspec import structs

from gridjig.edits.lookup import placement_of
from gridjig.edits.parts import set_place
from gridjig.edits.selection import shift, things
from gridjig.edits.typed_values import (
    TypedResult,
    pinned_words,
    type_face_distance,
    type_leaf,
    type_reach,
    type_turn,
)
from gridjig.model import Hole, Job, Part, Placement
from gridjig.model.labels import find_hole
from gridjig.model.titles import title
from gridjig.solve.mounting.track import apart
from gridjig.solve.placed.cache import holes_besides
from gridjig.solve.placed.face_distance import face_distance
from gridjig.solve.placed.solver import PlacedPiece, solve_placement
from gridjig.solve.poses.choose import (
    NearestPlacement,
    first_seat,
    nearest_slide,
)
from gridjig.tools.core.refusals import first_refusal
from gridjig.tools.core.tool import Commit, Nothing, Outcome
from gridjig.tools.core.wording import capital
from gridjig.tools.touch.door import keep_touching
from gridjig.units import ParseError, format_angle, parse_angle, parse_length
from gridjig.words.placing_text import placing_text

from .commands import NOTHING_SELECTED, settle, settle_turned
from .drag_holes import moved_step
from .nudge import pose_verb

_BARE = re.compile(r"\s*[+-]?[0-9]+(?:\.[0-9]+)?\s*$")
"""A number without a unit is a length for what slides, an angle for what only turns."""

_FAR = 5.0
"""An angle farther than this from the one typed, degrees, may not be the one that was meant."""


def go_to(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], ids: frozenset[str], text: str
) -> Outcome:
    """Move the selection to a hole address, or set a single thing to an angle or length."""
    if not ids:
        return Nothing(NOTHING_SELECTED)
    first = things(job, ids)[0]
    try:
        hole = find_hole(job.table, text)
    except ParseError as no_hole:
        if len(ids) > 1:
            return Nothing(str(no_hole))
    else:
        return _to_hole(job, placed_pieces, ids, first, hole)
    if isinstance(first, Part):
        return _turn_outline(job, first, text)
    return _set(job, placed_pieces, first, text)


def _to_hole(
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    ids: frozenset[str],
    first: Placement | Part,
    hole: Hole,
) -> Outcome:
    """Move the first selected thing to the hole; the others keep their places relative to it."""
    if isinstance(first, Part):
        at = job.table.at(hole)
        x, y = first.x, first.y
        moved = set_place(job, first.id, x=at[0], y=at[1])
        for thing in job.parts:
            if thing.id in ids and thing.id != first.id:
                moved = set_place(moved, thing.id, x=thing.x + at[0] - x, y=thing.y + at[1] - y)
    else:
        here = first_seat(first, job.rack.piece(first.piece)).hole
        moved = shift(job, ids, hole.col - here.col, hole.row - here.row)
        moved = keep_touching(job, placed_pieces, moved, ids)
    why = first_refusal(job, placed_pieces, moved, ids)
    if why is not None:
        return Nothing(why)
    if moved is job:
        return Nothing(f"{capital(title(job, first.id))} is already there.")
    return moved_step(moved, first.id, ids)


def _turn_outline(job: Job, part: Part, text: str) -> Outcome:
    try:
        turn = parse_angle(text)
    except ParseError as parse_error:
        return Nothing(str(parse_error))
    turned = set_place(job, part.id, turn=turn)
    name, at = title(job, part.id), format_angle(turn)
    return Commit(
        turned,
        f"Turn {name} to {at}",
        frozenset([part.id]),
        said=f"{capital(name)} is turned to {at}.",
    )


def _set(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], placement: Placement, text: str
) -> Outcome:
    """Set what the text can mean for this piece: its reach, slide, arm angle or turn."""
    there = placed_pieces[placement.id]
    try:
        mm = parse_length(text, job.display.unit)
    except ParseError:
        mm = None
    try:
        degrees = parse_angle(text)
    except ParseError as parse_error:
        if mm is None:
            return Nothing(str(parse_error))
        return _answer(job, placed_pieces, placement, _length(job, there, placement, mm))
    meant = _has_length(there) and (not _has_angle(there) or _bears_feet_or_inches(text))
    if meant and mm is not None:
        outcome = _answer(job, placed_pieces, placement, _length(job, there, placement, mm))
        refused = isinstance(outcome, Nothing) and outcome.said != _so(job, placement)
        if refused and _BARE.match(text):
            return Nothing(f"{outcome.said} To turn it, type {format_angle(degrees)}.")
        return outcome
    taken = holes_besides(placed_pieces, placement.id)
    is_arm = there.piece is not None and there.piece.pivot is not None
    typed = (type_leaf if is_arm else type_turn)(job, placement.id, degrees, taken)
    return _angle(job, placed_pieces, placement, typed, degrees)


def _angle(
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    placement: Placement,
    typed: TypedResult,
    degrees: float,
) -> Commit | Nothing:
    """Set the angle typed, or the nearest that the holes allow, and say which and where.

    Where that is far off and the other way round comes closer, only the person knows which is
    meant.
    """
    nearest = placement if typed.offer is None else placement_of(typed.offer, placement.id)
    if typed.other is not None and apart(nearest.turn, degrees) > _FAR:
        return Nothing(f"{typed.says} Nothing was turned; type the one you mean.")
    made = typed.job or typed.offer
    if made is None:
        return Nothing(typed.says)
    wish = NearestPlacement(placement_of(made, placement.id))
    outcome = _answer(job, placed_pieces, placement, wish)
    said = f"{typed.says} {outcome.said}".strip()
    if typed.job is not None and isinstance(outcome, Commit):
        after = placement_of(outcome.job, placement.id)
        said += f" Now {pinned_words(job, after)}." if after.seats != placement.seats else ""
    return structs.replace(outcome, said=said)


def _bears_feet_or_inches(text: str) -> bool:
    """True for `4"`: where a length can be set, nobody means four seconds of a degree."""
    return any(mark in text for mark in "'\"’”′″")


def _has_length(there: PlacedPiece) -> bool:
    slides = there.way is not None and there.way.slides
    return slides or (there.piece is not None and there.piece.tip is not None)


def _has_angle(there: PlacedPiece) -> bool:
    return there.way is None or there.way.kind != "slides"


def _length(
    job: Job, there: PlacedPiece, placement: Placement, mm: float
) -> NearestPlacement | Nothing:
    """Set a clamp's reach, else the face's distance from the hole, else the slide; or why not."""
    if there.piece is not None and there.piece.tip is not None:
        typed = type_reach(job, there, mm)
    elif face_distance(job, there) is not None:
        typed = type_face_distance(job, there, mm)
    else:
        return nearest_slide(job.table, job.rack, placement, mm)
    if typed.job is None:
        return Nothing(typed.says)
    return NearestPlacement(placement_of(typed.job, placement.id))


def _so(job: Job, placement: Placement) -> str:
    return f"{capital(title(job, placement.id))} is already set that way."


def _answer(
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    placement: Placement,
    wish: NearestPlacement | Nothing,
) -> Commit | Nothing:
    if isinstance(wish, Nothing):
        return wish
    if wish.why is not None:
        return Nothing(placing_text(wish.why, job.table, job.display))
    if wish.placement == placement:
        return Nothing(_so(job, placement))
    after = solve_placement(job.table, job.rack, wish.placement)
    verb = pose_verb(placed_pieces[placement.id], after)
    done = settle_turned if verb == "Turn" else settle
    return done(job, placed_pieces, wish.placement, verb)
