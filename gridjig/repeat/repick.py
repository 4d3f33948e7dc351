"""The same set-up on another table: the weldment with its datum faces on hole lines as before, and
every piece in the holes there that let it do what it did.

Pure, from job to job.  What cannot be kept is named, with the reason; nothing is left out silently.
"""

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct, structs

from gridjig.checks.conflicts import refused
from gridjig.checks.needs import needs
from gridjig.contact.accepted import is_accepted
from gridjig.contact.book import contacts
from gridjig.contact.touching import to_touch
from gridjig.contact.values import Contact, PieceContacts
from gridjig.edits.table import replace_table
from gridjig.edits.weldment import move
from gridjig.model import FaceOf, Hole, Job, Placement, Seat, Table
from gridjig.rack import Piece, Point, Rack
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.placed.solver import solve_placement
from gridjig.solve.poses.choose import stand_at
from gridjig.solve.poses.pose_table import first_feature
from gridjig.units.progress import SILENT, Progress
from gridjig.words.placing_text import placing_text

from .others import others, turn_instead
from .shifting import shift_of, side_of

NEAR = 2.0
"""How far from its old place a piece may be picked again, in pitches of the new table."""
MOST_HOLES = 24
"""How many holes are tried for each piece, nearest first."""
_SAME = 0.05
"""Settings that differ by no more, mm or degrees, are the same."""

_UNTOUCHED = "In no hole near its place does it reach the work with the packing on this rack."


Deeds = frozenset[tuple[str, str]]
"""What a piece does: which parts it locates, carries or presses."""


class Repicked(Struct, frozen=True):
    """One piece: as it was, as it is now (None: not kept), and why it is not, or does less.

    `same` is True if only its holes have other places: its turn, slide, reach and packing stay.
    """

    before: Placement
    after: Placement | None
    why: str
    same: bool


class RepickedSetup(Struct, frozen=True):
    """A job on its new table: how the weldment moved, and every piece in the order of the job."""

    job: Job
    dx: float
    dy: float
    pieces: tuple[Repicked, ...]

    @property
    def lost(self) -> tuple[Repicked, ...]:
        """The pieces that could not be kept."""
        return tuple(one for one in self.pieces if one.after is None)


def repick(
    job: Job, table: Table, rack: Rack | None = None, progress: Progress = SILENT
) -> RepickedSetup:
    """Pick the set-up of a job again on another table, with another rack if one is given.

    The weldment keeps its datums: the face of each datum stop stays as far from its line of holes
    as it was, so that the stop is set and packed as before.  Raises Cancelled.
    """
    old = PlacedPieces().of(job)
    dx, dy = shift_of(job, old, table)
    bare = structs.replace(job, placements=(), rack=rack or job.rack)
    here = move(replace_table(bare, table), dx, dy)
    touched = contacts(job, old).pieces if job.parts else {}
    pieces: list[Repicked] = []
    for placement in progress.each(list(job.placements), "Picking holes"):
        there = old[placement.id]
        known = _held(placement, touched[placement.id]) if placement.id in touched else ()
        found = _picked(job, here, placement, there, known, (dx, dy))
        pieces.append(found)
        if found.after is not None:
            here = structs.replace(here, placements=(*here.placements, found.after))
    return RepickedSetup(here, dx, dy, tuple(pieces))


def _picked(
    job: Job,
    here: Job,
    placement: Placement,
    there: PlacedPiece,
    known: tuple[Contact, ...],
    shift: Point,
) -> Repicked:
    """One piece in the best holes of the new table: those where its own were, if there are such.

    If it is not on the rack, or does not do there what it did, another piece that does stands in
    its place.
    """
    piece = here.rack.find(placement.piece)
    asked = _Asked(job, here, there, known, shift)
    own = _Found("It is not on this rack.") if piece is None else _best(asked, placement, piece)
    wanted = there.piece or piece
    if (own.after is not None and not own.missing) or wanted is None or there.fault is not None:
        return _told(asked, placement, own)
    used = {one: need.count for one, need in needs(here).items()}
    for other in others(here.rack, wanted, used):
        anew = structs.replace(placement, piece=other.id, flipped=False, packing=(), slide=0.0)
        found = _best(asked, anew, other, turn_instead(other, there))
        if found.after is not None and (own.after is None or found.missing < own.missing):
            why = f"{other.full_name} in place of {wanted.full_name}."
            own = structs.replace(found, why=f"{why} {found.why}".strip(), other=True)
            if not own.missing:
                break
    return _told(asked, placement, own)


class _Asked(Struct, frozen=True):
    """What a piece is picked from: the old job, the new one so far, where the piece stood, what it
    touched, and how the weldment moved.
    """

    job: Job
    here: Job
    there: PlacedPiece
    known: tuple[Contact, ...]
    shift: Point


class _Found(Struct, frozen=True):
    """The best that was found for a piece: how many of its deeds are missing, and what to say."""

    why: str = ""
    after: Placement | None = None
    missing: int = 0
    other: bool = False


def _told(asked: _Asked, placement: Placement, found: _Found) -> Repicked:
    same = found.after is not None and not found.other
    same = same and _alike(asked.there, asked.here, found.after)  # type: ignore[arg-type]
    return Repicked(placement, found.after, found.why, same)


def _best(asked: _Asked, placement: Placement, piece: Piece, turn: float | None = None) -> _Found:
    """A piece in the best holes of the new table; one that stands in for another has its `turn`."""
    here, there, known, shift = asked.here, asked.there, asked.known, asked.shift
    loose = [one for one in (*placement.lift, *placement.packing) if here.rack.find(one) is None]
    kept = structs.replace(
        placement,
        lift=tuple(one for one in placement.lift if one not in loose),
        packing=tuple(one for one in placement.packing if one not in loose),
    )
    best: tuple[tuple[float, ...], Placement] | None = None
    why = ""
    wanted = frozenset(map(_deed, known))
    stood = PlacedPieces().of(here)
    as_it_was = _in_step(asked.job, here, kept, shift) if turn is None else None
    if (
        as_it_was is not None
        and _does(here, as_it_was, wanted) == wanted
        and refused(here, stood, solve_placement(here.table, here.rack, as_it_was)) is None
    ):
        return _Found(_missing(loose), as_it_was)
    at = _target(there.piece or piece, there, shift)
    for hole in _holes(here.table, at):
        for tried in _tries(here, piece, kept, there, known, hole, shift, turn):
            if isinstance(tried, str):
                why = why or tried
                continue
            now = solve_placement(here.table, here.rack, tried)
            reason = refused(here, stood, now)
            if reason is not None:
                why = why or reason
                continue
            does = _does(here, tried, wanted)
            away = math.dist(here.table.at(hole), at)
            missing = len(wanted - does)
            rank = (missing, len(tried.packing), round(away, 3))
            if best is None or rank < best[0]:
                best = (rank, tried)
        if best is not None and best[0][0] == 0:
            break
    if best is None:
        return _Found(why or (_UNTOUCHED if wanted else "No hole near its place suits it."))
    ranked, after = best
    lacking = int(ranked[0])
    if lacking and lacking == len(wanted):
        return _Found(why or _UNTOUCHED)
    told = "It does not touch all that it touched before." if lacking else ""
    return _Found(f"{told} {_missing(loose)}".strip(), after, lacking)


def _missing(loose: Sequence[str]) -> str:
    """Which risers and shims the rack does not have, in a sentence; "" for none."""
    return f"Not on this rack: {', '.join(sorted(set(loose)))}." if loose else ""


def _deed(contact: Contact) -> tuple[str, str]:
    """What a contact is, where it does not matter with which face: the part, and how it is held."""
    return contact.part, contact.kind if side_of(contact) is None else "side"


def _does(here: Job, placement: Placement, wanted: Deeds) -> Deeds:
    """What a piece would do; nothing is looked for if nothing is wanted of it."""
    if not wanted:
        return frozenset()
    now = solve_placement(here.table, here.rack, placement)
    return frozenset(
        map(_deed, _held(placement, contacts(here, {placement.id: now}).pieces[placement.id]))
    )


def _held(placement: Placement, found: PieceContacts) -> tuple[Contact, ...]:
    """What a piece touches, or stands in front of with a gap that was accepted."""
    return tuple(
        one for one in found.contacts if one.means == "touches" or is_accepted(placement, one)
    )


def _in_step(job: Job, here: Job, placement: Placement, shift: Point) -> Placement | None:
    """The piece in the holes that lie where its own were, if every one of them has such a hole."""
    seats: list[Seat] = []
    for seat in placement.seats:
        x, y = job.table.at(seat.hole)
        x, y = x + shift[0], y + shift[1]
        hole = here.table.nearest(x, y)
        if math.dist(here.table.at(hole), (x, y)) > _SAME:
            return None
        seats.append(Seat(seat.feature, hole))
    return structs.replace(placement, seats=tuple(seats))


def _target(piece: Piece, there: PlacedPiece, shift: Point) -> Point:
    """Where the hole of its first feature was, moved with the weldment."""
    first = first_feature(piece)
    at = next(
        (
            there.poses[mount.body].point(mount.at)
            for mount in piece.mounts
            if first is not None and mount.id == first.id and there.poses and hasattr(mount, "at")
        ),
        None,
    )
    if at is None:
        at = (there.poses[0].x, there.poses[0].y) if there.poses else (0.0, 0.0)
    return at[0] + shift[0], at[1] + shift[1]


def _holes(table: Table, at: Point) -> list[Hole]:
    """The holes of the new table near where the piece was, nearest first."""
    middle = table.nearest(*at)
    wide = math.ceil(NEAR)
    found = [
        hole
        for col in range(middle.col - wide, middle.col + wide + 1)
        for row in range(middle.row - wide, middle.row + wide + 1)
        if table.has(hole := Hole(col, row))
    ]
    return sorted(found, key=lambda hole: (round(math.dist(table.at(hole), at), 3), hole))[
        :MOST_HOLES
    ]


def _tries(
    here: Job,
    piece: Piece,
    placement: Placement,
    there: PlacedPiece,
    known: tuple[Contact, ...],
    hole: Hole,
    shift: Point,
    turn: float | None,
) -> Iterator[Placement | str]:
    """How the piece can stand with its first feature in a hole: brought to each face that it
    touched, pressing where it pressed, or as it stood.  A sentence says why it cannot.
    """
    taken = frozenset(seat.hole for p in here.placements for seat in p.seats)
    turned = there.turn if turn is None else turn
    made = stand_at(
        here.table, here.rack, piece, hole, turned, placement.flipped, taken,
        leaf=there.leaf, placement_id=placement.id,
    )  # fmt: skip
    first = first_feature(piece)
    if (
        turn is None and len(placement.seats) == 1 and first is not None
    ):  # on one pin it stays on one
        seats = (Seat(first.id, hole),)
        made = structs.replace(placement, seats=seats, turn=there.turn, slide=there.slide)
    if not isinstance(made, Placement):
        yield placing_text(made, here.table, here.display)
        return
    stands = structs.replace(placement, seats=made.seats, turn=made.turn, slide=made.slide)
    if turn is None:
        stands = structs.replace(stands, leaf=there.leaf, reach=there.reach)
    else:  # another piece opens and reaches as far as it can
        stands = structs.replace(stands, leaf=made.leaf, reach=made.reach)
    used = {one: need.count for one, need in needs(here).items()}
    sides = dict.fromkeys((c.part, side) for c in known if (side := side_of(c)) is not None)
    for part, side in sides:
        try:
            brought = to_touch(here, stands, FaceOf(part, side), used)
        except ValueError:  # the face is no longer there
            continue
        if brought.touches or placement.accepted_gap:
            yield brought.placement
    if there.tip is not None and there.tip.push == "down":
        yield from _pressing(here, piece, stands, there, shift)
    if not sides:
        yield stands


def _pressing(
    here: Job, piece: Piece, stands: Placement, there: PlacedPiece, shift: Point
) -> Iterator[Placement]:
    """A down-clamp turned and reaching to where it pressed, as far as its reach goes."""
    tip = piece.tip
    assert tip is not None
    assert there.tip is not None
    at = (there.tip.at[0] + shift[0], there.tip.at[1] + shift[1])
    now = solve_placement(here.table, here.rack, stands)
    if not now.poses:
        return
    x, y = now.poses[0].point(tip.at)
    reach = math.dist((x, y), at)
    reach = min(max(reach, tip.reach_min), tip.reach_max)
    turn = math.degrees(math.atan2(at[1] - y, at[0] - x)) - tip.direction
    turn = math.remainder(turn, 360.0)
    yield structs.replace(stands, turn=turn, reach=reach)


def _alike(there: PlacedPiece, here: Job, after: Placement) -> bool:
    """True if the piece is set as before but for its holes."""
    now = solve_placement(here.table, here.rack, after)
    pairs = ((there.slide, now.slide), (there.leaf, now.leaf), (there.reach, now.reach))
    turned = abs(math.remainder(there.turn - now.turn, 360.0))
    same_stacks = sorted(there.placement.packing) == sorted(after.packing)
    return (
        turned <= _SAME
        and all(abs(a - b) <= _SAME for a, b in pairs)
        and same_stacks
        and there.placement.lift == after.lift
    )
