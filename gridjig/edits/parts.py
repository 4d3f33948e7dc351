"""Edits of plates.  Moving and turning change the frame, never the corners."""

from collections.abc import Sequence
from typing import TypeVar

from msgspec import structs

from gridjig.geometry import unit, wrap
from gridjig.geometry.plate_holes import bad_hole, moved_hole, rounded_hole
from gridjig.geometry.shapes import bounds
from gridjig.model import Job, Part, Plate, PlateHole
from gridjig.rack import Point

from .lookup import all_ids, numbered_name, part_of, plate_of, with_part

AnyPart = TypeVar("AnyPart", bound=Part)

# Rounds off the binary noise of sums of typed lengths; a nanometre is far below any real size.
_DIGITS = 6


def rectangle(thing_id: str, name: str, a: Point, b: Point, z: tuple[float, float]) -> Plate:
    """A rectangle between two corners in mm; the origin of its frame is its front left corner.

    Raises ValueError if it has no width or no depth.
    """
    width, depth = round(abs(b[0] - a[0]), _DIGITS), round(abs(b[1] - a[1]), _DIGITS)
    if width == 0 or depth == 0:
        raise ValueError("a rectangle needs a width and a depth greater than 0")
    corners = ((0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth))
    x, y = min(a[0], b[0]), min(a[1], b[1])
    return Plate(id=thing_id, name=name, corners=corners, z_low=z[0], z_high=z[1], x=x, y=y)


def polygon(
    thing_id: str,
    name: str,
    points: Sequence[Point],
    z: tuple[float, float],
    holes: Sequence[PlateHole] = (),
) -> Plate:
    """A polygon through points in mm, either way round; the first is the origin of its frame.

    `holes` are on the table, like the points.  Raises ValueError if fewer than three points are
    different or the sides cross, or if a hole cannot be cut.
    """
    x, y = points[0] if points else (0.0, 0.0)
    local = tuple((round(px - x, _DIGITS), round(py - y, _DIGITS)) for px, py in points)
    corners = require_ring(local)
    made = Plate(id=thing_id, name=name, corners=corners, z_low=z[0], z_high=z[1], x=x, y=y)
    cut = tuple(rounded_hole(moved_hole(hole, -x, -y), _DIGITS) for hole in holes)
    return structs.replace(made, holes=require_holes(corners, cut)) if cut else made


def require_ring(points: Sequence[Point]) -> tuple[Point, ...]:
    """The corners of a closed outline, counter-clockwise, without duplicates.

    Raises ValueError if they enclose no area or the sides cross.
    """
    ring = [p for i, p in enumerate(points) if i == 0 or p != points[i - 1]]
    if len(ring) > 1 and ring[-1] == ring[0]:
        ring.pop()
    if len(ring) < 3:
        raise ValueError("an outline needs at least three different corners")
    from shapely import Polygon  # noqa: PLC0415  # late: not needed to show a table

    shape = Polygon(ring)
    if shape.area == 0:
        raise ValueError("all corners are on one line; an outline needs an area")
    if not shape.is_valid:
        raise ValueError("the sides cross or touch; give the corners in order round the outline")
    if not shape.exterior.is_ccw:
        ring = [ring[0], *reversed(ring[1:])]
    return tuple(ring)


def add_part(job: Job, part: Part) -> Job:
    """Add a part.  Raises ValueError if its id is taken."""
    if part.id in all_ids(job):
        raise ValueError(f"{part.id} is on the table already; a new part needs its own id")
    return structs.replace(job, parts=(*job.parts, part))


def require_holes(corners: Sequence[Point], holes: Sequence[PlateHole]) -> tuple[PlateHole, ...]:
    """The holes, if all of them can be cut in a plate with these corners.

    Raises ValueError, naming the first that cannot and why.
    """
    bad = bad_hole(corners, holes)
    if bad is not None:
        raise ValueError(f"hole {bad[0] + 1} cannot be cut: {bad[1]}")
    return tuple(holes)


def set_corners(job: Job, thing_id: str, corners: Sequence[Point]) -> Job:
    """Set the corners of a plate, in its own frame, mm; its holes stay where they are.

    Raises ValueError if the sides cross, or if a hole would no longer be inside.
    """
    old = plate_of(job, thing_id)
    ring = require_ring(corners)
    require_holes(ring, old.holes)
    return with_part(job, structs.replace(old, corners=ring))


def set_holes(job: Job, thing_id: str, holes: Sequence[PlateHole]) -> Job:
    """Set the holes of a plate, in its own frame.  Raises ValueError if one cannot be cut."""
    old = plate_of(job, thing_id)
    try:
        cut = require_holes(old.corners, holes)
    except ValueError as fault:
        x0, y0, x1, y1 = bounds(old.corners)
        if min(x1 - x0, y1 - y0) >= old.z_high - old.z_low:
            raise
        lay = "holes go straight down; this plate stands on edge, so lay it flat to drill its face"
        raise ValueError(f"{fault}; {lay}") from fault
    return with_part(job, structs.replace(old, holes=cut))


def set_place(
    job: Job,
    thing_id: str,
    *,
    x: float | None = None,
    y: float | None = None,
    turn: float | None = None,
) -> Job:
    """Set the position (mm) and angle (degrees) of a part's frame; None leaves it as it is."""
    old = part_of(job, thing_id)
    return with_part(
        job,
        structs.replace(
            old,
            x=old.x if x is None else x,
            y=old.y if y is None else y,
            turn=old.turn if turn is None else wrap(turn),
        ),
    )


def turn_about(job: Job, thing_id: str, degrees: float, about: Point) -> Job:
    """Turn a part about a point of the table; exact at quarter turns."""
    old = part_of(job, thing_id)
    return with_part(job, turned(old, degrees, about))


def turned(part: AnyPart, degrees: float, about: Point) -> AnyPart:
    """The part turned about a point of the table; its corners stay."""
    c, s = unit(degrees)
    dx, dy = part.x - about[0], part.y - about[1]
    return structs.replace(
        part,
        x=about[0] + c * dx - s * dy,
        y=about[1] + s * dx + c * dy,
        turn=wrap(part.turn + degrees),
    )


def set_heights(job: Job, thing_id: str, z_low: float, z_high: float) -> Job:
    """Set the heights of a plate, mm above the table.  Raises ValueError if z_high <= z_low."""
    return with_part(job, structs.replace(plate_of(job, thing_id), z_low=z_low, z_high=z_high))


def move_heights(job: Job, thing_id: str, z_low: float) -> Job:
    """Put the underside of a plate at a height, mm above the table; it keeps its thickness."""
    old = plate_of(job, thing_id)
    return set_heights(job, thing_id, z_low, z_low + round(old.z_high - old.z_low, _DIGITS))


def rename_part(job: Job, thing_id: str, name: str) -> Job:
    """Name a part.  A plate whose name another part has is given a number."""
    part, name = part_of(job, thing_id), name.strip()
    if isinstance(part, Plate):
        name = numbered_name(name, (one.name for one in job.parts if one.id != thing_id))
    return with_part(job, structs.replace(part, name=name))
