"""What is around and over one weldment, kept from edit to edit: only what changed is looked at."""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import numpy as np

from gridjig.contact.shapes import PlacedPart, Room, Thing, placed_part, rooms_of
from gridjig.contact.sides import Whole
from gridjig.model import Part
from gridjig.proof.statics.rows import Floats
from gridjig.rack.same import alike

from .directions import Prism, blocked, convex_pieces, free
from .lifting import Above, above, fixed
from .values import Interval


class _Blocks(NamedTuple):
    """Open intervals of directions, degrees, each with the numbers of its part and its thing."""

    part: Whole
    thing: Whole
    low: Floats
    high: Floats


_NONE = _Blocks(np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64), np.zeros(0), np.zeros(0))


class WaysAround:
    """The ways that things block for one weldment, and what is over it.  Not thread-safe."""

    def __init__(self) -> None:
        self._parts: dict[str, Part] = {}
        self._things: dict[str, tuple[Thing, int]] = {}
        self._next = 0
        self._numbers: dict[str, int] = {}  # of the parts
        self._blocks = _NONE
        self._over: dict[str, dict[str, Above]] = {}
        self._moving: tuple[tuple[Part, ...], _Moving] | None = None

    def follow(self, parts: Sequence[Part], things: Mapping[str, Thing]) -> None:
        """Look at the parts and things that are not the same objects as before."""
        old, kept = self._things, self._parts
        gone = [n for k, (thing, n) in old.items() if things.get(k) is not thing]
        come = [k for k, thing in things.items() if k not in old or old[k][0] is not thing]
        numbered = {k: old[k] for k in things if k in old and old[k][0] is things[k]}
        for k in come:
            numbered[k] = (things[k], self._next)
            self._next += 1
        stay = [part for part in parts if kept.get(part.id) is part]
        fresh = [part for part in parts if kept.get(part.id) is not part]
        self._numbers = {part.id: self._numbers[part.id] for part in stay}
        self._over = {part.id: self._over[part.id] for part in stay}
        if gone or len(stay) < len(kept):
            self._forget(gone, things.keys() - set(come))
        self._look(stay, {k: numbered[k] for k in come})
        for part in fresh:
            self._numbers[part.id] = self._next
            self._next += 1
        self._look(fresh, numbered)
        self._parts = {part.id: part for part in parts}
        self._things = numbered

    def directions(self) -> tuple[Interval, ...]:
        """The free directions along the table."""
        return free(self._blocks.low, self._blocks.high)

    def over(self) -> Above:
        """What is over the weldment, in the order of the things."""
        found = [one for by_thing in self._over.values() for one in by_thing.values()]
        blocks = {k for one in found for k in one.blocks}
        captured = {k for one in found for k in one.captured}
        clamps = {k for one in found for k in one.clamps}
        order = list(self._things)
        return Above(*(tuple(k for k in order if k in some) for some in (blocks, captured, clamps)))

    def _forget(self, gone: Sequence[int], left: set[str]) -> None:
        """Keep only what the parts that are numbered still have to do with the things left."""
        before = self._blocks
        stays = ~np.isin(before.thing, gone)
        stays &= np.isin(before.part, list(self._numbers.values()))
        self._blocks = _Blocks(
            before.part[stays], before.thing[stays], before.low[stays], before.high[stays]
        )
        for part, over in self._over.items():
            self._over[part] = {k: one for k, one in over.items() if k in left}

    def _look(self, parts: Sequence[Part], things: Mapping[str, tuple[Thing, int]]) -> None:
        """Add what these things are to these parts."""
        for part in parts:
            self._over.setdefault(part.id, {})
        if not parts or not things:
            return
        moving = self._moving_of(parts)
        standing = [(k, thing, number) for k, (thing, number) in things.items()]
        around, of_thing = _prisms([fixed(thing).stays for _, thing, _ in standing])
        numbers = np.array([number for *_, number in standing])
        if moving.prisms and around:
            found = blocked(moving.prisms, around)
            mine = np.array([self._numbers[part.id] for part in parts])[moving.of_part]
            more = (mine[found.moving], numbers[of_thing][found.fixed], found.low, found.high)
            self._blocks = _Blocks(
                *(np.concatenate(both) for both in zip(self._blocks, more, strict=True))
            )
        others = np.array([rooms_of(thing).box for _, thing, _ in standing])
        for k, at in _meeting(moving.boxes, others):
            name, thing, _ = standing[at]
            there = above(moving.placed[k], name, thing)
            if any(there):
                self._over[parts[k].id][name] = there

    def _moving_of(self, parts: Sequence[Part]) -> "_Moving":
        """Return these parts as pieces that move; kept, as nearly always all of them are asked."""
        key = tuple(parts)
        if self._moving is None or not alike(self._moving[0], key):
            self._moving = (key, _moving(parts))
        return self._moving[1]


class _Moving(NamedTuple):
    """Parts as convex pieces, each with the index of its part; and the boxes of the parts."""

    placed: list[PlacedPart]
    prisms: list[Prism]
    of_part: Whole
    boxes: Floats


def _moving(parts: Sequence[Part]) -> _Moving:
    placed = [placed_part(part) for part in parts]
    rooms = [rooms_of(one) for one in placed]
    boxes = np.array([one.box for one in rooms])
    return _Moving(placed, *_prisms([one.every for one in rooms]), boxes)


def _meeting(boxes: Floats, others: Floats) -> Iterator[tuple[int, int]]:
    """The indices of the boxes of two lists that overlap, in the order of the first."""
    step = max(_AT_ONCE // len(others), 1)
    for begin in range(0, len(boxes), step):
        some = boxes[begin : begin + step, None]
        near = (others[:, :2] < some[..., 2:]) & (some[..., :2] < others[:, 2:])
        for k, at in np.argwhere(near.all(axis=2)).tolist():
            yield begin + k, at


_AT_ONCE = 1_000_000
"""Pairs of boxes compared at once: 10 MB."""


def _prisms(every: Sequence[Sequence[Room]]) -> tuple[list[Prism], Whole]:
    """The convex pieces of some things, and the index of the thing of each."""
    prisms: list[Prism] = []
    of: list[int] = []
    for k, rooms in enumerate(every):
        for room in rooms:
            for ring in convex_pieces(room.points, room.openings):
                prisms.append(Prism(ring, room.z_low, room.z_high))
                of.append(k)
    return prisms, np.array(of, dtype=np.int64)
