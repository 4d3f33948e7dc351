"""How a weldment comes out of the set-up, as plain values: mm, degrees, table coordinates."""

from typing import Literal, NamedTuple

from msgspec import Struct

from gridjig.rack import Point

Interval = tuple[float, float]
"""Directions from one to another, counter-clockwise, degrees; equal for a single direction."""

OffWhy = Literal["clamps", "inside", "over"]


class Rule(NamedTuple):
    """What one rule says a weld closes its joint by, mm; `source` names it."""

    source: str
    low: float
    high: float


class JointClosing(Struct, frozen=True):
    """By how much welding closes one joint: from `low` to `high`, mm, across the seam.

    `nth` is the joint's number between parts `a` and `b`, `name` its name.  `rules` are what the
    published rules say; `measured` if the shop's own value is used in their place.  `leg` and
    `thickness` are what they were reckoned with; `assumed` if the weld has no size in the job, so
    that the leg is that of the thinner wall.  No rules: the joint is not welded, or no rule is
    known for its kind of weld.
    """

    id: str
    name: str
    a: str
    b: str
    nth: int
    kind: str
    low: float
    high: float
    rules: tuple[Rule, ...] = ()
    measured: bool = False
    leg: float = 0.0
    thickness: float = 0.0
    assumed: bool = False


class FreeEnd(Struct, frozen=True):
    """An end of a part that only one joint holds: how far it swings as that joint pulls.

    `length` is from the joint to the end; each degree pulls the end in by `per_degree` mm.
    """

    part: str
    end: Literal["start", "end"]
    joint: str
    at: Point
    length: float
    per_degree: float


class OffFirst(NamedTuple):
    """What has to be opened or taken off, and why.

    "clamps": it presses on the work, or is over it, and is opened.  "inside": the work closes on
    it.  "over": it is above the work, or hooks over it.
    """

    id: str
    why: OffWhy


class Trap(Struct, frozen=True):
    """Locators that the weldment closes on as it shrinks.

    `pieces` push apart against `parts`; the weldment closes on them by `low` to `high` mm more
    than the clearance there is.  `clearance` is what there is, `closing` what the joints take, mm.
    `captured`: a single piece between two parts, as a spacer between lugs.
    """

    pieces: tuple[str, ...]
    parts: tuple[str, ...]
    where: Point
    clearance: float
    closing: tuple[float, float]
    low: float
    high: float
    captured: bool


Verdict = Literal["free", "tight", "trapped"]


class WeldmentOut(Struct, frozen=True):
    """How one weldment comes out, with its clamps open.

    `up`: it lifts straight up.  `over` are what is above it or hooks over it; `captured` those of
    them that cannot be taken off either, because the work lies on them.  `directions` are the free
    ones along the table.  `first_off` is in order.
    """

    weldment: str
    up: bool
    directions: tuple[Interval, ...]
    first_off: tuple[OffFirst, ...]
    over: tuple[str, ...]
    captured: tuple[str, ...]
    grip: Trap | None
    verdict: Verdict


class OutReport(Struct, frozen=True, eq=False):
    """How everything on the table comes out again."""

    weldments: tuple[WeldmentOut, ...]
    joints: tuple[JointClosing, ...]
    free_ends: tuple[FreeEnd, ...]

    @property
    def up(self) -> bool:
        """True if every weldment lifts straight up once its clamps are open."""
        return all(one.up for one in self.weldments)

    @property
    def first_off(self) -> tuple[str, ...]:
        """What has to be opened or taken off first, in order."""
        return tuple(dict.fromkeys(off.id for one in self.weldments for off in one.first_off))

    @property
    def trapped(self) -> tuple[str, ...]:
        """The pieces that trap a weldment after welding."""
        held = (one.grip.pieces for one in self.weldments if one.grip and one.verdict == "trapped")
        return tuple(dict.fromkeys(piece for pieces in held for piece in pieces))
