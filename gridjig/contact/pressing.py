"""Clamps that press down: the reach and, if needed, the turn that bring the tip to the work."""

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache

from msgspec import structs

from gridjig.geometry import unit, wrap
from gridjig.geometry.part_solids import part_solids
from gridjig.model import Job, Member, Part, Placement
from gridjig.rack import Point
from gridjig.rack.same import Same
from gridjig.solve.mounting.track import turned_to
from gridjig.solve.packing.pack import NOTHING
from gridjig.solve.placed.placed_piece import PlacedPiece

from .faults import MissesFace
from .level import Lying, pad_contacts
from .setting import Touching, changed, placed
from .spots import RestSpot, is_over, spots_under
from .values import Contact


def clamp_down(job: Job, before: Placement, here: PlacedPiece, part: Part) -> Touching:
    """A clamp set out to the middle of a part, first turned if it points past it, or if its pad
    would lie on a higher part too.

    A part that is off the table is pressed over one of its rests, where the clamp reaches one.
    """
    spots = spots_under(job, part)
    found = [
        made
        for turn, aim in _pointings(here, part, spots)
        if (made := _pressed(job, before, structs.replace(before, turn=turn), part, aim))
        is not None
    ]

    def rank(one: Touching) -> tuple[bool, bool, int]:
        at = one.contact.middle if one.contact is not None else None
        bends = bool(spots) and (at is None or not is_over(part, at, spots))
        return (not one.touches, bends, len(one.changes))

    return min(
        found,
        key=rank,
        default=Touching(
            before, (), NOTHING, math.nan, None,
            MissesFace(part.id, "points past"),
        ),
    )  # fmt: skip


def _pointings(
    here: PlacedPiece, part: Part, spots: Sequence[RestSpot]
) -> Iterator[tuple[float, Point | None]]:
    """The clamp's turn as it is, the one that points it straight at the middle of a part, those
    that bring its tip, with its reach as it is, onto a member's centre line, and those that bring
    it over a rest; each with the point that the tip must come to, if there is one.
    """
    yield here.turn, None
    if here.way is None or here.piece is None or here.piece.tip is None:
        return
    tip = here.piece.tip
    base = here.poses[0]
    post = base.point(tip.at)
    if here.way.turn_low < here.way.turn_high:
        over = [
            at
            for spot in spots
            if tip.reach_min <= math.dist(post, at := _above(part, spot)) <= tip.reach_max
        ]
        aims = [*((at, None) for at in _aims(part, post, here.reach)), *((at, at) for at in over)]
        for (x, y), aim in aims:
            wanted = math.degrees(math.atan2(y - post[1], x - post[0]))
            turn = here.turn + wrap(wanted - base.direction(tip.direction))
            yield turned_to(turn, here.way.turn_low, here.way.turn_high), aim


def _above(part: Part, spot: RestSpot) -> Point:
    """Where to press a part over a rest: on a member's centre line, on a plate right above it."""
    if not isinstance(part, Member):
        return spot.at
    (px, py), (ux, uy) = _middle(part)
    return _on_line(part, (spot.at[0] - px) * ux + (spot.at[1] - py) * uy)


def _aims(part: Part, post: Point, reach: float) -> Iterator[Point]:
    """The point of a member's centre line nearest to a clamp's post, and those at its reach; for a
    plate, its centre.
    """
    (px, py), (ux, uy) = _middle(part)
    if not isinstance(part, Member):
        yield px, py
        return
    nearest = (post[0] - px) * ux + (post[1] - py) * uy
    aside = math.dist(post, (px + nearest * ux, py + nearest * uy))
    half = math.sqrt(max(reach * reach - aside * aside, 0.0))
    yield _on_line(part, nearest)
    for along in (nearest - half, nearest + half):
        if half > 0.0 and 0.0 <= along <= part.length:
            yield _on_line(part, along)


def _on_line(member: Member, along: float) -> Point:
    """The point of a member's centre line so far from its start, or the end nearest to it."""
    (x, y), (ux, uy) = _middle(member)
    along = min(max(along, 0.0), member.length)
    return x + along * ux, y + along * uy


def _middle(part: Part) -> tuple[Point, Point]:
    """A point and the direction of a member's centre line; for a plate, its centre."""
    if isinstance(part, Member):
        return (part.x, part.y), unit(part.turn)
    ring = part_solids(part)[0].ring
    x, y = (sum(p[k] for p in ring) / len(ring) for k in (0, 1))
    return (x, y), unit(part.turn)


def _pressed(
    job: Job, before: Placement, placement: Placement, part: Part, aim: Point | None
) -> Touching | None:
    """The clamp with its tip at a point, or at the middle of where its bar crosses a part; None if
    it does not.
    """
    here = placed(job, placement)
    tip = here.piece.tip if here.piece is not None else None
    if tip is None or here.tip is None:
        return None
    base = here.poses[0]
    post, way = base.point(tip.at), unit(here.tip.direction)
    crossed = [
        span for solid in part_solids(part) if (span := _span(post, way, solid.ring)) is not None
    ]
    if not crossed:
        return None
    low, high = min(s[0] for s in crossed), max(s[1] for s in crossed)
    reach = (low + high) / 2.0
    (px, py), (ux, uy) = _middle(part)
    cross = way[0] * uy - way[1] * ux
    if aim is not None:
        reach = math.dist(post, aim)
    elif isinstance(part, Member) and abs(cross) > 0.1:
        reach = ((px - post[0]) * uy - (py - post[1]) * ux) / cross
    elif isinstance(part, Member):  # the bar runs along the member, so the reach is free
        reach = min(max(here.reach, low), high)
    placement = structs.replace(placement, reach=min(max(reach, tip.reach_min), tip.reach_max))
    here = placed(job, placement)
    assert here.tip is not None
    under = list(pad_contacts(placement.id, here.tip, _lying(Same(job.parts)), 1e6))
    found = next((contact for contact in under if contact.part == part.id), None)
    lifted = MissesFace(part.id, "pad on another") if under and found is None else None
    return Touching(
        placement,
        changed(before, placement),
        NOTHING,
        found.gap if found is not None else math.nan,
        found,
        lifted or _why_no_press(found, part),
    )


@lru_cache(maxsize=8)
def _lying(parts: Same[tuple[Part, ...]]) -> Lying:
    """The solids of all parts: a pad lies on the highest of those under it."""
    return Lying(solid for part in parts.value for solid in part_solids(part))


def _why_no_press(found: Contact | None, part: Part) -> MissesFace | None:
    if found is None:
        return MissesFace(part.id, "tip short")
    if found.means == "out of reach":
        above = found.gap <= 0.0
        return MissesFace(
            part.id, "top above reach" if above else "top below reach", abs(found.gap)
        )
    return None if found.touches else MissesFace(part.id, "edge only")


def _span(start: Point, way: Point, ring: Sequence[Point]) -> tuple[float, float] | None:
    """The range of a ray within a ring, mm from its start; None if it misses the ring."""
    places = []
    for (ax, ay), (bx, by) in zip(ring, (*ring[1:], ring[0]), strict=True):
        a = way[0] * (ay - start[1]) - way[1] * (ax - start[0])
        b = way[0] * (by - start[1]) - way[1] * (bx - start[0])
        if (a > 0.0) == (b > 0.0):
            continue
        share = a / (a - b)
        x, y = ax + share * (bx - ax), ay + share * (by - ay)
        places.append((x - start[0]) * way[0] + (y - start[1]) * way[1])
    places = [max(place, 0.0) for place in places]
    if not places or max(places) <= 0.0:
        return None
    return (min(places), max(places))
