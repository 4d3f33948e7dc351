"""A key for caches that asks for the very same value, and never looks inside it."""

from typing import Generic, TypeVar

Value = TypeVar("Value")


class Same(Generic[Value]):
    """Holds a value that never changes; equal only to one that holds the very same object.

    As long as a cache keeps it, the value lives, so that its address is nobody else's.
    """

    __slots__ = ("value",)

    def __init__(self, value: Value) -> None:
        self.value = value

    def __hash__(self) -> int:
        return id(self.value)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Same) and other.value is self.value
