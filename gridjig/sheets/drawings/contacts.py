"""What touches what, marked on the plan: each symbol has its own shape, to print in black.

A face that touches has a bar along its contact with the work and a tick into the work; a round
body has a half-round in the work; a rest or a pad has a small square.  Two bars with a gap mean
that something does not reach, and a struck-out ring that there is nothing in front of it.
"""

import math

from gridjig.contact.values import Contact, PieceContacts, Role
from gridjig.geometry.display import DisplayList, Polyline, Shape, Symbol, SymbolKind
from gridjig.rack import Point
from gridjig.solve.placed.placed_piece import PlacedPiece

_BESIDE = 0.75
"""Where a level contact is marked, in radii from its middle, which has the pin or press symbol."""

_NAMED, _ASIDE = 0.5, 0.12
"""How far along a face that looks down its symbol goes, as the piece's name is below it."""

_LEVEL = ("rest under", "pad on top")
_ROUND = ("round on face", "round on corner")


def draw_contact_bars(own: PieceContacts) -> DisplayList:
    """Draw a bar along each contact between a piece's faces and the work."""
    return tuple(
        Polyline(one.points, "contact")
        for one in own.touching
        if len(one.points) == 2 and one.kind not in _LEVEL
    )


def draw_contact_signs(placed: PlacedPiece, own: PieceContacts, role: Role) -> DisplayList:
    """Draw a symbol at each contact of a piece, or one that shows that it does nothing."""
    if placed.fault is not None:
        return ()
    held = own.touching
    shapes: list[Shape] = [_sign(one) for one in held]
    working = role.what == "clamps" if placed.tip is not None else bool(held)
    if working or own.overlaps:
        return tuple(shapes)
    near = next((c for c in own.contacts if placed.tip is None or c.feature == "tip"), None)
    if near is not None:
        shapes.append(Symbol(_place(near), "apart", "thin", _into(near)))
    elif (at := _feature(placed)) is not None:
        shapes.append(Symbol(at, "nothing there", "thin"))
    return tuple(shapes)


def _sign(one: Contact) -> Symbol:
    mark: SymbolKind = "touch"
    if one.kind in _LEVEL:
        mark = "level touch"
    elif one.kind in _ROUND or len(one.points) < 2:
        mark = "round touch"
    return Symbol(_place(one), mark, "thin", _into(one))


def _place(one: Contact) -> Point:
    x, y = one.middle
    if one.kind in _LEVEL:
        beside = _BESIDE * one.length / 2.0 * math.sqrt(0.5)
        return (x + beside, y + beside)
    if len(one.points) == 2 and one.normal[1] > _NAMED:
        (ax, ay), (bx, by) = sorted(one.points)
        return (ax + _ASIDE * (bx - ax), ay + _ASIDE * (by - ay))
    return (x, y)


def _into(one: Contact) -> float:
    """The direction into the work, degrees; 0 for what lies on it."""
    nx, ny, _ = one.normal
    return math.degrees(math.atan2(-ny, -nx)) % 360.0 if nx or ny else 0.0


def _feature(placed: PlacedPiece) -> Point | None:
    """The point that would touch the work: the middle of its first face, or tip, body, rest."""
    if placed.tip is not None:
        return placed.tip.at
    if placed.faces:
        (ax, ay), (bx, by) = placed.faces[0].a, placed.faces[0].b
        return ((ax + bx) / 2.0, (ay + by) / 2.0)
    for bodies in (placed.rounds, placed.rests):
        for body in bodies:
            x, y = body.centre
            away = body.radius * math.sqrt(0.5)  # off the middle, where its pin is shown
            return (x + away, y + away)
    return None
