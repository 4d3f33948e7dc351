"""Joints: found wherever two parts of one weldment meet, never stored.

Everything is treated in plan, with a range of heights.  A coped end counts as cut straight at the
side of the round it fits, because it meets the round there.
"""

from collections.abc import Sequence
from functools import lru_cache
from typing import Literal

import numpy as np
import shapely
from msgspec import Struct, structs
from shapely.geometry.base import BaseGeometry

from gridjig.geometry import Pose
from gridjig.geometry.box_index import Box
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.plate_holes import part_openings, without_openings
from gridjig.geometry.shapes import bounds, covered
from gridjig.model import EndCut, Member, Part
from gridjig.rack import Point
from gridjig.rack.same import Same
from gridjig.units.progress import look, looked_at

from .meeting import DEEP, GAP, LEAST
from .openings import fits
from .seams import Edge, Seam, edges_of, seams

MOST_PAIRS = 40_000
"""The most pairs of neighbouring parts to examine: about 8 s and 200 MB."""

_KEPT = 16_384
"""Parts whose outlines are kept from one call to the next: 20 MB."""
_AT_ONCE = 256
"""Parts whose neighbours are queried together: 100 MB if 50,000 parts all lie in one place."""

JointKind = Literal["edge", "stacked", "fitted", "corner", "overlap"]


class Joint(Struct, frozen=True, gc=False):
    """Where parts `a` and `b` meet; `a` comes before `b` in the job.  Lengths in mm.

    "edge": two faces meet along `length` in plan, from z_low to z_high, `gap` apart.
    "stacked": one lies on the other; `area` in mm2, `seam` its outline, `length` its perimeter.
    "fitted": one goes through an opening of the other and meets its edge along `seam`, at most
    `gap` apart; `length` is that of the seam.
    "corner": they meet only along an upright line (`length` 0), or along edges at one height.
    "overlap": they overlap in an `area`; one of them has to be trimmed.
    `angles` are the open angles in degrees between the faces at the start and end of the seam.
    `sides` are the pairs of sides that meet; `whole`: these meet along the full length of both.
    `id` is made of the ids of both parts and, from the second joint of a pair on, its number `nth`.
    """

    id: str
    a: str
    b: str
    nth: int
    kind: JointKind
    place: Point
    z_low: float
    z_high: float
    length: float = 0.0
    area: float = 0.0
    gap: float = 0.0
    angles: tuple[float, ...] = ()
    seam: tuple[Point, ...] = ()
    sides: tuple[tuple[int, int], ...] = ()
    whole: bool = False


class _Body(Struct, frozen=True, eq=False):
    """What joints need of a part: its edges on the table, their bounding box, its heights."""

    part: Part
    ring: tuple[Point, ...]
    edges: tuple[Edge, ...]
    box: Box
    convex: bool
    z_low: float
    z_high: float


def joints(parts: Sequence[Part], gap: float = GAP) -> tuple[Joint, ...]:
    """All joints between the parts, in part order; the same parts give the same tuple.

    Parts of different weldments are not joined, even if they touch.
    `gap` is the root gap in mm up to which faces still meet, in plan and in height.
    At most MOST_PAIRS pairs of parts are examined; `left_out` says so if there are more.
    """
    return _joints(Same(parts), gap)[0]


def left_out(parts: Sequence[Part], gap: float = GAP) -> bool:
    """True if so many pairs of parts meet that only the first MOST_PAIRS were examined."""
    return _joints(Same(parts), gap)[1]


@lru_cache(maxsize=16)
def _joints(key: Same[Sequence[Part]], gap: float) -> tuple[tuple[Joint, ...], bool]:
    parts = key.value
    if len(parts) < 2:
        return (), False
    bodies = [_body(Same(part)) for part in looked_at(parts, 20)]
    pairs = _near(bodies, gap)
    found = tuple(
        joint
        for i, j in looked_at(pairs[:MOST_PAIRS], 20)
        for joint in _between(Same(bodies[i]), Same(bodies[j]), gap)
    )
    return found, len(pairs) > MOST_PAIRS


def _near(bodies: Sequence[_Body], gap: float) -> list[tuple[int, int]]:
    """Pairs of bodies of one weldment whose boxes are at most the gap apart, in order.

    If there are more than MOST_PAIRS, only those of the first parts.
    """
    out = gap / 2.0
    left, front, right, back = np.array([b.box for b in bodies]).T
    wide = np.asarray(shapely.box(left - out, front - out, right + out, back + out))
    tree = shapely.STRtree(wide)
    low, high = np.array([(b.z_low, b.z_high) for b in bodies]).T
    numbers: dict[str, int] = {}
    of = np.array([numbers.setdefault(b.part.weldment, len(numbers)) for b in bodies])
    found: list[tuple[int, int]] = []
    for begin in range(0, len(bodies), _AT_ONCE):
        look()
        first, second = tree.query(wide[begin : begin + _AT_ONCE])
        first = first + begin
        level = (low[first] <= high[second] + gap) & (low[second] <= high[first] + gap)
        kept = level & (first < second) & (of[first] == of[second])
        found += sorted(zip(first[kept].tolist(), second[kept].tolist(), strict=True))
        if len(found) > MOST_PAIRS:
            break
    return found


@lru_cache(maxsize=_KEPT)
def _body(key: Same[Part]) -> _Body:
    part = key.value
    ring, sides = _fitted(part)
    bar = isinstance(part, Member) and len(ring) == 4
    if not bar and _twice_area(ring) < 0:
        count = len(ring)
        ring = ring[::-1]
        sides = tuple(sides[(count - 2 - k) % count] for k in range(count))
    edges = edges_of(ring, sides)
    convex = bar or all(
        e.ux * f.uy - e.uy * f.ux > -1e-9 for e, f in zip(edges, edges[1:] + edges[:1], strict=True)
    )
    return _Body(part, ring, edges, bounds(ring), convex, part.z_low, part.z_high)


def _fitted(part: Part) -> tuple[tuple[Point, ...], tuple[int, ...]]:
    """A part's plan with coped ends cut straight, and the original numbers of its sides."""
    straight = straightened(part)
    ring = part_ring(straight)
    if straight is part or not isinstance(part, Member) or not isinstance(straight, Member):
        return ring, tuple(range(len(ring)))
    if part.start.more or part.end.more:
        return ring, _nearest_sides(ring, part_ring(part))
    left, was_left = straight.mill_edges[1], part.mill_edges[1]
    sides = [min(k, was_left - 1) if k < left else was_left + k - left for k in range(len(ring))]
    return ring, tuple(sides)


def _nearest_sides(ring: Sequence[Point], original: Sequence[Point]) -> tuple[int, ...]:
    """For each side of a ring, the number of the original side that is nearest to its middle."""
    sides = [
        shapely.LineString((a, b))
        for a, b in zip(original, (*original[1:], original[0]), strict=True)
    ]
    middles = [
        shapely.Point((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)
    ]
    return tuple(int(np.argmin(shapely.distance(sides, middle))) for middle in middles)


def straightened(part: Part) -> Part:
    """The part with its coped ends cut straight at the side of the round they fit.

    That is where they meet it.  A part without copes is returned as it is.
    """
    if not isinstance(part, Member) or "cope" not in (part.start.kind, part.end.kind):
        return part
    return structs.replace(part, start=_straight(part.start), end=_straight(part.end))


def _straight(cut: EndCut) -> EndCut:
    return EndCut("mitre", cut.angle, more=cut.more) if cut.kind == "cope" else cut


def _twice_area(ring: Sequence[Point]) -> float:
    return sum(x * v - u * y for (x, y), (u, v) in zip(ring, [*ring[1:], ring[0]], strict=True))


@lru_cache(maxsize=_KEPT)
def _plan(key: Same[_Body]) -> BaseGeometry:
    body = key.value
    return without_openings(covered(body.ring), part_openings(body.part))


@lru_cache(maxsize=8192)
def _between(one: Same[_Body], other: Same[_Body], gap: float) -> tuple[Joint, ...]:
    """The joints of two parts, numbered along the part whose id comes first."""
    a, b = one.value, other.value
    low, high = max(a.z_low, b.z_low), min(a.z_high, b.z_high)
    apart = low - high  # at most the gap: pairs further apart were left out before
    if apart > -DEEP:
        middle = (low + high) / 2.0
        found = _stacked(one, other, middle, max(apart, 0.0), gap)
    else:
        found = _side_by_side(one, other, low, high, gap)
    return _numbered(a.part, b.part, found)


def _side_by_side(
    one: Same[_Body], other: Same[_Body], low: float, high: float, gap: float
) -> list[Joint]:
    """Joints of parts whose heights overlap."""
    a, b = one.value, other.value
    found = [_edge(a.part, b.part, seam, low, high) for seam in seams(a.edges, b.edges, gap)]
    if found and a.convex and b.convex:
        return found
    common = _common(one, other, DEEP)
    if common:
        return [_flat("overlap", a.part, b.part, piece, low, high) for piece in common]
    return found or _fitted_in(a, b, low, high, gap) or _corner(one, other, low, high, gap)


def _stacked(
    one: Same[_Body], other: Same[_Body], z: float, apart: float, gap: float
) -> list[Joint]:
    """Joints of parts where one ends at the height at which the other begins."""
    a, b = one.value, other.value
    common = _common(one, other, LEAST)
    if common:
        return [
            structs.replace(_flat("stacked", a.part, b.part, p, z, z), gap=apart) for p in common
        ]
    return [
        structs.replace(_edge(a.part, b.part, seam, z, z), kind="corner")
        for seam in seams(a.edges, b.edges, gap)
    ]


def _common(one: Same[_Body], other: Same[_Body], deep: float) -> list[shapely.Polygon]:
    """The common areas of two plans that are at least `deep` mm across."""
    if _shared(one.value.box, other.value.box) < deep:
        return []  # nothing that wide fits into what their boxes share
    a, b = _plan(one), _plan(other)
    if not a.intersects(b):
        return []
    pieces = shapely.get_parts(a.intersection(b)).tolist()
    return [piece for piece in pieces if isinstance(piece, shapely.Polygon) and _wide(piece, deep)]


def _shared(one: Box, other: Box) -> float:
    """The smaller side of what two bounding boxes have in common, mm; negative if nothing."""
    (left, front, right, back), (left_2, front_2, right_2, back_2) = one, other
    return min(min(right, right_2) - max(left, left_2), min(back, back_2) - max(front, front_2))


def _wide(piece: shapely.Polygon, deep: float) -> bool:
    """True if a circle of that diameter fits into an area.

    If r is the radius of the largest circle in an area without holes, the area is at most r times
    the length of its edge (B. Sz.-Nagy 1959, on inner parallel curves).  Most answers follow from
    that, without a buffer.
    """
    simple = shapely.get_num_interior_rings(piece) == 0
    if simple and piece.area > deep / 2.0 * piece.length:
        return True
    return not piece.buffer(-deep / 2.0, join_style="mitre").is_empty


def _edge(a: Part, b: Part, seam: Seam, low: float, high: float) -> Joint:
    return Joint(
        id=_pair(a.id, b.id),
        a=a.id,
        b=b.id,
        nth=0,
        kind="edge",
        place=_middle(seam.line),
        z_low=low,
        z_high=high,
        length=seam.length,
        gap=seam.gap,
        angles=seam.angles,
        seam=seam.line,
        sides=seam.sides,
        whole=seam.whole,
    )


def _flat(
    kind: JointKind, a: Part, b: Part, piece: shapely.Polygon, low: float, high: float
) -> Joint:
    return Joint(
        id=_pair(a.id, b.id),
        a=a.id,
        b=b.id,
        nth=0,
        kind=kind,
        place=(piece.centroid.x, piece.centroid.y),
        z_low=low,
        z_high=high,
        length=piece.exterior.length if kind == "stacked" else 0.0,
        area=piece.area,
        seam=tuple((x, y) for x, y in piece.exterior.coords),
    )


def _fitted_in(a: _Body, b: _Body, low: float, high: float, gap: float) -> list[Joint]:
    """Joints of a part that goes through an opening of the other."""
    met = [
        fit
        for inner, outer in ((a, b), (b, a))
        for fit in fits(inner.ring, part_openings(outer.part), gap)
    ]
    return [
        Joint(
            id=_pair(a.part.id, b.part.id),
            a=a.part.id,
            b=b.part.id,
            nth=0,
            kind="fitted",
            place=_middle(fit.line),
            z_low=low,
            z_high=high,
            length=fit.length,
            gap=fit.gap,
            seam=fit.line,
        )
        for fit in met
    ]


def _corner(
    one: Same[_Body], other: Same[_Body], low: float, high: float, gap: float
) -> list[Joint]:
    """Where two parts come within the gap of each other without faces that meet."""
    line = shapely.shortest_line(_plan(one), _plan(other))
    if line is None or line.length > gap:  # there is none from an outline that encloses nothing
        return []
    (ax, ay), (bx, by) = line.coords
    place = ((ax + bx) / 2.0, (ay + by) / 2.0)
    a, b = one.value.part.id, other.value.part.id
    return [Joint(_pair(a, b), a, b, 0, "corner", place, low, high, gap=line.length, seam=(place,))]


def _middle(line: Sequence[Point]) -> Point:
    """The point halfway along a line."""
    if len(line) == 2:
        (ax, ay), (bx, by) = line
        return ((ax + bx) / 2.0, (ay + by) / 2.0)
    half = shapely.LineString(line).interpolate(0.5, normalized=True)
    return (half.x, half.y)


def _numbered(a: Part, b: Part, found: list[Joint]) -> tuple[Joint, ...]:
    """The joints of two parts with their numbers and ids.

    They are counted along one of the parts, so that moving, turning or flipping both together does
    not change the numbers.
    """
    if len(found) < 2:
        return tuple(found)
    first = min(a, b, key=lambda part: part.id)
    frame = Pose(first.x, first.y, first.turn)

    def along(joint: Joint) -> tuple[float, float]:
        x, y = frame.back(joint.place)
        return (round(x, 3), round(abs(y), 3))

    stem = _pair(a.id, b.id)
    return tuple(
        structs.replace(joint, id=f"{stem}/{n}" if n else stem, nth=n)
        for n, joint in enumerate(sorted(found, key=along))
    )


def _pair(a: str, b: str) -> str:
    return f"{a}/{b}" if a < b else f"{b}/{a}"
