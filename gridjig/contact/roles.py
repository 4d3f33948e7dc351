"""What each placed piece does: locates, carries, clamps, or nothing."""

from collections.abc import Iterator, Mapping, Sequence
from math import dist

from gridjig.geometry import unit
from gridjig.model import Part
from gridjig.solve.placed.placed_piece import PlacedPiece

from .accepted import is_accepted
from .sides import off_ring
from .values import TOUCH, Clamped, Contact, PartContact, PieceContacts, Role, RoleName, Support

ContactsByPart = Mapping[str, Sequence[Contact]]
"""The contacts that touch, by part id."""

_AGAINST = 0.5
"""A locator resists a push if its face is within 60 degrees of square to it."""


def role_of(
    placed: PlacedPiece,
    own: PieceContacts,
    touching: ContactsByPart,
    parts: Mapping[str, Part],
    joined: Sequence[PartContact],
) -> Role:
    """The role of a piece.  `touching` only needs the parts that the piece clamps."""
    if placed.fault is not None:
        return Role("cannot stand")
    held = own.touching
    pad = next((c for c in held if c.feature == "tip" and placed.tip is not None), None)
    if pad is not None:
        return Role("clamps", (pad.part,), _clamped(placed, pad, touching, parts, joined))
    what: RoleName = "idle"
    if held:
        what = "carries" if all(c.kind == "rest under" for c in held) else "locates"
    elif held := tuple(c for c in own.contacts if is_accepted(placed.placement, c)):
        what = "stands off"
    elif own.contacts:
        what = "blocks nothing"
    return Role(what, tuple(dict.fromkeys(c.part for c in held or own.contacts)))


def _clamped(
    placed: PlacedPiece,
    pad: Contact,
    touching: ContactsByPart,
    parts: Mapping[str, Part],
    joined: Sequence[PartContact],
) -> Clamped:
    down = pad.kind == "pad on top"
    assert placed.tip is not None
    push = unit(placed.tip.direction)
    found = list(
        _below(pad, touching, parts, joined) if down else _behind(pad, push, touching, joined)
    )
    found.sort(key=lambda support: (support.distance, support.what, support.id))
    middle = (pad.z_low + pad.z_high) / 2.0
    return Clamped(pad.part, pad.middle, middle, tuple(found))


def _below(
    pad: Contact,
    touching: ContactsByPart,
    parts: Mapping[str, Part],
    joined: Sequence[PartContact],
) -> Iterator[Support]:
    """The table, the rests and the parts under the clamped part."""
    at = pad.middle
    if abs(parts[pad.part].z_low) <= TOUCH:
        yield Support("table", "", 0.0)
    for contact in touching.get(pad.part, ()):
        if contact.kind == "rest under":
            off = dist(at, contact.middle) - contact.length / 2.0
            yield Support("rest", contact.piece, max(off, 0.0))
    for one in joined:
        if one.kind != "on top" or one.normal is None or pad.part not in (one.a, one.b):
            continue
        lower = one.a if one.normal[2] > 0.0 else one.b
        if lower != pad.part:
            yield Support("part", lower, max(off_ring(one.points, at), 0.0))


def _behind(
    pad: Contact,
    push: tuple[float, float],
    touching: ContactsByPart,
    joined: Sequence[PartContact],
) -> Iterator[Support]:
    """What resists a push along the table: locators, and parts that it meets face to face."""
    x, y = pad.middle
    for contact in touching.get(pad.part, ()):
        nx, ny, _ = contact.normal
        if contact.piece != pad.piece and nx * push[0] + ny * push[1] > _AGAINST:
            yield Support("locator", contact.piece, _aside(x, y, push, contact.points))
    for one in joined:
        if one.kind != "face on face" or one.normal is None or pad.part not in (one.a, one.b):
            continue
        sign = 1.0 if one.a == pad.part else -1.0
        if sign * (one.normal[0] * push[0] + one.normal[1] * push[1]) > _AGAINST:
            other = one.b if one.a == pad.part else one.a
            yield Support("part", other, _aside(x, y, push, one.points))


def _aside(
    x: float, y: float, push: tuple[float, float], points: Sequence[tuple[float, float]]
) -> float:
    """Distance of the line of a push from points, mm; 0 if it passes between them."""
    distances = [push[0] * (q - y) - push[1] * (p - x) for p, q in points]
    if min(distances) <= 0.0 <= max(distances):
        return 0.0
    return min(abs(distance) for distance in distances)
