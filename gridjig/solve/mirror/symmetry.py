"""Whether a weldment is its own opposite hand: the same as its mirror image, turned or turned over.

Only shapes count: parts of the same section in the same place are the same part.
"""

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import islice
from typing import Literal

from msgspec import Struct, structs

from gridjig.geometry import Pose
from gridjig.geometry.part_outline import part_ring
from gridjig.model import CutOut, Drilled, Member, Part, Plate, PlateHole, Slotted
from gridjig.rack import Point
from gridjig.rack.same import Same

SAME = 0.05
"""Corners this close, in mm, coincide: half of the last digit that is shown."""

MOST_MOTIONS = 400
"""How many ways of laying one weldment on another are compared: 0.2 s for fifty parts."""

SymmetryKind = Literal["empty", "mirror line", "turned over", "turned over and rotated", "handed"]


class Symmetry(Struct, frozen=True):
    """How a weldment is its own opposite hand; "handed" if it is not.

    "mirror line": it is the same on both sides of a line in plan.  "turned over", "turned over and
    rotated": that makes it its opposite hand.  "empty": it has no parts.  `part` is the id of a
    part without a match in the mirrored weldment, if handed.
    """

    kind: SymmetryKind
    part: str | None = None

    @property
    def symmetric(self) -> bool:
        """True if the weldment is its own opposite hand."""
        return self.kind != "handed"


_Hole = tuple[tuple[str, float], tuple[Point, ...]]
"""A hole of a plate: its kind and size, and the points on the table that fix its place."""


class _Shape(Struct, frozen=True):
    """What symmetry needs of a part; `heel` is where an angle's or channel's back lies."""

    part: Part
    kind: tuple[object, ...]
    ring: tuple[Point, ...]
    z_low: float
    z_high: float
    heel: tuple[float, float, float] | None
    holes: tuple[_Hole, ...] = ()


class _Motion(Struct, frozen=True):
    """A motion of the plane about a point: a turn by `angle` degrees, or a mirror at `angle`.

    A turn goes with reversed heights, a mirror in plan leaves them: either makes the opposite hand.
    """

    about: Point
    angle: float
    mirror: bool

    def point(self, p: Point) -> Point:
        c, s = math.cos(math.radians(self.angle)), math.sin(math.radians(self.angle))
        x, y = p[0] - self.about[0], p[1] - self.about[1]
        if self.mirror:
            c, s = c * c - s * s, 2.0 * c * s
            y = -y
        return (self.about[0] + c * x - s * y, self.about[1] + s * x + c * y)


def weldment_symmetry(parts: Sequence[Part]) -> Symmetry:
    """Whether the weldment of these parts is its own opposite hand."""
    if not parts:
        return Symmetry("empty")
    shapes = [_shape(part) for part in parts]
    # Twice the height about which everything is turned over; then the one about which most parts
    # are symmetric, so that the odd one is named and not the rest.
    whole = min(s.z_low for s in shapes) + max(s.z_high for s in shapes)
    sums = Counter(round(s.z_low + s.z_high, 2) for s in shapes)
    motions = _motions(shapes)
    least: list[_Shape] = shapes
    for heights in (whole, sums.most_common(1)[0][0]):
        for motion in motions:
            alone = _alone(shapes, motion, heights, len(least))
            if not alone:
                return Symmetry(_kind(motion))
            least = min(least, alone, key=len)
    return Symmetry("handed", least[0].part.id)


def unlike_opposite(original: Sequence[Part], other: Sequence[Part]) -> tuple[str, ...]:
    """The ids of the parts in which a weldment differs from the opposite hand of another.

    Wherever and at whatever height both lie.  Empty if it is the opposite hand; exact.  If it is
    not, the parts are those left over when most of the others match, as far as `MOST_MOTIONS`
    show.
    """
    return _unlike_opposite(Same(original), Same(other))


@lru_cache(maxsize=64)
def _unlike_opposite(one: Same[Sequence[Part]], two: Same[Sequence[Part]]) -> tuple[str, ...]:
    if not one.value or not two.value:
        return tuple(part.id for part in (*one.value, *two.value))
    drawn, made = ([_shape(part) for part in key.value] for key in (one, two))
    drawn = [_raised(shape, -min(s.z_low for s in drawn)) for shape in drawn]
    made = [_raised(shape, -min(s.z_low for s in made)) for shape in made]
    heights = max(s.z_high for s in drawn)
    best: list[_Shape] | None = None
    for motion, shapes in islice(_ways_onto(drawn, made), MOST_MOTIONS):
        missing, extra = _unmatched(shapes, made, motion, heights)
        if not missing and not extra:
            return ()
        if best is None or len(missing) + len(extra) < len(best):
            best = [*missing, *extra]
    return tuple(shape.part.id for shape in best or made)


def _ways_onto(
    drawn: Sequence[_Shape], made: Sequence[_Shape]
) -> Iterator[tuple[_Motion, Sequence[_Shape]]]:
    """Motions that may take one weldment to its opposite hand, with the first one shifted to suit.

    First those that suit both as a whole, then those that take the longest part to one like it.
    """
    yield from _onto(drawn, made, drawn)
    longest = max(drawn, key=lambda shape: _far(shape.ring))
    for shape in made:
        if shape.kind == longest.kind and len(shape.ring) == len(longest.ring):
            yield from _onto([longest], [shape], drawn)


def _onto(
    some: Sequence[_Shape], others: Sequence[_Shape], drawn: Sequence[_Shape]
) -> Iterator[tuple[_Motion, Sequence[_Shape]]]:
    """Motions that take the middle and a furthest corner of some shapes to those of others."""
    (ax, ay), first = _furthest(some)
    (bx, by), ends = _furthest(others)
    shifted = [_shifted(shape, bx - ax, by - ay) for shape in drawn]
    start = _direction((ax, ay), first[0])
    for angle in dict.fromkeys(round(_direction((bx, by), p), 6) for p in ends):
        yield _Motion((bx, by), (angle + start) / 2.0, True), shifted
        yield _Motion((bx, by), angle - start, False), shifted


def _unmatched(
    drawn: Sequence[_Shape], made: Sequence[_Shape], motion: _Motion, heights: float
) -> tuple[list[_Shape], list[_Shape]]:
    """The shapes without a match, of those as drawn and of those made."""
    left = list(made)
    missing = []
    for shape in drawn:
        image = _moved(shape, motion, heights)
        match = next((k for k, other in enumerate(left) if _same(image, other)), None)
        if match is None:
            missing.append(shape)
        else:
            left.pop(match)
    return missing, left


def _raised(shape: _Shape, by: float) -> _Shape:
    heel = shape.heel
    return structs.replace(
        shape,
        z_low=shape.z_low + by,
        z_high=shape.z_high + by,
        heel=None if heel is None else (heel[0], heel[1], heel[2] + by),
    )


def _shifted(shape: _Shape, dx: float, dy: float) -> _Shape:
    heel = shape.heel
    return structs.replace(
        shape,
        ring=tuple((x + dx, y + dy) for x, y in shape.ring),
        heel=None if heel is None else (heel[0] + dx, heel[1] + dy, heel[2]),
        holes=tuple((kind, tuple((x + dx, y + dy) for x, y in ring)) for kind, ring in shape.holes),
    )


def _far(ring: Sequence[Point]) -> float:
    return max(math.dist(p, q) for p in ring for q in ring)


def _kind(motion: _Motion) -> SymmetryKind:
    if motion.mirror:
        return "mirror line"
    unturned = abs(math.remainder(motion.angle, 360.0)) < 1e-6
    return "turned over" if unturned else "turned over and rotated"


def _shape(part: Part) -> _Shape:
    ring = part_ring(part)
    if not isinstance(part, Member):
        holes = tuple(_hole(part, hole) for hole in part.holes)
        return _Shape(part, ("plate",), ring, part.z_low, part.z_high, None, holes)
    section = part.section
    kind = (
        section.kind,
        section.wall,
        section.flange,
        section.radius,
        section.toe,
        *_sizes(part),
    )
    return _Shape(part, kind, ring, part.z_low, part.z_high, _heel(part))


def _hole(part: Plate, hole: PlateHole) -> _Hole:
    """What is compared of a hole: its kind with its size, and the points that fix its place."""
    pose = Pose(part.x, part.y, part.turn)
    match hole:
        case Drilled():
            return (("hole", round(hole.diameter, 6)), (pose.point(hole.at),))
        case Slotted():
            return (("slot", round(hole.width, 6)), pose.points((hole.a, hole.b)))
        case CutOut():
            return (("opening", 0.0), pose.points(hole.corners))


def _sizes(member: Member) -> tuple[float, float]:
    """Its width and depth as it lies, as the listed sizes would depend on the way up."""
    return (member.width, member.depth)


def _heel(member: Member) -> tuple[float, float, float] | None:
    """Where the back of an angle or channel lies (point in plan and height); None for the rest."""
    if not member.section.handed:
        return None
    half, deep = member.width / 2.0, member.depth / 2.0
    # Seen from the start, looking along: to the left, and up.  A quarter turn is clockwise.
    left, up = (-1.0, -1.0) if member.section.kind == "angle" else (-1.0, 0.0)
    for _ in range(member.way_up // 90):
        left, up = -up, left
    if member.mirrored:
        left = -left
    middle = (member.length / 2.0, left * half)
    x, y = Pose(member.x, member.y, member.turn).point(middle)
    return (x, y, member.z_low + deep + up * deep)


def _motions(shapes: Sequence[_Shape]) -> list[_Motion]:
    """The motions that could map the weldment onto itself in plan.

    Each keeps its middle and takes one of its furthest corners to another.
    """
    middle, ends = _furthest(shapes)
    first = _direction(middle, ends[0])
    angles = dict.fromkeys(round(_direction(middle, p), 6) for p in ends)
    made = []
    for angle in angles:
        made.append(_Motion(middle, angle - first, False))
        made.append(_Motion(middle, (angle + first) / 2.0, True))
    return made


def _furthest(shapes: Sequence[_Shape]) -> tuple[Point, list[Point]]:
    """The mean of all corners, which moves with the shapes, and the corners furthest from it."""
    corners = [p for s in shapes for p in s.ring]
    middle = (
        sum(x for x, _ in corners) / len(corners),
        sum(y for _, y in corners) / len(corners),
    )
    far = [math.dist(p, middle) for p in corners]
    most = max(far)
    return middle, [p for p, d in zip(corners, far, strict=True) if most - d < SAME]


def _direction(a: Point, b: Point) -> float:
    return math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))


def _alone(shapes: Sequence[_Shape], motion: _Motion, heights: float, enough: int) -> list[_Shape]:
    """Parts whose moved mirror image is not in the weldment; stops when `enough` are found."""
    left = list(shapes)
    alone = []
    for shape in shapes:
        image = _moved(shape, motion, heights)
        match = next((k for k, other in enumerate(left) if _same(image, other)), None)
        if match is not None:
            left.pop(match)
            continue
        alone.append(shape)
        if len(alone) == enough:
            break
    return alone


def _moved(shape: _Shape, motion: _Motion, heights: float) -> _Shape:
    ring = tuple(motion.point(p) for p in shape.ring)
    low, high, heel = shape.z_low, shape.z_high, shape.heel
    if not motion.mirror:
        low, high = heights - high, heights - low
    if heel is not None:
        z = heel[2] if motion.mirror else heights - heel[2]
        heel = (*motion.point(heel[:2]), z)
    holes = tuple((kind, tuple(map(motion.point, ring))) for kind, ring in shape.holes)
    return _Shape(shape.part, shape.kind, ring, low, high, heel, holes)


def _same(one: _Shape, other: _Shape) -> bool:
    return (
        one.kind == other.kind
        and len(one.ring) == len(other.ring)
        and abs(one.z_low - other.z_low) < SAME
        and abs(one.z_high - other.z_high) < SAME
        and _same_ring(one.ring, other.ring)
        and _same_holes(one.holes, other.holes)
        and (one.heel is None or other.heel is None or math.dist(one.heel, other.heel) < SAME)
    )


def _same_holes(one: Sequence[_Hole], other: Sequence[_Hole]) -> bool:
    """True if each hole has an equal one in the same place."""
    left = list(other)
    for kind, ring in one:
        match = next(
            (
                k
                for k, (other_kind, other_ring) in enumerate(left)
                if kind == other_kind
                and len(ring) == len(other_ring)
                and _same_ring(ring, other_ring)
            ),
            None,
        )
        if match is None:
            return False
        left.pop(match)
    return not left


def _same_ring(one: Sequence[Point], other: Sequence[Point]) -> bool:
    """True if both have the same corners in the same order, either way round."""
    count = len(other)
    starts = [k for k, q in enumerate(other) if math.dist(one[0], q) < SAME]
    return any(
        all(math.dist(p, other[(k + step * n) % count]) < SAME for n, p in enumerate(one))
        for k in starts
        for step in (1, -1)
    )
