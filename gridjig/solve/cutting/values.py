"""The question how pieces are cut from bars of one section, and its answer, as plain values.

Lengths are whole micrometres, so that sums are exact.
"""

from msgspec import Struct

MICRO = 1000
"""Micrometres in a mm."""


class WantedPieces(Struct, frozen=True):
    """Pieces of one length: how long, and how many."""

    length: int
    count: int


class BarLength(Struct, frozen=True):
    """Bars of one length: `have` is how many are on hand, None if they are bought as needed."""

    length: int
    have: int | None = None


class CuttingTask(Struct, frozen=True):
    """What is wanted, the bars there are, and what a cut takes away.

    `trim` is cut off one end of every bar before anything else, its kerf included.
    """

    wanted: tuple[WantedPieces, ...]
    bars: tuple[BarLength, ...]
    kerf: int = 0
    trim: int = 0

    def room(self, bar: int) -> int:
        """The room of a bar for pieces that each bring one kerf: the last needs none."""
        return self.bars[bar].length - self.trim + self.kerf

    def cost(self, bar: int) -> int:
        """The length that is bought with a bar: nothing if it is on hand."""
        return self.bars[bar].length if self.bars[bar].have is None else 0


class CutBar(Struct, frozen=True):
    """Bars that are cut alike: which of the bars, which of the wanted lengths from each in order.

    `offcut` is what is left of each; 0 if the last cut takes all.  There are `count` of them.
    """

    bar: int
    pieces: tuple[int, ...]
    offcut: int
    count: int = 1


class CuttingAnswer(Struct, frozen=True):
    """The bars, and how good they are.

    `bought` is the length of all that are bought; at least `bound` must be, whatever way they are
    cut.  `uncut` has, for each of the wanted lengths, how many no bar was left for.
    """

    cut: tuple[CutBar, ...]
    bought: int
    bound: int
    uncut: tuple[int, ...]

    @property
    def proven(self) -> bool:
        """True if no other way takes less to be bought."""
        return self.bought <= self.bound
