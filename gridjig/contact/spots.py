"""Where rests carry a part that is off the table: there a clamp presses without bending it."""

import math
from collections.abc import Sequence
from functools import lru_cache

from msgspec import Struct

from gridjig.geometry.part_solids import part_solids
from gridjig.model import Job, Part
from gridjig.rack import Point
from gridjig.rack.same import Same
from gridjig.solve.placed.solver import solve_placement

from .features import features_of
from .level import Lying, rest_contacts
from .values import TOUCH


class RestSpot(Struct, frozen=True):
    """The middle of a place where a rest carries a part, and how far it reaches about it, mm."""

    at: Point
    radius: float


def spots_under(job: Job, part: Part) -> tuple[RestSpot, ...]:
    """Where the placed pieces carry a part; none if it lies on the table, where all of it does."""
    return () if abs(part.z_low) <= TOUCH else _spots(Same(job), Same(part))


@lru_cache(maxsize=32)
def _spots(job: Same[Job], part: Same[Part]) -> tuple[RestSpot, ...]:
    own, found = Lying(part_solids(part.value)), []
    for placement in job.value.placements:
        piece = job.value.rack.find(placement.piece)
        if piece is None or not piece.rests:
            continue
        here = solve_placement(job.value.table, job.value.rack, placement)
        for rest in features_of(here).rests:
            found += [
                RestSpot(one.middle, one.length / 2.0)
                for one in rest_contacts(placement.id, rest, own, (), TOUCH)
                if one.touches
            ]
    return tuple(found)


def is_over(part: Part, at: Point, spots: Sequence[RestSpot]) -> bool:
    """True if a push down at a point goes into one of these spots: in a part it spreads at 45
    degrees on its way down.
    """
    high = part.z_high - part.z_low
    return any(math.dist(at, spot.at) - spot.radius <= high + TOUCH for spot in spots)
