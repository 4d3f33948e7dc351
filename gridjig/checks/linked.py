"""Which parts hang together: those that meet, and those that meet these."""

from collections.abc import Iterable

from gridjig.contact.values import PartContact


def linked(joined: Iterable[PartContact], part: str) -> frozenset[str]:
    """A part and all that it is in contact with, one after another."""
    beside: dict[str, set[str]] = {}
    for one in joined:
        beside.setdefault(one.a, set()).add(one.b)
        beside.setdefault(one.b, set()).add(one.a)
    found, new = {part}, [part]
    while new:
        for other in beside.get(new.pop(), ()):
            if other not in found:
                found.add(other)
                new.append(other)
    return frozenset(found)
