"""The marks on holes, as a display list.  Knows no piece and no painter."""

from gridjig.geometry import unit
from gridjig.geometry.display import Circle, DisplayList, Polyline
from gridjig.model import HoleMark, HoleState, Table
from gridjig.rack import Point

_CROSS = 1.6
"""How far the arms of a cross reach, as a multiple of the hole's radius."""


def draw_hole_mark(table: Table, mark: HoleMark) -> DisplayList:
    """Draw the mark of a hole: each state has its own shape, not just a colour."""
    return hole_mark_at(table.at(mark.hole), table.hole_diameter / 2, mark.state, mark.size)


def hole_mark_at(at: Point, r: float, state: HoleState, size: float = 0.0) -> DisplayList:
    """Draw the mark of a hole of radius `r` at a point; `size` is a wider hole's diameter, mm."""
    x, y = at
    ring = Circle((x, y), r, "blocked", fill="paper")
    d = r * 0.7071
    match state:
        case "blocked":  # crossed out, beyond its rim: no pin looks like it, however small
            far = _CROSS * d
            return (
                ring,
                Polyline(((x - far, y - far), (x + far, y + far)), "edge"),
                Polyline(((x - far, y + far), (x + far, y - far)), "edge"),
            )
        case "shallow":  # half full: the bottom is near
            half = tuple((x + r * c, y + r * s) for c, s in map(unit, range(180, 361, 20)))
            return (ring, Polyline(half, "blocked", closed=True, fill="ink"))
        case "oversize":  # a second, wider ring
            wide = max(size / 2, r * 1.25)
            return (Circle((x, y), wide, "blocked", fill="paper"), Circle((x, y), r, "hidden"))
        case "damaged":  # a burr across the rim
            star = tuple(
                (x + (1.3 if k % 2 else 0.75) * r * c, y + (1.3 if k % 2 else 0.75) * r * s)
                for k, (c, s) in enumerate(unit(a) for a in range(0, 360, 30))
            )
            return (Polyline(star, "blocked", closed=True, fill="paper"),)
        case "reserved":  # taken: a square round the ring
            square = ((x - r, y - r), (x + r, y - r), (x + r, y + r), (x - r, y + r))
            return (
                Polyline(square, "blocked", closed=True, fill="paper"),
                Circle((x, y), r, "blocked"),
                Polyline(((x - d, y - d), (x + d, y + d)), "blocked"),
            )
