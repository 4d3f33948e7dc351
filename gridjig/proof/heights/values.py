"""How the work stands at its heights, as plain values: mm, degrees, kg, table coordinates."""

from msgspec import Struct

from gridjig.contact.carrying import Carried
from gridjig.rack import Point


class RiserNeed(Struct, frozen=True):
    """Stacks that a raised part still needs: `points` of them, each `height` mm.

    `how` it is carried without them.
    `stack` are the pieces of one stack, thickest first, made of what the rack has left; empty if
    there are not enough.
    """

    part: str
    height: float
    points: int
    stack: tuple[str, ...]
    how: Carried


class RiserProof(Struct, frozen=True):
    """Why the rack cannot make the stacks that are still needed.

    "height": no stack of its risers is `height` high; `below` and `above` are the nearest that are.
    "sum": all risers that are left come to `owned` mm, and `needed` mm are needed.
    "count": every one of the `tried` ways of sharing out the risers leaves a part without.
    "not all": more than that many ways were tried, and none was enough.
    """

    why: str
    part: str
    height: float
    below: float = 0.0
    above: float = 0.0
    needed: float = 0.0
    owned: float = 0.0
    tried: int = 0


class RadiusContact(Struct, frozen=True):
    """A piece that touches a tube so near to its edge that a larger corner radius would miss it.

    `flat` is the height that they share on the flat as the section is listed; `radius` is the
    largest outer radius that the standard allows, and `listed` that of the section.
    """

    piece: str
    part: str
    where: Point
    flat: float
    radius: float
    listed: float


class Standing(Struct, frozen=True):
    """A part that tips easily once its clamps are open: at `angle` degrees, towards `side`.

    `base` is how wide it stands there, mm; `high` is the height of its centre of gravity above its
    base.  `clamps` hold it until they open.
    """

    part: str
    angle: float
    side: Point
    base: float
    high: float
    where: Point
    clamps: tuple[str, ...]


class ShortSupport(Struct, frozen=True):
    """A part carried only along `span` mm of its `length`; `by` are what carry it."""

    part: str
    span: float
    length: float
    by: tuple[str, ...]
    where: Point


class Weight(Struct, frozen=True):
    """What a weldment, or a part by itself, weighs, and its centre of gravity."""

    id: str
    whole: bool
    mass: float
    centre: Point
    height: float


class HeightsReport(Struct, frozen=True, eq=False):
    """How everything stands; `weights` are those of all weldments, then of heavy single parts."""

    risers: tuple[RiserNeed, ...]
    proof: RiserProof | None
    radii: tuple[RadiusContact, ...]
    standing: tuple[Standing, ...]
    short: tuple[ShortSupport, ...]
    weights: tuple[Weight, ...]
