"""How two jobs differ, as values: what was added, removed, changed or put in another order.

Things are matched by their ids, welds by their joint and hole marks by their hole, and compared
field by field.  Every field of a job is looked at, so that two jobs that are not equal always have
a difference.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from typing import Literal, NamedTuple, TypeVar

from msgspec import Struct

from gridjig.geometry import wrap
from gridjig.model import FaceOf, HoleMark, Job, Part, Placement, Table, Weld, Weldment
from gridjig.model.table import Hole
from gridjig.rack import Piece, Rack
from gridjig.solve.placed.face_distance import face_from_hole
from gridjig.solve.placed.solver import solve_placement

Compared = Job | Table | HoleMark | Rack | Piece | Weldment | Part | Placement | Weld | FaceOf
Sort = Literal[
    "job",
    "weldment",
    "part",
    "weld",
    "critical face",
    "placed piece",
    "table",
    "hole",
    "rack",
    "piece of the rack",
]
ChangeKind = Literal["added", "removed", "changed", "order"]
"""`order`: the same things, one after another in another order."""

T = TypeVar("T", bound=Compared)
_FULL = 1e-9


class Difference(Struct, frozen=True):
    """One thing that differs.

    `old` and `new` are the thing in either job, None where it is not there or if only the order of
    all things of the sort differs.  `fields` are the names of the fields that a changed one differs
    in, in the order of the fields.
    """

    sort: Sort
    does: ChangeKind
    old: Compared | None = None
    new: Compared | None = None
    fields: tuple[str, ...] = ()

    @property
    def thing(self) -> Compared | None:
        """The thing as it is now, or as it was if it is gone."""
        return self.old if self.new is None else self.new


class Shift(NamedTuple):
    """How a part moved in plan: mm to the right, mm to the back, degrees counter-clockwise."""

    dx: float
    dy: float
    turn: float


class FaceMove(NamedTuple):
    """How far the face of a piece stands from its hole in both jobs, mm, packing included."""

    before: float
    after: float


def compare(old: Job, new: Job) -> tuple[Difference, ...]:
    """Everything in which `new` differs from `old`; empty only if the two are equal."""
    if old is new:
        return ()
    return tuple(_all(old, new))


def _all(old: Job, new: Job) -> Iterator[Difference]:
    collected = ("table", "rack", "weldments", "parts", "placements", "welds", "critical")
    yield from _fields("job", old, new, collected)
    yield from _things("weldment", old.weldments, new.weldments, lambda one: one.id)
    yield from _things("part", old.parts, new.parts, lambda one: (one.id, type(one)))
    yield from _things("weld", old.welds, new.welds, lambda w: (frozenset((w.a, w.b)), w.nth))
    yield from _things("critical face", old.critical, new.critical, lambda face: face)
    yield from _things("placed piece", old.placements, new.placements, lambda one: one.id)
    yield from _fields("table", old.table, new.table, ("marks",))
    yield from _things("hole", old.table.marks, new.table.marks, lambda mark: mark.hole)
    yield from _fields("rack", old.rack, new.rack, ("pieces",))
    yield from _things("piece of the rack", old.rack.pieces, new.rack.pieces, lambda one: one.id)


def _fields(sort: Sort, old: T, new: T, without: Sequence[str] = ()) -> Iterator[Difference]:
    """A difference if two values of the same kind differ in any field but these."""
    if old is new or isinstance(new, tuple):
        return
    names = tuple(
        name
        for name in new.__struct_fields__
        if name not in without and getattr(old, name) != getattr(new, name)
    )
    if names:
        yield Difference(sort, "changed", old, new, names)


def _things(
    sort: Sort, old: tuple[T, ...], new: tuple[T, ...], key: Callable[[T], object]
) -> Iterator[Difference]:
    """What differs between two sequences of things that a key tells apart."""
    if old is new:
        return
    was = {key(thing): thing for thing in old}
    now = {key(thing): thing for thing in new}
    for name, thing in now.items():
        before = was.get(name)
        if before is None:
            yield Difference(sort, "added", None, thing)
        else:
            yield from _fields(sort, before, thing)
    for name, thing in was.items():
        if name not in now:
            yield Difference(sort, "removed", thing, None)
    both = was.keys() & now.keys()
    orders = [[name for name in map(key, things) if name in both] for things in (old, new)]
    if orders[0] != orders[1]:
        yield Difference(sort, "order")


# -- by how much -----------------------------------------------------------------------------------


def shift_of(old: Part, new: Part) -> Shift:
    """How a part moved in plan."""
    return Shift(new.x - old.x, new.y - old.y, wrap(new.turn - old.turn))


def holes_moved(old: Placement, new: Placement) -> Hole | None:
    """By how many columns and rows a piece moved; None if not all of its seats moved alike."""
    if [seat.feature for seat in old.seats] != [seat.feature for seat in new.seats]:
        return None
    steps = {
        (b.hole.col - a.hole.col, b.hole.row - a.hole.row)
        for a, b in zip(old.seats, new.seats, strict=True)
    }
    return Hole(*steps.pop()) if len(steps) == 1 else None


def face_moved(old: Job, new: Job, before: Placement, after: Placement) -> FaceMove | None:
    """How far the face of a piece stood and stands from its hole; None if that is the same.

    None too if it has no face or does not stand in its holes, in either job.
    """
    stood = _face(old, before)
    stands = _face(new, after)
    if stood is None or stands is None or math.isclose(stood, stands, abs_tol=_FULL):
        return None
    return FaceMove(stood, stands)


def _face(job: Job, placement: Placement) -> float | None:
    placed = solve_placement(job.table, job.rack, placement)
    found = face_from_hole(job.table, placed) if placed.fault is None else None
    return None if found is None else found.distance
