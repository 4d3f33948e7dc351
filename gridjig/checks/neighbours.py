"""Finds what is near a thing, by hole and by bounding box, so that few things need checking.

It does not decide whether things conflict; it only excludes those that cannot.
"""

from collections.abc import Iterable, Mapping
from functools import lru_cache
from types import MappingProxyType

from gridjig.contact.shapes import PlacedPart, Thing, placed_part
from gridjig.geometry.box_index import Box, BoxIndex
from gridjig.geometry.shapes import bounds
from gridjig.model import Hole, Part
from gridjig.rack.same import Same, kept_for
from gridjig.solve.placed.placed_piece import PlacedPiece

__all__ = [
    "Neighbours",
    "PlacedPart",
    "Thing",
    "box_of",
    "parts_of",
    "pieces_of",
    "placed_part",
]


class Neighbours:
    """An ordered set of things; all results keep the order."""

    def __init__(self, things: Iterable[Thing]) -> None:
        self._things = tuple(things)
        self._holes: dict[Hole, list[int]] = {}
        self._nearby: BoxIndex[int] = BoxIndex()
        for index, thing in enumerate(self._things):
            if isinstance(thing, PlacedPiece):
                for hole in thing.holes:
                    self._holes.setdefault(hole, []).append(index)
            box = box_of(thing)
            if box is not None:
                self._nearby.put(index, box)

    def pinned_in(self, holes: Iterable[Hole]) -> list[Thing]:
        """Return the pieces in any of these holes."""
        return self._in_order({k for hole in holes for k in self._holes.get(hole, ())})

    def near(self, thing: Thing) -> list[Thing]:
        """Return the things whose box touches that of `thing`."""
        box = box_of(thing)
        return [] if box is None else self.in_box(box)

    def in_box(self, box: Box) -> list[Thing]:
        """Return the things whose box touches a box."""
        return self._in_order(self._nearby.touching(box))

    def _in_order(self, indices: Iterable[int]) -> list[Thing]:
        return [self._things[k] for k in sorted(indices)]


@kept_for(4096)
def box_of(thing: Thing) -> Box | None:
    """Return the bounding box of a thing, handles included; None if it has no bodies."""
    if isinstance(thing, PlacedPart):
        return bounds(thing.points)
    points = [p for solid in thing.solids for p in solid.points]
    return bounds(points) if points else None


def pieces_of(placed_pieces: Mapping[str, PlacedPiece]) -> Neighbours:
    """Return all placed pieces without a fault, as the position of the others is uncertain.

    A read-only view is indexed once and cached; a plain dict may have changed.
    """
    if isinstance(placed_pieces, MappingProxyType):
        return _pieces(Same(placed_pieces))
    return Neighbours(s for s in placed_pieces.values() if s.fault is None)


@lru_cache(maxsize=4)
def _pieces(key: Same[Mapping[str, PlacedPiece]]) -> Neighbours:
    return Neighbours(s for s in key.value.values() if s.fault is None)


def parts_of(parts: tuple[Part, ...]) -> Neighbours:
    """Return the parts of the weldment; the same tuple is indexed once."""
    return _parts(Same(parts))


@lru_cache(maxsize=4)
def _parts(key: Same[tuple[Part, ...]]) -> Neighbours:
    return Neighbours(map(placed_part, key.value))
