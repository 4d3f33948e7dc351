"""Faces, rounds and pushing tips against the upright sides of parts: what meets what, how closely.

All features with the same range of heights are compared with all sides at once; only what is near
and in front is then examined one by one.
"""

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from gridjig.rack import Point

from .features import FaceFeature, RoundFeature
from .overlap import AREA
from .sides import Flags, Sides
from .values import TOUCH, Contact, Kind, Means, Vector

LOOKS = 0.02
"""A side faces a face if the cosine between their normals is below minus this: 1.1 degrees."""

LEAST = 0.05
"""A face meets a side over at least this length, mm; otherwise they pass each other."""


class Asked(NamedTuple):
    """The query: features of pieces against sides; `row` is the index of a feature's piece.

    `inside[row, part]` is True if the two are known to conflict.
    """

    ids: Sequence[str]
    parts: Sequence[str]
    inside: Flags
    within: float


class _Near(NamedTuple):
    """One face in front of one side, from `low` to `high` along the face; mm.

    `corner` is the side that begins at the part's nearest corner; -1 if an end of the face is
    nearer.
    """

    gap: float
    side: int
    corner: int
    low: float
    high: float
    gap_low: float
    gap_high: float
    parallel: bool


def face_contacts(
    asked: Asked, faces: Sequence[tuple[int, FaceFeature]], sides: Sides
) -> Iterator[tuple[int, Contact]]:
    """The contacts of faces, each with the row of its piece."""
    if not faces or not len(sides.ax):
        return
    found = _facing(asked, faces, sides)
    for index, near in sorted(found.items()):
        row, face = faces[index]
        near.sort(key=_first)
        for one in _seen(asked, row, face, near, sides):
            yield row, _face_contact(asked, row, face, one, sides)


def _first(one: _Near) -> tuple[float, bool, int]:
    """Sort key: nearest first, a face before the corner where it ends."""
    return (round(one.gap, 6), not one.parallel, one.side)


def _facing(
    asked: Asked, faces: Sequence[tuple[int, FaceFeature]], sides: Sides
) -> dict[int, list[_Near]]:
    """For each face (by index), the sides that face it within reach."""
    rows = np.array([row for row, _ in faces], dtype=np.int64)
    ax, ay, bx, by, mx, my, play = np.array([(*f.a, *f.b, *f.normal, f.play) for _, f in faces]).T
    long = np.hypot(bx - ax, by - ay)
    cosine = np.outer(mx, sides.ey) - np.outer(my, sides.ex)
    # The start of each side: its distance in front of the face, and along it.
    out = np.outer(mx, sides.ax) + np.outer(my, sides.ay) - (mx * ax + my * ay)[:, None]
    along = np.outer(-my, sides.ax) + np.outer(mx, sides.ay) - (mx * ay - my * ax)[:, None]
    # The sine of the angle from face to side: how fast the gap grows along the side.
    sine = np.outer(mx, sides.ex) + np.outer(my, sides.ey)
    last = along + cosine * sides.length
    low = np.maximum(last, 0.0)
    high = np.minimum(along, long[:, None])
    facing = (cosine < -LOOKS) & sides.live & (high - low > LEAST)
    i, j = np.nonzero(facing & (np.minimum(out, out + sine * sides.length) <= asked.within))
    if not len(i):
        return {}
    start, c = along[i, j], cosine[i, j]
    low, high, slope = low[i, j], high[i, j], sine[i, j] / c
    gap_low = out[i, j] + slope * (low - start)
    gap_high = out[i, j] + slope * (high - start)
    gap = np.minimum(gap_low, gap_high)
    inside = asked.inside[rows[i], sides.part[j]]
    width = np.minimum(high - low, -gap / np.maximum(np.abs(slope), 1e-9))  # of the overlap
    real = inside | (gap >= -TOUCH) | (width * -gap <= 4.0 * AREA)
    kept = np.flatnonzero(real & (gap <= asked.within))
    parallel = np.abs(sine[i, j]) <= np.sin(np.radians(play))[i]
    # The nearest corner of the part: where the side begins or ends, or none (-1).
    at_low = gap_low <= gap_high
    ends = np.where(last[i, j] >= 0.0, sides.after[j], -1)
    begins = np.where(start <= long[i], j, -1)
    corner = np.where(at_low, ends, begins)
    columns = (i, gap, j, corner, low, high, gap_low, gap_high, parallel)
    found: dict[int, list[_Near]] = {}
    for one, *values in zip(*(column[kept].tolist() for column in columns), strict=True):
        near = _Near(*values)
        if near.gap >= -TOUCH or _is_in(faces[one][1], near, sides):
            found.setdefault(one, []).append(near)
    return found


def _is_in(face: FaceFeature, near: _Near, sides: Sides) -> bool:
    """True if the middle of a face's stretch at that side is inside the part, not beyond it."""
    at = _place(near)
    middle = (near.low + near.high) / 2.0
    place = at + (middle - at) * 1e-3
    return sides.off_steel(near.side, _on(face, place)) < 0.0


def _on(face: FaceFeature, along: float, out: float = 0.0) -> Point:
    mx, my = face.normal
    return (
        face.a[0] - my * along + mx * out,
        face.a[1] + mx * along + my * out,
    )


def _seen(
    asked: Asked, row: int, face: FaceFeature, near: list[_Near], sides: Sides
) -> Iterator[_Near]:
    """What is in front, nearest first, without what something nearer hides.

    Everything that touches is seen, but each corner only once, and not where a face-to-face contact
    ends.  Of the sides of a part that are neither parallel nor touching, only the nearest counts.
    """
    free = [(0.0, math.dist(face.a, face.b))]
    met: set[int] = set()
    ends: list[tuple[int, float, float]] = []
    for one in near:
        part = sides.owners[one.side]
        if one.gap > TOUCH and not any(min(one.high, b) - max(one.low, a) > LEAST for a, b in free):
            continue
        free = [
            bit
            for a, b in free
            for bit in ((a, min(b, one.low)), (max(a, one.high), b))
            if bit[1] - bit[0] > LEAST
        ]
        if one.parallel:
            ends += [(part, one.low, one.gap_low), (part, one.high, one.gap_high)]
        elif (one.gap > TOUCH and part in met) or any(
            p == part and _at(one, at, gap) for p, at, gap in ends
        ):
            continue
        else:
            met.add(part)
            ends.append((part, _place(one), one.gap))
        yield one


def _place(one: _Near) -> float:
    """The position along the face where it is nearest."""
    return one.low if one.gap_low <= one.gap_high else one.high


def _at(one: _Near, at: float, gap: float) -> bool:
    """True if a corner is where a face-to-face contact ends."""
    return abs(_place(one) - at) <= LEAST and abs(one.gap - gap) <= LEAST


def _face_contact(asked: Asked, row: int, face: FaceFeature, one: _Near, sides: Sides) -> Contact:
    side = one.side
    _, _, ex, ey, _, low, high, flat, *_ = sides.rows[side]
    normal = (ey, -ex)
    gap = one.gap
    points: tuple[Point, ...]
    name = sides.faces[side]
    assert name is not None
    kind: Kind
    if one.parallel:
        points = (_on(face, one.low, one.gap_low), _on(face, one.high, one.gap_high))
        kind = _KINDS[face.word][0]
    else:
        points = (_on(face, _place(one), gap),)
        if one.corner >= 0:
            name, kind = sides.corners[one.corner], _KINDS[face.word][1]
            normal = (0.0 - face.normal[0], 0.0 - face.normal[1])
        else:
            kind = "corner on face" if face.word != "pad" else "pad on face"
    part = sides.owners[side]
    return Contact(
        asked.ids[row],
        face.id,
        asked.parts[part],
        name,
        kind,
        meaning(gap, bool(flat), bool(asked.inside[row, part])),
        gap,
        abs(one.gap_high - one.gap_low) if one.parallel else 0.0,
        one.high - one.low if one.parallel else 0.0,
        low,
        high,
        points,
        (normal[0] + 0.0, normal[1] + 0.0, 0.0),
    )


_KINDS: dict[str, tuple[Kind, Kind]] = {
    "face": ("face on face", "face on corner"),
    "V": ("V on face", "V on corner"),
    "pad": ("pad on face", "pad on corner"),
}


def meaning(gap: float, flat: bool, inside: bool) -> Means:
    """What a gap means: it is an overlap only if the two conflict."""
    if gap > TOUCH:
        return "gap"
    if gap < -TOUCH and inside:
        return "overlap"
    return "touches" if flat else "radius"


class _Foot(NamedTuple):
    """A round body in front of a side or, if `corner`, of the corner where the side begins."""

    gap: float
    side: int
    corner: bool
    point: Point
    normal: Point


def round_contacts(
    asked: Asked, rounds: Sequence[tuple[int, RoundFeature]], sides: Sides
) -> Iterator[tuple[int, Contact]]:
    """The contacts of round bodies, each with the row of its piece."""
    if not rounds or not len(sides.ax):
        return
    for index, feet in sorted(_feet(asked, rounds, sides).items()):
        row, body = rounds[index]
        feet.sort()
        for foot in _reached(asked, row, body, feet, sides):
            yield row, _round_contact(asked, row, body, foot, sides)


def _feet(
    asked: Asked, rounds: Sequence[tuple[int, RoundFeature]], sides: Sides
) -> dict[int, list[_Foot]]:
    rows = np.array([row for row, _ in rounds], dtype=np.int64)
    cx, cy, radius = np.array([(*r.centre, r.radius) for _, r in rounds]).T
    dx, dy = cx[:, None] - sides.ax, cy[:, None] - sides.ay
    along = dx * sides.ex + dy * sides.ey
    off = dx * sides.ey - dy * sides.ex
    gap = off - radius[:, None]
    beside = sides.live & (along >= 0.0) & (along <= sides.length) & (gap <= asked.within)
    inside = asked.inside[rows][:, sides.part]
    beside &= (off >= -TOUCH) | (inside & (off > -radius[:, None] - asked.within))
    far = np.hypot(dx, dy)
    px, py = sides.ex[sides.before], sides.ey[sides.before]
    past = (dx * px + dy * py >= 0.0) & (along < 0.0)
    convex = px * sides.ey - py * sides.ex > 0.0
    at_corner = past & convex & (far - radius[:, None] <= asked.within)
    at_corner |= past & ~convex & inside  # for a centre inside, a concave corner may be nearest
    found: dict[int, list[_Foot]] = {}
    for corner, mask in ((False, beside), (True, at_corner)):
        i, j = np.nonzero(mask)
        _add(found, rounds, sides, corner, i.tolist(), j.tolist())
    return found


def _add(
    found: dict[int, list[_Foot]],
    rounds: Sequence[tuple[int, RoundFeature]],
    sides: Sides,
    corner: bool,
    which: Sequence[int],
    where: Sequence[int],
) -> None:
    for i, j in zip(which, where, strict=True):
        (cx, cy), r = rounds[i][1].centre, rounds[i][1].radius
        ax, ay, ex, ey, *_ = sides.rows[j]
        dx, dy = cx - ax, cy - ay
        if corner:
            far = math.hypot(dx, dy)
            _, _, px, py, *_ = sides.rows[int(sides.before[j])]
            if px * ey - py * ex <= 0.0:
                if sides.off_steel(j, (cx, cy)) > 0.0:
                    continue
                far = -far
            normal = (dx / far, dy / far) if far else (ey, -ex)
            foot = _Foot(far - r, j, True, (ax, ay), normal)
        else:
            along, off = dx * ex + dy * ey, dx * ey - dy * ex
            if off < 0.0 and sides.off_steel(j, (cx, cy)) > 0.0:
                continue  # it is behind the part, not in it
            foot = _Foot(off - r, j, False, (ax + along * ex, ay + along * ey), (ey, -ex))
        found.setdefault(i, []).append(foot)


def _reached(
    asked: Asked, row: int, body: RoundFeature, feet: list[_Foot], sides: Sides
) -> Iterator[_Foot]:
    """Everything that touches; otherwise the nearest of each part that nothing nearer hides.

    If the centre is inside a part, that is the shortest way out of it.
    """
    out: dict[int, float] = {}
    for foot in feet:
        if foot.gap < -body.radius:
            out[sides.owners[foot.side]] = foot.gap  # they are sorted: the last is the least deep
    shown: set[int] = set()
    seen: list[int] = []
    for foot in feet:
        part = sides.owners[foot.side]
        if part in out and foot.gap != out[part]:
            continue
        if foot.gap > TOUCH and (part in shown or _hidden(body, foot, seen, sides)):
            continue
        shown.add(part)
        seen.append(foot.side)
        yield foot


def _hidden(body: RoundFeature, foot: _Foot, seen: Sequence[int], sides: Sides) -> bool:
    """True if the line to a foot passes through a prism that was met before."""
    own = int(sides.solid[foot.side])
    rings = {int(sides.solid[k]) for k in seen} - {own}
    return any(_crosses(body.centre, foot.point, sides.rings[k]) for k in rings)


def _crosses(p: Point, q: Point, ring: Sequence[Point]) -> bool:
    """True if the segment from p to q crosses a side of a ring."""
    return any(
        _turn(p, q, a) * _turn(p, q, b) < 0.0 and _turn(a, b, p) * _turn(a, b, q) < 0.0
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)
    )


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _round_contact(
    asked: Asked, row: int, body: RoundFeature, foot: _Foot, sides: Sides
) -> Contact:
    side = foot.side
    part = sides.owners[side]
    name = sides.corners[side] if foot.corner else sides.faces[side]
    assert name is not None
    _, _, _, _, _, low, high, flat, *_ = sides.rows[side]
    normal: Vector = (foot.normal[0] + 0.0, foot.normal[1] + 0.0, 0.0)
    return Contact(
        asked.ids[row],
        body.id,
        asked.parts[part],
        name,
        "round on corner" if foot.corner else "round on face",
        meaning(foot.gap, bool(flat), bool(asked.inside[row, part])),
        foot.gap,
        0.0,
        0.0,
        low,
        high,
        (foot.point,),
        normal,
    )
