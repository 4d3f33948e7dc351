"""What is around and over one weldment, kept from edit to edit: only what changed is looked at."""

from collections.abc import Mapping, Sequence

import numpy as np

from gridjig.contact.shapes import Room, Thing, placed_part, rooms_of
from gridjig.contact.sides import Whole
from gridjig.model import Part
from gridjig.proof.statics.rows import Floats

from .directions import Blocked, Prism, blocked, convex_pieces, free
from .lifting import Above, above, fixed
from .values import Interval


class WaysAround:
    """The ways that things block for one weldment, and what is over it.  Not thread-safe."""

    def __init__(self) -> None:
        self._parts: dict[str, Part] = {}
        self._things: dict[str, tuple[Thing, int]] = {}
        self._next = 0
        self._blocks: dict[str, tuple[Whole, Floats, Floats]] = {}
        self._over: dict[str, dict[str, Above]] = {}

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
        here = {part.id for part in parts}
        self._blocks = {k: one for k, one in self._blocks.items() if k in here}
        self._over = {k: one for k, one in self._over.items() if k in here}
        if gone:
            self._forget(stay, gone, things.keys() - set(come))
        self._look(stay, {k: numbered[k] for k in come})
        for part in fresh:
            self._blocks.pop(part.id, None)
            self._over.pop(part.id, None)
        self._look(fresh, numbered)
        self._parts = {part.id: part for part in parts}
        self._things = numbered

    def directions(self) -> tuple[Interval, ...]:
        """The free directions along the table."""
        every = list(self._blocks.values())
        if not every:
            return free(np.zeros(0), np.zeros(0))
        return free(
            np.concatenate([low for _, low, _ in every]),
            np.concatenate([high for _, _, high in every]),
        )

    def over(self) -> Above:
        """What is over the weldment, in the order of the things."""
        found = [one for by_thing in self._over.values() for one in by_thing.values()]
        blocks = {k for one in found for k in one.blocks}
        captured = {k for one in found for k in one.captured}
        clamps = {k for one in found for k in one.clamps}
        order = list(self._things)
        return Above(*(tuple(k for k in order if k in some) for some in (blocks, captured, clamps)))

    def _forget(self, parts: Sequence[Part], gone: Sequence[int], left: set[str]) -> None:
        for part in parts:
            owner, low, high = self._blocks[part.id]
            stays = owner != gone[0] if len(gone) == 1 else ~np.isin(owner, gone)
            self._blocks[part.id] = (owner[stays], low[stays], high[stays])
            over = self._over[part.id]
            self._over[part.id] = {k: one for k, one in over.items() if k in left}

    def _look(self, parts: Sequence[Part], things: Mapping[str, tuple[Thing, int]]) -> None:
        """Add what these things are to these parts."""
        if not parts or not things:
            for part in parts:
                self._blocks.setdefault(part.id, _EMPTY)
                self._over.setdefault(part.id, {})
            return
        placed = [placed_part(part) for part in parts]
        moving, of_part = _prisms([rooms_of(one).every for one in placed])
        standing = [(k, thing, number) for k, (thing, number) in things.items()]
        around, of_thing = _prisms([fixed(thing).stays for _, thing, _ in standing])
        numbers = np.array([number for *_, number in standing])
        found = blocked(moving, around) if moving and around else None
        for k, part in enumerate(parts):
            before = self._blocks.get(part.id, _EMPTY)
            self._blocks[part.id] = (
                before if found is None else _added(before, found, of_part == k, numbers[of_thing])
            )
        boxes = np.array([rooms_of(thing).box for _, thing, _ in standing])
        for part, one in zip(parts, placed, strict=True):
            x0, y0, x1, y1 = rooms_of(one).box
            near = (boxes[:, 0] < x1) & (x0 < boxes[:, 2]) & (boxes[:, 1] < y1) & (y0 < boxes[:, 3])
            over = self._over.setdefault(part.id, {})
            for at in np.flatnonzero(near).tolist():
                name, thing, _ = standing[at]
                there = above(one, name, thing)
                if any(there):
                    over[name] = there


_EMPTY: tuple[Whole, Floats, Floats] = (
    np.zeros(0, dtype=np.int64),
    np.zeros(0),
    np.zeros(0),
)


def _added(
    before: tuple[Whole, Floats, Floats], found: Blocked, mine: "np.ndarray", numbers: Whole
) -> tuple[Whole, Floats, Floats]:
    own = mine[found.moving]
    owner, low, high = before
    return (
        np.concatenate((owner, numbers[found.fixed[own]])),
        np.concatenate((low, found.low[own])),
        np.concatenate((high, found.high[own])),
    )


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
