"""How the work stands at its heights: everything together."""

from collections.abc import Mapping, Sequence
from functools import lru_cache

from gridjig.checks.needs import left_of, needs
from gridjig.contact.by_part import ByPart, by_part
from gridjig.contact.carrying import weight_of
from gridjig.contact.values import TOUCH, Contact, JobContacts
from gridjig.geometry.part_mass import total
from gridjig.model import Job, Member, Part
from gridjig.model.by_weldment import parts_by_weldment, parts_of
from gridjig.model.stock import TUBES
from gridjig.rack import Rack
from gridjig.rack.same import Same
from gridjig.solve.layout.ways_up import ways_up_of

from .stacks import Shared, WantedStacks, nearest, share_out
from .standing import lying, stands
from .values import HeightsReport, RadiusContact, RiserNeed, RiserProof, Weight

_METRIC_STEP = 0.5
"""Walls of metric tubes are multiples of this, mm."""


def heights(job: Job, contacts: JobContacts) -> HeightsReport:
    """Return how everything stands; nothing for a job without a weldment."""
    beside = by_part(contacts)
    own, joined = beside.own, beside.joined
    found = [stands(p, own.get(p.id, ()), joined.get(p.id, ())) for p in job.parts]
    risers, proof = _risers(job, beside)
    return HeightsReport(
        risers=risers,
        proof=proof,
        radii=tuple(
            one
            for part in job.parts
            if part.id in own
            for one in _radii(Same(part), Same(own[part.id]))
        ),
        standing=tuple(one for one, _ in found if one is not None and one.angle < job.shop.steady),
        short=tuple(one for _, one in found if one is not None),
        weights=_weights(Same(job.parts), job.shop.one_lifts),
    )


def _risers(job: Job, beside: ByPart) -> tuple[tuple[RiserNeed, ...], RiserProof | None]:
    """Stacks for the raised parts that are not carried yet, of what the rack has left."""
    wanted, hows = [], []
    parts = {part.id for part in job.parts}
    for part in job.parts:
        if part.z_low <= TOUCH:
            continue
        how = lying(part, beside.own.get(part.id, ()), beside.joined.get(part.id, ()))
        if how.well:
            continue
        there = sum(one not in parts for one in how.by)
        points = max(1, _points(job, part) - there)
        wanted.append(WantedStacks(part.id, part.z_low, points))
        hows.append(how)
    if not wanted:
        return (), None
    taken = needs(job)
    risers = job.rack.risers
    left = {p.id: max(0, left_of(p, taken.get(p.id))) for p in risers}
    shared = _shared(Same(job.rack), tuple(left.values()), tuple(wanted))
    stacks: Sequence[tuple[str, ...]] = shared.stacks or [()] * len(wanted)
    made = tuple(
        RiserNeed(w.part, w.height, w.points, stack, how)
        for w, stack, how in zip(wanted, stacks, hows, strict=True)
    )
    if shared.stacks is not None:
        return made, None
    return made, _why(Same(job.rack), tuple(left.values()), tuple(wanted), Same(shared))


@lru_cache(maxsize=16)
def _shared(rack: Same[Rack], left: tuple[int, ...], wanted: tuple[WantedStacks, ...]) -> Shared:
    risers = rack.value.risers
    return share_out(risers, {p.id: n for p, n in zip(risers, left, strict=True)}, wanted)


def _points(job: Job, part: Part) -> int:
    """On how many risers a part lies, as the way up that it has now wants it."""
    points = _points_of(Same(job.rack), Same(parts_of(job, part.weldment)))
    return points.get(part.id, 2)


@lru_cache(maxsize=64)
def _points_of(rack: Same[Rack], parts: Same[tuple[Part, ...]]) -> Mapping[str, int]:
    way = next(way for way in ways_up_of(rack.value, parts.value) if not way.face_down)
    return {one.part: one.points for one in way.raised}


@lru_cache(maxsize=16)
def _why(
    rack: Same[Rack],
    counts_left: tuple[int, ...],
    wanted: tuple[WantedStacks, ...],
    shared: Same[Shared],
) -> RiserProof:
    left = {p.id: n for p, n in zip(rack.value.risers, counts_left, strict=True)}
    risers = [p for p in rack.value.risers if left[p.id] > 0]
    counts = [left[p.id] for p in risers]
    for one in wanted:
        if share_out(risers, left, [WantedStacks(one.part, one.height, 1)]).stacks is None:
            below, above = nearest(risers, counts, one.height)
            return RiserProof("height", one.part, one.height, below, above)
    needed = sum(one.height * one.points for one in wanted)
    owned = sum(p.thickness * left[p.id] for p in risers)
    worst = max(wanted, key=lambda one: one.height * one.points)
    if needed > owned + TOUCH:
        return RiserProof("sum", worst.part, worst.height, needed=needed, owned=owned)
    why = "count" if shared.value.all else "not all"
    tried = shared.value.tried
    return RiserProof(why, worst.part, worst.height, needed=needed, owned=owned, tried=tried)


def largest_radius(wall: float) -> tuple[float, str]:
    """The largest outer corner radius of a cold-formed tube, mm, and the standard that says so.

    Tubes with metric walls are taken as EN 10219-2, others as ASTM A500.
    """
    if abs(wall / _METRIC_STEP - round(wall / _METRIC_STEP)) > 1e-6:
        return 3.0 * wall, "ASTM A500"
    times = 2.4 if wall <= 6.0 else 3.0 if wall <= 10.0 else 3.6
    return times * wall, "EN 10219-2"


@lru_cache(maxsize=8192)
def _radii(key: Same[Part], own: Same[tuple[Contact, ...]]) -> tuple[RadiusContact, ...]:
    """Where pieces meet the rounded corners of a part."""
    part = key.value
    if not isinstance(part, Member) or part.section.kind not in TUBES:
        return ()
    radius, _ = largest_radius(part.section.wall)
    found = []
    for one in own.value:
        if one.normal[2] or one.feature == "tip":
            continue
        low = max(one.z_low, part.z_low + radius)
        high = min(one.z_high, part.z_high - radius)
        if high <= low:
            flat = one.z_high - one.z_low
            listed = part.section.radius
            found.append(RadiusContact(one.piece, part.id, one.middle, flat, radius, listed))
    return tuple(found)


@lru_cache(maxsize=8)
def _weights(key: Same[tuple[Part, ...]], one_lifts: float) -> tuple[Weight, ...]:
    found = []
    for weldment, parts in parts_by_weldment(key.value).items():
        whole = total(weight_of(part) for part in parts)
        found.append(Weight(weldment, True, whole.mass, (whole.x, whole.y), whole.z))
    for part in key.value:
        own = weight_of(part)
        if own.mass > one_lifts:
            found.append(Weight(part.id, False, own.mass, (own.x, own.y), own.z))
    return tuple(found)
