"""The pieces that each part has to do with; after an edit only the parts at changed pieces differ.

The tuple of a part is the same object as long as all of its pieces keep their contacts, so that
whatever follows from them can be kept by it.
"""

from collections.abc import Iterable, Mapping
from functools import lru_cache

from msgspec import Struct

from gridjig.rack.same import Same

from .values import JobContacts, PieceContacts

PiecesAt = Mapping[str, tuple[PieceContacts, ...]]
"""By part, the contacts of the pieces at it, in the order of the pieces."""


def pieces_at(contacts: JobContacts) -> PiecesAt:
    """The pieces at each part; the same contacts give the same value."""
    return _pieces_at(Same(contacts))


class _Last(Struct, frozen=True, eq=False):
    contacts: JobContacts
    at: PiecesAt


_LAST: list[_Last] = []
"""The last answer, of which the next one is mostly made."""


@lru_cache(maxsize=4)
def _pieces_at(key: Same[JobContacts]) -> PiecesAt:
    contacts = key.value
    last = next(iter(_LAST), None)
    at = _altered(last, contacts) if last is not None else None
    if at is None:
        at = _sorted(contacts.pieces.values())
    _LAST[:] = [_Last(contacts, at)]
    return at


def _sorted(pieces: Iterable[PieceContacts]) -> PiecesAt:
    found: dict[str, list[PieceContacts]] = {}
    for own in pieces:
        for part in parts_of_piece(own):
            found.setdefault(part, []).append(own)
    return {part: tuple(some) for part, some in found.items()}


def _altered(last: _Last, contacts: JobContacts) -> PiecesAt | None:
    """The last answer with what differs; None if pieces came, went or changed places."""
    old, new = last.contacts.pieces, contacts.pieces
    if list(old) != list(new):
        return None
    changed = [
        (before, now)
        for before, now in zip(old.values(), new.values(), strict=True)
        if before is not now
    ]
    at = dict(last.at)
    gone = {id(before) for before, _ in changed}
    parts = {part for both in changed for own in both for part in parts_of_piece(own)}
    places = {k: place for place, k in enumerate(new)} if parts else {}
    come = _sorted(now for _, now in changed)
    for part in parts:
        some = [own for own in at.get(part, ()) if id(own) not in gone]
        some = sorted([*some, *come.get(part, ())], key=lambda own: places[own.piece])
        if some:
            at[part] = tuple(some)
        else:
            del at[part]
    return at


def parts_of_piece(own: PieceContacts) -> tuple[str, ...]:
    """The parts that a piece has to do with; the same contacts give the same tuple."""
    return _parts(Same(own))


@lru_cache(maxsize=16_384)
def _parts(key: Same[PieceContacts]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one.part for one in key.value.contacts))
