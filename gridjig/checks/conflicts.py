"""The one conflict relation, used by checks, tools and solvers: two things cannot both be there.

Two pieces conflict if they share a hole, or overlap both in plan and in height.  Touching is not a
conflict, and a piece raised clear of another does not clash with it.
"""

from collections.abc import Iterable, Mapping, Sequence, Set
from itertools import chain
from typing import Literal

from msgspec import Struct

from gridjig.contact.overlap import AREA, Overlap, overlap, thing_id
from gridjig.contact.shapes import DEPTH, PlacedPart, Thing, rooms_of
from gridjig.model import Hole, Job, Placement
from gridjig.model.labels import address
from gridjig.model.titles import title
from gridjig.rack import Point
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.placed.solver import solve_placement
from gridjig.units import format_length, format_measure, unmarked
from gridjig.units.progress import look, looked_at
from gridjig.words.placing_text import placing_text

from .neighbours import parts_of, pieces_of

__all__ = [
    "AREA",
    "DEPTH",
    "Clash",
    "Obstacle",
    "clashes",
    "conflict",
    "obstacle",
    "overlap_words",
    "refusal",
    "refused",
]


class Clash(Struct, frozen=True):
    """Why two things cannot both be there.

    kind "hole": they share the hole `hole`; "body": they overlap by `area` mm2 and `depth` mm in
    plan, and `height` mm in height, around `where`; "handle": like "body", but it is only a clamp's
    handle that sweeps there.
    """

    kind: Literal["hole", "body", "handle"]
    a: str
    b: str
    where: Point
    hole: Hole | None = None
    area: float = 0.0
    depth: float = 0.0
    height: float = 0.0


def conflict(a: PlacedPiece, b: Thing) -> Clash | None:
    """Return the conflict of two things; None if both can be there.

    It is a shared hole, or else the largest overlap of their bodies, or else a handle that sweeps
    into the other.
    """
    if isinstance(b, PlacedPiece):
        shared = next((hole for hole in a.holes if hole in b.holes), None)
        if shared is not None:
            return Clash("hole", thing_id(a), thing_id(b), _centre(a), hole=shared)
    found = overlap(a, b)
    return None if found is None else _clash(found)


def _clash(found: Overlap) -> Clash:
    kind: Literal["body", "handle"] = "handle" if found.handle else "body"
    return Clash(kind, found.a, found.b, found.where, None, found.area, found.depth, found.height)


def _centre(thing: PlacedPiece) -> Point:
    pose = thing.poses[0] if thing.poses else None
    return (pose.x, pose.y) if pose else (0.0, 0.0)


MOST_PAIRS = 20_000
"""The most close pairs compared for a whole job: about 5 s and 100 MB."""
_AT_ONCE = 64
"""Outlines whose neighbours are queried together."""


class Clashes(Struct, frozen=True):
    """The clashes found, and whether they are all: not if there are more than MOST_PAIRS pairs."""

    found: tuple[Clash, ...]
    all: bool


def clashes(
    placed_pieces: Iterable[PlacedPiece], outlines: Iterable[PlacedPart] = ()
) -> tuple[Clash, ...]:
    """Return every conflict among the pieces, and between pieces and outlines, in order.

    One clash per pair, as `conflict` returns it, but for the whole job at once.  Pieces with a
    fault are left out, as their position is not certain.
    """
    return every_clash(placed_pieces, outlines).found


def every_clash(
    placed_pieces: Iterable[PlacedPiece], outlines: Iterable[PlacedPart] = ()
) -> Clashes:
    """Return the conflicts as `clashes` does, and whether all pairs were compared."""
    good = [s for s in placed_pieces if s.fault is None]
    things: list[Thing] = [*good, *outlines]
    pairs: set[tuple[int, int]] = set()
    for pair in chain(_sharing(good), _close(things, len(good))):
        pairs.add(pair)
        if len(pairs) > MOST_PAIRS:
            break
    found: list[Clash] = []
    for i, j in looked_at(sorted(pairs)[:MOST_PAIRS], 20):
        one = things[i]
        assert isinstance(one, PlacedPiece)
        clash = conflict(one, things[j])
        if clash is not None:
            found.append(clash)
    return Clashes(tuple(found), len(pairs) <= MOST_PAIRS)


def _sharing(pieces: Sequence[PlacedPiece]) -> Iterable[tuple[int, int]]:
    """Pairs that share a hole, lower index first."""
    users: dict[Hole, list[int]] = {}
    for index, one in enumerate(pieces):
        for hole in one.holes:
            before = users.setdefault(hole, [])
            yield from ((other, index) for other in before)
            before.append(index)


def _close(things: Sequence[Thing], pieces: int) -> Iterable[tuple[int, int]]:
    """Pairs whose outlines meet in plan, lower index first; one must be of the first `pieces`."""
    if len(things) < 2:
        return
    import shapely  # noqa: PLC0415  # late, as above

    rooms = [(i, room) for i, t in enumerate(things) for room in rooms_of(t).every]
    plans = [room.plan for _, room in rooms]
    tree = shapely.STRtree(plans)
    for begin in range(0, len(plans), _AT_ONCE):
        look()
        left, right = tree.query(plans[begin : begin + _AT_ONCE], predicate="intersects")
        for u, v in zip(left.tolist(), right.tolist(), strict=True):
            i, j = rooms[begin + u][0], rooms[v][0]
            if i < j and i < pieces:
                yield (i, j)


def refusal(
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    placement: Placement,
    ignoring: Set[str] = frozenset(),
) -> str | None:
    """Return the first reason why a placement cannot be there, in a sentence, or None.

    The order is: off the table, an unusable hole, a pin that does not fit, a taken hole, a clash
    with a piece, a clash with the weldment.  The placement itself and the ids in `ignoring` do not
    count.
    """
    return refused(job, placed_pieces, solve_placement(job.table, job.rack, placement), ignoring)


def refused(
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    here: PlacedPiece,
    ignoring: Set[str] = frozenset(),
) -> str | None:
    """Like `refusal`, for a piece that is already solved, or a cut plate that is on no rack."""
    found = obstacle(job, placed_pieces, here, ignoring)
    return None if found is None else found.why


class Obstacle(Struct, frozen=True):
    """What is in the way of a piece: the reason in words, and the clash if it is a body."""

    why: str
    clash: Clash | None = None


def obstacle(
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    here: PlacedPiece,
    ignoring: Set[str] = frozenset(),
) -> Obstacle | None:
    """Return the first thing in the way of a solved piece, in `refusal`'s order, or None."""
    if here.fault is not None:
        return Obstacle(placing_text(here.fault, job.table, job.display))
    left_out = {here.placement.id, *ignoring}
    pieces = pieces_of(placed_pieces)
    for other in pieces.pinned_in(here.holes):
        if thing_id(other) not in left_out:
            assert isinstance(other, PlacedPiece)
            hole = next(hole for hole in here.holes if hole in other.holes)
            taken = f"Hole {address(job.table, hole)} is taken by {title(job, thing_id(other))}."
            return Obstacle(taken)
    for thing in (*pieces.near(here), *parts_of(job.parts).near(here)):
        clash = None if thing_id(thing) in left_out else conflict(here, thing)
        if clash is not None and clash.kind == "body":
            by = overlap_words(job, clash)
            return Obstacle(f"It would overlap {title(job, clash.b)} by {by}.", clash)
    return None


SLIVER = 0.5
"""An overlap of less than this, mm, is shown to the last digit that can be measured."""


def overlap_words(job: Job, clash: Clash | Overlap) -> str:
    """Return how far two things overlap in plan, measured the shorter way out."""
    told = format_length(clash.depth, job.display)
    # A sliver is never shown as about nothing.
    nothing = unmarked(told) == format_length(0.0, job.display)
    return format_measure(clash.depth, job.display) if nothing or clash.depth < SLIVER else told
