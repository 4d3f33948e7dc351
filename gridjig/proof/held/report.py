"""What the clamps of a job do to its locators, and how they hold every part and weldment."""

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

from gridjig.contact.carrying import weight_of
from gridjig.contact.values import Clamped, Contact, JobContacts, PieceContacts
from gridjig.model import Job, Part
from gridjig.model.by_weldment import parts_by_weldment
from gridjig.proof.located.grips import Grip
from gridjig.proof.located.ground import Gripped, LinkedParts, bodies_of, ground_of, whole_of
from gridjig.rack.kept import KeptResults
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
    return HeldBook().of(job, placed_pieces, contacts)


class HeldBook:
    """Keeps how everything of the last job is held.  Not thread-safe."""

    def __init__(self) -> None:
        self._pressings = KeptResults[Pressing]()
        self._parts = KeptResults[_Hold]()
        self._bodies = KeptResults[_Hold]()

    def of(
        self, job: Job, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts
    ) -> HeldReport:
        """How everything is held in a job."""
        ground = ground_of(job, placed_pieces, contacts)
        pressings = self._all_pressings(job, placed_pieces, contacts)
        on: dict[str, list[Pressing]] = {}
        for piece, one in pressings.items():
            clamped = contacts.roles[piece].clamped
            assert clamped is not None
            on.setdefault(clamped.part, []).append(one)
        friction = job.holding.friction
        parts: dict[str, Held] = {}
        bodies: list[Held] = []
        forces: dict[str, Reaction] = {}
        every = parts_by_weldment(job.parts)
        with self._parts.round(contacts.parts, job.holding), self._bodies.round(job.holding):
            for weldment in ground.orders:
                mine = every.get(weldment, ())
                joined: set[str] = set()
                for body in bodies_of(mine, contacts.parts):
                    grips = tuple(g for part in body for g in ground.touching.get(part.id, ()))
                    clamps = tuple(one for part in body for one in on.get(part.id, ()))
                    given = (body, *grips, *clamps)
                    whole = self._bodies.of(
                        body[0].id, given, _body, weldment, body, grips, clamps, friction
                    )
                    bodies.append(whole.held)
                    forces |= whole.reactions
                    joined.update(part.id for part in body)
                for part in looked_at(mine, 20):
                    clamps = tuple(on.get(part.id, ()))
                    given = (part, *ground.touching.get(part.id, ()), *clamps)
                    alone = self._parts.of(part.id, given, _part, ground, part, clamps, friction)
                    parts[part.id] = alone.held
                    if part.id not in joined:
                        forces |= alone.reactions
        return HeldReport(
            tuple(forces[p.id] for p in job.placements if p.id in forces),
            tuple(_clamping(job, ground, one, on, contacts) for one in pressings.values()),
            tuple(parts[part.id] for part in job.parts),
            tuple(bodies),
            job.holding.clamp_force,
            friction,
        )

    def _all_pressings(
        self, job: Job, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts
    ) -> dict[str, Pressing]:
        """Every clamp that presses a part, in the order of the pieces."""
        found: dict[str, Pressing] = {}
        with self._pressings.round(job.holding):
            for piece, role in contacts.roles.items():
                if role.clamped is not None:
                    placed, own = placed_pieces[piece], contacts.pieces[piece]
                    given = (placed, role.clamped, own)
                    found[piece] = self._pressings.of(
                        piece, given, _pressing, job, placed, role.clamped, own
                    )
        return found


class _Hold(NamedTuple):
    """How something is held, and the reactions of its locators."""

    held: Held
    reactions: Mapping[str, Reaction]


def _body(
    weldment: str,
    body: LinkedParts,
    grips: tuple[Grip, ...],
    clamps: tuple[Pressing, ...],
    friction: float,
) -> _Hold:
    whole = whole_of(body)
    made = hold(whole.corners, grips, clamps, friction, whole.mass * GRAVITY)
    return _Hold(_held(weldment, made, clamps, whole.ids), _reactions(made))


def _part(ground: Gripped, part: Part, clamps: tuple[Pressing, ...], friction: float) -> _Hold:
    corners, weight = ground.corners[part.id], weight_of(part).mass * GRAVITY
    made = hold(corners, ground.all_grips(part.id), clamps, friction, weight)
    return _Hold(_held(part.id, made, clamps), _reactions(made))


def _pad(own: PieceContacts) -> Contact:
    return next(one for one in own.contacts if one.feature == "tip" and one.means == "touches")


def _pressing(job: Job, placed: PlacedPiece, clamped: Clamped, own: PieceContacts) -> Pressing:
    pad, tip = _pad(own), placed.tip
    assert tip is not None
    way = (0.0, 0.0)
    if tip.push == "along":  # without friction a pad pushes square to the face
        way = (0.0 - pad.normal[0], 0.0 - pad.normal[1])
    presses = clamp_force(job, placed.placement, placed.piece)
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
    contacts: JobContacts,
) -> Clamping:
    clamped = contacts.roles[one.placement].clamped
    assert clamped is not None
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
