"""How every part and every weldment of a job is located."""

import math
from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import islice

from gridjig.contact.carrying import (
    Carried,
    Carrier,
    carried,
    carried_together,
    supports_of,
)
from gridjig.contact.values import JobContacts, PartContact
from gridjig.model import Job, Part
from gridjig.model.by_weldment import parts_by_weldment
from gridjig.rack.same import Same, alike
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units.progress import looked_at

from .body import Figures, figures, held_by
from .ground import Gripped, LinkedParts, bodies_of, ground_of, whole_of
from .values import Located, LocatedAs, LocatedReport


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
        self._parts: dict[str, tuple[tuple[object, ...], Located]] = {}
        self._bodies: dict[str, tuple[tuple[object, ...], Located]] = {}

    def of(
        self, job: Job, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts
    ) -> LocatedReport:
        """How everything is located in a job."""
        ground = ground_of(job, placed_pieces, contacts)
        lying = _lying(Same(contacts.parts))
        parts: dict[str, tuple[tuple[object, ...], Located]] = {}
        bodies: dict[str, tuple[tuple[object, ...], Located]] = {}
        weldments: list[Located] = []
        every = parts_by_weldment(job.parts)
        for weldment, order in ground.orders.items():
            numbers = _numbered(order)
            for part in looked_at(every.get(weldment, ()), 20):
                key: tuple[object, ...] = (part, contacts.parts, numbers, ground.at.get(part.id))
                known = self._parts.get(part.id)
                if known is None or not alike(known[0], key) or known[1].located == "loose":
                    rests = ground.rests.get(part.id, ())
                    supports = supports_of(part, rests, lying.get(part.id, ()))
                    known = (key, _part(ground, part, numbers, supports))
                parts[part.id] = known
            for body in bodies_of(every.get(weldment, ()), contacts.parts):
                key = (body, *(ground.at.get(part.id) for part in body))
                known = self._bodies.get(body[0].id)
                if known is None or not alike(known[0], key):
                    under = {p.id: supports_of(p, ground.rests.get(p.id, ()), ()) for p in body}
                    known = (key, _weldment(ground, weldment, body, under))
                bodies[body[0].id] = known
                weldments.append(known[1])
        self._parts, self._bodies = parts, bodies
        return LocatedReport(
            tuple(parts[part.id][1] for part in job.parts), tuple(weldments), ground.orders
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


def _part(
    ground: Gripped, part: Part, numbers: Mapping[str, int], supports: Sequence[Carrier]
) -> Located:
    grips = ground.grips(part.id, numbers)
    corners = ground.corners[part.id]
    found = figures(corners, grips, ground.standing_near(part.id, numbers))
    after: tuple[str, ...] = ()
    if found.free is not None and found.kappa is None:
        later = tuple(
            grip
            for grip in ground.neighbours.get(part.id, ())
            if grip.touches and numbers[part.id] < numbers.get(grip.id, 0)
        )
        if later:
            free = _free_to_wait(ground, part.id, numbers)
            later = tuple(grip for grip in later if numbers[grip.id] < free)
        if later and held_by(corners, (*grips, *later))[0] > found.held:
            after = tuple(dict.fromkeys(grip.id for grip in later))
    number = numbers[part.id]
    there = [one for one in supports if numbers.get(one.id, 0) < number]
    under = tuple(one.id for one in supports if numbers.get(one.id, 0) > number)
    return _located(part.id, found, carried(part, there), number, after, under=under)


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


def _weldment(
    ground: Gripped,
    weldment: str,
    body: LinkedParts,
    under: Mapping[str, Sequence[Carrier]],
) -> Located:
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
    after: tuple[str, ...] = (),
    parts: tuple[str, ...] = (),
    under: tuple[str, ...] = (),
) -> Located:
    return _made(thing, found, Same(carried), order, after, parts, under)


@lru_cache(maxsize=8192)  # the same figures give the same value, so that its words can be kept
def _made(
    thing: str,
    found: Figures,
    carrying: Same[Carried],
    order: int,
    after: tuple[str, ...],
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
        after,
        under,
        found.closed,
        found.kappa,
        found.between,
    )
