"""Which parts are connected, directly or through other parts."""

from collections.abc import Iterable

from gridjig.contact.values import PartContact


def linked(joined: Iterable[PartContact], part: str) -> frozenset[str]:
    """Return a part and every part connected to it, directly or through others."""
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
