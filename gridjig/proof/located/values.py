"""How parts and weldments are located, as plain values: mm, degrees, table coordinates."""

from collections.abc import Mapping
from typing import Literal

from msgspec import Struct

from gridjig.contact.carrying import Carried
from gridjig.rack import Point

LocatedAs = Literal["located", "loose", "over-located", "cannot leave"]
MotionKind = Literal["turn", "slide", "free"]


class Motion(Struct, frozen=True):
    """How something can still move although every locator touches it.

    "turn": about `centre`; "slide": along `direction`, a unit vector; "free": it slides and turns,
    so about the one and along the other where something touches it.  `ahead` is how far it goes
    along the direction, or counter-clockwise, before a piece or part stops it, `back` how far the
    other way; in degrees for a turn and in mm for a slide, None if nothing was found in its way.
    """

    kind: MotionKind
    centre: Point | None = None
    direction: Point | None = None
    ahead: float | None = None
    back: float | None = None

    @property
    def by(self) -> float | None:
        """How far it goes from stop to stop; None if nothing was found in its way on one side."""
        if self.ahead is None or self.back is None:
            return None
        return self.ahead + self.back


class ShortBase(Struct, frozen=True):
    """An angle that hangs on a short base: an error at the contacts grows `times` at `far`.

    `ids` are the pieces and parts whose faces hold the angle, `base` how far apart their contacts
    are, mm.
    """

    ids: tuple[str, ...]
    base: float
    times: float
    far: Point


class Fight(Struct, frozen=True):
    """Locators that cannot all touch a rigid body: they fight by `by` mm.

    "squeeze": they stand against each other and leave too little room, by that much at each.
    "rock": it lies on some of them and stands off the others, by that much at most.
    `pushing` are those that touch, `off` those that do not; `where` is the middle of the worst.
    """

    kind: Literal["squeeze", "rock"]
    by: float
    pushing: tuple[str, ...]
    off: tuple[str, ...]
    where: Point


class Located(Struct, frozen=True):
    """How one part is located with those loaded before it in place, or a weldment as one body.

    `contacts` are the ids of the placements and parts that locate it.  "located": in all three
    plan freedoms.  "loose": `motion` says how it can move.  "over-located": more contacts than
    touch a body that is not exactly to size; `spare` are the pieces that it would be located
    without.  "cannot leave": the contacts let it go nowhere, but they do not locate its angle:
    `motion` is how far it turns if each stands off by `body.PLAY`; `kappa` is the second-order
    figure, mm.

    `order` is its place in the order of loading, from 1; 0 for a weldment, whose `parts` are those
    that are joined to each other (a weldment that is not all joined is several bodies).  `after`
    are parts that are loaded later and would take the motion away if it could wait for them; `ends`
    are parts loaded later that come against both ends of it, where it slides from one to the other;
    `under` are parts loaded later that it lies on.  `short` is set where only a
    short base holds its angle; `between` are two of the pieces that locate it, on opposite sides
    of it.  `closed`: its contacts let it go nowhere in plan, to first order.
    """

    id: str
    located: LocatedAs
    motion: Motion | None
    contacts: tuple[str, ...]
    carried: Carried
    order: int
    where: Point
    parts: tuple[str, ...] = ()
    spare: tuple[str, ...] = ()
    fight: Fight | None = None
    short: ShortBase | None = None
    after: tuple[str, ...] = ()
    ends: tuple[str, ...] = ()
    under: tuple[str, ...] = ()
    closed: bool = False
    kappa: float | None = None
    between: tuple[str, ...] = ()


class LocatedReport(Struct, frozen=True, eq=False):
    """Every part and every weldment of a job; `orders` are the parts of each in loading order."""

    parts: tuple[Located, ...]
    weldments: tuple[Located, ...]
    orders: Mapping[str, tuple[str, ...]]
