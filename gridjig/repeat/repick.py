"""The same set-up on another table: the weldment with its datum faces on hole lines as before, and
every piece in the holes there that let it do what it did.

Pure, from job to job.  What cannot be kept is named, with the reason; nothing is left out silently.
"""

import math
from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct, structs

from gridjig.checks.conflicts import refused
from gridjig.checks.needs import needs
from gridjig.contact.book import contacts
from gridjig.contact.touching import to_touch
from gridjig.contact.values import Contact
from gridjig.edits.table import replace_table
from gridjig.edits.weldment import move
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import FaceOf, Hole, Job, Placement, Seat, Table
from gridjig.rack import Piece, Point, Rack
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.placed.solver import solve_placement
from gridjig.solve.poses.choose import stand_at
from gridjig.solve.poses.pose_table import first_feature
from gridjig.solve.weldment.datum import datum_faces
from gridjig.solve.weldment.faces import WorkFace
from gridjig.units.progress import SILENT, Progress
from gridjig.words.placing_text import placing_text

NEAR = 2.0
"""How far from its old place a piece may be picked again, in pitches of the new table."""
MOST_HOLES = 24
"""How many holes are tried for each piece, nearest first."""
_SAME = 0.05
"""Settings that differ by no more, mm or degrees, are the same."""


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
    dx, dy = _shift(job, old, table)
    bare = structs.replace(job, placements=(), rack=rack or job.rack)
    here = move(replace_table(bare, table), dx, dy)
    touched = contacts(job, old).pieces if job.parts else {}
    pieces: list[Repicked] = []
    for placement in progress.each(list(job.placements), "Picking holes"):
        there = old[placement.id]
        known = touched[placement.id].touching if placement.id in touched else ()
        found = _picked(job, here, placement, there, known, (dx, dy))
        pieces.append(found)
        if found.after is not None:
            here = structs.replace(here, placements=(*here.placements, found.after))
    return RepickedSetup(here, dx, dy, tuple(pieces))


# -- the weldment ----------------------------------------------------------------------------------


def _shift(job: Job, old: Mapping[str, PlacedPiece], table: Table) -> Point:
    """How far the weldment moves: about to the same place of the new table, its datums on lines."""
    dx = (table.width - job.table.width) / 2.0
    dy = (table.depth - job.table.depth) / 2.0
    if job.parts:
        x1, y1, x2, y2 = bounds([p for part in job.parts for p in part_ring(part)])
        dx = _inside(x1 + dx, x2 + dx, table.width) + dx
        dy = _inside(y1 + dy, y2 + dy, table.depth) + dy
    line_x, line_y = _datum_lines(job, old)
    return (
        _onto(line_x + dx, table.first_x, table.pitch_x) + dx,
        _onto(line_y + dy, table.first_y, table.pitch_y) + dy,
    )


def _inside(low: float, high: float, size: float) -> float:
    """How far a span must move to be on a table of that size, as far as it can be."""
    if high - low > size or low < 0.0:
        return -low if high - low <= size else 0.0
    return min(0.0, size - high)


def _onto(at: float, first: float, pitch: float) -> float:
    """How far a place must move to be on the nearest line of holes."""
    return first + round((at - first) / pitch) * pitch - at


def _datum_lines(job: Job, old: Mapping[str, PlacedPiece]) -> Point:
    """The places of the lines of holes that the datum stops stand in; of the first piece's hole
    where there is no stop.
    """
    first = next((seat.hole for p in job.placements for seat in p.seats), Hole(0, 0))
    x, y = job.table.at(first)
    if not job.parts:
        return x, y
    datum = datum_faces(job)
    found = contacts(job, old)
    for face in (datum.end, datum.long):  # A last: it decides where both look the same way
        stop = None if face is None else _stop_at(job, found.pieces, face)
        if face is None or stop is None:
            continue
        at = job.table.at(stop)
        x, y = (at[0], y) if face.axis == "x" else (x, at[1]) if face.axis == "y" else (x, y)
    return x, y


def _stop_at(job: Job, pieces: Mapping[str, object], face: WorkFace) -> Hole | None:
    """The hole, nearest to a face, of the first piece that touches it."""
    for placement in job.placements:
        own = pieces[placement.id]
        for one in getattr(own, "touching", ()):
            if one.part == face.of.part and _side(one) == face.of.side:
                return min(
                    (seat.hole for seat in placement.seats),
                    key=lambda hole: abs(
                        (job.table.at(hole)[0] - face.a[0]) * face.normal[0]
                        + (job.table.at(hole)[1] - face.a[1]) * face.normal[1]
                    ),
                )
    return None


def _side(contact: Contact) -> int | None:
    """The number of the upright face that a contact is with; None for another."""
    upright = contact.face.kind == "side" and contact.kind not in ("rest under", "pad on top")
    return contact.face.number if upright else None


# -- the pieces ------------------------------------------------------------------------------------


def _picked(
    job: Job,
    here: Job,
    placement: Placement,
    there: PlacedPiece,
    known: tuple[Contact, ...],
    shift: Point,
) -> Repicked:
    """One piece in the best holes of the new table: those where its own were, if there are such."""
    piece = here.rack.find(placement.piece)
    if piece is None:
        return Repicked(placement, None, "It is not on this rack.", False)
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
    as_it_was = _in_step(job, here, kept, shift)
    if (
        as_it_was is not None
        and _does(here, as_it_was, wanted) == wanted
        and refused(here, stood, solve_placement(here.table, here.rack, as_it_was)) is None
    ):
        return Repicked(placement, as_it_was, _missing(loose), _alike(there, here, as_it_was))
    for hole in _holes(here, piece, placement, there, shift):
        for tried in _tries(here, piece, kept, there, known, hole, shift):
            if isinstance(tried, str):
                why = why or tried
                continue
            now = solve_placement(here.table, here.rack, tried)
            reason = refused(here, stood, now)
            if reason is not None:
                why = why or reason
                continue
            does = _does(here, tried, wanted)
            away = math.dist(here.table.at(hole), _target(placement, piece, there, shift, here))
            missing = len(wanted - does)
            rank = (missing, len(tried.packing), round(away, 3))
            if best is None or rank < best[0]:
                best = (rank, tried)
        if best is not None and best[0][0] == 0:
            break
    if best is None:
        said = why or "No hole near its place suits it."
        return Repicked(placement, None, said, False)
    ranked, after = best
    lacking = ranked[0]
    if lacking and lacking == len(wanted):
        said = why or "No hole near its place brings it to the work."
        return Repicked(placement, None, said, False)
    told = "It does not touch all that it touched before." if lacking else ""
    told = f"{told} {_missing(loose)}".strip()
    return Repicked(placement, after, told, _alike(there, here, after))


def _missing(loose: Sequence[str]) -> str:
    """Which risers and shims the rack does not have, in a sentence; "" for none."""
    return f"Not on this rack: {', '.join(sorted(set(loose)))}." if loose else ""


def _deed(contact: Contact) -> tuple[str, str]:
    """What a contact is, where it does not matter with which face: the part, and how it is held."""
    return contact.part, contact.kind if _side(contact) is None else "side"


def _does(here: Job, placement: Placement, wanted: Deeds) -> Deeds:
    """What a piece would do; nothing is looked for if nothing is wanted of it."""
    if not wanted:
        return frozenset()
    now = solve_placement(here.table, here.rack, placement)
    return frozenset(map(_deed, contacts(here, {placement.id: now}).pieces[placement.id].touching))


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


def _target(
    placement: Placement, piece: Piece, there: PlacedPiece, shift: Point, here: Job
) -> Point:
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


def _holes(
    here: Job, piece: Piece, placement: Placement, there: PlacedPiece, shift: Point
) -> list[Hole]:
    """The holes of the new table near where the piece was, nearest first."""
    table = here.table
    at = _target(placement, piece, there, shift, here)
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
) -> Iterator[Placement | str]:
    """How the piece can stand with its first feature in a hole: brought to each face that it
    touched, pressing where it pressed, or as it stood.  A sentence says why it cannot.
    """
    taken = frozenset(seat.hole for p in here.placements for seat in p.seats)
    made = stand_at(
        here.table, here.rack, piece, hole, there.turn, placement.flipped, taken,
        leaf=there.leaf, placement_id=placement.id,
    )  # fmt: skip
    first = first_feature(piece)
    if len(placement.seats) == 1 and first is not None:  # on one pin it stays on one
        seats = (Seat(first.id, hole),)
        made = structs.replace(placement, seats=seats, turn=there.turn, slide=there.slide)
    if not isinstance(made, Placement):
        yield placing_text(made, here.table, here.display)
        return
    stands = structs.replace(placement, seats=made.seats, turn=made.turn, slide=made.slide)
    stands = structs.replace(stands, leaf=there.leaf, reach=there.reach)
    used = {one: need.count for one, need in needs(here).items()}
    sides = dict.fromkeys((c.part, side) for c in known if (side := _side(c)) is not None)
    for part, side in sides:
        try:
            brought = to_touch(here, stands, FaceOf(part, side), used)
        except ValueError:  # the face is no longer there
            continue
        if brought.touches:
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
