"""The contacts of a job by the part that they are with."""

from collections.abc import Mapping
from functools import lru_cache

from msgspec import Struct

from gridjig.rack.same import Same, alike

from .values import Contact, JobContacts, PartContact


class ByPart(Struct, frozen=True, eq=False):
    """What touches each part: pieces in `own`, other parts in `joined`; by part id."""

    own: Mapping[str, tuple[Contact, ...]]
    joined: Mapping[str, tuple[PartContact, ...]]


def by_part(contacts: JobContacts) -> ByPart:
    """Sort the contacts that touch by their part; the same contacts give the same value."""
    return _by_part(Same(contacts))


@lru_cache(maxsize=4)
def _by_part(key: Same[JobContacts]) -> ByPart:
    own: dict[str, list[Contact]] = {}
    for piece in key.value.pieces.values():
        for one in piece.contacts:
            if one.means != "touches":
                break  # those that touch come first
            own.setdefault(one.part, []).append(one)
    kept = {k: _kept(k, tuple(v)) for k, v in own.items()}
    return ByPart(kept, _joined(Same(key.value.parts)))


_LAST: dict[str, tuple[Contact, ...]] = {}
_MOST_KEPT = 16_384
"""The most parts whose contacts are kept."""


def _kept(part: str, own: tuple[Contact, ...]) -> tuple[Contact, ...]:
    """The tuple of the last time if it has the same contacts: what is kept by it is found again."""
    last = _LAST.get(part)
    if last is not None and alike(last, own):
        return last
    if len(_LAST) >= _MOST_KEPT:
        _LAST.clear()
    _LAST[part] = own
    return own


@lru_cache(maxsize=4)
def _joined(key: Same[tuple[PartContact, ...]]) -> Mapping[str, tuple[PartContact, ...]]:
    joined: dict[str, list[PartContact]] = {}
    for pair in key.value:
        joined.setdefault(pair.a, []).append(pair)
        joined.setdefault(pair.b, []).append(pair)
    return {k: tuple(v) for k, v in joined.items()}
