"""The conflicts of a whole job, kept: after an edit only what differs is compared again."""

from collections.abc import Mapping

from gridjig.contact.shapes import Thing, placed_part, rooms_of
from gridjig.geometry.box_index import BoxIndex
from gridjig.model import Hole, Part
from gridjig.solve.placed.placed_piece import PlacedPiece

from .conflicts import MOST_PAIRS, Clash, Clashes, conflict, every_clash

_FEW = 16
"""With more things that differ than this, everything is compared at once."""


class ClashBook:
    """Keeps the clashes of the last job.  The answers are those of `every_clash`.

    A pair of the same two things keeps the same Clash.  Not thread-safe.
    """

    def __init__(self) -> None:
        self._things: dict[str, Thing] = {}
        self._order: tuple[str, ...] = ()
        self._boxes: BoxIndex[str] = BoxIndex()
        self._holes: dict[Hole, set[str]] = {}
        self._found: dict[tuple[str, str], Clash] = {}
        self._whole = False

    def of(self, placed_pieces: Mapping[str, PlacedPiece], parts: tuple[Part, ...]) -> Clashes:
        """The conflicts among the pieces, and between pieces and parts, in order."""
        now: dict[str, Thing] = {k: p for k, p in placed_pieces.items() if p.fault is None}
        now.update((part.id, placed_part(part)) for part in parts)
        things = self._things
        gone = [k for k, thing in things.items() if now.get(k) is not thing]
        come = [k for k, thing in now.items() if things.get(k) is not thing]
        if not self._whole or len(come) > _FEW:
            return self._anew(now, placed_pieces, parts)
        if gone or come:
            self._exchange(now, gone, come)
        return Clashes(tuple(self._in_order(now)), True)

    def _anew(
        self,
        now: dict[str, Thing],
        placed_pieces: Mapping[str, PlacedPiece],
        parts: tuple[Part, ...],
    ) -> Clashes:
        self._boxes, self._holes = BoxIndex(), {}
        for name, thing in now.items():
            self._enter(name, thing)
        before = self._found
        found = every_clash(placed_pieces.values(), map(placed_part, parts))
        self._found = {(one.a, one.b): one for one in found.found}
        for pair, one in self._found.items():
            if before.get(pair) == one:
                self._found[pair] = before[pair]
        self._things, self._whole = now, found.all
        return found

    def _enter(self, name: str, thing: Thing) -> None:
        rooms = rooms_of(thing)
        if rooms.every:
            self._boxes.put(name, rooms.box)
        if isinstance(thing, PlacedPiece):
            for hole in thing.holes:
                self._holes.setdefault(hole, set()).add(name)

    def _exchange(self, now: dict[str, Thing], gone: list[str], come: list[str]) -> None:
        out = set(gone)
        if out:
            self._found = {
                pair: one
                for pair, one in self._found.items()
                if pair[0] not in out and pair[1] not in out
            }
        for name in gone:
            old = self._things[name]
            self._boxes.drop(name)
            if isinstance(old, PlacedPiece):
                for hole in old.holes:
                    self._holes[hole].discard(name)
        for name in come:
            self._enter(name, now[name])
        places = {name: k for k, name in enumerate(now)}
        for name in come:
            thing = now[name]
            near = (
                set(self._boxes.touching(rooms_of(thing).box)) if rooms_of(thing).every else set()
            )
            if isinstance(thing, PlacedPiece):
                near |= {k for hole in thing.holes for k in self._holes[hole]}
            for other in near - {name}:
                first, second = sorted((name, other), key=places.__getitem__)
                one, two = now[first], now[second]
                if isinstance(one, PlacedPiece) and (first, second) not in self._found:
                    clash = conflict(one, two)
                    if clash is not None:
                        self._found[first, second] = clash
        self._things = now
        self._whole = len(self._found) <= MOST_PAIRS

    def _in_order(self, now: dict[str, Thing]) -> list[Clash]:
        places = {name: k for k, name in enumerate(now)}
        return sorted(self._found.values(), key=lambda one: (places[one.a], places[one.b]))
