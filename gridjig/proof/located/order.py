"""The order in which the parts of a weldment are loaded: as chosen, or proposed.

Proposed: again and again the part that the pieces and the parts before it locate best, so that
parts on stops come first and braces, which need others to lie against, come last.
"""

import heapq
from collections.abc import Mapping, Sequence
from functools import lru_cache

from gridjig.contact.values import PartContact
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Job, Part, Weldment
from gridjig.model.by_weldment import parts_by_weldment
from gridjig.rack.same import Same, kept_for
from gridjig.units.progress import look, looked_at

from .body import BodyCorners, box_of, held_by
from .grips import Grip, PartGrips, touching_of

PieceGrips = Mapping[str, tuple[Grip, ...]]
"""What touches each part: grips of pieces, by part id."""

_MANY_CORNERS = 24


@kept_for(8192)
def corners_of(part: Part) -> BodyCorners:
    """The corners of a part on the table, or of its box if there are many; the same part gives the
    same value.
    """
    ring = part_ring(part)
    return BodyCorners(ring) if len(ring) <= _MANY_CORNERS else box_of(ring)


def loading_orders(
    job: Job, touching: PieceGrips, neighbours: PartGrips, joined: Sequence[PartContact]
) -> dict[str, tuple[str, ...]]:
    """The ids of the parts of each weldment, in the order of loading."""
    lower = _lower(Same(joined))
    return {
        one.id: _order(
            one, parts_by_weldment(job.parts).get(one.id, ()), touching, neighbours, lower
        )
        for one in job.weldments
    }


def _order(
    weldment: Weldment,
    parts: Sequence[Part],
    touching: PieceGrips,
    neighbours: PartGrips,
    lower: Mapping[str, tuple[str, ...]],
) -> tuple[str, ...]:
    here = {part.id for part in parts}
    chosen = tuple(one for one in weldment.loading if one in here)
    if len(chosen) == len(parts):
        return chosen
    return (*chosen, *_proposed(parts, chosen, touching, neighbours, lower))


@lru_cache(maxsize=8)
def _lower(key: Same[Sequence[PartContact]]) -> Mapping[str, tuple[str, ...]]:
    """The parts that each part lies on."""
    found: dict[str, list[str]] = {}
    for one in key.value:
        if one.kind == "on top" and one.normal is not None:
            under, over = (one.a, one.b) if one.normal[2] > 0.0 else (one.b, one.a)
            found.setdefault(over, []).append(under)
    return {part: tuple(some) for part, some in found.items()}


def _proposed(
    parts: Sequence[Part],
    placed: Sequence[str],
    touching: PieceGrips,
    neighbours: PartGrips,
    lower: Mapping[str, tuple[str, ...]],
) -> list[str]:
    """The parts that are not placed yet, best located first.

    A part that lies on others comes after them.  Each is looked at again only when a part that it
    meets has been placed.
    """
    by_id = {part.id: part for part in parts}
    index = {part.id: k for k, part in enumerate(parts)}
    here = set(placed)
    beside = touching_of(neighbours)
    upper: dict[str, list[str]] = {}
    for over, under in lower.items():
        for one in under:
            upper.setdefault(one, []).append(over)

    corners = {part.id: corners_of(part) for part in parts if part.id not in here}
    alone = {
        part: held_by(its, touching.get(part, ())) for part, its in looked_at(corners.items(), 20)
    }

    def rank(part: str) -> tuple[float, ...]:
        more = [g for g in beside.get(part, ()) if g.id in here]
        every, middles = own = alone[part]
        if more:
            every, middles = held_by(corners[part], (*touching.get(part, ()), *more))
        under = lower.get(part, ())
        waits = bool(under) and any(one in by_id and one not in here for one in under)
        return (waits, -every, -middles, -own[1], index[part])

    last = {part: rank(part) for part in looked_at(tuple(corners), 20)}
    heap = [(key, part) for part, key in last.items()]
    heapq.heapify(heap)
    found: list[str] = []
    while heap:
        if len(found) % 20 == 0:
            look()
        key, part = heapq.heappop(heap)
        if part in here or last[part] != key:
            continue
        here.add(part)
        found.append(part)
        met = {grip.id for grip in neighbours.get(part, ())}
        for other in (met | set(upper.get(part, ()))) & by_id.keys():
            if other not in here:
                last[other] = rank(other)
                heapq.heappush(heap, (last[other], other))
    return found
