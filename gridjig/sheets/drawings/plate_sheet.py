"""A cut plate as a drawing at true size for the laser, its lower left corner at the origin."""

from collections.abc import Iterable, Sequence

from gridjig.cutplates.design import CUT, CUT_UPRIGHTS, ENGRAVE, NOTES, PlateDesign
from gridjig.geometry.display import Circle, DisplayList, Polyline, Shape
from gridjig.geometry.layered import (
    LayeredCircle,
    LayeredDrawing,
    LayeredShape,
    LayeredText,
    NamedLayer,
    Path,
)
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Job
from gridjig.rack import Point

LAYERS = (
    NamedLayer(CUT, "black"),
    NamedLayer(CUT_UPRIGHTS, "blue"),
    NamedLayer(ENGRAVE, "red"),
    NamedLayer(NOTES, "grey"),
)
_NOTE = 5.0
_LINE = 1.8
_NEAR = 5.0
"""How near to a plate a part is drawn with it, mm."""


def plate_drawing(design: PlateDesign, notes: Sequence[str] = ()) -> LayeredDrawing:
    """Return the plate with its uprights beside it and the notes below.

    `notes` are for the cutter and are on a layer that is not cut.
    """
    grow = design.wanted.kerf / 2.0
    paths = (design.cut, *design.slots, *design.flat)
    x1, y1, x2, y2 = bounds([p for path in paths for p in path.points])

    def put(points: Iterable[Point]) -> tuple[Point, ...]:
        return tuple((x - x1, y - y1) for x, y in points)

    shapes: list[LayeredShape] = [
        Path(path.layer, put(path.points), path.closed, path.bulges) for path in paths
    ]
    radius = design.wanted.hole_diameter / 2.0 - grow
    shapes += [LayeredCircle(CUT, pin, radius) for pin in put(design.pins)]
    shapes += [Path(ENGRAVE, put(line)) for line in design.engraving.lines]
    for n, note in enumerate(notes):
        at = (0.0, -(n + 2) * _LINE * _NOTE)
        shapes.append(LayeredText(NOTES, at, note, _NOTE, anchor="left"))
    low = (0.0, -(len(notes) + 2) * _LINE * _NOTE if notes else 0.0)
    wide = max([x2 - x1, *(0.75 * _NOTE * len(note) for note in notes)])
    used = {shape.layer for shape in shapes}
    layers = tuple(layer for layer in LAYERS if layer.name in used)
    return LayeredDrawing(design.wanted.name, layers, tuple(shapes), low, (wide, y2 - y1))


def draw_cut_plate(job: Job, design: PlateDesign) -> DisplayList:
    """Draw a plate where it would lie, with the parts near it and its engraving."""
    ring = design.ring
    low_x, low_y, high_x, high_y = bounds(ring)
    shapes: list[Shape] = []
    for part in job.parts:
        x1, y1, x2, y2 = bounds(part_ring(part))
        beside = max(x1 - high_x, low_x - x2, y1 - high_y, low_y - y2)
        if beside <= _NEAR:
            shapes.append(Polyline(part_ring(part), "work", closed=True, fill="work"))
    shapes.append(Polyline(ring, "edge", closed=True, fill="part"))
    shapes += [Polyline(slot.points, "thin", closed=True, fill="paper") for slot in design.slots]
    shapes += [Polyline(stand.plan, "thin", closed=True, fill="raised") for stand in design.stands]
    shapes += [Polyline(edge.cut, "face") for edge in design.wanted.edges]
    shapes += [Polyline(line, "thin") for line in design.engraving.lines]
    radius = design.wanted.hole_diameter / 2.0
    shapes += [Circle(pin, radius, "edge", fill="paper") for pin in design.pins]
    return tuple(shapes)
