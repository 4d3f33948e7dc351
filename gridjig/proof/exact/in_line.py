"""Stops on one face of a part that are not in line, and the angle that this makes."""

import math
from collections.abc import Mapping, Sequence
from functools import lru_cache

from gridjig.contact.pieces_at import pieces_at
from gridjig.contact.values import TOUCH, Contact, JobContacts, PieceContacts
from gridjig.geometry.part_outline import part_edge
from gridjig.model import Part
from gridjig.model.accuracy import Accuracy
from gridjig.rack.kept import KeptResults
from gridjig.rack.same import Same
from gridjig.solve.tolerance import limit_arcmin, straight_limit

from .values import OutOfLine

NEAR = 5.0
"""A stop this near to a face, mm, is meant for it."""


class InLine:
    """Compares the stops on each face; what stands as before is not compared again."""

    def __init__(self) -> None:
        self._kept = KeptResults[tuple[OutOfLine, ...]]()

    def of(
        self, parts: Mapping[str, Part], contacts: JobContacts, accuracy: Accuracy
    ) -> tuple[OutOfLine, ...]:
        """Faces with two stops or more that are not in line by more than a contact."""
        at = pieces_at(contacts)
        found: list[OutOfLine] = []
        with self._kept.round(accuracy):
            for name, part in parts.items():
                owns = at.get(name)
                if owns is not None:
                    given = (part, owns)
                    found += self._kept.of(name, given, _on_part, part, owns, accuracy)
        return tuple(found)


def _on_part(
    part: Part, owns: Sequence[PieceContacts], accuracy: Accuracy
) -> tuple[OutOfLine, ...]:
    on: dict[int, list[Contact]] = {}
    for own in owns:
        for (name, number), contact in _meant_for(Same(own)):
            if name == part.id:
                on.setdefault(number, []).append(contact)
    every = (
        _compared(part, number, stops, accuracy) for number, stops in on.items() if len(stops) > 1
    )
    return tuple(found for found in every if found is not None)


_Face = tuple[str, int]


@lru_cache(maxsize=4096)
def _meant_for(key: Same[PieceContacts]) -> tuple[tuple[_Face, Contact], ...]:
    """The faces that a piece stands at, each with the contact that is nearest to it."""
    found: dict[_Face, Contact] = {}
    for contact in key.value.contacts:
        known = contact.means in ("touches", "gap", "overlap") and contact.locates
        if not known or contact.face.kind != "side" or abs(contact.gap) > NEAR:
            continue
        face = (contact.part, contact.face.number)
        if face not in found or abs(contact.gap) < abs(found[face].gap):
            found[face] = contact
    return tuple(found.items())


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
