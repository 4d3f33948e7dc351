"""Edits of a whole weldment: move, turn, lay against a line, turn face down, mirror.

`weldment` is the id of the one to change; None means all of them together.  Its parts keep their
relative positions; pieces stay in their holes.  Welds belong to pairs of parts and stay; datum and
critical faces move with their parts.
"""

from collections.abc import Callable

from msgspec import structs

from gridjig.geometry import unit
from gridjig.geometry.lines import Line, through
from gridjig.geometry.part_outline import part_edge, part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import FaceOf, Job, Member, Part
from gridjig.model.by_weldment import parts_of
from gridjig.rack import Point
from gridjig.solve.layout.places import WeldmentPlace

from .copies import mirrored, mirrored_side, moved
from .lookup import part_of, with_datums
from .members import direction
from .parts import turned


def move(job: Job, dx: float, dy: float, weldment: str | None = None) -> Job:
    """Move the weldment by a distance in mm."""
    if dx == 0 and dy == 0:
        return job
    there = _each(job, lambda part: moved(part, dx, dy), weldment)
    return _with_origin(job, there, lambda p: (p[0] + dx, p[1] + dy), weldment)


def turn(job: Job, degrees: float, about: Point, weldment: str | None = None) -> Job:
    """Turn the weldment about a point of the table; exact at quarter turns."""
    if degrees % 360.0 == 0:
        return job
    c, s = unit(degrees)
    x, y = about

    def around(p: Point) -> Point:
        return (x + c * (p[0] - x) - s * (p[1] - y), y + s * (p[0] - x) + c * (p[1] - y))

    return _with_origin(
        job, _each(job, lambda part: turned(part, degrees, about), weldment), around, weldment
    )


def lay(job: Job, face: FaceOf, at: Point, degrees: float, *, start: bool = False) -> Job:
    """Turn and move the face's weldment so that it lies on the line through a point at an angle.

    The steel ends up on the left of the line.  With `start`, the face also begins at the point;
    otherwise it keeps its position along the line.  Raises KeyError if there is no such part,
    ValueError if it has no such side.
    """
    part = part_of(job, face.part)
    a, b = part_edge(part, face.side)
    there = turn(job, degrees - direction(a, b), a, part.weldment)
    along = unit(degrees)
    dx, dy = at[0] - a[0], at[1] - a[1]
    if not start:
        shift = dx * along[0] + dy * along[1]
        dx, dy = dx - shift * along[0], dy - shift * along[1]
    return move(there, dx, dy, part.weldment)


def flip(job: Job, a: Point, b: Point, weldment: str | None = None) -> Job:
    """Turn the weldment face down, about the line through two points on the table.

    The plan is mirrored and top becomes bottom; the lowest point keeps its height.  It is still the
    same weldment, so handed sections keep their hand.
    """
    line = through(a, b)
    parts = _parts(job, weldment)
    low = min((part.z_low for part in parts), default=0.0)
    high = max((part.z_high for part in parts), default=0.0)
    over = _over(job, lambda part: turned_over(part, line, low + high), weldment)
    return _with_origin(job, over, line.mirrored, weldment)


def mirror(job: Job, a: Point, b: Point, weldment: str | None = None) -> Job:
    """Mirror the weldment about the line through two points: it becomes the opposite hand."""
    line = through(a, b)
    over = _over(job, lambda part: mirrored(part, line), weldment)
    return _with_origin(job, over, line.mirrored, weldment)


def put(job: Job, place: WeldmentPlace, weldment: str | None = None) -> Job:
    """Move the weldment to a place found by the search."""
    x, y = place.about
    if place.flipped:
        job = flip(job, (x, y), (x, y + 1.0), weldment)
    return move(turn(job, place.turn, place.about, weldment), place.dx, place.dy, weldment)


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


def _parts(job: Job, weldment: str | None) -> tuple[Part, ...]:
    return job.parts if weldment is None else parts_of(job, weldment)


def _with_origin(old: Job, job: Job, place: Callable[[Point], Point], weldment: str | None) -> Job:
    """The job with the origin of typed points moved along with the weldment that it is on."""
    parts = _parts(old, weldment)
    if job.origin is None or not parts:
        return job
    x, y = job.origin
    if len(parts) < len(old.parts):
        left, bottom, right, top = bounds([p for part in parts for p in part_ring(part)])
        if not (left <= x <= right and bottom <= y <= top):
            return job
    x, y = place(job.origin)
    return structs.replace(job, origin=(round(x, 6), round(y, 6)))


def _each(job: Job, change: Callable[[Part], Part], weldment: str | None) -> Job:
    if not _parts(job, weldment):
        return job
    return structs.replace(
        job,
        parts=tuple(
            change(part) if weldment in (None, part.weldment) else part for part in job.parts
        ),
    )


def _over(job: Job, change: Callable[[Part], Part], weldment: str | None) -> Job:
    """The job with its parts mirrored in plan, and the chosen faces updated."""
    parts = {part.id: part for part in _parts(job, weldment)}

    def followed(face: FaceOf) -> FaceOf:
        if face.part not in parts:
            return face
        return FaceOf(face.part, mirrored_side(parts[face.part], face.side))

    return structs.replace(
        _each(job, change, weldment),
        weldments=with_datums(job.weldments, followed),
        critical=tuple(map(followed, job.critical)),
    )


def middle(job: Job, weldment: str | None = None) -> Point:
    """The middle of the weldment's box in plan, mm.  Raises ValueError if it has no parts."""
    corners = [p for part in _parts(job, weldment) for p in part_ring(part)]
    if not corners:
        raise ValueError("there is no weldment yet; draw a member first")
    x0, y0, x1, y1 = bounds(corners)
    return ((x0 + x1) / 2.0, (y0 + y1) / 2.0)
