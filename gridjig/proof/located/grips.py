"""The contacts that locate a part, as the statics needs them: pushes, gaps and curvatures.

A clamp's tip locates nothing: it gives way.  Nor does what only rests under a part, in plan.
"""

import math
from collections.abc import Mapping, Sequence
from functools import lru_cache

from msgspec import Struct

from gridjig.contact.accepted import is_accepted
from gridjig.contact.values import Contact, PartContact, PieceContacts
from gridjig.proof.statics.rows import Push
from gridjig.proof.statics.second import Bent
from gridjig.rack import Point
from gridjig.rack.same import Same, kept_for
from gridjig.solve.placed.placed_piece import PlacedPiece

INSIDE = 2.0
"""A locator that reaches into a part by up to this, mm, presses it aside; deeper, it is misplaced
and counts as in the way only.
"""

HOME = 0.5
"""A part pushed home reaches a locator that is this near, mm: what the thinnest shims leave."""

_FLAT = 1e-6


class Grip(Struct, frozen=True, eq=False):
    """One contact: what it is with, where it pushes the part and which way.

    `id` is a placement's if `piece`, else a part's.  `pushes` are at the ends of a common length,
    or at the one point.  `gap` is the distance that is left, mm, negative if it reaches in; a gap
    that the shop accepts counts as none.  `pin` and `part` are the radii of curvature in
    `second.Bent`.
    """

    id: str
    piece: bool
    feature: str
    pushes: tuple[Push, ...]
    gap: float
    length: float
    z_low: float
    z_high: float
    pin: float = math.inf
    part: float = math.inf

    @property
    def touches(self) -> bool:
        """True if it locates once the part is pushed home; False if it only stands near."""
        return self.gap <= HOME

    @property
    def middle(self) -> Point:
        """The middle of it in plan, mm."""
        count = len(self.pushes)
        return (
            sum(one.at[0] for one in self.pushes) / count,
            sum(one.at[1] for one in self.pushes) / count,
        )

    @property
    def middles(self) -> tuple[Push, ...]:
        """It as the one contact that it is if its length is not counted on."""
        if len({one.way for one in self.pushes}) > 1:  # a pin that fills a hole
            return self.pushes
        return (Push(self.middle, self.pushes[0].way),)

    def bent(self) -> tuple[Bent, ...]:
        """Its pushes with their curvatures."""
        return tuple(Bent(one.at, one.way, self.pin, self.part) for one in self.pushes)


@kept_for(16_384)  # 20 MB
def piece_grips(own: PieceContacts, placed: PlacedPiece) -> tuple[tuple[str, Grip], ...]:
    """The grips of a piece, each with its part: those that touch and those that stand near.

    The contacts are those of this placed piece; the same contacts give the same grips.
    """
    if placed.fault is not None:
        return ()
    radius = {body.id: body.radius for body in placed.rounds}
    found: list[tuple[str, Grip]] = []
    walls: dict[tuple[str, str, int], list[Contact]] = {}
    for contact in own.contacts:
        if not _locates(contact):
            continue
        if contact.kind == "round in hole":
            key = (contact.part, contact.feature, contact.face.number)
            walls.setdefault(key, []).append(contact)
            continue
        pushes = tuple(Push(point, _way(contact)) for point in _ends(contact))
        body, fine = radius.get(contact.feature, 0.0), is_accepted(placed.placement, contact)
        found.append((contact.part, _grip(contact, pushes, body, fine)))
    for (part, feature, _), some in walls.items():
        pushes = tuple(Push(one.points[0], _way(one)) for one in some)
        found.append((part, _grip(some[0], pushes, radius[feature])))
    return tuple(found)


def _locates(contact: Contact) -> bool:
    """True for what pushes in plan, is no clamp, and meets the flat or is deep inside."""
    if contact.feature == "tip" or math.hypot(*contact.normal[:2]) < 0.5:
        return False
    if contact.means == "overlap":
        return contact.gap >= -INSIDE
    return contact.means in ("touches", "gap")


def _grip(
    contact: Contact, pushes: tuple[Push, ...], radius: float, accepted: bool = False
) -> Grip:
    pin = part = math.inf
    if contact.kind.endswith("corner"):
        part = 0.0
    if contact.kind.startswith("corner"):
        pin = 0.0
    if contact.kind.startswith("round"):
        pin = radius
        if contact.kind == "round in hole":
            part = -radius - max(contact.gap, 0.0)
    return Grip(
        contact.piece,
        True,
        contact.feature,
        pushes,
        0.0 if accepted else contact.gap,
        contact.length,
        contact.z_low,
        contact.z_high,
        pin,
        part,
    )


def _way(contact: Contact) -> Point:
    nx, ny, _ = contact.normal
    size = math.hypot(nx, ny)
    return (0.0 - nx / size, 0.0 - ny / size)


def _ends(contact: Contact) -> Sequence[Point]:
    """The ends of the common length; one point if they are the same."""
    points = contact.points
    return points if len(points) == 2 and math.dist(*points) > _FLAT else points[:1]


PartGrips = Mapping[str, tuple[Grip, ...]]


def neighbour_grips(joined: tuple[PartContact, ...]) -> PartGrips:
    """By part, how the parts that it meets face to face push it; the same tuple, the same grips."""
    return _neighbours(Same(joined))


@lru_cache(maxsize=8)
def _neighbours(key: Same[tuple[PartContact, ...]]) -> PartGrips:
    found: dict[str, list[Grip]] = {}
    for one in key.value:
        if one.kind != "face on face" or one.normal is None:
            continue
        nx, ny, _ = one.normal
        for me, other, sign in ((one.a, one.b, -1.0), (one.b, one.a, 1.0)):
            way = (sign * nx + 0.0, sign * ny + 0.0)
            found.setdefault(me, []).append(
                Grip(
                    other,
                    False,
                    one.joint,
                    tuple(Push(point, way) for point in one.points),
                    max(one.gap, 0.0),
                    one.length,
                    one.z_low,
                    one.z_high,
                )
            )
    return {part: tuple(some) for part, some in found.items()}


def touching_of(neighbours: PartGrips) -> PartGrips:
    """By part, those of its neighbours that touch it; the same neighbours, the same grips."""
    return _touching(Same(neighbours))


@lru_cache(maxsize=8)
def _touching(key: Same[PartGrips]) -> PartGrips:
    return {part: tuple(g for g in some if g.touches) for part, some in key.value.items()}
