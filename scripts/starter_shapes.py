"""Sizes and shapes that the starter racks are built from.  Frame of a flat piece: its first hole at
(0, 0), its working face towards +y; arms and down-clamps reach along +x.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

import shapely

from gridjig.geometry import unit
from gridjig.rack import Face, Point, RoundHole

IN = 25.4
LOCKS = ("lock-pin", "lock-pin-long")


@dataclass(frozen=True, slots=True)
class Sizes:
    """The sizes that one rack is made to, mm.  `clear` is how much smaller a pin is
    than its hole.
    """

    file: str
    name: str
    inch: bool
    pitch: float
    hole: float
    clear: float
    face: float
    edge: float
    half: float
    flat: float
    arm: float
    inside: float
    relief: float
    bodies: tuple[float, float, float]
    body_high: float
    riser: float
    risers: tuple[float, ...]
    shims: tuple[float, ...]
    packing: tuple[float, ...]
    grip: float
    offset: float
    post: float
    reach: tuple[float, float]
    low: tuple[float, float]
    tall: tuple[float, float]
    bar: float
    push: tuple[float, float]
    push_z: tuple[float, float]
    push_high: float

    @property
    def pin(self) -> float:
        """Diameter of every locking pin and shank."""
        return round(self.hole - self.clear, 6)

    def text(self, *lengths: float) -> str:
        """Return lengths as written in the shop: 2-1/2", or 25 mm."""
        return " x ".join(self._one(v) for v in lengths)

    def _one(self, mm: float) -> str:
        if not self.inch:
            return f"{mm:g} mm"
        whole, rest = divmod(Fraction(mm / IN).limit_denominator(1000), 1)
        if rest.denominator not in (1, 2, 4, 8, 16, 32, 64):
            return f'{mm / IN:.3f}"'
        parts = [str(whole)] if whole else []
        return "-".join([*parts, str(rest)] if rest else parts) + '"'

    def tag(self, mm: float) -> str:
        """Return a length for use in an id: a plain number of inches or millimetres."""
        return f"{round(mm / IN, 2) if self.inch else mm:g}"


def tidy(ring: Iterable[Sequence[float]]) -> tuple[Point, ...]:
    """Return the ring counter-clockwise, rounded to a nanometre so that files are easy to read."""
    corners = [(round(x, 6) + 0.0, round(y, 6) + 0.0) for x, y in ring]
    return tuple(corners if shapely.LinearRing(corners).is_ccw else corners[::-1])


def disc(centre: Point, diameter: float, steps: int = 48) -> tuple[Point, ...]:
    """Return a circle as an outline."""
    turns = (unit(360.0 * i / steps) for i in range(steps))
    return tidy([(centre[0] + diameter / 2 * c, centre[1] + diameter / 2 * s) for c, s in turns])


def block(x0: float, y0: float, x1: float, y1: float, back: float = 0.0) -> tuple[Point, ...]:
    """Return a rectangle with its two corners at y0 cut off by `back`."""
    if not back:
        return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    return tidy(
        [(x0, y0 + back), (x0 + back, y0), (x1 - back, y0), (x1, y0 + back), (x1, y1), (x0, y1)]
    )


def arc(centre: Point, radius: float, start: float, end: float, steps: int) -> list[Point]:
    """Return points along an arc, both ends included."""
    turns = (unit(start + (end - start) * i / steps) for i in range(steps + 1))
    return [(centre[0] + radius * c, centre[1] + radius * s) for c, s in turns]


def stem(s: Sizes, mm: float) -> str:
    """Return a length as part of an id: 1-1-4 for an inch and a quarter, 50 for 50 mm."""
    return s.text(mm).rstrip('"').replace("/", "-").replace(" mm", "")


def hole(s: Sizes, name: str, x: float, y: float, body: int = 0) -> RoundHole:
    """Return a hole for a locking pin."""
    return RoundHole(name, (x, y), s.hole, 1 if body else 0)


def side(name: str, a: Point, b: Point, low: float, high: float, body: int = 0) -> Face:
    """Return a face; its outward side is to the right of the direction from a to b."""
    return Face(
        name,
        (round(a[0], 6), round(a[1], 6)),
        (round(b[0], 6), round(b[1], 6)),
        low,
        high,
        1 if body else 0,
    )
