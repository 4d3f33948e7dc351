"""A drawing at true size, as plain values on named layers: what goes into a DXF or SVG file.

Points and sizes are mm, y up; unlike a display list, letters have a true height too.  Nothing here
knows a file format.
"""

import math
from collections.abc import Iterator
from typing import Literal

from msgspec import Struct

from gridjig.rack import Point


class NamedLayer(Struct, frozen=True):
    """A named layer.  `colour` is one of the eight that every drawing program shows alike."""

    name: str
    colour: Literal["black", "red", "yellow", "green", "cyan", "blue", "magenta", "grey"] = "black"
    dashed: bool = False


class Path(Struct, frozen=True):
    """A line through points, open or closed.

    `bulges` has one value for each point, or is empty for straight lines only: the tangent of a
    quarter of the angle of the arc from that point to the next, positive counter-clockwise.
    """

    layer: str
    points: tuple[Point, ...]
    closed: bool = False
    bulges: tuple[float, ...] = ()


class LayeredCircle(Struct, frozen=True):
    """A circle."""

    layer: str
    centre: Point
    radius: float


class CircleGrid(Struct, frozen=True):
    """Equal circles on a rectangular grid from `first`, but for the (column, row)s `without`."""

    layer: str
    first: Point
    pitch: Point
    columns: int
    rows: int
    radius: float
    without: frozenset[tuple[int, int]] = frozenset()

    def __len__(self) -> int:
        return self.columns * self.rows - len(self.without)

    def rings(self) -> Iterator[LayeredCircle]:
        """Its circles one by one, row by row."""
        for row in range(self.rows):
            y = self.first[1] + row * self.pitch[1]
            for col in range(self.columns):
                if (col, row) not in self.without:
                    x = self.first[0] + col * self.pitch[0]
                    yield LayeredCircle(self.layer, (x, y), self.radius)


class LayeredText(Struct, frozen=True):
    """Text whose capitals are `height` mm high, about `at`, turned by `turn` degrees."""

    layer: str
    at: Point
    text: str
    height: float
    turn: float = 0.0
    anchor: Literal["left", "centre", "right"] = "centre"


LayeredShape = Path | LayeredCircle | CircleGrid | LayeredText


class LayeredDrawing(Struct, frozen=True):
    """A drawing: its title, its layers in order, and what is on them.

    `low` and `high` are the corners of the box round it.
    """

    title: str
    layers: tuple[NamedLayer, ...]
    shapes: tuple[LayeredShape, ...]
    low: Point
    high: Point

    def __len__(self) -> int:
        """How many single shapes there are, each circle of a grid counted."""
        return sum(len(one) if isinstance(one, CircleGrid) else 1 for one in self.shapes)


def single(shapes: tuple[LayeredShape, ...]) -> Iterator[Path | LayeredCircle | LayeredText]:
    """The shapes one by one, grids as their circles."""
    for shape in shapes:
        if isinstance(shape, CircleGrid):
            yield from shape.rings()
        else:
            yield shape


def arc_of(a: Point, b: Point, bulge: float) -> tuple[Point, float]:
    """The centre and the radius of the arc from `a` to `b` with a bulge that is not 0."""
    half = math.dist(a, b) / 2.0
    middle = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
    aside = half * (1.0 - bulge * bulge) / (2.0 * bulge)
    ux, uy = (b[0] - a[0]) / (2.0 * half), (b[1] - a[1]) / (2.0 * half)
    return (middle[0] - uy * aside, middle[1] + ux * aside), half * (1.0 + bulge**2) / abs(
        2.0 * bulge
    )


def flattened(path: Path, within: float = 0.01) -> tuple[Point, ...]:
    """The points of a path with its arcs as chords that are nowhere more than `within` mm off."""
    if not any(path.bulges):
        return path.points
    found: list[Point] = []
    count = len(path.points)
    for k, a in enumerate(path.points):
        found.append(a)
        bulge = path.bulges[k]
        if not bulge or (k == count - 1 and not path.closed):
            continue
        centre, radius = arc_of(a, path.points[(k + 1) % count], bulge)
        sweep = 4.0 * math.atan(bulge)
        widest = 2.0 * math.acos(max(0.0, 1.0 - within / radius))
        steps = max(2, math.ceil(abs(sweep) / widest))
        start = math.atan2(a[1] - centre[1], a[0] - centre[0])
        for step in range(1, steps):
            at = start + sweep * step / steps
            found.append((centre[0] + radius * math.cos(at), centre[1] + radius * math.sin(at)))
    return tuple(found)
