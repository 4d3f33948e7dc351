"""Stops on one face of a part that are not in line, and the angle that this makes."""

import math
from collections.abc import Iterable, Mapping, Sequence

from gridjig.contact.values import TOUCH, Contact
from gridjig.geometry.part_outline import part_edge
from gridjig.model import Part
from gridjig.model.accuracy import Accuracy
from gridjig.solve.tolerance import limit_arcmin, straight_limit

from .sources import LOCATES
from .values import OutOfLine

NEAR = 5.0
"""A stop this near to a face, mm, is meant for it."""


def out_of_line(
    parts: Mapping[str, Part], contacts: Iterable[Contact], accuracy: Accuracy
) -> tuple[OutOfLine, ...]:
    """Faces with two stops or more that are not in line by more than a contact."""
    on: dict[tuple[str, int], dict[str, Contact]] = {}
    for contact in contacts:
        known = contact.means in ("touches", "gap", "overlap") and contact.kind in LOCATES
        if not known or contact.face.kind != "side" or abs(contact.gap) > NEAR:
            continue
        pieces = on.setdefault((contact.part, contact.face.number), {})
        kept = pieces.get(contact.piece)
        if kept is None or abs(contact.gap) < abs(kept.gap):
            pieces[contact.piece] = contact
    found = []
    for (part, number), by_piece in on.items():
        stops = list(by_piece.values())
        if len(stops) > 1:
            one = _compared(parts[part], number, stops, accuracy)
            if one is not None:
                found.append(one)
    return tuple(found)


def _compared(
    part: Part, number: int, stops: Sequence[Contact], accuracy: Accuracy
) -> OutOfLine | None:
    front = min(stops, key=lambda c: c.gap)
    back = max(stops, key=lambda c: c.gap)
    out = back.gap - front.gap
    if out <= TOUCH:
        return None
    a, b = part_edge(part, number)
    apart = max(abs(_along(a, b, back) - _along(a, b, one)) for one in stops if one is not back)
    length = math.dist(a, b)
    return OutOfLine(
        part=part.id,
        face=back.face,
        normal=back.normal,
        pieces=tuple(one.piece for one in stops),
        back=back.piece,
        out=out,
        angle=math.degrees(math.atan2(out, apart)) if apart > TOUCH else 0.0,
        spacing=apart,
        where=back.middle,
        limit=straight_limit(accuracy.straight, length),
        limit_deg=limit_arcmin(accuracy.linear, length) / 60.0,
    )


def _along(a: tuple[float, float], b: tuple[float, float], contact: Contact) -> float:
    length = math.dist(a, b)
    x, y = contact.middle
    return ((x - a[0]) * (b[0] - a[0]) + (y - a[1]) * (b[1] - a[1])) / length
