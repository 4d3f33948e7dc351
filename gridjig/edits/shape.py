"""Changes of the free shape of a piece: its outlines with their heights, holes, openings, faces.

Only of its base; an arm's leaf is changed by its sizes.  Each gives a piece that can be made, with
its new mass, or raises ValueError with a sentence.
"""

import math
from collections.abc import Collection, Iterator, Sequence

from msgspec import Struct, structs

from gridjig.rack import Face, MountFeature, Piece, Point, RoundHole, Solid, StraightSlot

from .shape_text import Corners, area_of, typed_holes
from .stretch import SAME, apart, arrow
from .typed_sizes import reshaped

LEAST_EDGE = 3.0
"""The shortest straight edge, mm, that is offered as a locating face."""
_STRAIGHT = 1e-3  # off a line, mm
_BEND = math.cos(math.radians(20.0))  # chords of a curve turn by less, and
_ALIKE = 0.02  # differ in length by no more than this part


class ShapeEdge(Struct, frozen=True):
    """A straight edge of an outline that can locate work: a face, and whether it does.

    `solid` is the number of the outline; the face has the heights it has, or else the outline's.
    """

    face: Face
    solid: int
    on: bool

    @property
    def key(self) -> str:
        """What it is known by in a list."""
        return self.face.id

    @property
    def length(self) -> float:
        """Its length, mm."""
        return apart(self.face.a, self.face.b)

    @property
    def direction(self) -> float:
        """The direction that it faces, degrees."""
        x, y = arrow(self.face.a, self.face.b)
        return math.degrees(math.atan2(-x, y)) % 360.0


def outlines(piece: Piece) -> tuple[int, ...]:
    """The numbers of the solids of its base."""
    return tuple(k for k, solid in enumerate(piece.solids) if solid.body == 0)


def edges(piece: Piece) -> tuple[ShapeEdge, ...]:
    """The locating faces of the base, in their order, then every other straight edge."""
    faces = [f for f in piece.faces if f.body == 0]
    found = [ShapeEdge(face, _under(piece, face), True) for face in faces]
    taken = {face.id for face in piece.faces}
    for number in outlines(piece):
        solid = piece.solids[number]
        for a, b in _offered(solid):
            if any(_covers(face, a, b, solid) for face in faces):
                continue
            name = next(n for n in (f"edge-{k}" for k in range(1, 10_000)) if n not in taken)
            taken.add(name)
            found.append(ShapeEdge(Face(name, a, b, solid.z_low, solid.z_high), number, False))
    return tuple(found)


def _offered(solid: Solid) -> Iterator[tuple[Point, Point]]:
    """The edges of a solid that can be faces: long enough, and no chords of a curve."""
    for ring in rings_of(solid):
        runs = straight_runs(ring)
        for k, (a, b) in enumerate(runs):
            beside = (runs[k - 1], runs[(k + 1) % len(runs)])
            if apart(a, b) >= LEAST_EDGE and not any(_one_curve((a, b), two) for two in beside):
                yield a, b


def _one_curve(one: tuple[Point, Point], two: tuple[Point, Point]) -> bool:
    """True if two neighbouring edges look like chords of one arc."""
    (x, y), (u, v) = arrow(*one), arrow(*two)
    return (x * u + y * v) > _BEND and abs(apart(*one) / apart(*two) - 1.0) < _ALIKE


def rings_of(solid: Solid) -> tuple[Corners, ...]:
    """The outline and the openings of a solid, the steel on the left of each."""
    cut = (ring[::-1] if area_of(ring) > 0 else ring for ring in solid.openings)
    return (solid.outline, *cut)


def straight_runs(ring: Corners) -> list[tuple[Point, Point]]:
    """The straight edges of an outline, corners along an edge left out."""
    count = len(ring)
    corners = [k for k in range(count) if not _in_line(ring[k - 1], ring[k], ring[(k + 1) % count])]
    return [(ring[k], ring[n]) for k, n in zip(corners, corners[1:] + corners[:1], strict=True)]


def _in_line(a: Point, p: Point, b: Point) -> bool:
    if apart(a, p) < SAME or apart(p, b) < SAME:
        return apart(a, p) < SAME
    x, y = arrow(a, p)
    u, v = arrow(p, b)
    off = abs(x * v - y * u) * min(apart(a, p), apart(p, b))
    return off < _STRAIGHT and x * u + y * v > 0


def _covers(face: Face, a: Point, b: Point, solid: Solid) -> bool:
    """True if a face lies along an edge, at heights of its outline."""
    way, long = arrow(a, b), apart(a, b)
    for p in (face.a, face.b):
        dx, dy = p[0] - a[0], p[1] - a[1]
        along, off = dx * way[0] + dy * way[1], dx * way[1] - dy * way[0]
        if abs(off) > _STRAIGHT or not -SAME <= along <= long + SAME:
            return False
    return face.z_low < solid.z_high and face.z_high > solid.z_low


def _under(piece: Piece, face: Face) -> int:
    """The number of the outline that a face lies on over most of its height; the first if none."""

    def shared(number: int) -> float:
        solid = piece.solids[number]
        on = _on(face, solid)
        return min(face.z_high, solid.z_high) - max(face.z_low, solid.z_low) if on else 0.0

    return max(outlines(piece), key=shared, default=0)


# -- edits -----------------------------------------------------------------------------------------


def with_outline(piece: Piece, number: int, ring: Corners) -> Piece:
    """The piece with other corners of an outline.

    With as many corners as before, faces go with theirs; else a face stays if it still lies on an
    edge, and is gone if not.
    """
    return reshaped(piece, _outlined(piece, number, ring, piece.solids[number].openings))


def _outlined(piece: Piece, number: int, ring: Corners, rings: Sequence[Corners]) -> Piece:
    """The piece with other corners and openings of an outline, and with its faces that go along;
    not yet known to be one that can be made.
    """
    old = piece.solids[number]
    moved = {}
    if len(ring) == len(old.outline):
        moved = {_key(p): q for p, q in zip(old.outline, ring, strict=True)}
    solid = structs.replace(old, outline=ring, openings=tuple(rings))
    faces = [
        structs.replace(f, a=moved.get(_key(f.a), f.a), b=moved.get(_key(f.b), f.b))
        if f.body == 0 and _under(piece, f) == number
        else f
        for f in piece.faces
    ]
    made = structs.replace(_with_solid(piece, number, solid), faces=tuple(faces))
    return _with_faces_kept(piece, made, number)


def _with_faces_kept(before: Piece, made: Piece, number: int) -> Piece:
    """The piece that was made without the faces of an outline that are no longer on it."""
    kept = tuple(
        face
        for old, face in zip(before.faces, made.faces, strict=True)
        if old.body or _under(before, old) != number or _on(face, made.solids[number])
    )
    return structs.replace(made, faces=kept)


def _on(face: Face, solid: Solid) -> bool:
    """True if a face lies on a straight edge of a solid."""
    return apart(face.a, face.b) >= SAME and any(
        _covers(face, a, b, solid) for ring in rings_of(solid) for a, b in straight_runs(ring)
    )


def with_heights(piece: Piece, number: int, z_low: float, z_high: float) -> Piece:
    """The piece with an outline between other heights; faces of it that reached the old ones reach
    the new ones.
    """
    if z_high <= z_low:
        raise ValueError("The top must be higher than the underside.")
    old = piece.solids[number]

    def height(z: float) -> float:
        for before, after in ((old.z_low, z_low), (old.z_high, z_high)):
            if abs(z - before) < SAME:
                return after
        return min(max(z, z_low), z_high)

    faces = tuple(
        structs.replace(f, z_low=height(f.z_low), z_high=height(f.z_high))
        if f.body == 0 and _under(piece, f) == number
        else f
        for f in piece.faces
    )
    made = _with_solid(piece, number, structs.replace(old, z_low=z_low, z_high=z_high))
    return reshaped(piece, structs.replace(made, faces=faces))


def with_openings(piece: Piece, number: int, rings: Sequence[Corners]) -> Piece:
    """The piece with other openings in an outline."""
    solid = structs.replace(piece.solids[number], openings=tuple(rings))
    return reshaped(piece, _with_faces_kept(piece, _with_solid(piece, number, solid), number))


def with_outline_added(piece: Piece, size: float) -> tuple[Piece, int]:
    """The piece with one more outline, and its number: a square of that size, as high as it is
    wide, on top of the first outline at its lower left corner.
    """
    first = piece.solids[outlines(piece)[0]] if outlines(piece) else None
    corners = first.outline if first else ((0.0, 0.0),)
    x, y = min(p[0] for p in corners), min(p[1] for p in corners)
    floor = first.z_high if first else 0.0
    ring = ((x, y), (x + size, y), (x + size, y + size), (x, y + size))
    made = structs.replace(piece, solids=(*piece.solids, Solid(ring, floor, floor + size)))
    return reshaped(piece, made), len(piece.solids)


def without_outline(piece: Piece, number: int) -> Piece:
    """The piece without one of its outlines and the faces on it."""
    if len(outlines(piece)) < 2:
        raise ValueError("A piece needs at least one outline; change this one.")
    solids = tuple(s for k, s in enumerate(piece.solids) if k != number)
    kept = tuple(f for f in piece.faces if f.body or _under(piece, f) != number)
    return reshaped(piece, structs.replace(piece, solids=solids, faces=kept))


def with_holes(piece: Piece, old: Collection[MountFeature], new: Sequence[MountFeature]) -> Piece:
    """The piece with some of its mount features in place of others."""
    kept = [m for m in piece.mounts if m not in old]
    return reshaped(piece, structs.replace(piece, mounts=(*new, *kept)))


def with_shape(
    piece: Piece,
    number: int,
    ring: Corners,
    rings: Sequence[Corners],
    holes: Sequence[RoundHole | StraightSlot],
) -> Piece:
    """The piece with an outline, the openings in it and the typed holes changed at once.

    One by one they could not be: until the last is changed, a hole would lie beside the steel.
    Raises ValueError if a hole or an opening is not in steel even so.
    """
    old = typed_holes(piece.mounts)
    kept = [m for m in piece.mounts if m not in old]
    made = _outlined(piece, number, ring, rings)
    return reshaped(piece, structs.replace(made, mounts=(*holes, *kept)))


def with_faces(piece: Piece, keys: Sequence[str]) -> Piece:
    """The piece with the edges of these keys as its locating faces, in that order."""
    every = {edge.key: edge.face for edge in edges(piece)}
    faces = (*(every[key] for key in keys), *(f for f in piece.faces if f.body))
    return reshaped(piece, structs.replace(piece, faces=faces))


def with_face_heights(piece: Piece, key: str, z_low: float, z_high: float) -> Piece:
    """The piece with a locating face between other heights.

    Raises ValueError if it would be higher or lower than the outline that it is on.
    """
    if z_high <= z_low:
        raise ValueError("The top of a face must be higher than its lower edge.")
    edge = next(e for e in edges(piece) if e.key == key)
    solid = piece.solids[edge.solid]
    if z_low < solid.z_low - SAME or z_high > solid.z_high + SAME:
        raise ValueError("A face can be no lower and no higher than the outline that it is on.")
    faces = tuple(
        structs.replace(f, z_low=z_low, z_high=z_high) if f.id == key else f for f in piece.faces
    )
    return structs.replace(piece, faces=faces)


def _with_solid(piece: Piece, number: int, solid: Solid) -> Piece:
    return structs.replace(
        piece, solids=tuple(solid if k == number else s for k, s in enumerate(piece.solids))
    )


def _key(p: Point) -> tuple[int, int]:
    return (round(p[0] / SAME), round(p[1] / SAME))
