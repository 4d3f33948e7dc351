"""Uprights on a plate: where their slots are, and their shape laid flat.

An upright stands square to the locating edge, so that the narrow front edge, cut in one pass, is on
the line; two of them make a tall face.
"""

import math
from collections.abc import Sequence

import shapely
from msgspec import Struct

from gridjig.geometry.layered import Path
from gridjig.rack import Point

from .outline import LocatingEdge, OutlineCorner, cut_path
from .wanted import Uprights

_BRIDGE = 1.5
"""Steel between the edge and a slot, in thicknesses of the plate."""
_STEPS = 48


class Stand(Struct, frozen=True):
    """One upright on the plate: `at` is the middle of its front edge, `back` the unit vector from
    there into the plate, `long` how far it reaches back; mm on the table.
    """

    at: Point
    back: Point
    long: float
    thickness: float

    def rectangle(self, start: float, end: float, wide: float) -> tuple[Point, ...]:
        """The corners from `start` to `end` behind the front edge, counter-clockwise."""
        (x, y), (bx, by) = self.at, self.back
        sx, sy = by * wide / 2.0, -bx * wide / 2.0
        a, b = (x + bx * start, y + by * start), (x + bx * end, y + by * end)
        return (
            (a[0] + sx, a[1] + sy),
            (b[0] + sx, b[1] + sy),
            (b[0] - sx, b[1] - sy),
            (a[0] - sx, a[1] - sy),
        )

    @property
    def plan(self) -> tuple[Point, ...]:
        """The room that it takes on the plate."""
        return self.rectangle(0.0, self.long, self.thickness)


def tab_of(stand: Stand, plate: float) -> tuple[float, float]:
    """Where the tab of an upright begins and ends behind its front edge."""
    return _BRIDGE * plate, stand.long - _BRIDGE * plate


def slot_of(stand: Stand, wanted: Uprights, plate: float) -> tuple[Point, ...]:
    """The slot for an upright's tab, with room on all sides."""
    start, end = tab_of(stand, plate)
    half = wanted.room / 2.0
    return stand.rectangle(start - half, end + half, wanted.thickness + wanted.room)


def require_rise(wanted: Uprights, plate: float) -> float:
    """Return how far uprights rise above the plate.  Raises ValueError if they do not."""
    rise = wanted.height - plate
    if rise <= 0:
        raise ValueError("The uprights are no higher than the plate is thick; make them higher.")
    return rise


def stands(
    edge: LocatingEdge,
    wanted: Uprights,
    plate: float,
    steel: shapely.Polygon,
    keep_off: Sequence[shapely.Polygon],
) -> tuple[Stand, Stand]:
    """Return two uprights on an edge as far apart as they can stand, their slots in the steel.

    `keep_off` are the pin holes and reliefs.  Raises ValueError if there is no room.
    """
    (a, b), (ux, uy) = edge.cut, edge.along
    back = (-uy, ux)
    whole = math.dist(a, b)
    rise = require_rise(wanted, plate)
    inner = steel.buffer(-plate)
    for share in (1.0, 0.75, 0.5):
        long = max(share * max(0.8 * rise, 10.0 * plate), 5.0 * plate)
        able = []
        for step in range(_STEPS + 1):
            along = wanted.thickness + (whole - 2.0 * wanted.thickness) * step / _STEPS
            at = (a[0] + ux * along, a[1] + uy * along)
            stand = Stand(at, back, long, wanted.thickness)
            slot = shapely.Polygon(slot_of(stand, wanted, plate))
            plan = shapely.Polygon(stand.plan)
            if inner.contains(slot) and not any(plan.intersects(one) for one in keep_off):
                able.append(stand)
        if able and math.dist(able[0].at, able[-1].at) > 3.0 * wanted.thickness:
            return able[0], able[-1]
    raise ValueError(
        "There is no room for two uprights on the edge; make the plate deeper, or move its holes."
    )


def flat_upright(
    stand: Stand, wanted: Uprights, plate: float, layer: str, at: Point, grow: float
) -> Path:
    """Return an upright laid flat with its tab down, its lower left corner at a point.

    The inside corners beside the tab have a small relief, so that it sits down on the plate.
    """
    start, end = tab_of(stand, plate)
    rise, relief = wanted.height - plate, max(0.2 * plate, 3.0 * abs(grow))
    x, y = at
    corners = (
        OutlineCorner((x, y + plate)),
        OutlineCorner((x + start, y + plate), relief),
        OutlineCorner((x + start, y)),
        OutlineCorner((x + end, y)),
        OutlineCorner((x + end, y + plate), relief),
        OutlineCorner((x + stand.long, y + plate)),
        OutlineCorner((x + stand.long, y + plate + 0.35 * rise)),
        OutlineCorner((x + 0.35 * stand.long, y + plate + rise)),
        OutlineCorner((x, y + plate + rise)),
    )
    return cut_path(layer, corners, grow)
