"""Remembers what was said of what, so that it is said again without being worked out again."""

from collections.abc import Callable, Iterable
from functools import wraps
from typing import ParamSpec, cast

from gridjig.rack.kept import KeptResults
from gridjig.rack.same import Value

from .finding import Finding

Params = ParamSpec("Params")


def collected(say: Callable[Params, Iterable[Finding]]) -> Callable[Params, tuple[Finding, ...]]:
    """Decorate a function that yields findings: it gives all of them, so that they can be kept."""

    @wraps(say)
    def all_of(*args: Params.args, **kwargs: Params.kwargs) -> tuple[Finding, ...]:
        return tuple(say(*args, **kwargs))

    return all_of


class Remembered(KeptResults[tuple[Finding, ...]]):
    """Findings by what they are about.  Not thread-safe."""

    def __init__(self) -> None:
        super().__init__()
        self._values: dict[str, object] = {}

    def equal(self, name: str, value: Value) -> Value:
        """Return the last value of that name if it is equal to this one, so that it is the same."""
        if self._values.get(name) != value:
            self._values[name] = value
        return cast("Value", self._values[name])
