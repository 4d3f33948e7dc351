"""What carries a part: the table, the rests of pieces, and the parts that it lies on.

It is carried if its centre of gravity is over what supports it, and that is at more than one spot.
"""

from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from typing import Literal

from msgspec import Struct

from gridjig.geometry import unit
from gridjig.geometry.part_mass import Load, load, total
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Part
from gridjig.rack import Point
from gridjig.rack.same import Same, kept_for

from .values import TOUCH, Contact, PartContact

_SPOT = 0.5
"""A single support shorter than this fraction of the part is a spot that the part rocks on."""

CarriedHow = Literal["table", "supports", "tips", "rocks", "nothing"]


class Carried(Struct, frozen=True):
    """How a part is carried, and by which pieces and parts.

    "table": it stands on it.  "supports": its centre of gravity, at `centre`, is over them and
    they are not all in one spot.  "tips": it is `off` mm outside of them.  "rocks": they are one
    short spot.  "nothing": it is in the air.
    """

    how: CarriedHow
    by: tuple[str, ...]
    centre: Point
    off: float = 0.0

    @property
    def well(self) -> bool:
        """True if it stays where it is put."""
        return self.how in ("table", "supports")


class Carrier(Struct, frozen=True, eq=False):
    """A piece or part that supports a part, and the points of where it does; kept by identity."""

    id: str
    points: tuple[Point, ...]


@kept_for(4096)
def weight_of(part: Part) -> Load:
    """The mass and centre of gravity of a part; the same part gives the same value."""
    return load(part)


def supports_of(
    part: Part, own: Iterable[Contact], joined: Iterable[PartContact]
) -> tuple[Carrier, ...]:
    """The rests under a part, and the parts that it lies on; `own` are the contacts with it.

    The same contacts give the same supports.
    """
    found = [_rest(Same(one)) for one in own if one.kind == "rest under" and one.touches]
    for one in joined:
        if one.kind == "on top" and one.normal is not None and part.id in (one.a, one.b):
            lower = one.a if one.normal[2] > 0.0 else one.b
            if lower != part.id:
                found.append(_lower(Same(one), lower))
    return tuple(found)


@lru_cache(maxsize=8192)
def _rest(key: Same[Contact]) -> Carrier:
    contact = key.value
    (x, y), radius = contact.middle, contact.length / 2.0
    ring = (unit(step) for step in range(0, 360, 10))
    return Carrier(contact.piece, tuple((x + radius * c, y + radius * s) for c, s in ring))


@lru_cache(maxsize=8192)
def _lower(key: Same[PartContact], lower: str) -> Carrier:
    return Carrier(lower, key.value.points)


@lru_cache(maxsize=8192)
def _standing(key: Same[Part]) -> Carrier:
    """The table under a part that stands on it."""
    return Carrier(key.value.id, part_ring(key.value))


def carried(part: Part, supports: Sequence[Carrier]) -> Carried:
    """How a part is carried by the table or by its supports."""
    return _carried(Same(part), tuple(supports))


@lru_cache(maxsize=8192)
def _carried(key: Same[Part], supports: tuple[Carrier, ...]) -> Carried:
    part = key.value
    weight = weight_of(part)
    centre = (weight.x, weight.y)
    by = tuple(dict.fromkeys(one.id for one in supports))
    if part.z_low <= TOUCH:
        return Carried("table", by, centre)
    if not supports:
        return Carried("nothing", (), centre)
    off = _off(supports, centre)
    if off > TOUCH:
        return Carried("tips", by, centre, off)
    if len(supports) == 1 and _across(supports[0].points) < _SPOT * _across(part_ring(part)):
        return Carried("rocks", by, centre)
    return Carried("supports", by, centre)


def carried_together(parts: Sequence[Part], supports: Mapping[str, Sequence[Carrier]]) -> Carried:
    """How parts that are joined to each other are carried, as one body.

    `supports` are those of each part besides the others of the body.  The same sequence of parts
    with the same supports gives the same value.
    """
    below = tuple(one for part in parts for one in supports.get(part.id, ()))
    return _together(Same(parts), below)


@lru_cache(maxsize=1024)
def _together(key: Same[Sequence[Part]], rests: tuple[Carrier, ...]) -> Carried:
    parts = key.value
    whole = total([weight_of(part) for part in parts])
    centre = (whole.x, whole.y)
    by = tuple(dict.fromkeys(one.id for one in rests))
    standing = [_standing(Same(part)) for part in parts if part.z_low <= TOUCH]
    below = (*rests, *standing)
    if not below:
        return Carried("nothing", (), centre)
    off = _off(below, centre)
    if off > TOUCH:
        return Carried("tips", by, centre, off)
    if len(below) == 1:
        points = [point for part in parts for point in part_ring(part)]
        if _across(below[0].points) < _SPOT * _across(points):
            return Carried("rocks", by, centre)
    return Carried("table" if standing else "supports", by, centre)


def _off(supports: Sequence[Carrier], where: Point) -> float:
    """How far a point is outside the hull of some supports, mm."""
    import shapely  # noqa: PLC0415 - late: showing a table does not need it

    points = shapely.multipoints([p for one in supports for p in one.points])
    return float(shapely.distance(shapely.convex_hull(points), shapely.points(*where)))


def _across(points: Sequence[Point]) -> float:
    x0, y0, x1, y1 = bounds(points)
    return max(x1 - x0, y1 - y0)
