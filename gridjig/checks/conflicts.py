"""The one conflict relation: two things cannot both be there.  Checks, tools and solvers use it.

Two pieces conflict if they share a hole, or if they overlap in plan and in height at once.
Touching is no conflict, and a piece raised clear of another does not clash with it.
"""

from collections.abc import Iterable, Mapping, Sequence, Set
from itertools import chain
from typing import Literal

from msgspec import Struct

from gridjig.contact.overlap import AREA, Overlap, overlap, thing_id
from gridjig.contact.shapes import DEPTH, StoodOutline, Thing, rooms_of
from gridjig.model import Hole, Job, Placement
from gridjig.model.labels import address
from gridjig.model.titles import title
from gridjig.rack import Point
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.placed.solver import solve_placement
from gridjig.units import format_length, format_measure

from .neighbours import parts_of, pieces_of

__all__ = ["AREA", "DEPTH", "Clash", "clashes", "conflict", "overlap_words", "refusal", "refused"]


class Clash(Struct, frozen=True):
    """Why two things cannot both be there.

    kind "hole": they share one; "body": they overlap by `area` mm2, `depth` mm deep in plan, as
    `height` mm in height, about `where`; "handle": as body, but it is only a clamp's handle that
    sweeps there.  `hole` is the shared one.
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
    """The first conflict of two things: a shared hole, else where their bodies overlap most, else
    a handle that sweeps into the other; None if both can be there.
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
"""Pairs in one place that are compared for a whole job: some 5 s and 100 MB."""
_AT_ONCE = 64
"""Outlines whose neighbours are asked for together."""


class Clashes(Struct, frozen=True):
    """What was found, and whether that is all: not if there are more than MOST_PAIRS pairs."""

    found: tuple[Clash, ...]
    all: bool


def clashes(
    placed_pieces: Iterable[PlacedPiece], outlines: Iterable[StoodOutline] = ()
) -> tuple[Clash, ...]:
    """Every conflict among the stands, and of them with the outlines, in the order of both.

    One clash a pair, the same as `conflict` finds; found for the whole job at once.  Stands with a
    fault are left out: where they are is not where they would be.
    """
    return every_clash(placed_pieces, outlines).found


def every_clash(
    placed_pieces: Iterable[PlacedPiece], outlines: Iterable[StoodOutline] = ()
) -> Clashes:
    """The conflicts as `clashes` has them, and whether all pairs were compared."""
    stood = [s for s in placed_pieces if s.fault is None]
    things: list[Thing] = [*stood, *outlines]
    pairs: set[tuple[int, int]] = set()
    for pair in chain(_sharing(stood), _close(things, len(stood))):
        pairs.add(pair)
        if len(pairs) > MOST_PAIRS:
            break
    found: list[Clash] = []
    for i, j in sorted(pairs)[:MOST_PAIRS]:
        one = things[i]
        assert isinstance(one, PlacedPiece)
        clash = conflict(one, things[j])
        if clash is not None:
            found.append(clash)
    return Clashes(tuple(found), len(pairs) <= MOST_PAIRS)


def _sharing(stood: Sequence[PlacedPiece]) -> Iterable[tuple[int, int]]:
    """Pairs that share a hole, the lower index first."""
    users: dict[Hole, list[int]] = {}
    for index, one in enumerate(stood):
        for hole in one.holes:
            before = users.setdefault(hole, [])
            yield from ((other, index) for other in before)
            before.append(index)


def _close(things: Sequence[Thing], stands: int) -> Iterable[tuple[int, int]]:
    """Pairs whose outlines meet in plan, at least one of them a piece, the lower index first."""
    if len(things) < 2:
        return
    import shapely  # noqa: PLC0415  # late, as above

    rooms = [(i, room) for i, t in enumerate(things) for room in rooms_of(t).every]
    plans = [room.plan for _, room in rooms]
    tree = shapely.STRtree(plans)
    for begin in range(0, len(plans), _AT_ONCE):
        left, right = tree.query(plans[begin : begin + _AT_ONCE], predicate="intersects")
        for u, v in zip(left.tolist(), right.tolist(), strict=True):
            i, j = rooms[begin + u][0], rooms[v][0]
            if i < j and i < stands:
                yield (i, j)


def refusal(
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    placement: Placement,
    ignoring: Set[str] = frozenset(),
) -> str | None:
    """The first reason, in a sentence, why a placement cannot be there; None if it can.

    Off the table, a hole that cannot be used, a pin that does not fit, a hole that is taken, a
    clash with a piece, a clash with the weldment, in this order.  It is never in its own way, and
    what is named in `ignoring` is not in it either.
    """
    return refused(
        job, placed_pieces, solve_placement(job.table, job.rack, placement, job.display), ignoring
    )


def refused(
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    here: PlacedPiece,
    ignoring: Set[str] = frozenset(),
) -> str | None:
    """The same of what stands so already, be it a plate that no rack has yet."""
    if here.fault is not None:
        return here.fault
    left_out = {here.placement.id, *ignoring}
    pieces = pieces_of(placed_pieces)
    for other in pieces.pinned_in(here.holes):
        if thing_id(other) not in left_out:
            assert isinstance(other, PlacedPiece)
            hole = next(hole for hole in here.holes if hole in other.holes)
            return f"Hole {address(job.table, hole)} is taken by {title(job, thing_id(other))}."
    for thing in (*pieces.near(here), *parts_of(job.parts).near(here)):
        clash = None if thing_id(thing) in left_out else conflict(here, thing)
        if clash is not None and clash.kind == "body":
            return f"It would overlap {title(job, clash.b)} by {overlap_words(job, clash)}."
    return None


SLIVER = 0.5
"""An overlap of less than this, mm, is told to the last digit that can be measured."""


def overlap_words(job: Job, clash: Clash) -> str:
    """How far two things overlap in plan, the shorter way out."""
    told = format_length(clash.depth, job.display)
    # A sliver is never told as about nothing.
    return format_measure(clash.depth, job.display) if clash.depth < SLIVER else told
