"""Where two rows of things differ, by identity: what an edit touched, found once for all who ask.

Values are never changed in place, so that the same object is the same thing and need not be
looked into.
"""

from collections.abc import Iterable
from functools import lru_cache
from itertools import compress
from operator import is_not

from gridjig.rack.same import Same

from .job import Part, Placement

Things = tuple[Placement, ...] | tuple[Part, ...]


def exchanged(old: Things, new: Things) -> tuple[int, ...] | None:
    """At which places another object stands; None if the rows are not of one length."""
    if old is new:
        return ()
    return _exchanged(Same(old), Same(new)) if len(old) == len(new) else None


@lru_cache(maxsize=4)  # the stands and the drawing ask for the same two rows one after the other
def _exchanged(old: Same[Things], new: Same[Things]) -> tuple[int, ...]:
    places = range(len(new.value))
    # A comparison run by the interpreter's own loops costs a third of a comprehension.
    return tuple(compress(places, map(is_not, old.value, new.value)))


def renamed(old: Things, new: Things, places: Iterable[int]) -> bool:
    """True if at any of these places stands a thing of another id."""
    return any(old[k].id != new[k].id for k in places)
