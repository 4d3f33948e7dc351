"""What each placed piece does: locates, carries, clamps, or nothing."""

from collections.abc import Iterator, Mapping, Sequence
from math import dist

from gridjig.geometry import unit
from gridjig.model import Part
from gridjig.solve.placed.placed_piece import PlacedPiece

from .sides import off_ring
from .values import TOUCH, Clamped, Contact, PartContact, PieceContacts, Role, RoleName, Support

ContactsByPart = Mapping[str, Sequence[Contact]]
"""The contacts that touch, by the id of their part."""

_AGAINST = 0.5
"""A locator takes a push if its face is turned against it by no more than 60 degrees."""


def role_of(
    placed: PlacedPiece,
    own: PieceContacts,
    touching: ContactsByPart,
    parts: Mapping[str, Part],
    joined: Sequence[PartContact],
) -> Role:
    """What a piece does.  `touching` need only have the parts that the piece clamps."""
    if placed.fault is not None:
        return Role("cannot stand")
    held = own.touching
    pad = next((c for c in held if c.feature == "tip" and placed.tip is not None), None)
    if pad is not None:
        return Role("clamps", (pad.part,), _clamped(placed, pad, touching, parts, joined))
    what: RoleName = "idle"
    if held:
        what = "carries" if all(c.kind == "rest under" for c in held) else "locates"
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
    """The table, rests and parts that the clamped part lies on."""
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
    """What stands against a push along the table: locators, and parts that it meets with a face."""
    x, y = pad.middle
    for contact in touching.get(pad.part, ()):
        nx, ny, _ = contact.normal
        if contact.piece != pad.piece and nx * push[0] + ny * push[1] > _AGAINST:
            yield Support("locator", contact.piece, _aside(x, y, push, contact.points))
    for one in joined:
        if one.kind != "face on face" or one.normal is None or pad.part not in (one.a, one.b):
            continue
        way = 1.0 if one.a == pad.part else -1.0
        if way * (one.normal[0] * push[0] + one.normal[1] * push[1]) > _AGAINST:
            other = one.b if one.a == pad.part else one.a
            yield Support("part", other, _aside(x, y, push, one.points))


def _aside(
    x: float, y: float, push: tuple[float, float], points: Sequence[tuple[float, float]]
) -> float:
    """How far the line of a push passes points, mm; 0 if it goes between them."""
    offs = [push[0] * (q - y) - push[1] * (p - x) for p, q in points]
    if min(offs) <= 0.0 <= max(offs):
        return 0.0
    return min(abs(off) for off in offs)
