"""A cache key that compares values by identity and never looks inside them."""

from operator import is_
from typing import Generic, TypeVar

Value = TypeVar("Value")


class Same(Generic[Value]):
    """Wraps an immutable value; equal only to a wrapper of the same object.

    It keeps the value alive as long as a cache holds it, so that its id is not reused.
    """

    __slots__ = ("value",)

    def __init__(self, value: Value) -> None:
        self.value = value

    def __hash__(self) -> int:
        return id(self.value)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Same) and other.value is self.value


def alike(one: tuple[object, ...], other: tuple[object, ...]) -> bool:
    """True if both hold the same objects in the same order."""
    return len(one) == len(other) and all(map(is_, one, other))
