"""How every part and every weldment of a job is located."""

import math
from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import islice

from msgspec import Struct, structs

from gridjig.contact.carrying import Carried, carried, carried_together, supports_of
from gridjig.contact.values import JobContacts, PartContact
from gridjig.model import Job, Part
from gridjig.model.by_weldment import parts_by_weldment
from gridjig.rack import Point
from gridjig.rack.kept import KeptResults
from gridjig.rack.same import Same
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units.progress import looked_at

from .body import BodyCorners, Figures, figures, held_by
from .grips import Grip
from .ground import Gripped, LinkedParts, bodies_of, ground_of, whole_of
from .values import Located, LocatedAs, LocatedReport

_TAKEN = 0.75  # of an end; what is left of it is no place for a stop
_LEAST = 0.1  # of a push that is counted as along a direction


def located(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts
) -> LocatedReport:
    """How every part is located when it is loaded, and every weldment once it is tacked."""
    return Locating().of(job, placed_pieces, contacts)


class Locating:
    """Keeps how the parts of the last job are located.  Not thread-safe.

    What the same contacts of the same parts amount to is kept from one call to the next, so that an
    edit of one piece costs little.
    """

    def __init__(self) -> None:
        self._parts = KeptResults[_Loaded]()
        self._bodies = KeptResults[Located]()

    def of(
        self, job: Job, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts
    ) -> LocatedReport:
        """How everything is located in a job."""
        ground = ground_of(job, placed_pieces, contacts)
        lying = _lying(Same(contacts.parts))
        parts: dict[str, Located] = {}
        weldments: list[Located] = []
        every = parts_by_weldment(job.parts)
        with self._parts.round(contacts.parts), self._bodies.round(contacts.parts):
            for weldment, order in ground.orders.items():
                numbers = _numbered(order)
                mine = every.get(weldment, ())
                for part in looked_at(mine, 20):
                    given = (part, numbers, ground.at.get(part.id))
                    on = lying.get(part.id, ())
                    loaded = self._parts.of(part.id, given, _loaded, ground, part, numbers, on)
                    parts[part.id] = _waiting(ground, loaded, numbers)
                for body in bodies_of(mine, contacts.parts):
                    key = (body, *(ground.at.get(part.id) for part in body))
                    whole = self._bodies.of(body[0].id, key, _weldment, ground, weldment, body)
                    weldments.append(whole)
        return LocatedReport(
            tuple(parts[part.id] for part in job.parts), tuple(weldments), ground.orders
        )


@lru_cache(maxsize=256)
def _numbered(order: tuple[str, ...]) -> Mapping[str, int]:
    """The place of each part in an order of loading; the same order gives the same value."""
    return {part: k for k, part in enumerate(order, 1)}


@lru_cache(maxsize=8)
def _lying(key: Same[tuple[PartContact, ...]]) -> Mapping[str, Sequence[PartContact]]:
    """By part, where it lies on another or another on it."""
    lying: dict[str, list[PartContact]] = {}
    for one in key.value:
        if one.kind == "on top":
            lying.setdefault(one.a, []).append(one)
            lying.setdefault(one.b, []).append(one)
    return lying


class _Loaded(Struct, frozen=True, eq=False):
    """How a part is located when it is loaded.

    `held` of its three plan freedoms.  If it is loose, `later` are the grips of parts loaded after
    it that touch it, and `grips` those of what touches it before.
    """

    located: Located
    held: int
    grips: tuple[Grip, ...] = ()
    later: tuple[Grip, ...] = ()


def _loaded(
    ground: Gripped, part: Part, numbers: Mapping[str, int], lying: Sequence[PartContact]
) -> _Loaded:
    grips, number = ground.grips(part.id, numbers), numbers[part.id]
    found = figures(ground.corners[part.id], grips, ground.standing_near(part.id, numbers))
    supports = supports_of(part, ground.rests.get(part.id, ()), lying)
    there = [one for one in supports if numbers.get(one.id, 0) < number]
    under = tuple(one.id for one in supports if numbers.get(one.id, 0) > number)
    located = _located(part.id, found, carried(part, there), number, under=under)
    if found.free is None or found.kappa is not None:
        return _Loaded(located, found.held)
    met = ground.neighbours.get(part.id, ())
    later = tuple(grip for grip in met if grip.touches and number < numbers.get(grip.id, 0))
    return _Loaded(located, found.held, grips, later)


def _waiting(ground: Gripped, loaded: _Loaded, numbers: Mapping[str, int]) -> Located:
    """How a part is located, and which later parts it would be better loaded after, or which come
    against both its ends.

    That depends on how all parts that are loaded after it are located.
    """
    if not loaded.later:
        return loaded.located
    part = loaded.located.id
    free = _free_to_wait(ground, part, numbers)
    later = tuple(grip for grip in loaded.later if numbers[grip.id] < free)
    if later and held_by(ground.corners[part], (*loaded.grips, *later))[0] > loaded.held:
        return _with(loaded, after=tuple(dict.fromkeys(grip.id for grip in later)))
    motion = loaded.located.motion
    if motion is not None and motion.kind == "slide" and motion.direction is not None:
        return _with(loaded, ends=_at_ends(ground.corners[part], motion.direction, loaded.later))
    return loaded.located


def _at_ends(corners: BodyCorners, direction: Point, later: Sequence[Grip]) -> tuple[str, ...]:
    """The parts that come against a part on both sides along a direction and leave no room for a
    stop there; none if it has room on one of them.
    """
    ux, uy = direction
    offsets = [y * ux - x * uy for x, y in corners.points]
    width = max(offsets) - min(offsets)
    ids: list[str] = []
    for side in (-1.0, 1.0):
        ways = [(one, one.pushes[0].way) for one in later]
        facing = [(one, side * (x * ux + y * uy)) for one, (x, y) in ways]
        if sum(one.length * share for one, share in facing if share > _LEAST) < _TAKEN * width:
            return ()
        ids += [one.id for one, share in facing if share > _LEAST]
    return tuple(dict.fromkeys(ids))


@lru_cache(maxsize=8192)  # the same answer gives the same value, so that its words can be kept
def _with(loaded: _Loaded, after: tuple[str, ...] = (), ends: tuple[str, ...] = ()) -> Located:
    return structs.replace(loaded.located, after=after, ends=ends)


def _free_to_wait(ground: Gripped, part: str, numbers: Mapping[str, int]) -> float:
    """The place in the order of the first part loaded later that would be loose in its place if
    this part were not there yet; infinite if there is none.
    """
    waits = islice(numbers.items(), numbers[part], None)  # what is loaded after it, in order
    loose = (k for one, k in waits if not _stands_without(ground, one, part, numbers))
    return next(loose, math.inf)


def _stands_without(ground: Gripped, part: str, missing: str, numbers: Mapping[str, int]) -> bool:
    """True if a part is located by its pieces and the parts before it but one."""
    grips = tuple(grip for grip in ground.grips(part, numbers) if grip.id != missing)
    return held_by(ground.corners[part], grips)[0] == 3


def _weldment(ground: Gripped, weldment: str, body: LinkedParts) -> Located:
    under = {p.id: supports_of(p, ground.rests.get(p.id, ()), ()) for p in body}
    grips = tuple(grip for part in body for grip in ground.touching.get(part.id, ()))
    near = tuple(grip for part in body for grip in ground.near.get(part.id, ()))
    whole = whole_of(body)
    found = figures(whole.corners, grips, near)
    return _located(weldment, found, carried_together(body, under), 0, parts=whole.ids)


def _located(
    thing: str,
    found: Figures,
    carried: Carried,
    order: int,
    parts: tuple[str, ...] = (),
    under: tuple[str, ...] = (),
) -> Located:
    return _made(thing, found, Same(carried), order, parts, under)


@lru_cache(maxsize=8192)  # the same figures give the same value, so that its words can be kept
def _made(
    thing: str,
    found: Figures,
    carrying: Same[Carried],
    order: int,
    parts: tuple[str, ...],
    under: tuple[str, ...],
) -> Located:
    what: LocatedAs = "located"
    if found.free is not None:
        what = "loose" if found.kappa is None else "cannot leave"
    elif found.spare:
        what = "over-located"
    carried = carrying.value
    return Located(
        thing,
        what,
        found.motion,
        found.contacts,
        carried,
        order,
        carried.centre,
        parts,
        found.spare,
        found.fight,
        found.short,
        under=under,
        closed=found.closed,
        kappa=found.kappa,
        between=found.between,
    )
