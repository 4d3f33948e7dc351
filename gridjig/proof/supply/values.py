"""What the rack lacks for a job and what can be used instead, as plain values."""

from typing import Literal

from msgspec import Struct

from gridjig.model import Placement


class Substitute(Struct, frozen=True):
    """What can be used for one placement in place of a piece that the rack is short of.

    "piece": another piece, which was set in the same holes and touches the same faces; `setting` is
    how.  "stack": other risers or shims of the same total.  "pin": another locking pin that fits.
    """

    placement: str
    how: Literal["piece", "stack", "pin"]
    instead: tuple[str, ...]
    setting: Placement | None = None


class Shortage(Struct, frozen=True):
    """A piece of which more are needed than owned.

    `without` are the placements that would have to do without, the last ones placed.
    `substitutes` has at most one for each of them, together no more than the rack has left.
    `pieces` is how many other pieces were looked at, `tried` how many ways to set them.
    """

    piece: str
    needed: int
    owned: int
    without: tuple[str, ...]
    substitutes: tuple[Substitute, ...]
    pieces: int
    tried: int

    @property
    def short(self) -> int:
        """How many are missing."""
        return self.needed - self.owned


class SupplyReport(Struct, frozen=True, eq=False):
    """Every shortage of a job, in the order of the rack."""

    shortages: tuple[Shortage, ...]
