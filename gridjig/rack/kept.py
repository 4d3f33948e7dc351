"""Keeps what follows from immutable values as long as they are the very same objects."""

from collections.abc import Callable, Hashable, Iterator
from contextlib import contextmanager
from typing import Generic

from .same import Args, Value, alike


class KeptResults(Generic[Value]):
    """What was made last under each name, with all that it follows from; compared by identity.

    Not thread-safe.
    """

    def __init__(self) -> None:
        self._basis: tuple[object, ...] = ()
        self._last: dict[Hashable, tuple[tuple[object, ...], Value]] = {}
        self._now: dict[Hashable, tuple[tuple[object, ...], Value]] = {}

    @contextmanager
    def round(self, *basis: object) -> Iterator[None]:
        """Ask for all names once; what is not asked for in a round is forgotten after it.

        `basis` is what everything follows from: if it differs, nothing that was kept is used.
        """
        if not alike(self._basis, basis):
            self._basis, self._last = basis, {}
        self._now = {}
        yield
        self._last = self._now

    def of(
        self,
        name: Hashable,
        given: tuple[object, ...],
        make: Callable[[*Args], Value],
        *args: *Args,
    ) -> Value:
        """Return what is kept under a name if it follows from the very same objects; else make it.

        Only in a round.
        """
        known = self._last.get(name)
        if known is None or not alike(known[0], given):
            known = (given, make(*args))
        self._now[name] = known
        return known[1]
