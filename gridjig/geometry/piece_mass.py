"""The mass of a piece of steel, from its outlines."""

from itertools import pairwise
from typing import TYPE_CHECKING

from gridjig.rack import ArcSlot, MountFeature, Piece, Point, RoundHole, Shank, Solid, StraightSlot

from .plate_holes import without_openings
from .pose import unit

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

STEEL = 7850.0
"""Density of plain steel, kg/m3."""

SHANK_LENGTH = 1.5
"""The assumed length of a shank, in diameters."""

_QUARTER = 16


def _along_arc(centre: Point, radius: float, start: float, end: float) -> list[Point]:
    steps = max(2, round((end - start) / 2.0))
    turns = (unit(start + (end - start) * i / steps) for i in range(steps + 1))
    return [(centre[0] + radius * c, centre[1] + radius * s) for c, s in turns]


def cut_out(mount: MountFeature) -> "BaseGeometry":
    """The hole or slot as an area, mm; empty for a shank, which removes nothing."""
    import shapely  # noqa: PLC0415 - late: not needed at startup

    match mount:
        case RoundHole():
            return shapely.Point(mount.at).buffer(mount.diameter / 2, quad_segs=_QUARTER)
        case StraightSlot():
            line = shapely.LineString([mount.a, mount.b])
            return line.buffer(mount.width / 2, quad_segs=_QUARTER)
        case ArcSlot():
            path = _along_arc(mount.centre, mount.radius, mount.start, mount.end)
            return shapely.LineString(path).buffer(mount.width / 2, quad_segs=_QUARTER)
        case _:
            return shapely.Polygon()


def _steel(piece: Piece, solid: Solid) -> "BaseGeometry":
    """The plan of a solid without its openings and the holes and slots of its body."""
    import shapely  # noqa: PLC0415 - late, as above

    plan = without_openings(shapely.Polygon(solid.outline), solid.openings)
    for mount in piece.mounts:
        if mount.body == solid.body:
            plan = plan.difference(cut_out(mount))
    return plan


def mass_of(piece: Piece, density: float = STEEL) -> float:
    """The mass of a piece in kg; density in kg/m3.

    It is the sum of each outline (where some overlap, only once) minus its openings and the holes
    and slots of its body, times its height; of the shanks; and of a clamp's bar at full reach.
    Handles and screws do not count.
    """
    import shapely  # noqa: PLC0415 - late, as above

    volume = 0.0
    for body in (0, 1):
        solids = [(s, _steel(piece, s)) for s in piece.solids if s.body == body]
        levels = sorted({z for s, _ in solids for z in (s.z_low, s.z_high)})
        for low, high in pairwise(levels):
            here = [plan for s, plan in solids if s.z_low <= low and high <= s.z_high]
            volume += shapely.union_all(here).area * (high - low)
    for mount in piece.mounts:
        if isinstance(mount, Shank):
            round_bar = shapely.Point(mount.at).buffer(mount.diameter / 2, quad_segs=_QUARTER)
            volume += round_bar.area * SHANK_LENGTH * mount.diameter
    if piece.tip is not None:
        tip = piece.tip
        volume += tip.reach_max * tip.bar_width * (tip.bar_z_high - tip.bar_z_low)
    return volume * density * 1e-9
