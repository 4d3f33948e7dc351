"""Stops, pins and turned stops that can be set against a face of the work."""

import math
from collections.abc import Iterator, Sequence
from itertools import combinations_with_replacement

from msgspec import structs

from gridjig.contact.setting import Touching
from gridjig.contact.touching import to_touch
from gridjig.contact.values import TOUCH
from gridjig.model import Hole, Member, Placement, Seat
from gridjig.rack import Piece
from gridjig.solve.layout.remainders import grid_along, left_before
from gridjig.solve.packing.stops import Stop, holes_of, stops
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.placed.solver import solve_placement
from gridjig.solve.weldment.faces import WorkFace
from gridjig.units.progress import look

from .site import Atom, Site, direction
from .values import WhyKind

OPEN_MOST = 0.5
"""The gap that may stay open in front of a packed piece, mm: less than the thinnest shim."""
TILT = TOUCH
"""What a flat face may gape at one end of where it meets the work, mm: both ends touch."""
BEARS = 12.0
"""The least of a locating face that must bear, mm, or all of it if it is narrower."""
PLACES = 4
"""How many places along a face are considered from each of its ends."""
PACKED_MOST = 60.0
"""A pin is packed by up to this, mm."""

MEETS = 12.0
"""The least height over which a stop meets the work, mm, or half of the lower of the two."""
RAISED_MOST = 2
"""The most risers under a stop: a higher one tips (common practice, no source)."""

Span = tuple[float, float]
BeforeFace = tuple[float, float, Hole]
"""A place along a face, the distance from it, and the hole that is there."""


def spans_of(site: Site, face: WorkFace, kind: str) -> list[Span]:
    """The stretches of a face where a contact may be, clear of the welds if there is room."""
    clear = site.job.shop.weld_clear if kind == "long face" else 0.0
    for by in (clear, clear / 2.0, 0.0):
        found = [one for one in face.room(by) if one[1] - one[0] > min(BEARS, face.length / 2.0)]
        if found:
            return found
    return []


def bearing(spans: Sequence[Span], low: float, high: float) -> Span | None:
    """Where a piece bears on a face from `low` to `high`; None if on too little of it."""
    best: Span | None = None
    for a, b in spans:
        common = (max(a, low), min(b, high))
        if common[1] - common[0] < min(BEARS, high - low, b - a) - 1e-6:
            continue
        if best is None or common[1] - common[0] > best[1] - best[0]:
            best = common
    return best


def along_grid(site: Site, face: WorkFace, kind: str, spans: Sequence[Span]) -> Iterator[Atom]:
    """Stops and pins with a face along the grid."""
    job, axis = site.job, face.axis
    assert axis is not None
    first, pitch = grid_along(job.table, axis)
    looks = (-face.sign, 0) if axis == "x" else (0, -face.sign)
    for stop in stops(job.rack):
        piece = job.rack.piece(stop.piece)
        lift = raised_to(site, face, stop.z_low, stop.z_high)
        if site.left(piece) < 1 or lift is None:
            continue
        left = left_before(face.at, face.sign, stop.face, first, pitch)
        nearest = round((face.at + face.sign * (stop.face + left) - first) / pitch)
        for line in (nearest, nearest + face.sign):
            fronts = _fronts(site, face, stop, line)
            made = list(_along(site, face, kind, stop, lift, fronts, spans, looks))
            yield from made
            if made:
                break


def raised_to(site: Site, face: WorkFace, z_low: float, z_high: float) -> tuple[str, ...] | None:
    """The risers under a piece whose locating face is at these heights, so that it meets the work.

    The fewest that the rack has left; none if it meets the work as it is; None if there are none.
    """
    deep = min(MEETS, (face.z_high - face.z_low) / 2.0, (z_high - z_low) / 2.0)
    if min(z_high, face.z_high) - max(z_low, face.z_low) >= deep - TOUCH:
        return ()
    loose = [p for p in site.job.rack.risers if site.left(p) > 0]
    for many in range(1, RAISED_MOST + 1):
        look()
        fits = [
            (abs((z_low + z_high - face.z_low - face.z_high) / 2.0 + up), some)
            for some in combinations_with_replacement(loose, many)
            if (up := sum(p.thickness for p in some)) + z_low < face.z_high - deep + TOUCH
            and up + z_high > face.z_low + deep - TOUCH
            and all(some.count(p) <= site.left(p) for p in some)
        ]
        if fits:
            best = min(fits, key=lambda one: one[0])[1]
            return tuple(p.id for p in sorted(best, key=lambda p: -p.thickness))
    return None


def _fronts(site: Site, face: WorkFace, stop: Stop, line: int) -> list[tuple[float, Hole]]:
    """The holes of a row or column in front of a face, with the place along it."""
    table, (ux, uy) = site.job.table, direction(face)
    across = table.rows if face.axis == "x" else table.columns
    found = []
    for n in range(across):
        hole = Hole(line, n) if face.axis == "x" else Hole(n, line)
        x, y = table.at(hole)
        along = (x - face.a[0]) * ux + (y - face.a[1]) * uy
        if -2.0 * stop.half <= along <= face.length + 2.0 * stop.half and site.free(hole):
            found.append((along, hole))
    return found


def _spread(some: Sequence[tuple[float, Hole]]) -> list[tuple[float, Hole]]:
    """The places nearest to both ends, and the one nearest to the middle."""
    order = sorted(some)
    if len(order) <= 2 * PLACES:
        return order
    middle = order[len(order) // 2]
    return [*order[:PLACES], middle, *order[-PLACES:]]


def _along(
    site: Site,
    face: WorkFace,
    kind: str,
    stop: Stop,
    lift: tuple[str, ...],
    fronts: Sequence[tuple[float, Hole]],
    spans: Sequence[Span],
    looks: tuple[int, int],
) -> Iterator[Atom]:
    """One kind of stop in each of some holes; its setting is worked out once for a line of them."""
    piece = site.job.rack.piece(stop.piece)
    known: Touching | None = None
    first = 0.0
    for along, front in sorted(fronts, key=lambda one: abs(one[0] - face.length / 2.0)):
        seats = _seats(site, piece, stop, front, looks)
        if seats is None:
            continue
        placement = Placement(
            id="new", piece=piece.id, seats=seats, turn=looking(piece, face), lift=lift
        )
        known = _set(site, placement, face, front)
        if known.contact is not None:
            first = along
            break
        known = None
    if known is None or not fits(known):
        return
    known = structs.replace(known, placement=structs.replace(known.placement, seats=seats))
    there = solve_placement(site.job.table, site.job.rack, known.placement)
    low, high = extent(there, face)
    good = [
        (place, front)
        for place, front in fronts
        if bearing(spans, place + low - first, place + high - first) is not None
    ]
    for _, front in _spread(good):
        seats = _seats(site, piece, stop, front, looks)
        if seats is not None:
            placement = structs.replace(known.placement, seats=seats)
            atom = settled(site, placement, known, kind, face, spans)
            if atom is not None:
                yield atom


def _set(site: Site, placement: Placement, face: WorkFace, front: Hole) -> Touching:
    """How a stop in its holes is set to touch a face along the grid; kept for equal distances."""
    table, part = site.job.table, site.part(face.of.part)
    x, y = table.at(front)
    off = (x - face.a[0]) * face.normal[0] + (y - face.a[1]) * face.normal[1]
    pitch = table.pitch_x if face.axis == "x" else table.pitch_y
    shape: tuple[object, ...] = (part.z_low, part.z_high)
    if isinstance(part, Member):
        shape = (part.section, part.measured, part.way_up, part.mirrored, *shape, face.of.side)
    seats = (placement.piece, placement.lift, len(placement.seats))
    key = (*seats, round(off, 6), pitch, *shape)
    known = site.known.get(key)
    if known is None:
        known = to_touch(site.job, placement, face.of, site.used)
        if known.contact is not None:
            site.known[key] = known
        return known
    return structs.replace(
        known,
        placement=structs.replace(known.placement, seats=placement.seats, turn=placement.turn),
    )


def fits(one: Touching) -> bool:
    """True if it lies flat against the work, or leaves less open there than the thinnest shim."""
    if one.contact is None or one.contact.kind not in _FLAT or abs(one.contact.tilt) > TILT:
        return False
    return one.touches or (one.stands and one.gap <= OPEN_MOST)


_FLAT = ("face on face", "round on face", "V on face")


def settled(
    site: Site,
    placement: Placement,
    how: Touching,
    kind: str,
    face: WorkFace,
    spans: Sequence[Span],
) -> Atom | None:
    """A setting as an atom, if it can stand there and bears clear of the welds.

    A gap that stays open is accepted; a stop that turns on one pin is clamped by hand.
    """
    if how.gap > TOUCH:
        placement = structs.replace(placement, accepted_gap=math.ceil(how.gap * 100.0) / 100.0)
    here = site.standing(placement)
    if here is None or here.way is None:
        return None
    if here.faces and here.way.turn_low < here.way.turn_high and not placement.clamped_by_hand:
        placement = structs.replace(placement, clamped_by_hand=True)
        here = structs.replace(here, placement=placement)
    on = bearing(spans, *extent(here, face))
    if on is None:
        return None
    (ux, uy), (x, y), along = direction(face), face.a, (on[0] + on[1]) / 2.0
    at = (x + ux * along, y + uy * along)
    what: WhyKind = "end" if kind == "end" else "long face"
    made = site.atom(here, face.of.part, what, at, max(how.gap, 0.0), face.of.side)
    return structs.replace(made, bears=on[1] - on[0])


def extent(here: PlacedPiece, face: WorkFace) -> Span:
    """From where to where along a face the locating face of a piece lies, or its round bears."""
    (ux, uy), (x0, y0) = direction(face), face.a
    if here.faces:
        (nx, ny) = face.normal
        one = min(  # of several, the one that looks at the work from nearest
            here.faces,
            key=lambda f: (
                round(f.normal[0] * nx + f.normal[1] * ny, 3),
                abs((f.a[0] - x0) * nx + (f.a[1] - y0) * ny),
            ),
        )
        ends = [(x - x0) * ux + (y - y0) * uy for x, y in (one.a, one.b)]
        return (min(ends), max(ends))
    x, y = here.rounds[0].centre
    along = (x - x0) * ux + (y - y0) * uy
    return (along, along)


def _seats(
    site: Site, piece: Piece, stop: Stop, front: Hole, looks: tuple[int, int]
) -> tuple[Seat, ...] | None:
    """The seats of a stop with its front hole there; None if a hole is not free."""
    holes = holes_of(site.job.table, stop, front, looks)
    if not all(map(site.free, holes)):
        return None
    names = [mount.id for mount in piece.mounts]
    features = names if stop.other else [names[0]] * len(holes)
    return tuple(Seat(f, hole) for f, hole in zip(features, holes, strict=True))


def looking(piece: Piece, face: WorkFace, number: int = 0, flipped: bool = False) -> float:
    """The turn at which a face of a piece, by its number, looks at a face of the work, degrees."""
    wanted = math.degrees(math.atan2(-face.normal[1], -face.normal[0]))
    if not piece.faces:
        return math.remainder(wanted, 360.0) + 0.0
    (ax, ay), (bx, by) = piece.faces[number].a, piece.faces[number].b
    own = math.degrees(math.atan2(ax - bx, by - ay)) * (-1.0 if flipped else 1.0)
    return math.remainder(wanted - own, 360.0) + 0.0


def on_one_pin(site: Site, face: WorkFace, kind: str, spans: Sequence[Span]) -> Iterator[Atom]:
    """Pins with packing, and stops that turn on one pin, before a face that slopes."""
    for stop in stops(site.job.rack):
        piece = site.job.rack.piece(stop.piece)
        lift = raised_to(site, face, stop.z_low, stop.z_high)
        if site.left(piece) < 1 or lift is None:
            continue
        if not piece.rounds and (len(piece.mounts) > 1):
            continue
        reach = stop.face + (stop.slot if stop.slot else PACKED_MOST)
        near = [
            (along, out, hole)
            for along, out, hole in holes_before(site, face, reach)
            if out >= stop.face - TOUCH
            and bearing(spans, along - stop.half, along + stop.half) is not None
        ]
        near.sort()
        for _, out, hole in both_ends(near, PLACES):
            seat = Seat(piece.mounts[0].id, hole)
            placement = Placement(
                id="new", piece=piece.id, seats=(seat,), turn=looking(piece, face), lift=lift,
                slide=max(out - stop.face, 0.0) if stop.slot else 0.0,
                clamped_by_hand=not piece.rounds,
            )  # fmt: skip
            made = to_touch(site.job, placement, face.of, site.used)
            if fits(made):
                atom = settled(site, made.placement, made, kind, face, spans)
                if atom is not None:
                    yield atom


def both_ends(some: Sequence[BeforeFace], most: int) -> list[BeforeFace]:
    """The first and the last so many."""
    return list(some) if len(some) <= 2 * most else [*some[:most], *some[-most:]]


def holes_before(
    site: Site,
    face: WorkFace,
    reach: float,
    before: float = 0.0,
    after: float = 0.0,
    least: float = 0.0,
) -> Iterator[BeforeFace]:
    """Free holes in front of a face, from so far before it to so far after it, and more than
    `least` from its line; mm.
    """
    table, (ux, uy), (nx, ny) = site.job.table, direction(face), face.normal
    (ax, ay), (bx, by) = face.a, face.b
    ends = ((ax - ux * before, ay - uy * before), (bx + ux * after, by + uy * after))
    corners = [(x + nx * off, y + ny * off) for x, y in ends for off in (least, reach)]
    xs, ys = [p[0] for p in corners], [p[1] for p in corners]
    low, high = table.nearest(min(xs), min(ys)), table.nearest(max(xs), max(ys))
    for col in range(low.col - 1, high.col + 2):
        for row in range(low.row - 1, high.row + 2):
            hole = Hole(col, row)
            if not site.free(hole):
                continue
            x, y = table.at(hole)
            along = (x - ax) * ux + (y - ay) * uy
            out = (x - ax) * nx + (y - ay) * ny
            if -before <= along <= face.length + after and least < out <= reach:
                yield along, out, hole
