"""Moving a face of a piece together with the relief or chamfer at its corners.

Where two faces that are not parallel nearly meet, what the outline has between them is the relief
of the corner.  It keeps its shape and goes with the corner.  Lengths in mm.
"""

import math
from itertools import pairwise

from msgspec import structs

from gridjig.rack import Face, Piece, Point, Solid

from .stretch import SAME, apart, arrow

NEAR = 0.25
"""A corner is a relief if each face ends within this part of its length from where they meet."""


def face_shifted(piece: Piece, face: Face, normal: Point, by: float) -> Piece:
    """The piece with a face moved along its normal, and its corners and their reliefs with it."""
    shifts = {_key(p): (normal[0] * by, normal[1] * by) for p in (face.a, face.b)}
    for solid in piece.solids:
        if solid.body != face.body:
            continue
        for other in piece.faces:
            if other.body == face.body and other is not face:
                way = arrow(other.a, other.b)
                lean = way[0] * normal[0] + way[1] * normal[1]
                for corner in _reliefs(solid, face, other) if abs(lean) > 1e-6 else ():
                    shift = (way[0] * by / lean, way[1] * by / lean)
                    shifts |= {_key(p): shift for p in corner}

    def move(p: Point) -> Point:
        dx, dy = shifts.get(_key(p), (0.0, 0.0))
        return (round(p[0] + dx, 6) + 0.0, round(p[1] + dy, 6) + 0.0)

    def ring(s: Solid) -> Solid:
        return structs.replace(s, outline=tuple(map(move, s.outline)))

    def ends(f: Face) -> Face:
        return structs.replace(f, a=move(f.a), b=move(f.b))

    return structs.replace(
        piece,
        solids=tuple(ring(s) if s.body == face.body else s for s in piece.solids),
        faces=tuple(ends(f) if f.body == face.body else f for f in piece.faces),
    )


def _key(p: Point) -> tuple[int, int]:
    return (round(p[0] / SAME), round(p[1] / SAME))


def _reliefs(solid: Solid, face: Face, other: Face) -> list[list[Point]]:
    """The corners of an outline from an end of a face to the near end of another, ends included."""
    meets = _meeting(face, other)
    found: list[list[Point]] = []
    ring = list(solid.outline)
    keys = [_key(p) for p in ring]
    for start, first in ((face.b, other.a), (face.a, other.b)):
        if _key(start) not in keys or _key(first) not in keys:
            continue
        close = all(
            apart(meets, end) <= NEAR * apart(one.a, one.b)
            for one, end in ((face, start), (other, first))
        )
        if not close:
            continue
        i, j = keys.index(_key(start)), keys.index(_key(first))
        steps = [(i + k) % len(ring) for k in range(len(ring))]
        back = [(i - k) % len(ring) for k in range(len(ring))]
        runs = [[ring[k] for k in way[: way.index(j) + 1]] for way in (steps, back)]
        found.append(min(runs, key=_long))
    return found


def _long(points: list[Point]) -> float:
    return sum(apart(a, b) for a, b in pairwise(points))


def _meeting(face: Face, other: Face) -> Point:
    """Where the lines of two faces meet; infinitely far away if they are parallel."""
    u, v = arrow(face.a, face.b), arrow(other.a, other.b)
    cross = u[0] * v[1] - u[1] * v[0]
    if abs(cross) < 1e-9:
        return (math.inf, math.inf)
    dx, dy = other.a[0] - face.a[0], other.a[1] - face.a[1]
    t = (dx * v[1] - dy * v[0]) / cross
    return (face.a[0] + u[0] * t, face.a[1] + u[1] * t)
