"""Cross-sections drawn with a geometry library: a second way to areas and centres.

A section is drawn as it lies at way up 0, looking along the bar: x to the left, y up, about the
middle of its box.
"""

import shapely
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from gridjig.model import Section

FINE = 512


def _rounded(width: float, height: float, radius: float) -> BaseGeometry:
    whole = box(-width / 2, -height / 2, width / 2, height / 2)
    return whole.buffer(-radius, join_style="mitre").buffer(radius, quad_segs=FINE)


def _corner(x: float, y: float, into: tuple[int, int], radius: float) -> BaseGeometry:
    """The bit between a corner and the arc of a radius that reaches into that quarter."""
    centre = shapely.Point(x + into[0] * radius, y + into[1] * radius)
    square = Polygon(
        [(x, y), (centre.x, y), (centre.x, centre.y), (x, centre.y)],
    )
    return square.difference(centre.buffer(radius, quad_segs=FINE))


def _filled(
    shape: BaseGeometry, x: float, y: float, into: tuple[int, int], r: float
) -> BaseGeometry:
    return shape.union(_corner(x, y, into, r)) if r else shape


def _eased(
    shape: BaseGeometry, x: float, y: float, into: tuple[int, int], r: float
) -> BaseGeometry:
    return shape.difference(_corner(x, y, into, r)) if r else shape


def drawn(s: Section) -> BaseGeometry:
    """The steel of a section as an area."""
    w, h, t = s.width, s.height, s.wall
    left, top = w / 2, h / 2
    match s.kind:
        case "square tube" | "rectangular tube":
            inside = _rounded(w - 2 * t, h - 2 * t, s.toe)
            return _rounded(w, h, s.radius).difference(inside)
        case "round tube":
            outer = shapely.Point(0, 0).buffer(w / 2, quad_segs=FINE)
            return outer.difference(shapely.Point(0, 0).buffer(w / 2 - t, quad_segs=FINE))
        case "round bar":
            return shapely.Point(0, 0).buffer(w / 2, quad_segs=FINE)
        case "flat":
            return box(-left, -top, left, top)
        case "angle":
            shape = box(-left, -top, left, -top + t).union(box(-left, -top, -left + t, top))
            shape = _filled(shape, -left + t, -top + t, (1, 1), s.radius)
            shape = _eased(shape, left, -top + t, (-1, -1), s.toe)
            return _eased(shape, -left + t, top, (-1, -1), s.toe)
        case "channel":
            f = s.flange
            shape = box(-left, -top, -left + t, top)
            for side in (-1, 1):
                inner = side * (top - f)
                shape = shape.union(
                    box(-left, min(inner, side * top), left, max(inner, side * top))
                )
            for side in (-1, 1):
                inner = side * (top - f)
                shape = _filled(shape, -left + t, inner, (1, -side), s.radius)
                shape = _eased(shape, left, inner, (-1, side), s.toe)
            return shape
