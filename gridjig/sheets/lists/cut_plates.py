"""The plates of a cut list: which are cut alike, from what rectangle, with which holes."""

from collections.abc import Iterable

import numpy as np
import numpy.typing as npt
import shapely
from msgspec import Struct

from gridjig.geometry.part_mass import mass
from gridjig.geometry.plate_holes import hole_area, hole_middle, hole_ring, moved_hole
from gridjig.geometry.shapes import bounds
from gridjig.model import Job, Plate, PlateHole
from gridjig.model.by_weldment import number_to_make
from gridjig.model.titles import title
from gridjig.sheets.text.sorting import natural


class PlateLine(Struct, frozen=True):
    """Plates that are cut the same: length, width and thickness in mm, mass of one in kg.

    `shaped`: it is not a rectangle; length and width are then those of the smallest rectangle that
    it can be cut from.  `count` is the number to cut.  `holes` are those of the first, as it is
    drawn, from the lower left corner of the box round it.
    """

    ids: tuple[str, ...]
    names: tuple[str, ...]
    length: float
    width: float
    thickness: float
    shaped: bool
    each: float
    count: int
    holes: tuple[PlateHole, ...] = ()


def plate_lines(job: Job, parts: Iterable[Plate]) -> tuple[PlateLine, ...]:
    """Return the plates, those that are cut alike in one line, thick and long ones first."""
    alike: dict[tuple[object, ...], list[Plate]] = {}
    for part in parts:
        alike.setdefault(_plate_key(part), []).append(part)
    lines = [_plate(job, some) for some in alike.values()]
    order = sorted(lines, key=lambda p: (p.thickness, -p.length, -p.width, natural(p.names[0])))
    return tuple(order)


def _plate(job: Job, parts: list[Plate]) -> PlateLine:
    first = parts[0]
    length, width, thickness = plate_size(first)
    return PlateLine(
        ids=tuple(o.id for o in parts),
        names=tuple(title(job, o.id) if o.name else o.id for o in parts),
        length=length,
        width=width,
        thickness=thickness,
        shaped=_shaped(first),
        each=mass(first),
        count=number_to_make(job, parts),
        holes=_from_its_corner(first),
    )


def _from_its_corner(part: Plate) -> tuple[PlateHole, ...]:
    low_x, low_y, _, _ = bounds(part.corners)
    return tuple(moved_hole(hole, -low_x, -low_y) for hole in part.holes)


def plate_size(part: Plate) -> tuple[float, float, float]:
    """Return a plate's length, width and thickness in mm, largest first: it may stand on edge.

    Sizes in plan are those of the smallest rectangle round it.
    """
    sides = (*_box(part), part.z_high - part.z_low)
    length, width, thickness = sorted((round(s, 6) for s in sides), reverse=True)
    return length, width, thickness


def _box(part: Plate) -> tuple[float, float]:
    """The sides of the smallest rectangle round a plan shape, mm; the shortest if equal.

    One side of it lies along a side of the convex hull.
    """
    hull = shapely.get_coordinates(shapely.convex_hull(shapely.MultiPoint(part.corners)))
    if len(hull) < 2:  # all corners in one point
        return 0.0, 0.0
    along = np.diff(hull, axis=0)
    along /= np.linalg.norm(along, axis=1, keepdims=True)
    across = np.column_stack((-along[:, 1], along[:, 0]))
    high, wide = (np.ptp(hull @ way.T, axis=0) for way in (along, across))
    boxes = zip(np.maximum(high, wide).tolist(), np.minimum(high, wide).tolist(), strict=True)
    return min(boxes, key=lambda box: (round(box[0] * box[1], 3), box[0]))


def _shaped(part: Plate) -> bool:
    long, short = _box(part)
    return bool(shapely.Polygon(part.corners).area < long * short * (1.0 - 1e-6))


def _plate_key(part: Plate) -> tuple[object, ...]:
    """A key that is equal for plates of one shape, either side up: sizes, area and side lengths,
    and what is cut in them.
    """
    plan = shapely.Polygon(part.corners)
    sizes = (*(round(v, 2) for v in plate_size(part)), *_hole_keys(part))
    if not _shaped(part):
        return sizes
    ring = part.corners
    sides = sorted(
        round(((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5, 2)
        for (ax, ay), (bx, by) in zip(ring, (*ring[1:], ring[0]), strict=True)
    )
    return (*sizes, round(plan.area, 1), *sides)


def _hole_keys(part: Plate) -> list[tuple[float, ...]]:
    """For each hole numbers that no turn and no mirror image of the plate changes.

    They are its area and edge, and sums of its distances from the corners and from the other holes.
    """
    if not part.holes:
        return []
    middles = np.array([hole_middle(hole) for hole in part.holes])
    corners = np.array(part.corners)
    return sorted(
        (
            round(hole_area(hole), 2),
            round(shapely.LinearRing(hole_ring(hole)).length, 2),
            *(round(float(v), 2) for v in (*_sums(middle - corners), *_sums(middle - middles))),
        )
        for hole, middle in zip(part.holes, middles, strict=True)
    )


def _sums(apart: npt.NDArray[np.float64]) -> tuple[float, float]:
    """The sum of some distances, and of their square roots: both differ for other places."""
    far = np.hypot(apart[:, 0], apart[:, 1])
    return float(far.sum()), float(np.sqrt(far).sum())
