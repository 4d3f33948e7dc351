"""What is engraved on a plate, and where there is room for it: job, side up, hole addresses."""

import math
from collections.abc import Sequence

import shapely
from msgspec import Struct

from gridjig.geometry.pose import Pose
from gridjig.geometry.shapes import bounds
from gridjig.geometry.stroke_letters import strokes, width, without_shape
from gridjig.model import Job
from gridjig.model.labels import address
from gridjig.rack import Point

from .wanted import PlateWanted

UP = "THIS SIDE UP"
HEIGHTS = (10.0, 8.0, 6.0, 5.0, 4.0, 3.0)
"""Heights of capitals, mm, the largest that fits first."""
_LINE = 1.6
"""From line to line, in heights."""
_STEPS = 24
_KEEP = 4.0
_CLEAR = 2.0
"""mm that letters keep off the outline, and the block off holes and slots."""


class Engraving(Struct, frozen=True):
    """The lines to engrave, on the table; what there was no room for; letters without a shape."""

    lines: tuple[tuple[Point, ...], ...]
    left_out: tuple[str, ...] = ()
    squares: str = ""


def texts_of(job: Job, wanted: PlateWanted) -> tuple[str, ...]:
    """Return the lines of the block: the job with its drawing, the plate's name, the side up."""
    drawing = f"DRG {job.drawing}" if job.drawing else ""
    revision = f"REV {job.revision}" if job.revision else ""
    of = " ".join(filter(None, (drawing, revision)))
    name = wanted.name if wanted.name != job.name else ""
    return tuple(filter(None, (job.name, of, name, UP)))


def engraved(
    job: Job,
    wanted: PlateWanted,
    steel: shapely.Polygon,
    keep_off: Sequence[shapely.Polygon],
) -> Engraving:
    """Return the engraving: the address beside each pin hole, then the block where it fits.

    All of it reads from the front or from the right of the table.
    """
    frame = _readable(wanted.frame)
    free: shapely.geometry.base.BaseGeometry = steel.buffer(-_KEEP)
    for one in keep_off:
        free = free.difference(one)
    lines: list[tuple[Point, ...]] = []
    left_out: list[str] = []
    for hole in wanted.holes:
        text = address(job.table, hole)
        spot = _beside(free, Pose(*job.table.at(hole), frame), text, wanted)
        if spot is None:
            left_out.append(text)
            continue
        pose, height = spot
        lines += [pose.points(line) for line in strokes(text, height)]
        free = free.difference(_box(pose, text, height))
    for one in keep_off:
        free = free.difference(one.buffer(_CLEAR, quad_segs=8))
    block = texts_of(job, wanted)
    found = _block(free, block, frame)
    if found is None:
        # The side that is up matters most: by itself it may fit where the block does not.
        found = _block(free, (UP,), frame)
        left_out += [text for text in block if text != UP or found is None]
        block = (UP,)
    if found is not None:
        pose, height = found
        for n, text in enumerate(reversed(block)):
            low = n * _LINE * height
            lines += [
                pose.points(tuple((x, y + low) for x, y in line)) for line in strokes(text, height)
            ]
    every = "".join((*texts_of(job, wanted), *(address(job.table, h) for h in wanted.holes)))
    return Engraving(tuple(lines), tuple(left_out), without_shape(every))


def _box(pose: Pose, text: str, height: float) -> shapely.Polygon:
    wide = width(text, height)
    return shapely.Polygon(pose.points(((0, 0), (wide, 0), (wide, height), (0, height)))).buffer(
        0.3 * height, join_style="mitre"
    )


def _beside(
    free: shapely.geometry.base.BaseGeometry, frame: Pose, text: str, wanted: PlateWanted
) -> tuple[Pose, float] | None:
    """Where an address fits beside its hole, and how high; None if it does not."""
    off = wanted.hole_diameter / 2.0 + wanted.thickness + 1.0
    for height in HEIGHTS:
        wide = width(text, height)
        for corner in (
            (off, -height / 2.0),
            (-off - wide, -height / 2.0),
            (-wide / 2.0, off),
            (-wide / 2.0, -off - height),
        ):
            x, y = frame.point(corner)
            pose = Pose(x, y, frame.turn)
            if free.contains(_box(pose, text, height)):
                return pose, height
    return None


def _block(
    free: shapely.geometry.base.BaseGeometry, texts: Sequence[str], frame: float
) -> tuple[Pose, float] | None:
    """Where lines of text fit, as large as they can be: the pose of the last line, its height."""
    if free.is_empty:
        return None
    for turn in (frame, frame + 90.0):
        turned = _readable(turn)
        here = Pose(0.0, 0.0, -turned)
        x1, y1, x2, y2 = bounds([here.point(p) for p in _points(free)])
        for height in HEIGHTS:
            wide = max(width(text, height) for text in texts)
            high = height * (1.0 + _LINE * (len(texts) - 1))
            if wide > x2 - x1 or high > y2 - y1:
                continue
            for i in range(_STEPS + 1):
                for k in range(_STEPS + 1):
                    corner = (
                        x1 + (x2 - x1 - wide) * i / _STEPS,
                        y1 + (y2 - y1 - high) * k / _STEPS,
                    )
                    x, y = Pose(0.0, 0.0, turned).point(corner)
                    pose = Pose(x, y, turned)
                    ring = pose.points(((0, 0), (wide, 0), (wide, high), (0, high)))
                    if free.contains(shapely.Polygon(ring)):
                        return pose, height
    return None


def _readable(degrees: float) -> float:
    """Return the direction of a line, as turned on the table, in which letters stand upright."""
    turned = math.remainder(degrees, 180.0)
    return turned + 180.0 if turned <= -90.0 else turned


def _points(free: shapely.geometry.base.BaseGeometry) -> list[Point]:
    x1, y1, x2, y2 = free.bounds
    return [(x1, y1), (x2, y1), (x2, y2), (x1, y2)]
