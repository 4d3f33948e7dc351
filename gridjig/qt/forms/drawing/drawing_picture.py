"""The picture in a drawing's form: the drawing as it was read, or its parts on the table."""

from gridjig.files.drawings.drawing import Drawing, Ring
from gridjig.files.drawings.parts import ImportedParts, LayerUse
from gridjig.geometry.display import DisplayList as Shown
from gridjig.geometry.display import DrawingRole, Polyline
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.plate_holes import part_openings
from gridjig.geometry.shapes import bounds, rectangle
from gridjig.model import Table
from gridjig.rack import Point
from gridjig.units import format_count

MOST = 2000
"""The most outlines shown; if there are more, the largest ones are shown."""
_SMALL = 0.3  # of the table's size
_CROSS = 0.01  # of the drawing's size


def show_drawing(drawing: Drawing, uses: tuple[LayerUse, ...]) -> Shown:
    """Return the drawing by itself, with the used layers as work and the others as a ghost."""
    names = {use.layer for use in uses}
    shapes: list[Polyline] = []
    for layer in drawing.layers:
        used = layer.name in names
        role: DrawingRole = "work" if used else "ghost"
        shapes += [Polyline(ring, role, closed=True) for ring in layer.outlines]
        shapes += [
            Polyline(ring, "hidden" if used else "ghost", closed=True) for ring in layer.openings
        ]
        shapes += [Polyline(path, "thin" if used else "ghost") for path in layer.paths]
    for crossing in drawing.crossings[:MOST]:
        shapes.append(Polyline(crossing.ring, "clash", closed=True))
        shapes += _cross(crossing.at, (drawing.low, drawing.high))
    return _largest(shapes)


def _cross(at: Point, box: tuple[Point, Point]) -> tuple[Polyline, Polyline]:
    """A cross at the place where a loop crosses itself."""
    (x0, y0), (x1, y1) = box
    (x, y), r = at, _CROSS * max(x1 - x0, y1 - y0)
    return (
        Polyline(((x - r, y - r), (x + r, y + r)), "clash"),
        Polyline(((x - r, y + r), (x + r, y - r)), "clash"),
    )


def show_parts(table: Table, brought: ImportedParts) -> Shown:
    """Return the parts where they will lie; leave the table out if they would look too small."""
    parts = _largest(
        [
            Polyline(part_ring(part), "work", True, "work", openings=part_openings(part))
            for part in brought.parts
        ]
    )
    if max(brought.width, brought.depth) < _SMALL * max(table.width, table.depth):
        return parts
    plate = Polyline(rectangle((0.0, 0.0), (table.width, table.depth)), "edge", True, "part")
    return (plate, *parts)


def curves_of(drawing: Drawing) -> int:
    """Return the number of lines and outlines in a drawing."""
    return sum(len((*one.outlines, *one.openings, *one.paths)) for one in drawing.layers)


def left_out(count: int) -> str:
    """Say how many outlines are not shown."""
    return (
        f"The picture shows the {format_count(MOST)} largest of {format_count(count)}."
        if count > MOST
        else ""
    )


def _largest(lines: list[Polyline]) -> tuple[Polyline, ...]:
    if len(lines) <= MOST:
        return tuple(lines)
    return tuple(sorted(lines, key=lambda line: _size(line.points), reverse=True)[:MOST])


def _size(ring: Ring) -> float:
    low_x, low_y, high_x, high_y = bounds(ring)
    return high_x - low_x + high_y - low_y
