"""Edits of the whole weldment: move, turn, lay against a line, turn face down, mirror.

Parts keep their relative positions; pieces stay in their holes.  Welds belong to pairs of parts and
stay; datum and critical faces move with their parts.
"""

from collections.abc import Callable

from msgspec import structs

from gridjig.geometry import unit
from gridjig.geometry.lines import Line, through
from gridjig.geometry.part_outline import part_edge, part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Datum, FaceOf, Job, Member, Part
from gridjig.rack import Point
from gridjig.solve.layout.places import WeldmentPlace

from .copies import mirrored, moved
from .lookup import part_of
from .members import direction
from .parts import turned


def move(job: Job, dx: float, dy: float) -> Job:
    """Move the weldment by a distance in mm."""
    if dx == 0 and dy == 0:
        return job
    there = _each(job, lambda part: moved(part, dx, dy))
    return _with_origin(there, lambda p: (p[0] + dx, p[1] + dy))


def turn(job: Job, degrees: float, about: Point) -> Job:
    """Turn the weldment about a point of the table; exact at quarter turns."""
    if degrees % 360.0 == 0:
        return job
    c, s = unit(degrees)
    x, y = about

    def around(p: Point) -> Point:
        return (x + c * (p[0] - x) - s * (p[1] - y), y + s * (p[0] - x) + c * (p[1] - y))

    return _with_origin(_each(job, lambda part: turned(part, degrees, about)), around)


def lay(job: Job, face: FaceOf, at: Point, degrees: float, *, start: bool = False) -> Job:
    """Turn and move the weldment so that a face lies on the line through a point at an angle.

    The steel ends up on the left of the line.  With `start`, the face also begins at the point;
    otherwise it keeps its position along the line.  Raises KeyError if there is no such part,
    ValueError if it has no such side.
    """
    a, b = part_edge(part_of(job, face.part), face.side)
    there = turn(job, degrees - direction(a, b), a)
    along = unit(degrees)
    dx, dy = at[0] - a[0], at[1] - a[1]
    if not start:
        shift = dx * along[0] + dy * along[1]
        dx, dy = dx - shift * along[0], dy - shift * along[1]
    return move(there, dx, dy)


def flip(job: Job, a: Point, b: Point) -> Job:
    """Turn the weldment face down, about the line through two points on the table.

    The plan is mirrored and top becomes bottom; the lowest point keeps its height.  It is still the
    same weldment, so handed sections keep their hand.
    """
    line = through(a, b)
    low = min((part.z_low for part in job.parts), default=0.0)
    high = max((part.z_high for part in job.parts), default=0.0)
    over = _over(job, lambda part: turned_over(part, line, low + high))
    return _with_origin(over, line.mirrored)


def mirror(job: Job, a: Point, b: Point) -> Job:
    """Mirror the weldment about the line through two points: it becomes the opposite hand."""
    line = through(a, b)
    return _with_origin(_over(job, lambda part: mirrored(part, line)), line.mirrored)


def put(job: Job, place: WeldmentPlace) -> Job:
    """Move the weldment to a place found by the search."""
    x, y = place.about
    if place.flipped:
        job = flip(job, (x, y), (x, y + 1.0))
    return move(turn(job, place.turn, place.about), place.dx, place.dy)


def turned_over(part: Part, line: Line, heights: float) -> Part:
    """The part turned over about a line; `heights` is the sum of its old and new heights, mm."""
    flat = mirrored(part, line)
    low = heights - part.z_high
    if not isinstance(part, Member):
        return structs.replace(flat, z_low=low, z_high=heights - part.z_low)
    over = part.turned_over
    # A section that looks the same both ways up keeps its way up.
    way_up = over.way_up if part.section.handed else part.way_up
    return structs.replace(over, way_up=way_up, z_low=low, x=flat.x, y=flat.y, turn=flat.turn)


def _with_origin(job: Job, place: Callable[[Point], Point]) -> Job:
    """The job with the origin of typed points moved along with its weldment."""
    if job.origin is None or not job.parts:
        return job
    x, y = place(job.origin)
    return structs.replace(job, origin=(round(x, 6), round(y, 6)))


def _each(job: Job, change: Callable[[Part], Part]) -> Job:
    if not job.parts:
        return job
    return structs.replace(job, parts=tuple(change(part) for part in job.parts))


def _over(job: Job, change: Callable[[Part], Part]) -> Job:
    """The job with its parts mirrored in plan, and the chosen faces updated."""
    parts = {part.id: part for part in job.parts}

    def followed(face: FaceOf | None) -> FaceOf | None:
        if face is None or face.part not in parts:
            return face
        return FaceOf(face.part, mirrored_side(parts[face.part], face.side))

    return structs.replace(
        _each(job, change),
        datum=Datum(long=followed(job.datum.long), end=followed(job.datum.end)),
        critical=tuple(face for face in map(followed, job.critical) if face is not None),
    )


def mirrored_side(part: Part, side: int) -> int:
    """The number of a side after its part is mirrored."""
    if isinstance(part, Member):
        return (part.mill_edges[1] - side) % len(part.corners)
    return (-1 - side) % len(part.corners)


def middle(job: Job) -> Point:
    """The middle of the weldment's box in plan, mm.  Raises ValueError if there is no weldment."""
    corners = [p for part in job.parts for p in part_ring(part)]
    if not corners:
        raise ValueError("there is no weldment yet; draw a member first")
    x0, y0, x1, y1 = bounds(corners)
    return ((x0 + x1) / 2.0, (y0 + y1) / 2.0)
