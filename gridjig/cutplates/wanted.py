"""What a plate is to be: its holes and edges, its sizes, and what is left to the cutter."""

from msgspec import Struct

from gridjig.model import Hole
from gridjig.rack import Piece, Point
from gridjig.units import INCH, Display

from .outline import LocatingEdge

THICKNESS = 6.0
"""The usual thickness of a plate, mm: common practice, and within the limits for its edge."""
PIN_FITS: tuple[tuple[str, float], ...] = (("close", 0.1), ("usual", 0.2), ("loose", 0.4))
"""How much wider than its pin a hole is cut, mm, by the name of the fit: common practice."""
RELIEF = 5.0
"""The radius of the relief in an inside corner, mm: clear of the outside corner of a thin tube."""
BEAD = 8.0
"""The radius of the relief for a weld that ends at a locating edge, mm."""
LEAST_HOLE = 0.7
"""The smallest hole that a laser cuts well, as a fraction of the thickness: one cutter's rule."""


def thickness_range(display: Display) -> tuple[float, float]:
    """Return how thin and how thick a plate may be, mm, in round figures of the display."""
    return (0.5, 50.0) if display.unit == "millimetres" else (INCH / 16.0, 2.0 * INCH)


class Uprights(Struct, frozen=True):
    """Two uprights square to the edge: tabs in slots of the plate, front edges on the line.

    They reach `height` mm above the table, and are `thickness` mm thick.  A slot is `room` mm wider
    and longer than its tab.
    """

    height: float
    thickness: float = THICKNESS
    room: float = 0.2


class PlateWanted(Struct, frozen=True, kw_only=True):
    """A plate to be cut; lengths in mm, points on the table.

    `edges` follow one another round the plate; the work is held by `edges[main]` above all.  The
    straight sides run along `frame` degrees.
    `margin` is the steel from the centre of a pin hole to a side, `land` the flat beside an edge
    that would end in a point, `relief` and `bead` the radii of the reliefs in inside corners and
    about `beads`.  A `kerf` greater than 0 is added to the outline and taken off the holes.
    """

    name: str
    holes: tuple[Hole, Hole]
    edges: tuple[LocatingEdge, ...]
    pin: Piece | None = None
    pin_diameter: float
    over: float = 0.2
    thickness: float = THICKNESS
    density: float = 7850.0
    frame: float = 0.0
    margin: float
    land: float
    relief: float = RELIEF
    bead: float = BEAD
    beads: tuple[Point, ...] = ()
    kerf: float = 0.0
    uprights: Uprights | None = None
    main: int = 0

    @property
    def edge(self) -> LocatingEdge:
        """The edge that matters most."""
        return self.edges[self.main]

    @property
    def hole_diameter(self) -> float:
        """How wide the pin holes are cut."""
        return self.pin_diameter + self.over
