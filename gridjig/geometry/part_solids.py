"""The room that a part of the weldment takes, with its actual section, and its upright faces.

A plate is one upright prism.  A tube or bar is one prism with rounded long edges (a round one is
rounded down to a line); an angle or channel is one prism per leg.  The hollow of a tube counts as
solid here; `hollow_holds` tells what fits inside.  Everything is in table coordinates, mm.
"""

import math
from collections.abc import Sequence
from functools import cached_property, lru_cache
from typing import Literal, NamedTuple

from msgspec import Struct

from gridjig.model import Member, Part
from gridjig.model.stock import ROUNDS, TUBES
from gridjig.rack import Point
from gridjig.rack.same import Same

from .plate_holes import Bore, part_bores, part_openings
from .pose import Pose

LEVEL = 1e-9
"""Heights and distances across that differ by less than this, in mm, are the same."""

FaceKind = Literal["side", "inside", "corner", "hole", "top", "bottom"]


class PartFace(NamedTuple):
    """A face of a part, by its kind and number.

    "side" is numbered like `FaceOf.side`, by the corner where it begins; "corner" is the upright
    edge at that corner; "inside" is a face between the legs of an angle or channel (0 faces the
    member's right, 1 its left); "hole" is the wall of a plate's hole, numbered as they are listed;
    "top" and "bottom" have the number 0.
    """

    kind: FaceKind
    number: int = 0

    @property
    def label(self) -> str:
        """The face as one word: side:2, corner:0, inside:1, hole:0, top or bottom."""
        return self.kind if self.kind in ("top", "bottom") else f"{self.kind}:{self.number}"


class Flat(NamedTuple):
    """The heights between which an upright face is plane, mm.

    Below and above them it curves back, by up to `deep` over a height of `rise`.  Both are 0 if it
    ends square.
    """

    low: float
    high: float
    deep: float = 0.0
    rise: float = 0.0

    def recess(self, z_low: float, z_high: float) -> float:
        """How far back the face is at its nearest between two heights, mm."""
        off = max(self.low - z_high, z_low - self.high, 0.0)
        if off <= 0.0 or self.rise <= 0.0:
            return 0.0
        part = min(off / self.rise, 1.0)
        return self.deep * (1.0 - math.sqrt(1.0 - part * part))


class PartSolid(Struct, frozen=True, eq=False, dict=True):
    """A prism of a part.

    `ring` is counter-clockwise and not closed.  Side k runs from corner k to the next; `faces[k]`
    is the face of the part there (None if another prism covers it) and `flats[k]` where that face
    is plane.  `corners[k]` is the number of the part's corner there, or None.  `across` are the
    distances from the member's centre line between which the prism lies; `own` is the ring in the
    frame `pose`; `rounding` is how far (across, up) its long edges are rounded, mm.  `openings` are
    the edges of the holes that go right through it, counter-clockwise and not closed; `bores[k]` is
    that hole as a circle or slot, None if it has another shape.
    """

    part: str
    ring: tuple[Point, ...]
    faces: tuple[PartFace | None, ...]
    flats: tuple[Flat, ...]
    corners: tuple[int | None, ...]
    z_low: float
    z_high: float
    own: tuple[Point, ...]
    pose: Pose
    across: tuple[float, float] = (0.0, 0.0)
    rounding: tuple[float, float] = (0.0, 0.0)
    openings: tuple[tuple[Point, ...], ...] = ()
    bores: tuple[Bore | None, ...] = ()

    @property
    def rounded(self) -> bool:
        """True if its long edges are rounded, so that it is narrower near its top and bottom."""
        return self.rounding[1] > 0.0

    def recess(self, z_low: float, z_high: float) -> float:
        """How much narrower each side is at the widest point between two heights, mm."""
        deep, rise = self.rounding
        return Flat(self.z_low + rise, self.z_high - rise, deep, rise).recess(z_low, z_high)

    def narrowed(self, by: float) -> tuple[Point, ...]:
        """The ring on the table with both long sides moved in by that; a line if nothing is left.

        A prism that is not rounded returns its ring.
        """
        if by <= 0.0 or not self.rounded:
            return self.ring
        low, high = self.across
        by = min(by, (high - low) / 2.0)
        sides = [(p, 0) for p in self.own]
        return self.pose.points(tuple(p for p, _ in clipped(sides, low + by, high - by)))

    @cached_property
    def bottom(self) -> tuple[Point, ...]:
        """The flat of its underside and of its top: the ring without the rounded edges."""
        return self.narrowed(self.rounding[0])


class _Leg(NamedTuple):
    """A rectangle of a section as it lies: right and left edges, bottom and top, mm."""

    right: float
    left: float
    low: float
    high: float


def part_solids(part: Part) -> tuple[PartSolid, ...]:
    """The prisms of a part where it lies; the same part gives the same tuple."""
    return _part_solids(Same(part))


@lru_cache(maxsize=4096)
def _part_solids(key: Same[Part]) -> tuple[PartSolid, ...]:
    part = key.value
    pose = Pose(part.x, part.y, part.turn)
    if not isinstance(part, Member):
        return (_plate(part, pose),)
    if part.section.kind in ("angle", "channel"):
        legs = _legs(part)
        return tuple(_leg(part, pose, legs, k) for k in range(len(legs)))
    return (_bar(part, pose),)


def _plate(part: Part, pose: Pose) -> PartSolid:
    count = len(part.corners)
    own, sides, corners = tuple(part.corners), range(count), range(count)
    if _twice_area(own) < 0.0:
        own = own[::-1]
        sides = range(count - 2, -2, -1)
        corners = range(count - 1, -1, -1)
    return PartSolid(
        part.id,
        pose.points(own),
        tuple(PartFace("side", k % count) for k in sides),
        (Flat(part.z_low, part.z_high),) * count,
        tuple(corners),
        part.z_low,
        part.z_high,
        own,
        pose,
        openings=part_openings(part),
        bores=part_bores(part),
    )


_SIDES = tuple(PartFace("side", k) for k in range(4))


def _bar(part: Member, pose: Pose) -> PartSolid:
    """A tube, flat or round: the whole plan, rounded along its long sides."""
    width, depth = part.width, part.depth
    deep = rise = 0.0
    if part.section.kind in ROUNDS:
        deep, rise = width / 2.0, depth / 2.0
    elif part.section.kind in TUBES:
        deep = rise = min(part.section.radius, width / 2.0, depth / 2.0)
    low, high = part.z_low, part.z_high
    long = Flat(min(low + rise, high - rise), max(low + rise, high - rise), deep, rise)
    end = Flat(low, high)
    own = part.corners
    count = len(own)
    mills = (0, 2) if count == 4 else part.mill_edges
    return PartSolid(
        part.id,
        pose.points(own),
        _SIDES if count == 4 else tuple(PartFace("side", k) for k in range(count)),
        tuple([long if k in mills else end for k in range(count)]),
        tuple(range(count)),
        low,
        high,
        own,
        pose,
        (-width / 2.0, width / 2.0),
        (deep, rise),
    )


def _legs(part: Member) -> list[_Leg]:
    """The legs of an angle or channel as it lies; upright legs run the full height."""
    section = part.section
    width, height = part.measured
    w, h, t = width or section.width, height or section.height, section.wall
    x, y = -w / 2.0, -h / 2.0
    if section.kind == "angle":
        legs = [_Leg(x, -x, y, y + t), _Leg(x, x + t, y, -y)]
    else:
        f = section.flange
        legs = [_Leg(x, x + t, y, -y), _Leg(x, -x, y, y + f), _Leg(x, -x, -y - f, -y)]
    for _ in range(part.way_up // 90):  # a quarter turn: the top goes to the right
        legs = [_Leg(-g.high, -g.low, g.right, g.left) for g in legs]
    if part.mirrored:
        legs = [_Leg(-g.left, -g.right, g.low, g.high) for g in legs]
    up = part.z_low + part.depth / 2.0
    return [_Leg(g.right, g.left, g.low + up, g.high + up) for g in legs]


def _leg(part: Member, pose: Pose, legs: Sequence[_Leg], index: int) -> PartSolid:
    me = legs[index]
    half = part.width / 2.0
    corners = part.corners
    right, left = part.mill_edges
    cut = clipped([(p, k) for k, p in enumerate(corners)], me.right, me.left)
    faces: list[PartFace | None] = []
    flats: list[Flat] = []
    for _, side in cut:
        if side in (_CUT_LOW, right):
            outer = me.right <= -half + LEVEL
            face, flat = _long(part, legs, index, outer, -1)
        elif side in (_CUT_HIGH, left):
            outer = me.left >= half - LEVEL
            face, flat = _long(part, legs, index, outer, 1)
        else:
            face, flat = PartFace("side", side), Flat(me.low, me.high)
        faces.append(face)
        flats.append(flat)
    own = tuple(p for p, _ in cut)
    known = {p: k for k, p in enumerate(corners)}
    return PartSolid(
        part.id,
        pose.points(own),
        tuple(faces),
        tuple(flats),
        tuple(known.get(p) for p in own),
        me.low,
        me.high,
        own,
        pose,
        (me.right, me.left),
    )


def _long(
    part: Member, legs: Sequence[_Leg], index: int, outer: bool, looks: int
) -> tuple[PartFace | None, Flat]:
    """The long face of a leg that faces left (1) or right (-1), and where it is plane.

    Where another leg covers it there is no face, and the fillet beside that leg is not plane.
    """
    me = legs[index]
    at = me.left if looks > 0 else me.right
    low, high = me.low, me.high
    root = part.section.radius
    for k, other in enumerate(legs):
        if k == index or not other.right - LEVEL <= at <= other.left + LEVEL:
            continue
        beyond = other.left - at if looks > 0 else at - other.right
        wholly = other.low <= me.low + LEVEL and other.high >= me.high - LEVEL
        if wholly and (beyond > LEVEL or other.high - other.low > me.high - me.low + LEVEL):
            return None, Flat(low, high)
        if beyond <= LEVEL:
            continue
        if other.low <= low + LEVEL:
            low = max(low, other.high + root)
        if other.high >= high - LEVEL:
            high = min(high, other.low - root)
    name = part.mill_edges[0 if looks < 0 else 1]
    face = PartFace("side", name) if outer else PartFace("inside", 1 if looks > 0 else 0)
    return face, Flat(low, max(low, high))


_CUT_LOW, _CUT_HIGH = -1, -2
Tagged = tuple[Point, int]


def clipped(ring: Sequence[Tagged], low: float, high: float) -> list[Tagged]:
    """The part of a ring with low <= y <= high; each corner comes with the number of its side.

    A side runs from its corner to the next.  The sides made by the cut are numbered -1 (below) and
    -2 (above).
    """
    above = _clipped_at(ring, low, 1.0, _CUT_LOW)
    return _clipped_at(above, high, -1.0, _CUT_HIGH)


def _clipped_at(ring: Sequence[Tagged], at: float, sign: float, number: int) -> list[Tagged]:
    """The part of a ring on one side of the line y = `at`."""
    made: list[Tagged] = []
    count = len(ring)
    for k in range(count):
        (p, side), (q, _) = ring[k], ring[(k + 1) % count]
        a, b = (p[1] - at) * sign, (q[1] - at) * sign
        if a >= -LEVEL:
            leaves = b < -LEVEL and a <= LEVEL
            made.append((p, number if leaves else side))
        if (a > LEVEL and b < -LEVEL) or (a < -LEVEL and b > LEVEL):
            share = a / (a - b)
            made.append(((p[0] + share * (q[0] - p[0]), at), number if a > 0.0 else side))
    return made


def _twice_area(ring: Sequence[Point]) -> float:
    return sum(x * v - u * y for (x, y), (u, v) in zip(ring, [*ring[1:], ring[0]], strict=True))


def hollow_holds(tube: Part, inner: Part, ring: Sequence[Point], slack: float) -> bool:
    """True if the length of `inner` within `ring`, in plan, fits inside the hollow of a tube.

    `slack` is how far, in mm, it may overlap the wall and still count as inside.  The inside corner
    radii of a square tube are ignored.
    """
    if not isinstance(tube, Member) or tube.section.kind not in (*TUBES, "round tube"):
        return False
    wall = tube.section.wall - slack
    half, rise = tube.width / 2.0 - wall, tube.depth / 2.0 - wall
    middle = tube.z_low + tube.depth / 2.0
    pose = Pose(tube.x, tube.y, tube.turn)
    aside = max(abs(pose.back(p)[1]) for p in ring)
    if tube.section.kind in TUBES:
        low, high = middle - rise, middle + rise
        return aside <= half and low <= inner.z_low and inner.z_high <= high
    if isinstance(inner, Member) and inner.section.kind in ROUNDS:
        radius = inner.width / 2.0
        off = abs((inner.z_low + inner.z_high) / 2.0 - middle)
        return math.hypot(max(aside - radius, 0.0), off) + radius <= half
    off = max(abs(inner.z_low - middle), abs(inner.z_high - middle))
    return math.hypot(aside / half, off / rise) <= 1.0
