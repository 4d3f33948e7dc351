"""Every way to hold a polygon with three round pins and a clamp on a lattice of holes.

After R. Brost and K. Goldberg, "A complete algorithm for designing planar fixtures using modular
components": the edges are set out by the radius of the pins, so that a pin is a point on an edge;
the pins' places follow from the distances that two edges allow, and the pose from three of them.
Nothing is tried at random and nothing is left out.
"""

from collections.abc import Iterator, Sequence
from itertools import combinations_with_replacement

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from gridjig.rack import Point
from gridjig.solve.grid.directions import BoolArray, FloatArray, IntArray
from gridjig.units.progress import look

EPS = 1e-9
"""Lengths and determinants that differ by less are the same, in pitches."""
_SAME = 6
"""Poses are compared after so many decimals."""
_ROWS = 200_000
"""How many pairs of pins are worked out at a time; that takes 50 MB."""


class LocatorSets(Struct, frozen=True, eq=False):
    """Three pins at a polygon: arrays with a row for each set, up to whole steps of the lattice.

    `edges` are the sides that the pins touch; the first pin is in the hole (0, 0), the other two in
    `second` and `third`, in steps of the lattice.  The polygon, turned by `turn` radians about its
    origin and moved by `shift`, touches all three.  `candidates` is how many triples of pins were
    worked out.
    """

    edges: IntArray
    second: IntArray
    third: IntArray
    turn: FloatArray
    shift: FloatArray
    candidates: int

    def __len__(self) -> int:
        return len(self.edges)

    def pins(self, pitch: Point) -> FloatArray:
        """Where the pins are, sets x 3 x 2, in the unit of the pitch."""
        first = np.zeros_like(self.second)
        steps = np.stack([first, self.second, self.third], axis=1)
        return np.asarray(steps * np.array(pitch))

    def some(self, keep: IntArray | BoolArray) -> "LocatorSets":
        """Some of the sets."""
        return LocatorSets(
            self.edges[keep], self.second[keep], self.third[keep], self.turn[keep],
            self.shift[keep], self.candidates,
        )  # fmt: skip


class ClampPlaces(Struct, frozen=True, eq=False):
    """Clamps that push along a row or column of holes: with which set, where, and which way.

    `axis` 0 is along x; `sign` is the way of the push.  `line` is the row or column, counted from
    that of the first pin.  `at` is where the clamp meets the work, `edge` at which side.
    """

    of: IntArray
    axis: IntArray
    sign: IntArray
    line: IntArray
    at: FloatArray
    edge: IntArray

    def __len__(self) -> int:
        return len(self.of)


class Outline:
    """A polygon, counter-clockwise, with its edges set out by the radius of the pins."""

    def __init__(self, corners: Sequence[Point], radius: float) -> None:
        self.corners = np.array(corners, dtype=np.float64)
        ends = np.roll(self.corners, -1, axis=0)
        along = ends - self.corners
        self.length = np.hypot(*along.T)
        self.tangent = along / self.length[:, None]
        self.normal = np.stack([self.tangent[:, 1], -self.tangent[:, 0]], axis=1)  # outward
        self.radius = radius
        self.a = self.corners + radius * self.normal
        self.b = ends + radius * self.normal
        self.off = np.einsum("ij,ij->i", self.normal, self.a)

    def between(self, i: int, j: int) -> tuple[float, float]:
        """The least and the greatest distance of two points on two edges that are set out."""
        p, q, r, s = self.a[i], self.b[i], self.a[j], self.b[j]
        ends = [float(np.hypot(*(x - y))) for x in (p, q) for y in (r, s)]
        near = [
            _to_segment(p, r, s), _to_segment(q, r, s), _to_segment(r, p, q), _to_segment(s, p, q),
        ]  # fmt: skip
        return (0.0 if i == j or _cross(p, q, r, s) else min(near), max(ends))


def _to_segment(p: FloatArray, a: FloatArray, b: FloatArray) -> float:
    along = b - a
    t = min(max(float((p - a) @ along / (along @ along)), 0.0), 1.0)
    return float(np.hypot(*(p - a - t * along)))


def _cross(p: FloatArray, q: FloatArray, r: FloatArray, s: FloatArray) -> bool:
    def side(a: FloatArray, b: FloatArray, c: FloatArray) -> float:
        return float((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]))

    return side(p, q, r) * side(p, q, s) < 0.0 and side(r, s, p) * side(r, s, q) < 0.0


def _steps(pitch: Point, low: float, high: float) -> IntArray:
    """The steps of the lattice that are so long, (0, 0) left out."""
    most = [int(high / p + EPS) for p in pitch]
    cols, rows = np.meshgrid(
        np.arange(-most[0], most[0] + 1), np.arange(-most[1], most[1] + 1), indexing="ij"
    )
    every = np.stack([cols.ravel(), rows.ravel()], axis=1)
    far = np.hypot(every[:, 0] * pitch[0], every[:, 1] * pitch[1])
    return np.asarray(every[(far > EPS) & (far >= low - EPS) & (far <= high + EPS)])


def triples(corners: Sequence[Point], radius: float, pitch: Point = (1.0, 1.0)) -> int:
    """How many triples of pins there are to look at, before the third distance is asked for."""
    outline, found = Outline(corners, radius), 0
    count = {
        (i, j): len(_steps(pitch, *outline.between(i, j)))
        for i, j in combinations_with_replacement(range(len(corners)), 2)
    }
    for a, b, c in combinations_with_replacement(range(len(corners)), 3):
        if not a == b == c:
            found += count[a, b] * count[a, c]
    return found


def locator_sets(corners: Sequence[Point], radius: float, pitch: Point = (1.0, 1.0)) -> LocatorSets:
    """Every set of three pins that a polygon can lie against, and the pose that it then has.

    `corners` counter-clockwise, not closed.  Raises Cancelled through `look`.
    """
    outline, shape = Outline(corners, radius), len(corners)
    found: list[LocatorSets] = []
    candidates = 0
    for edges in combinations_with_replacement(range(shape), 3):
        if len(set(edges)) == 1:
            continue
        for second, third in _pairs(outline, edges, pitch):
            look()
            candidates += len(second)
            made = _posed(outline, edges, second, third, pitch)
            kept = made.some(_touching(outline, made, pitch))
            if len(kept):
                found.append(kept)
    if not found:
        none = np.zeros((0, 3), dtype=np.int64)
        return LocatorSets(
            none, none[:, :2], none[:, :2], np.zeros(0), np.zeros((0, 2)), candidates
        )
    every = LocatorSets(
        np.concatenate([one.edges for one in found]),
        np.concatenate([one.second for one in found]),
        np.concatenate([one.third for one in found]),
        np.concatenate([one.turn for one in found]),
        np.concatenate([one.shift for one in found]),
        candidates,
    )
    return every.some(_once(every))


def _pairs(
    outline: Outline, edges: tuple[int, int, int], pitch: Point
) -> Iterator[tuple[IntArray, IntArray]]:
    """The places of the second and third pin that the distances of the edges allow."""
    a, b, c = edges
    twos = _steps(pitch, *outline.between(a, b))
    threes = _steps(pitch, *outline.between(a, c))
    low, high = outline.between(b, c)
    if not len(twos) or not len(threes):
        return
    each = max(_ROWS // len(threes), 1)
    for begin in range(0, len(twos), each):
        some = twos[begin : begin + each]
        apart = (threes[None] - some[:, None]) * np.array(pitch)
        far = np.hypot(apart[..., 0], apart[..., 1])
        i, j = np.nonzero((far > EPS) & (far >= low - EPS) & (far <= high + EPS))
        yield some[i], threes[j]


def _posed(
    outline: Outline,
    edges: tuple[int, int, int],
    second: IntArray,
    third: IntArray,
    pitch: Point,
) -> LocatorSets:
    """The poses in which three edges touch three pins: two for each triple, or none."""
    na, nb, nc = (outline.normal[k] for k in edges)
    ha, hb, hc = (outline.off[k] for k in edges)
    al, be, ga = (u[0] * v[1] - u[1] * v[0] for u, v in ((nb, nc), (nc, na), (na, nb)))
    two, three = second * np.array(pitch), third * np.array(pitch)
    nb_, nc_ = (np.array([-n[1], n[0]]) for n in (nb, nc))
    one_way = be * (two @ nb) + ga * (three @ nc)
    other = be * (two @ nb_) + ga * (three @ nc_)
    wanted = al * ha + be * hb + ga * hc
    size = np.hypot(one_way, other)
    none = max(abs(al), abs(be), abs(ga)) <= EPS
    good = (size > EPS) & (np.abs(wanted) <= size) if not none else np.zeros(len(two), dtype=bool)
    middle = np.arctan2(other[good], one_way[good])
    off = np.arccos(wanted / size[good])
    turn = np.concatenate([middle + off, middle - off])
    second, third = (np.concatenate([some[good]] * 2) for some in (second, third))
    c, s = np.cos(turn), np.sin(turn)

    def turned(n: FloatArray) -> FloatArray:
        return np.stack([c * n[0] - s * n[1], s * n[0] + c * n[1]], axis=1)

    # n . (pin - shift) = off, for two of the edges whose normals are least alike
    pins = [np.zeros((len(turn), 2)), second * np.array(pitch), third * np.array(pitch)]
    offs, normals = (ha, hb, hc), [turned(n) for n in (na, nb, nc)]
    crosses = {(1, 2): al, (2, 0): be, (0, 1): ga}
    i, j = max(crosses, key=lambda pair: abs(crosses[pair]))
    det = crosses[i, j] if not none else 1.0
    ri = np.einsum("ij,ij->i", normals[i], pins[i]) - offs[i]
    rj = np.einsum("ij,ij->i", normals[j], pins[j]) - offs[j]
    x = (ri * normals[j][:, 1] - rj * normals[i][:, 1]) / det
    y = (rj * normals[i][:, 0] - ri * normals[j][:, 0]) / det
    return LocatorSets(
        np.tile(np.array(edges), (len(turn), 1)), second, third, turn, np.stack([x, y], axis=1), 0
    )


def in_part(made: LocatorSets, points: FloatArray) -> FloatArray:
    """Points of the lattice, sets x n x 2, in the frame of the polygon of each set."""
    c, s = np.cos(made.turn)[:, None], np.sin(made.turn)[:, None]
    moved = points - made.shift[:, None, :]
    return np.stack(
        [c * moved[..., 0] + s * moved[..., 1], -s * moved[..., 0] + c * moved[..., 1]], axis=-1
    )


def _touching(outline: Outline, made: LocatorSets, pitch: Point) -> BoolArray:
    """Whether each pin lies on its edge, and no pin is nearer to the polygon than its radius."""
    own = in_part(made, made.pins(pitch))
    keep = np.ones(len(made), dtype=bool)
    for k in range(3):
        edge = made.edges[:, k]
        along = np.einsum("ij,ij->i", own[:, k] - outline.corners[edge], outline.tangent[edge])
        keep &= (along >= -EPS) & (along <= outline.length[edge] + EPS)
        keep &= _distance(outline, own[:, k]) >= outline.radius - 1e-7
    return keep


def _distance(outline: Outline, points: FloatArray) -> FloatArray:
    """How far points are from a polygon; negative inside it."""
    nearest = np.full(len(points), np.inf)
    inside = np.zeros(len(points), dtype=bool)
    for k in range(len(outline.corners)):
        a, b = outline.corners[k], outline.corners[(k + 1) % len(outline.corners)]
        from_a = points - a
        along = np.clip(from_a @ outline.tangent[k], 0.0, outline.length[k])
        nearest = np.minimum(nearest, np.hypot(*(from_a - along[:, None] * outline.tangent[k]).T))
        above = (a[1] > points[:, 1]) != (b[1] > points[:, 1])
        if a[1] != b[1]:
            crossing = a[0] + (points[:, 1] - a[1]) * (b[0] - a[0]) / (b[1] - a[1])
            inside ^= above & (points[:, 0] < crossing)
    return np.where(inside, -nearest, nearest)


def _once(every: LocatorSets) -> IntArray:
    """The first of those that are the same but for the order of their pins and whole steps."""
    steps = np.stack([np.zeros_like(every.second), every.second, every.third], axis=1)
    c = np.round(np.cos(every.turn), _SAME) + 0.0
    s = np.round(np.sin(every.turn), _SAME) + 0.0
    kept: dict[object, int] = {}
    for n, (edges, pins) in enumerate(zip(every.edges.tolist(), steps.tolist(), strict=True)):
        low = [min(p[0] for p in pins), min(p[1] for p in pins)]
        own = sorted((e, p[0] - low[0], p[1] - low[1]) for e, p in zip(edges, pins, strict=True))
        kept.setdefault((tuple(own), c[n], s[n]), n)
    return np.array(sorted(kept.values()), dtype=np.int64)


def wrench(outline: Outline, made: LocatorSets, pitch: Point) -> FloatArray:
    """How each pin pushes the polygon: sets x 3 x (force x, y, moment about the origin)."""
    pins = made.pins(pitch)
    c, s = np.cos(made.turn)[:, None], np.sin(made.turn)[:, None]
    n = -outline.normal[made.edges]
    nx, ny = c * n[..., 0] - s * n[..., 1], s * n[..., 0] + c * n[..., 1]
    x, y = pins[..., 0], pins[..., 1]
    return np.stack([nx, ny, x * ny - y * nx], axis=-1)


def clamp_places(
    corners: Sequence[Point], radius: float, made: LocatorSets, pitch: Point = (1.0, 1.0)
) -> ClampPlaces:
    """Every clamp that pushes along a row or column, first meets the work, and closes a set.

    It pushes square to the side that it meets, without friction; with the three pins it leaves the
    work no way to move.
    """
    outline = Outline(corners, radius)
    rows = wrench(outline, made, pitch)
    found: list[tuple[npt.NDArray[np.generic], ...]] = []
    c, s = np.cos(made.turn), np.sin(made.turn)
    posed = np.stack(
        [
            np.outer(c, outline.corners[:, 0]) - np.outer(s, outline.corners[:, 1]),
            np.outer(s, outline.corners[:, 0]) + np.outer(c, outline.corners[:, 1]),
        ],
        axis=-1,
    ) + made.shift[:, None, :]  # fmt: skip
    for axis in (0, 1):
        across = 1 - axis
        low = int(np.floor(posed[..., across].min(initial=0.0) / pitch[across]))
        high = int(np.ceil(posed[..., across].max(initial=0.0) / pitch[across]))
        for line in range(low, high + 1):
            look()
            at = _crossings(posed, axis, line * pitch[across])
            for sign in (1, -1):
                first = np.where(np.isnan(at), np.inf, at * sign)
                edge = np.argmin(first, axis=1)
                hit = np.isfinite(first[np.arange(len(made)), edge])
                found.append(_closing(outline, made, rows, hit, edge, at, axis, sign, line, pitch))
    if not found:
        none = np.zeros(0, dtype=np.int64)
        return ClampPlaces(none, none, none, none, np.zeros((0, 2)), none)
    of, axes, signs, lines, places, edges = (
        np.concatenate([one[k] for one in found]) for k in range(6)
    )
    order = np.argsort(of, kind="stable")
    return ClampPlaces(
        of[order].astype(np.int64), axes[order].astype(np.int64), signs[order].astype(np.int64),
        lines[order].astype(np.int64), places[order], edges[order].astype(np.int64),
    )  # fmt: skip


def _crossings(posed: FloatArray, axis: int, level: float) -> FloatArray:
    """Where a row or column crosses each side of each posed polygon; NaN where it does not."""
    a, b = posed, np.roll(posed, -1, axis=1)
    one, other = a[..., 1 - axis], b[..., 1 - axis]
    rise = other - one
    with np.errstate(divide="ignore", invalid="ignore"):
        t = (level - one) / rise
    at = a[..., axis] + t * (b[..., axis] - a[..., axis])
    return np.where((np.abs(rise) > EPS) & (t >= 0.0) & (t <= 1.0), at, np.nan)


def _closing(
    outline: Outline,
    made: LocatorSets,
    rows: FloatArray,
    hit: BoolArray,
    edge: IntArray,
    at: FloatArray,
    axis: int,
    sign: int,
    line: int,
    pitch: Point,
) -> tuple[npt.NDArray[np.generic], ...]:
    """The clamps of one row or column and way that close their sets."""
    which = np.nonzero(hit)[0]
    sides = edge[which]
    n = -outline.normal[sides]
    c, s = np.cos(made.turn[which]), np.sin(made.turn[which])
    nx, ny = c * n[:, 0] - s * n[:, 1], s * n[:, 0] + c * n[:, 1]
    place = np.zeros((len(which), 2))
    place[:, axis], place[:, 1 - axis] = at[which, sides], line * pitch[1 - axis]
    push = np.stack([nx, ny, place[:, 0] * ny - place[:, 1] * nx], axis=1)
    four = np.concatenate([rows[which], push[:, None]], axis=1)
    minors = np.stack(
        [
            (-1.0) ** k * np.linalg.det(np.delete(four, k, axis=1)) for k in range(4)
        ],
        axis=1,
    )  # fmt: skip
    closed = (minors > EPS).all(axis=1) | (minors < -EPS).all(axis=1)
    which, sides, place = which[closed], sides[closed], place[closed]
    ones = np.ones(len(which), dtype=np.int64)
    return (which, ones * axis, ones * sign, ones * line, place, sides)
