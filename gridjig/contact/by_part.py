"""The contacts of a job by the part that they are with."""

from collections.abc import Mapping
from functools import lru_cache

from msgspec import Struct

from gridjig.rack.same import Same

from .pieces_at import pieces_at
from .values import Contact, JobContacts, PartContact, PieceContacts


class ByPart(Struct, frozen=True, eq=False):
    """What touches each part: pieces in `own`, other parts in `joined`; by part id."""

    own: Mapping[str, tuple[Contact, ...]]
    joined: Mapping[str, tuple[PartContact, ...]]


def by_part(contacts: JobContacts) -> ByPart:
    """Sort the contacts that touch by their part; the same contacts give the same value."""
    return _by_part(Same(contacts))


@lru_cache(maxsize=4)
def _by_part(key: Same[JobContacts]) -> ByPart:
    own = {part: _touching(Same(some), part) for part, some in pieces_at(key.value).items()}
    return ByPart({k: some for k, some in own.items() if some}, _joined(Same(key.value.parts)))


@lru_cache(maxsize=16_384)
def _touching(at: Same[tuple[PieceContacts, ...]], part: str) -> tuple[Contact, ...]:
    """What touches a part; the same pieces give the same tuple."""
    return tuple(
        one
        for own in at.value
        for one in own.contacts
        if one.part == part and one.means == "touches"
    )


@lru_cache(maxsize=4)
def _joined(key: Same[tuple[PartContact, ...]]) -> Mapping[str, tuple[PartContact, ...]]:
    joined: dict[str, list[PartContact]] = {}
    for pair in key.value:
        joined.setdefault(pair.a, []).append(pair)
        joined.setdefault(pair.b, []).append(pair)
    return {k: tuple(v) for k, v in joined.items()}
