"""An imported CAD drawing: its closed outlines and open lines by layer, and what was not used.

A file is read once into a sketch; outlines are made from it again once the user has chosen the
unit, since only then are the flattening tolerance and the greatest gap to close known.
Knows no window and no job.
"""

import math
import time
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from msgspec import Struct, structs

from gridjig.files.drawings.nesting import Tangled
from gridjig.files.format.faults import ReadFault, clip
from gridjig.rack import Point
from gridjig.units import format_count, format_figures
from gridjig.units.progress import looked_at

from .border import find_border, nested_again
from .curves import Unusable
from .dxf import read_dxf
from .frames import side_bars
from .joining import join
from .line_bars import LineBar, line_bars
from .rings import Crossing, Ring, once, sort_rings
from .sketch import MOST_POINTS, POINTS_EACH, READ, UNITS, WHOLE, Count, Report, Sketch, mm_of

__all__ = [
    "UNITS",
    "Count",
    "Crossing",
    "Drawing",
    "DrawingLayer",
    "Report",
    "Ring",
    "Sketch",
    "outlined",
    "read_drawing",
    "silent",
]

TOLERANCE = 0.05
"""How far a flattened curve may be off the true one, mm."""
REACH = 0.1
"""How far apart ends may be joined, and how far duplicates may differ, mm."""
_FINEST = 1e-5  # of the drawing's size, if its unit is unknown
_CHUNK = 500
_BETWEEN_S = 0.1
_FLAT = 850  # up to here curves are flattened; see Report
_MOST_ON_SHEET = 2000  # rings of a drawing with a border; more are no drawing of a weldment
_PASSES = 4  # over the paths or the rings, after that

Loose = dict[str, tuple[list[list[Point]], list[list[Point]]]]
"""For each layer, its closed and its open paths."""


class DrawingLayer(Struct, frozen=True):
    """What one layer holds, in drawing units: `outlines` are closed, counter-clockwise, and lie in
    no other outline or in an opening of one; `openings` lie inside an outline; `paths` are open.
    `bars` are between open paths, and may be members; `uncompared` counts the lines that were too
    many to be looked at for that.  `sided` are bars that have a side of an outline or an
    opening for an edge; `loops` are the outlines and openings that were joined from loose lines.
    """

    name: str
    hidden: bool
    outlines: tuple[Ring, ...]
    openings: tuple[Ring, ...]
    paths: tuple[Ring, ...]
    bars: tuple[LineBar, ...] = ()
    uncompared: int = 0
    sided: tuple[LineBar, ...] = ()
    loops: frozenset[Ring] = frozenset()


class Drawing(Struct, frozen=True):
    """A drawing as outlines.  Lengths are drawing units.

    `unit` is None if the file states none and none was given.  `low` and `high` are the corners
    of the outlines on layers that are shown, or else of everything drawn.  `tolerance` and `reach`
    are TOLERANCE and REACH in drawing units.  `joined` counts loose lines that became part of an
    outline, `doubled` the duplicates.  `aside` are the border and the title block, with their
    layers; no layer has them.
    """

    sketch: Sketch
    unit: str | None
    layers: tuple[DrawingLayer, ...]
    low: Point
    high: Point
    tolerance: float
    reach: float
    joined: int
    doubled: int
    crossings: tuple[Crossing, ...]
    unused: tuple[Count, ...]
    aside: tuple[tuple[str, Ring], ...] = ()

    @property
    def closed(self) -> bool:
        """True if it has a closed outline."""
        return any(layer.outlines for layer in self.layers)

    @property
    def name(self) -> str:
        """The name of its file."""
        return self.sketch.name

    @property
    def repaired(self) -> tuple[str, ...]:
        """What was wrong with the file and has been repaired, in words."""
        return self.sketch.repaired

    def size(self, unit: str) -> tuple[float, float]:
        """Return its width and depth in mm if it is in that unit."""
        mm = mm_of(unit)
        return ((self.high[0] - self.low[0]) * mm, (self.high[1] - self.low[1]) * mm)


def silent(done: int, total: int | None) -> None:
    """Report nothing."""


def read_drawing(path: Path, unit: str | None = None, report: Report = silent) -> Drawing:
    """Return the drawing of a DXF file; a given unit overrides the file's own.

    Raise ReadFault, and Cancelled if `report` does.
    """
    return outlined(read_dxf(path, report), unit, report)


def outlined(sketch: Sketch, unit: str | None = None, report: Report = silent) -> Drawing:
    """Return the outlines of a sketch.

    Raise ReadFault if its curves would need too many points or too many outlines overlap, and
    Cancelled if `report` does.
    """
    unit = unit or sketch.unit
    fine = TOLERANCE / mm_of(unit) if unit else _unknown_fineness(sketch)
    reach = fine * REACH / TOLERANCE
    left: Counter[tuple[str, str]] = Counter()
    box = _Box()
    loose = _flattened(sketch, fine, reach, left, box, report)
    done = 0
    total = _PASSES * sum(len(rings) + len(paths) for rings, paths in loose.values())

    def tick(steps: int) -> None:
        nonlocal done
        done += steps
        report(_FLAT + (WHOLE - _FLAT) * min(done, total) // max(total, 1), WHOLE)

    layers: list[DrawingLayer] = []
    crossings: list[Crossing] = []
    joined = doubled = 0
    for name, (rings, paths) in loose.items():
        single = once(paths, reach, tick)
        chains = join(single, reach, tick)
        joined += chains.used
        try:
            found = sort_rings(name, [*rings, *chains.rings], reach, tick)
        except Tangled:
            why = f"on layer {clip(name, 60)} too many outlines lie on or across one another"
            raise ReadFault(
                sketch.name, "", why, "import other layers, or only a part of it"
            ) from None
        doubled += len(paths) - len(single) + found.doubled
        left["outline without area", "outlines without area"] += found.flat
        crossings += found.crossings
        open_paths = tuple(tuple(path) for path in chains.paths)
        hidden = name in sketch.hidden
        bars, left_out = line_bars(open_paths, reach)
        closed = (*found.outlines, *found.openings)
        loose_rings = {frozenset(ring) for ring in chains.rings}
        layers.append(
            DrawingLayer(
                name,
                hidden,
                found.outlines,
                found.openings,
                open_paths,
                bars,
                left_out,
                side_bars(closed, open_paths, reach),
                frozenset(ring for ring in closed if frozenset(ring) in loose_rings),
            )
        )
    counts = tuple(Count(number, *names) for names, number in left.most_common() if number)
    layers.sort(key=lambda layer: layer.name.casefold())
    texts = sum(count.number for count in sketch.unused if count.one == "text")
    layers, aside = _without_border(layers, reach, texts)
    low, high = _corners_of(layers) or (box.low, box.high)
    return Drawing(
        sketch=sketch,
        unit=unit,
        layers=tuple(layers),
        low=low,
        high=high,
        tolerance=fine,
        reach=reach,
        joined=joined,
        doubled=doubled,
        crossings=tuple(crossings),
        unused=(*sketch.unused, *counts),
        aside=aside,
    )


def _without_border(
    layers: list[DrawingLayer], reach: float, texts: int
) -> tuple[list[DrawingLayer], tuple[tuple[str, Ring], ...]]:
    """The layers without the border and the title block, and these."""
    shown = [layer for layer in layers if not layer.hidden]
    every = [(one.name, ring) for one in shown for ring in (*one.outlines, *one.openings)]
    if len(every) > _MOST_ON_SHEET:
        return layers, ()
    found = find_border([name for name, _ in every], [ring for _, ring in every], reach, texts)
    if not found:
        return layers, ()
    aside = tuple(every[k] for k in sorted(found))
    kept: list[DrawingLayer] = []
    for layer in layers:
        gone = {id(ring) for name, ring in aside if name == layer.name}
        if gone and not layer.hidden:
            rings = [r for r in (*layer.outlines, *layer.openings) if id(r) not in gone]
            outlines, openings = nested_again(rings)
            layer = structs.replace(layer, outlines=outlines, openings=openings)
        kept.append(layer)
    return kept, aside


def _corners_of(layers: Sequence[DrawingLayer]) -> tuple[Point, Point] | None:
    """The corners of the outlines that come in as a rule; None if there are none."""
    box = _Box()
    for layer in layers:
        for ring in () if layer.hidden else layer.outlines:
            box.take(ring)
    return None if box.empty else (box.low, box.high)


def _unknown_fineness(sketch: Sketch) -> float:
    """The flattening tolerance if no unit is known: as for inches, but never coarser than a small
    part of the drawing, so that one in metres keeps its curves too.
    """
    box = _Box()
    _flattened(sketch, math.inf, 0.0, Counter(), box, silent)
    size = max(box.high[0] - box.low[0], box.high[1] - box.low[1])
    return min(TOLERANCE / UNITS["in"], size * _FINEST or 1.0)


def _flattened(
    sketch: Sketch,
    fine: float,
    reach: float,
    left: Counter[tuple[str, str]],
    box: "_Box",
    report: Report,
) -> Loose:
    """The closed and open paths of each layer; what cannot be flattened is counted in `left`, and
    `box` takes in the rest.
    """
    loose: Loose = {}
    total = len(sketch.curves)
    made, told = 0, time.monotonic()
    most = MOST_POINTS + POINTS_EACH * sum(drawn.where is None for drawn in sketch.curves)
    if sum(drawn.curve.given for drawn in sketch.curves if drawn.where is not None) > most:
        raise _too_many(sketch, most)
    for index, drawn in enumerate(looked_at(sketch.curves, 20)):
        if index % _CHUNK == 0:
            report(READ + (_FLAT - READ) * index // total, WHOLE)
        try:
            points = _without_repeats(drawn.points(fine))
        except Unusable:
            left["unusable curve", "unusable curves"] += 1
            continue
        made += len(points) - (drawn.curve.given if drawn.where is None else 0)
        if made > most:
            raise _too_fine(sketch, fine, most)
        if time.monotonic() - told > _BETWEEN_S:
            told = time.monotonic()
            report(READ + (_FLAT - READ) * index // total, WHOLE)
        box.take(points)
        rings, paths = loose.setdefault(drawn.layer, ([], []))
        closes = drawn.curve.closed or math.dist(points[0], points[-1]) <= reach
        if closes and len(points) > 2:
            rings.append(points[:-1] if math.dist(points[0], points[-1]) <= reach else points)
        elif len(points) > 1:
            paths.append(points)
        else:
            left["shape without size", "shapes without size"] += 1
    return loose


def _too_many(sketch: Sketch, most: int) -> ReadFault:
    """The fault for a drawing whose blocks draw too many points, however coarsely."""
    why = f"its blocks draw more than {format_count(most)} points"
    return ReadFault(sketch.name, "", why, "import only a part of it")


def _too_fine(sketch: Sketch, fine: float, most: int) -> ReadFault:
    """The fault for a drawing whose curves would need too many points."""
    shown = format_figures(fine) if math.isfinite(fine) else "any"
    points = format_count(most)
    why = f"its curves need more than {points} points to be accurate to {shown} of its units"
    return ReadFault(sketch.name, "", why, "check its unit, or import only a part of it")


def _without_repeats(points: list[Point]) -> list[Point]:
    return [p for k, p in enumerate(points) if not k or p != points[k - 1]]


class _Box(Struct):
    """The least and greatest x and y of the points taken in; the origin without any."""

    low: Point = (0.0, 0.0)
    high: Point = (0.0, 0.0)
    empty: bool = True

    def take(self, points: Sequence[Point]) -> None:
        """Take in points."""
        xs, ys = zip(*points, strict=True)
        low, high = (min(xs), min(ys)), (max(xs), max(ys))
        if not self.empty:
            low = (min(low[0], self.low[0]), min(low[1], self.low[1]))
            high = (max(high[0], self.high[0]), max(high[1], self.high[1]))
        self.low, self.high, self.empty = low, high, False
