"""Why stops or places for the weldment cannot be found, as values."""

from typing import Literal

from msgspec import Struct


class NothingToPlace(Struct, frozen=True):
    """There is no weldment, or none of its faces lies along the grid."""

    what: Literal["no weldment", "no face along the grid"]


class TooManyLines(Struct, frozen=True):
    """More lines of faces than can be compared."""

    lines: int
    most: int


class NotAStop(Struct, frozen=True):
    """The rack of that name has no stop or round pin with this id; "" if it has no stop at all."""

    piece: str
    rack: str


LayoutReason = NothingToPlace | TooManyLines | NotAStop


class LayoutFault(Exception):  # noqa: N818  (a fault of the question, not of the program)
    """The question has no answer, and why; `words/layout_fault_text.py` puts it into words.

    No ValueError, whose text is shown as it is.
    """

    def __init__(self, reason: LayoutReason) -> None:
        super().__init__(reason)
        self.reason = reason
