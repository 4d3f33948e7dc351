"""How much weld metal a weld takes: an estimate from its size, its length and the open angle.

No cap, no root reinforcement, no spatter.  A fillet is the triangle between the faces, with equal
legs z: z^2 / 2 * sin(angle), throat a = z cos(angle / 2), so a = 0.7071 z at 90 degrees.  Where the
faces are flush or the open angle is beyond 150 degrees, the bead counts as one between square
faces.  A butt weld of depth s counts as a 60 degree V with a gap of 2 mm and a root face of 2 mm:
2 s + tan 30 (s - 2)^2.  A flare bevel is filled flush beside a corner of radius s:
(1 - pi / 4) s^2.  A plug fills its hole.  Plane geometry; the shape of the V is common practice.
"""

import math

from gridjig.model import WeldKind

DENSITY = 7850.0
"""Of deposited steel, kg/m3."""

_GAP = 2.0
_ROOT = 2.0
_WIDEST = 150.0


def fillet_angle(angle: float) -> float:
    """The angle that a fillet is reckoned with, degrees: 90 where the faces make no corner."""
    return angle if 0.0 < angle <= _WIDEST else 90.0


def throat_of(leg: float, angle: float = 90.0) -> float:
    """The throat of a fillet with equal legs, mm."""
    return leg * math.cos(math.radians(fillet_angle(angle)) / 2.0)


def leg_of(throat: float, angle: float = 90.0) -> float:
    """The equal legs of a fillet with that throat, mm."""
    return throat / math.cos(math.radians(fillet_angle(angle)) / 2.0)


def area(kind: WeldKind, leg: float, throat: float, angle: float) -> float:
    """The area of a seam across, mm2: of its leg, or throat, or for others its depth; mm.

    0 without a size, and for a plug, which has no length.
    """
    if kind in ("fillet", "corner"):
        between = fillet_angle(angle) if kind == "fillet" else 90.0
        legs = leg or leg_of(throat, between)
        return legs * legs / 2.0 * math.sin(math.radians(between))
    depth = leg or throat
    if kind == "butt":
        return v_area(depth)
    if kind == "flare bevel":
        return (1.0 - math.pi / 4.0) * depth * depth
    return 0.0


def v_area(depth: float) -> float:
    """The area of a 60 degree V of that depth with the usual gap and root face, mm2."""
    if depth <= 0.0:
        return 0.0
    return _GAP * depth + math.tan(math.radians(30.0)) * max(depth - _ROOT, 0.0) ** 2


def plug_volume(diameter: float, thickness: float) -> float:
    """The volume of a plug weld, mm3."""
    return math.pi / 4.0 * diameter * diameter * thickness


def mass_of(volume: float, density: float = DENSITY) -> float:
    """The mass of that much weld metal, kg; volume in mm3."""
    return volume * density * 1e-9
