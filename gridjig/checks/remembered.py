"""Remembers what was said of what, so that it is said again without being worked out again."""

from collections.abc import Callable, Hashable, Iterable, Iterator
from contextlib import contextmanager
from typing import cast

from gridjig.rack.same import Value, alike

from .finding import Finding


class Remembered:
    """Findings by what they are about, with all that they follow from; compared by identity.

    Not thread-safe.
    """

    def __init__(self) -> None:
        self._last: dict[Hashable, tuple[tuple[object, ...], tuple[Finding, ...]]] = {}
        self._now: dict[Hashable, tuple[tuple[object, ...], tuple[Finding, ...]]] = {}
        self._values: dict[str, object] = {}

    @contextmanager
    def round(self) -> Iterator[None]:
        """Look at a whole job; what is not asked about in a round is forgotten after it."""
        self._now = {}
        yield
        self._last = self._now

    def of(
        self, about: Hashable, given: tuple[object, ...], say: Callable[[], Iterable[Finding]]
    ) -> tuple[Finding, ...]:
        """Return what is said: what was said before if it follows from the very same objects."""
        before = self._last.get(about)
        if before is not None and alike(before[0], given):
            self._now[about] = before
            return before[1]
        found = tuple(say())
        self._now[about] = (given, found)
        return found

    def equal(self, name: str, value: Value) -> Value:
        """Return the last value of that name if it is equal to this one, so that it is the same."""
        if self._values.get(name) != value:
            self._values[name] = value
        return cast("Value", self._values[name])
