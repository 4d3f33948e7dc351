"""What the clamps of a job do to its locators, and how they hold every part and weldment."""

from collections.abc import Mapping, Sequence
from functools import lru_cache

from gridjig.contact.carrying import weight_of
from gridjig.contact.values import Clamped, Contact, JobContacts, PieceContacts
from gridjig.model import Job
from gridjig.model.by_weldment import parts_by_weldment
from gridjig.proof.located.grips import Grip
from gridjig.proof.located.ground import Gripped, bodies_of, ground_of, whole_of
from gridjig.rack.same import Same
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units.progress import looked_at

from .body import GRAVITY, HoldFigures, Pressing, hold
from .forces import ClampForce, clamp_force
from .values import Clamping, Held, HeldReport, Reaction


def held(job: Job, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts) -> HeldReport:
    """How the clamps of a job hold every part between the others, and every weldment once tacked.

    Each clamp presses with its own force (`forces.clamp_force`).  The reactions are those of the
    weldment as one body, or of a part that is joined to no other.
    """
    ground = ground_of(job, placed_pieces, contacts)
    friction = job.holding.friction
    pressings: dict[str, list[Pressing]] = {}
    for piece, role in contacts.roles.items():
        if role.clamped is not None:
            placed = placed_pieces[piece]
            presses = clamp_force(job, placed.placement, placed.piece)
            own = Same(contacts.pieces[piece])
            one = _pressing(Same(placed), Same(role.clamped), own, presses)
            pressings.setdefault(role.clamped.part, []).append(one)
    parts: dict[str, Held] = {}
    bodies: list[Held] = []
    forces: dict[str, Reaction] = {}
    every = parts_by_weldment(job.parts)
    for weldment in ground.orders:
        mine = every.get(weldment, ())
        alone = {part.id: part for part in mine}
        for body in bodies_of(mine, contacts.parts):
            grips = tuple(grip for part in body for grip in ground.touching.get(part.id, ()))
            clamps = [one for part in body for one in pressings.get(part.id, ())]
            whole = whole_of(body)
            weight = whole.mass * GRAVITY
            made = hold(whole.corners, grips, tuple(clamps), friction, weight)
            bodies.append(_held(weldment, made, clamps, whole.ids))
            forces |= _reactions(made)
            for part in body:
                del alone[part.id]
        for part in looked_at(mine, 20):
            clamps = pressings.get(part.id, [])
            grips = ground.all_grips(part.id)
            weight = weight_of(part).mass * GRAVITY
            made = hold(ground.corners[part.id], grips, tuple(clamps), friction, weight)
            parts[part.id] = _held(part.id, made, clamps)
            if part.id in alone:
                forces |= _reactions(made)
    return HeldReport(
        tuple(forces[p.id] for p in job.placements if p.id in forces),
        tuple(
            _clamping(job, ground, one, pressings, role.clamped, contacts)
            for piece, role in contacts.roles.items()
            if role.clamped is not None
            for one in pressings[role.clamped.part]
            if one.placement == piece
        ),
        tuple(parts[part.id] for part in job.parts),
        tuple(bodies),
        job.holding.clamp_force,
        friction,
    )


def _pad(own: PieceContacts) -> Contact:
    return next(one for one in own.contacts if one.feature == "tip" and one.means == "touches")


@lru_cache(maxsize=4096)  # the same clamp gives the same value, so that what it holds can be kept
def _pressing(
    placed_piece: Same[PlacedPiece],
    clamp: Same[Clamped],
    own: Same[PieceContacts],
    presses: ClampForce,
) -> Pressing:
    placed, clamped = placed_piece.value, clamp.value
    pad, tip = _pad(own.value), placed.tip
    assert tip is not None
    way = (0.0, 0.0)
    if tip.push == "along":  # without friction a pad pushes square to the face
        way = (0.0 - pad.normal[0], 0.0 - pad.normal[1])
    return Pressing(placed.placement.id, tip.push, clamped.at, way, tip.pad_radius, presses)


def _held(
    thing: str, made: HoldFigures, clamps: Sequence[Pressing], parts: tuple[str, ...] = ()
) -> Held:
    ids = tuple(one.placement for one in clamps)
    return _made(thing, made, ids, parts, tuple(one.presses for one in clamps))


@lru_cache(maxsize=8192)  # the same figures give the same value, so that its words can be kept
def _made(
    thing: str,
    made: HoldFigures,
    clamps: tuple[str, ...],
    parts: tuple[str, ...],
    forces: tuple[ClampForce, ...],
) -> Held:
    return Held(thing, made.by, made.push, made.at, clamps, made.lifts, parts, forces)


def _reactions(made: HoldFigures) -> dict[str, Reaction]:
    return {
        piece: Reaction(piece, force, piece in made.lifts) for piece, force in made.forces.items()
    }


def _clamping(
    job: Job,
    ground: Gripped,
    one: Pressing,
    pressings: Mapping[str, Sequence[Pressing]],
    clamped: Clamped,
    contacts: JobContacts,
) -> Clamping:
    off = clamped.supports[0].distance if clamped.supports else None
    overhang, climbs = 0.0, False
    if one.push == "along":
        pad = _pad(contacts.pieces[one.placement])
        against = [grip for grip in ground.touching.get(clamped.part, ()) if _opposes(grip, one)]
        if against:
            low, high = min(g.z_low for g in against), max(g.z_high for g in against)
            overhang = max(pad.z_low - high, 0.0) - max(low - pad.z_high, 0.0)
        if overhang:
            others = [p for p in pressings[clamped.part] if p.push == "down"]
            climbs = _turned_out(job, clamped.part, one, against, others, overhang)
    return Clamping(
        one.placement, clamped.part, one.push, one.at, off, overhang, climbs, one.presses
    )


def _opposes(grip: Grip, clamp: Pressing) -> bool:
    """True if a locator stands within 60 degrees of square against a push."""
    way = grip.pushes[0].way
    return way[0] * clamp.way[0] + way[1] * clamp.way[1] < -0.5


def _turned_out(
    job: Job,
    part: str,
    clamp: Pressing,
    against: Sequence[Grip],
    down: Sequence[Pressing],
    overhang: float,
) -> bool:
    """True if a push above or below the locators turns a part over its edge.

    Above them it turns about the top of the locators and lifts on the clamp's side; below them it
    turns about the edge at the clamp and climbs up the locators.  Its weight, and what presses it
    down, hold it with their distance from that line.
    """
    weight = weight_of(next(one for one in job.parts if one.id == part))
    wx, wy = clamp.way
    if overhang > 0.0:
        line = min(x * wx + y * wy for grip in against for (x, y), _ in grip.pushes)
        sign = -1.0
    else:
        line = clamp.at[0] * wx + clamp.at[1] * wy
        sign = 1.0
    holding = weight.mass * GRAVITY * sign * (weight.x * wx + weight.y * wy - line)
    for one in down:
        holding += one.presses.newtons * max(sign * (one.at[0] * wx + one.at[1] * wy - line), 0.0)
    return clamp.presses.newtons * abs(overhang) > holding
