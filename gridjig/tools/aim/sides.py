"""Sides and marked points of the weldment's parts, cached until the part changes.

Pointing at a face, snapping to it and measuring from it all use this module, so that one name
means the same side everywhere.
"""

import math
from collections.abc import Mapping

from msgspec import Struct

from gridjig.geometry import Pose
from gridjig.geometry.part_outline import mill_faces, part_ring
from gridjig.model import Job, Member, Part
from gridjig.model.titles import part_name
from gridjig.rack import Point
from gridjig.units.spelling import spelled

_SHORT = 0.1
"""Sides no longer than this, mm, cannot be picked."""


class PartSide(Struct, frozen=True):
    """A side of a part from a to b, table mm; `index` is the corner where it begins."""

    part: str
    index: int
    a: Point
    b: Point
    what: str

    def nearest(self, p: Point) -> Point:
        """Return the point on the side nearest to another point, mm."""
        dx, dy = self.b[0] - self.a[0], self.b[1] - self.a[1]
        t = ((p[0] - self.a[0]) * dx + (p[1] - self.a[1]) * dy) / (dx * dx + dy * dy)
        t = min(max(t, 0.0), 1.0)
        return (self.a[0] + t * dx, self.a[1] + t * dy)

    def away(self, p: Point) -> float:
        """Return the distance of a point from the side, mm."""
        return math.dist(self.nearest(p), p)

    @property
    def middle(self) -> Point:
        """Return its midpoint, mm."""
        return ((self.a[0] + self.b[0]) / 2.0, (self.a[1] + self.b[1]) / 2.0)

    def crossed(self, start: Point, along: Point) -> float | None:
        """Return how far along a ray (unit direction) the side is crossed, mm; None if it is not.

        A ray that just touches an end of the side crosses it.
        """
        dx, dy = self.b[0] - self.a[0], self.b[1] - self.a[1]
        sine = along[0] * dy - along[1] * dx
        if abs(sine) < 1e-9 * math.hypot(dx, dy):
            return None
        ex, ey = self.a[0] - start[0], self.a[1] - start[1]
        on_side = (ex * along[1] - ey * along[0]) / sine
        if not -1e-9 <= on_side <= 1.0 + 1e-9:
            return None
        return (ex * dy - ey * dx) / sine


class PartMarks(Struct, frozen=True):
    """What the pointer can snap to on one part."""

    sides: tuple[PartSide, ...]
    points: tuple[tuple[Point, str], ...]


class PartSides:
    """The marks of every part of a job; unchanged parts are not computed again."""

    def __init__(self) -> None:
        self._kept: dict[str, tuple[Part, PartMarks]] = {}
        self._parts: tuple[Part, ...] = ()
        self._marks: Mapping[str, PartMarks] = {}

    def of(self, job: Job) -> Mapping[str, PartMarks]:
        """Return the marks of each part by its id, in the job's order."""
        if job.parts is self._parts:
            return self._marks
        fresh: dict[str, tuple[Part, PartMarks]] = {}
        for part in job.parts:
            kept = self._kept.get(part.id)
            if kept is None or kept[0] is not part:
                kept = (part, marks_of(part))
            fresh[part.id] = kept
        self._kept, self._parts = fresh, job.parts
        self._marks = {part_id: marks for part_id, (_, marks) in fresh.items()}
        return self._marks

    def near(self, job: Job, at: Point, within: float) -> PartSide | None:
        """Return the side nearest to a point within a radius, mm; None if there is none."""
        sides = (side for marks in self.of(job).values() for side in marks.sides)
        best = min(((side.away(at), n, side) for n, side in enumerate(sides)), default=None)
        return best[2] if best is not None and best[0] <= within else None

    def nearest_of(self, job: Job, part: str, at: Point) -> PartSide:
        """Return the side of one part nearest to a point."""
        return min(self.of(job)[part].sides, key=lambda side: side.away(at))


def marks_of(part: Part) -> PartMarks:
    """Return a part's sides and points: corners, midpoints, and a member's ends and middle.

    The facets of a cope are drawn, but nothing snaps to them.
    """
    ring = part_ring(part)
    name = part_name(part)
    faces = set(mill_faces(part))
    sides: list[PartSide] = []
    for index, a in enumerate(ring):
        b = ring[(index + 1) % len(ring)]
        what = _called(part, index, index in faces)
        if what and math.dist(a, b) > _SHORT:
            sides.append(PartSide(part.id, index, a, b, f"{what} of {name}"))
    corners = {p for side in sides for p in (side.a, side.b)}
    points = [(p, f"corner of {name}") for p in ring if p in corners]
    points += [(side.middle, f"middle of the {side.what}") for side in sides if side.index in faces]
    if isinstance(part, Member):
        start, end = _ends(part)
        points += [(start, f"end of {name}"), (end, f"end of {name}")]
        points.append((((start[0] + end[0]) / 2.0, (start[1] + end[1]) / 2.0), f"middle of {name}"))
    return PartMarks(tuple(sides), tuple(points))


def _called(part: Part, index: int, face: bool) -> str:
    if not isinstance(part, Member):
        return "side"
    if face:
        return "face"
    right, left = part.mill_edges
    cut = part.end if right < index < left else part.start
    return {"square": "end", "mitre": spelled("mitre line"), "notch": "notch", "cope": ""}[cut.kind]


def _ends(member: Member) -> tuple[Point, Point]:
    line = Pose(member.x, member.y, member.turn)
    return line.point((0.0, 0.0)), line.point((member.length, 0.0))
