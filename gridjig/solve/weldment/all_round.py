"""The seam of a joint all round the faces that meet: its sides, their lengths, what reaches them.

A joint in plan tells where two parts meet and between which heights; here the common face is laid
flat, with the section as it is: a cut tube meets a face with its rounded outline, an angle with its
L, a coped end along its saddle.  Mill faces count as plane up to their edges.  Lengths in mm.
"""

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import Literal

import shapely
from msgspec import Struct
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from gridjig.geometry.lines import Line, through
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.part_solids import PartSolid, part_solids
from gridjig.geometry.shapes import covered
from gridjig.model import EndCut, Member, Part
from gridjig.rack import Point
from gridjig.rack.same import Same

from .joints import Joint, straightened

SideName = Literal["top", "underside", "upright", "flush"]
Reach = Literal["from above", "upright", "turned over", "from the side", "closed in"]

_FLUSH = 0.05
"""Faces whose heights differ by less than this are flush, mm."""
_OFF = 0.2
"""How far a face may be from the middle of a seam, beyond half its gap, mm."""
_STEP = 1.0
"""The longest straight piece that a saddle is measured with, mm."""
_AROUND = 32
"""Straight pieces in a quarter of a rounded outline: a circle comes out 0.01 % short."""
_LEAST = 1e-3
_BESIDE = 0.1  # how far beside a stretch is looked whether a part goes on, mm
_ASLANT = math.sin(math.radians(2.0))
"""How far faces of one seam may be out of parallel, for each mm of their length."""
_EYE = 1.0
"""The radius, mm, of the circle about the end of a seam that parts must fill to close it in."""


class SeamSide(Struct, frozen=True):
    """One side of a seam: its length, the open angle between the faces there, and what reaches it.

    "top" and "underside" run along the work, "upright" up it; "flush" is the edge between two parts
    that lie on each other with their sides in one plane.  `angle` is 180 where the faces are flush,
    and more round an outer corner.  `closed`: a third part stands there, so no torch reaches it.
    """

    name: SideName
    length: float
    angle: float
    closed: bool = False

    @property
    def reach(self) -> Reach:
        """From where it can be welded as the work lies now."""
        reach: dict[SideName, Reach] = {
            "top": "from above",
            "underside": "turned over",
            "upright": "upright",
            "flush": "from the side",
        }
        return "closed in" if self.closed else reach[self.name]


def seam_sides(joint: Joint, a: Part, b: Part, near: Sequence[Part] = ()) -> tuple[SeamSide, ...]:
    """The sides of the seam between two parts, the top first; none if the parts overlap.

    `near` are other parts, which may close an upright in.
    """
    return _sides(joint, Same(a), Same(b), tuple(Same(part) for part in near))


@lru_cache(maxsize=4096)
def _sides(
    joint: Joint, one: Same[Part], other: Same[Part], near: tuple[Same[Part], ...]
) -> tuple[SeamSide, ...]:
    a, b = one.value, other.value
    if joint.kind == "edge":
        return _edge(joint, a, b, [key.value for key in near])
    if joint.kind == "stacked":
        return _stacked(joint, a, b)
    if joint.kind == "fitted":
        return (
            SeamSide("top", joint.length, _level(a.z_high, b.z_high)),
            SeamSide("underside", joint.length, _level(a.z_low, b.z_low)),
        )
    if joint.kind == "corner":
        high = joint.z_high - joint.z_low
        if joint.length:
            return (SeamSide("flush", joint.length, 270.0),)
        return (SeamSide("upright", high, 270.0),)
    return ()


# -- faces that stand against each other ---------------------------------------------------------


def _edge(joint: Joint, a: Part, b: Part, near: Sequence[Part]) -> tuple[SeamSide, ...]:
    top = underside = 0.0
    uprights = [0.0, 0.0]
    pieces = list(pairwise(joint.seam))
    for number, (p, q) in enumerate(pieces):
        line, long = through(p, q), math.dist(p, q)
        off = joint.gap / 2.0 + _OFF
        fields = [_field(part, line, off) for part in (a, b)]
        patch = fields[0].shape.intersection(fields[1].shape)
        patch = patch.intersection(shapely.box(-_OFF, joint.z_low, long + _OFF, joint.z_high))
        cope = next((field for field in fields if field.cope is not None), None)
        if cope is not None:
            patch = shapely.segmentize(patch, _STEP)
        middle = patch.centroid.y if not patch.is_empty else 0.0
        for begin, end in _boundary(patch):
            length = math.dist(begin, end) if cope is None else cope.length(begin, end)
            if abs(end[0] - begin[0]) >= abs(end[1] - begin[1]):
                if (begin[1] + end[1]) / 2.0 > middle:
                    top += length
                else:
                    underside += length
                continue
            at = (begin[0] + end[0]) / 2.0
            if at < long / 2.0 and number == 0:
                uprights[0] += length
            elif at >= long / 2.0 and number == len(pieces) - 1:
                uprights[1] += length
    made = [
        SeamSide("top", top, _level(a.z_high, b.z_high)),
        *(
            SeamSide("upright", length, angle, _closed(joint, end, [a, b, *near]))
            for length, angle, end in zip(
                uprights, joint.angles or (90.0, 90.0), (joint.seam[0], joint.seam[-1]), strict=True
            )
        ),
        SeamSide("underside", underside, _level(a.z_low, b.z_low)),
    ]
    return tuple(side for side in made if side.length > _LEAST)


def _closed(joint: Joint, end: Point, parts: Sequence[Part]) -> bool:
    """True if parts that are as high as the joint fill the room all round the end of its seam."""
    if len(parts) < 3:
        return False
    tall = [
        covered(part_ring(straightened(part)))
        for part in parts
        if part.z_low <= joint.z_low + _FLUSH and part.z_high >= joint.z_high - _FLUSH
    ]
    eye = shapely.Point(end).buffer(joint.gap + _EYE, quad_segs=8)
    return bool(eye.difference(shapely.union_all(tall)).area < 0.02 * eye.area)


def _level(a: float, b: float) -> float:
    """The open angle along a level side: flush where both parts end at one height."""
    return 180.0 if abs(a - b) < _FLUSH else 90.0


class _Field(Struct, frozen=True):
    """What a part has of the plane of a seam: (along the seam, height).

    If the part is coped there, `cope` is that cut, `across` and `scale` give the distance from its
    centre line as across + scale * (along the seam), and `middle` is the height of its centre.
    """

    shape: BaseGeometry
    cope: EndCut | None = None
    across: float = 0.0
    scale: float = 1.0
    middle: float = 0.0

    def length(self, begin: Point, end: Point) -> float:
        """The true length of a piece of its saddle."""
        (c1, z1, out1), (c2, z2, out2) = (self._lifted(p) for p in (begin, end))
        return math.hypot(c2 - c1, z2 - z1, out2 - out1)

    def _lifted(self, p: Point) -> tuple[float, float, float]:
        assert self.cope is not None
        across = self.across + self.scale * p[0]
        return across, p[1], self.cope.beyond(across, p[1] - self.middle)


def _field(part: Part, line: Line, off: float) -> _Field:
    """What a part has of the upright plane along a line."""
    straight = straightened(part)
    shapes: list[BaseGeometry] = []
    made: _Field | None = None
    for solid in part_solids(straight):
        for k, (p, q) in enumerate(zip(solid.ring, (*solid.ring[1:], solid.ring[0]), strict=True)):
            if max(abs(line.off(p)), abs(line.off(q))) > off + math.dist(p, q) * _ASLANT:
                continue
            start, end = line.how_far(p), line.how_far(q)
            if abs(end - start) < _LEAST:
                continue
            shape, across, scale = _face(straight, solid, k, start, end)
            shapes.append(shape)
            cope = _cope_at(part, straight, solid, k)
            if cope is not None and scale:
                middle = (part.z_low + part.z_high) / 2.0
                made = _Field(shape, cope, across, scale, middle)
    shape = shapely.union_all(shapes) if shapes else shapely.Polygon()
    return made or _Field(shape)


def _face(
    part: Part, solid: PartSolid, side: int, start: float, end: float
) -> tuple[BaseGeometry, float, float]:
    """A side of a prism as a shape in the plane of the seam, and across = a + b * along."""
    (_, c1), (_, c2) = solid.own[side], solid.own[(side + 1) % len(solid.own)]
    box = shapely.box(min(start, end), solid.z_low, max(start, end), solid.z_high)
    if not isinstance(part, Member) or abs(c2 - c1) < _LEAST:
        return box, 0.0, 0.0
    scale = (c2 - c1) / (end - start)
    across = c1 - scale * start
    if not solid.rounded:
        return box, across, scale
    outline = shapely.Polygon(_rounded(solid))
    kept = outline.intersection(shapely.box(min(c1, c2), solid.z_low, max(c1, c2), solid.z_high))
    laid = affinity.affine_transform(kept, (1.0 / scale, 0.0, 0.0, 1.0, -across / scale, 0.0))
    return laid, across, scale


def _rounded(solid: PartSolid) -> list[Point]:
    """The outline of a rounded section: (across, height)."""
    (right, left), (deep, rise) = solid.across, solid.rounding
    quarter = [math.pi / 2.0 * k / _AROUND for k in range(_AROUND + 1)]
    corners = (
        (left - deep, solid.z_high - rise, 0.0),
        (right + deep, solid.z_high - rise, 90.0),
        (right + deep, solid.z_low + rise, 180.0),
        (left - deep, solid.z_low + rise, 270.0),
    )
    return [
        (x + deep * math.cos(math.radians(first) + t), z + rise * math.sin(math.radians(first) + t))
        for x, z, first in corners
        for t in quarter
    ]


def _cope_at(part: Part, straight: Part, solid: PartSolid, side: int) -> EndCut | None:
    """The cope that a side of a straightened part stands for."""
    if straight is part or not isinstance(part, Member) or not isinstance(straight, Member):
        return None
    (x1, _), (x2, _) = solid.own[side], solid.own[(side + 1) % len(solid.own)]
    cut = part.start if (x1 + x2) / 2.0 < straight.length / 2.0 else part.end
    return cut if cut.kind == "cope" else None


def _boundary(shape: BaseGeometry) -> Iterator[tuple[Point, Point]]:
    for piece in shapely.get_parts(shape):
        if isinstance(piece, shapely.Polygon):
            points: Sequence[tuple[float, ...]] = list(piece.exterior.coords)
            for p, q in pairwise(points):
                yield (p[0], p[1]), (q[0], q[1])


# -- one on the other ----------------------------------------------------------------------------


def _stacked(joint: Joint, a: Part, b: Part) -> tuple[SeamSide, ...]:
    """Round the common area: on top where the lower part goes on, underneath where the upper."""
    lengths = {"top": 0.0, "flush": 0.0, "underside": 0.0}
    for name, p, q, _ in stacked_stretches(joint, a, b):
        lengths[name] += math.dist(p, q)
    made = (
        SeamSide("top", lengths["top"], 90.0),
        SeamSide("flush", lengths["flush"], 180.0),
        SeamSide("underside", lengths["underside"], 90.0),
    )
    return tuple(side for side in made if side.length > _LEAST)


def stacked_stretches(
    joint: Joint, a: Part, b: Part
) -> Iterator[tuple[SideName, Point, Point, Point]]:
    """Yield the stretches round what two parts that lie on each other share: the side it is on, its
    ends, and the unit vector out of what they share.
    """
    lower, upper = (a, b) if a.z_low + a.z_high < b.z_low + b.z_high else (b, a)
    under, over = (covered(part_ring(part)) for part in (lower, upper))
    ring = joint.seam
    ccw = shapely.LinearRing(ring).is_ccw
    for p, q in pairwise(ring):
        long = math.dist(p, q)
        if long < _LEAST:
            continue
        turn = 1.0 if ccw else -1.0
        out = ((q[1] - p[1]) / long * turn, -(q[0] - p[0]) / long * turn)
        beside = shapely.Point(
            (p[0] + q[0]) / 2.0 + _BESIDE * out[0], (p[1] + q[1]) / 2.0 + _BESIDE * out[1]
        )
        side: SideName = "flush"
        if under.covers(beside):
            side = "top"
        elif over.covers(beside):
            side = "underside"
        yield side, p, q, out
