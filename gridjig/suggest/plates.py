"""Plates that could be cut for faces of the work that slope across the grid: a remedy, not a piece.

Only whether one would stand there and hold the face is answered; the plate itself is designed
where it is asked for.  It is reckoned as high as the middle of the part, as one with uprights is.
"""

import math
from collections.abc import Sequence
from copy import copy
from itertools import combinations

from msgspec import structs

from gridjig.contact.touching import to_touch
from gridjig.model import Hole, Job, Placement, Seat
from gridjig.rack import Face, Piece, Point, RoundHole, Solid
from gridjig.rack.pin_holes import pin_hole_ids
from gridjig.solve.weldment.faces import WorkFace
from gridjig.units.progress import look

from .demands import Demands
from .site import Atom, Site, direction, long_and_ends
from .stops import fits, holes_before, settled, spans_of
from .values import WhyKind

CUT = "to-cut-"
"""What the ids of such plates begin with."""
LEAST, MOST = 35.0, 1000.0
"""How long its edge may be, mm: for this, cutting limits are known."""
MARGIN = 1.5
"""The steel from the middle of a pin hole to a side, in hole diameters: common practice."""
DEEPEST = 3.0
"""How far from the face a pin hole may be, in pitches."""
THICK = 6.0
"""The usual thickness, mm: common practice."""
TRIED = 24
"""How many pairs of holes are tried for each edge, the farthest apart first."""
_SHORTER = ((0.0, 0.0), (0.2, 0.2), (0.4, 0.0), (0.0, 0.4))
"""By which shares of the free stretch an edge is made shorter at its ends."""


def plate_for(site: Site, face: WorkFace, kind: WhyKind = "long face") -> Piece | None:
    """Return a plate that would hold a face where it lies, as a piece of a rack.

    None for a face along the grid, where there are stops, or if none would stand there.
    """
    if face.axis is not None:
        return None
    spans = spans_of(site, face, kind)
    if not spans:
        return None
    low, high = max(spans, key=lambda one: round(one[1] - one[0], 3))
    for before, after in _SHORTER:
        start, end = low + before * (high - low), high - after * (high - low)
        if not LEAST <= end - start <= MOST:
            continue
        for holes in _pairs(site, face, start, end):
            look()
            piece = _piece(site, face, (start, end), holes)
            if _set(site, piece, face, kind, spans, holes) is not None:
                return piece
    return None


def _pairs(site: Site, face: WorkFace, start: float, end: float) -> list[tuple[Hole, Hole]]:
    """Free pairs of holes behind an edge, the farthest apart first, then those nearest to it."""
    table = site.job.table
    pitch = max(table.pitch_x, table.pitch_y)
    some = [
        (out, hole)
        for along, out, hole in holes_before(
            site, face, DEEPEST * pitch, pitch, pitch, MARGIN * table.hole_diameter
        )
        if start - pitch <= along <= end + pitch
    ]
    pairs = [
        (-round(math.dist(table.at(a), table.at(b)), 3), round(max(out, far), 3), a, b)
        for (out, a), (far, b) in combinations(some, 2)
    ]
    pairs.sort()
    return [(a, b) for _, _, a, b in pairs[:TRIED]]


def _piece(
    site: Site, face: WorkFace, edge: tuple[float, float], holes: tuple[Hole, Hole]
) -> Piece:
    """A plate with pin holes over two holes and an edge on a face, in a frame like the table's."""
    import shapely  # noqa: PLC0415 - late, as everywhere

    table, (ux, uy) = site.job.table, direction(face)
    (ox, oy), (px, py) = (table.at(hole) for hole in holes)

    def at(along: float) -> Point:
        return (face.a[0] + ux * along - ox, face.a[1] + uy * along - oy)

    a, b = at(edge[1]), at(edge[0])  # the work is on its right, as with every face of a piece
    mounts = ((0.0, 0.0), (px - ox, py - oy))
    margin = MARGIN * table.hole_diameter
    rounds = [shapely.Point(m).buffer(margin, quad_segs=4) for m in mounts]
    hull = shapely.convex_hull(shapely.union_all([shapely.LineString([a, b]), *rounds]))
    assert isinstance(hull, shapely.Polygon)
    ring = tuple((float(x), float(y)) for x, y in hull.exterior.coords[:-1])
    high = max(THICK, (face.z_low + face.z_high) / 2.0)
    pins = [p for p in site.job.rack.pieces if p.kind == "locking pin"]
    return Piece(
        id=f"{CUT}{site.job.parts.index(site.part(face.of.part)) + 1}-{face.of.side}",
        name="Cut plate",
        kind="other",
        solids=(Solid(ring, 0.0, high),),
        mounts=tuple(
            RoundHole(name, at, table.hole_diameter)
            for name, at in zip(pin_hole_ids(*mounts), mounts, strict=True)
        ),
        faces=(Face("edge", a, b, 0.0, high),),
        takes=tuple(p.id for p in pins if 0.0 < p.pin_diameter <= table.hole_diameter),
        owned=1,
    )


def _set(
    site: Site,
    piece: Piece,
    face: WorkFace,
    kind: WhyKind,
    spans: Sequence[tuple[float, float]],
    holes: tuple[Hole, Hole],
) -> Atom | None:
    """The plate in its holes, if it stands there and bears on the face."""
    there = copy(site)
    there.job = with_plates(site.job, [piece])
    seats = tuple(Seat(m.id, hole) for m, hole in zip(piece.mounts, holes, strict=True))
    made = to_touch(there.job, Placement(id="new", piece=piece.id, seats=seats), face.of, site.used)
    return settled(there, made.placement, made, kind, face, spans) if fits(made) else None


def with_plates(job: Job, plates: Sequence[Piece]) -> Job:
    """The job with such plates in its rack."""
    return structs.replace(job, rack=structs.replace(job.rack, pieces=(*job.rack.pieces, *plates)))


def plates_for(site: Site, asked: Demands) -> list[Piece]:
    """Return a plate for each sloping part whose long faces no two stops, pins or arm can hold, and
    for each whose ends nothing can stop.
    """
    found: dict[str, Piece] = {}
    for group in asked.groups:
        if group.kind in ("long face", "end") and all(option.lacks for option in group.options):
            plate = plate_of(site, group.part, group.kind)
            if plate is not None:
                found[plate.id] = plate
    return list(found.values())


def plate_of(site: Site, part: str, kind: WhyKind = "long face") -> Piece | None:
    """Return a plate that would hold a long face or an end of a part; None if there is none."""
    long, ends = long_and_ends(site.part(part), site.faces[part])
    some = sorted(ends if kind == "end" else long, key=lambda face: not face.outer)
    every = (plate_for(site, face, kind) for face in some)
    return next((plate for plate in every if plate is not None), None)
