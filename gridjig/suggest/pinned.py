"""A single part held by three pins and a clamp: every way there is, the most exact first.

The enumeration (`lattice`) is complete for one size of pin; what it finds is set out on the table
near where the part lies, so that each can be proved like any other set-up.
"""

import math
from collections.abc import Iterator

import numpy as np
from msgspec import Struct, structs

from gridjig.contact.touching import to_touch
from gridjig.edits.weldment import middle, move, turn
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import FaceOf, Hole, Job, Part, Placement, Seat
from gridjig.rack import Piece, Point
from gridjig.solve.grid.directions import FloatArray
from gridjig.solve.packing.stops import stop_of
from gridjig.solve.weldment.faces import WorkFace
from gridjig.units import format_measure, format_percent
from gridjig.units.progress import Progress

from .clamping import clamp_atoms, clamps_reach
from .lattice import (
    ClampPlaces,
    LocatorSets,
    Outline,
    clamp_places,
    locator_sets,
    triples,
    wrench,
)
from .lies import Lie
from .rigid import on_holes, seats_at
from .site import Atom, Site, direction
from .stops import looking, raised_to
from .values import Weights, Wishes

MOST_TRIPLES = 900_000
"""The most triples of pins that are worked out for a part: some 2 s."""
TRIED = 60
"""How many of the best are set out on the table, at 30 ms each."""
PLACES = 9
"""How many whole pitches to either side are searched for free holes."""
SQUARE = math.cos(math.radians(10.0))
"""A pad that pushes at a side further from square than this slides along it (common practice)."""
EXACT = 2.0
"""The error, against that of a pin, at which three pins count as far apart as they can be."""


class Pinned(Struct, frozen=True, eq=False):
    """A part on three pins with a clamp, set out on the table.

    `error` is how far a corner of the part is out at most if each pin is out by 1; `reaction` is
    the most that a pin bears of the clamp's push, 0 for one that presses down.  `cost` is what it
    costs by the weights that the pins are not further apart.
    """

    lie: Lie
    site: Site
    atoms: tuple[Atom, ...]
    error: float
    reaction: float
    cost: float


class _Ranked(Struct, frozen=True, eq=False):
    sets: LocatorSets
    clamps: ClampPlaces
    error: FloatArray
    reaction: FloatArray
    cost: FloatArray
    order: list[int]


def too_many(job: Job, wishes: Wishes) -> bool:
    """True if a single part is too large for all ways to be worked out."""
    part = _single(job, wishes)
    pin = None if part is None else _pin(job, part)
    if part is None or pin is None:
        return False
    return triples(_corners(job, part), pin.rounds[0].radius, _pitch(job)) > MOST_TRIPLES


def pinned(job: Job, wishes: Wishes, progress: Progress) -> Iterator[Pinned]:
    """Yield set-ups of a single part on three pins, the cheapest by the weights first.

    Nothing for several parts, a part with a coped end, a rack without three equal pins, or a part
    that is `too_many`.
    """
    part = _single(job, wishes)
    pin = None if part is None else _pin(job, part)
    if part is None or pin is None or too_many(job, wishes) or not clamps_reach(job, part):
        return
    bare = structs.replace(job, placements=())
    corners, radius, pitch = _corners(job, part), pin.rounds[0].radius, _pitch(job)
    progress.report(0, None, "Trying pins")
    sets = locator_sets(corners, radius, pitch)
    clamps = clamp_places(corners, radius, sets, pitch)
    ranked = _ranked(Outline(corners, radius), sets, clamps, pitch, wishes.weights)
    for number in progress.each(ranked.order[:TRIED], "Trying pins"):
        made = _set_out(bare, wishes, part, pin, ranked, number)
        if made is not None:
            yield made


def _single(job: Job, wishes: Wishes) -> Part | None:
    if len(job.parts) != 1 or wishes.keep or not wishes.move:
        return None
    (part,) = job.parts
    straight = {face.of.side for face in Site(job, Wishes()).faces[part.id]}
    return part if straight == set(range(len(part_ring(part)))) and part.z_low < 1e-6 else None


def _pin(job: Job, part: Part) -> Piece | None:
    """The thickest pin of which there are three, and that meets the part as it stands."""
    pins = [
        p
        for p in job.rack.pieces
        if p.kind == "pin" and len(p.rounds) == 1 and len(p.mounts) == 1 and p.owned >= 3
        and stop_of(p) is not None
        and min(p.rounds[0].z_high, part.z_high) - max(p.rounds[0].z_low, part.z_low) > 1.0
    ]  # fmt: skip
    return max(pins, key=lambda p: p.rounds[0].radius, default=None)


def _pitch(job: Job) -> Point:
    return (job.table.pitch_x, job.table.pitch_y)


def _corners(job: Job, part: Part) -> list[Point]:
    """The corners of a part about the middle of its box."""
    x, y = middle(job)
    return [(px - x, py - y) for px, py in part_ring(part)]


def errors(outline: Outline, sets: LocatorSets, pitch: Point) -> FloatArray:
    """How far a corner is out at most if each pin is out by 1, for each set."""
    rows = wrench(outline, sets, pitch)
    back = np.linalg.inv(rows)
    c, s = np.cos(sets.turn), np.sin(sets.turn)
    worst = np.zeros(len(sets))
    for x, y in outline.corners:
        px, py = c * x - s * y + sets.shift[:, 0], s * x + c * y + sets.shift[:, 1]
        dx = back[:, 0] - py[:, None] * back[:, 2]
        dy = back[:, 1] + px[:, None] * back[:, 2]
        signs = np.array([(1.0, a, b) for a in (1.0, -1.0) for b in (1.0, -1.0)])
        out = np.hypot(dx @ signs.T, dy @ signs.T)
        worst = np.maximum(worst, out.max(axis=1, initial=0.0))
    return worst


def reactions(outline: Outline, sets: LocatorSets, clamps: ClampPlaces, pitch: Point) -> FloatArray:
    """The most that a pin bears of the push of a clamp, for each clamp."""
    rows = wrench(outline, sets, pitch)[clamps.of]
    n = -outline.normal[clamps.edge]
    c, s = np.cos(sets.turn[clamps.of]), np.sin(sets.turn[clamps.of])
    nx, ny = c * n[:, 0] - s * n[:, 1], s * n[:, 0] + c * n[:, 1]
    push = np.stack([nx, ny, clamps.at[:, 0] * ny - clamps.at[:, 1] * nx], axis=1)
    borne = np.linalg.solve(np.swapaxes(rows, 1, 2), -push[..., None])[..., 0]
    return np.asarray(borne.max(axis=1, initial=0.0))


def _ranked(
    outline: Outline, sets: LocatorSets, clamps: ClampPlaces, pitch: Point, weights: Weights
) -> _Ranked:
    """The clamped sets by cost, then by error, reaction, and how far the work is turned."""
    error, reaction = errors(outline, sets, pitch), reactions(outline, sets, clamps, pitch)
    off = np.abs(sets.turn - np.round(sets.turn / (np.pi / 2.0)) * (np.pi / 2.0))
    spread = np.minimum(1.0, EXACT / np.maximum(error, EXACT))
    cost = weights.spacing * (1.0 - spread)
    lying = cost + weights.askew * (off > 1e-4)
    turned = np.abs(np.arctan2(np.sin(sets.turn), np.cos(sets.turn)))
    of = clamps.of
    order = np.lexsort(
        (turned[of].round(3), reaction.round(2), error[of].round(2), lying[of].round(2))
    )
    seen: set[object] = set()
    kept: list[int] = []
    for n in order.tolist():  # the best clamp of each way of standing
        k = int(of[n])
        way = (
            tuple(sorted(sets.edges[k].tolist())),
            round(float(error[k]), 2),
            int(clamps.edge[n]),
        )
        if way not in seen:
            seen.add(way)
            kept.append(n)
    return _Ranked(sets, clamps, error, reaction, cost, kept)


def _set_out(
    bare: Job, wishes: Wishes, part: Part, pin: Piece, ranked: _Ranked, number: int
) -> Pinned | None:
    """A clamped set on the table, as near as can be to where the work lies now."""
    sets, k = ranked.sets, int(ranked.clamps.of[number])
    x, y = middle(bare)
    by = math.degrees(float(sets.turn[k]))
    quarter = round(by / 90.0) * 90.0
    by = float(quarter if abs(by - quarter) < 1e-7 else by) % 360.0
    turned = turn(bare, by, (x, y))
    steps = [(0, 0), *(tuple(map(int, some[k])) for some in (sets.second, sets.third))]
    sx, sy = (float(v) for v in sets.shift[k])
    for first in _firsts(bare, turned, (x - sx, y - sy)):
        holes = [Hole(first.col + dc, first.row + dr) for dc, dr in steps]
        hx, hy = bare.table.at(first)
        shift = (sx + hx - x, sy + hy - y)
        lie = Lie(move(turned, *shift), shift, by)
        site = Site(lie.job, wishes)
        if not all(map(site.free, holes)):
            continue
        pins = list(_pins(site, part, pin, holes, sets.edges[k].tolist()))
        clamp = _clamp(site, part, ranked.clamps, number, first) if len(pins) == 3 else None
        if clamp is None:
            continue
        error, pushes = float(ranked.error[k]), clamp.side >= 0
        reaction = float(ranked.reaction[number]) if pushes else 0.0
        told = [structs.replace(pin, because=_far(bare, error)) for pin in pins]
        if pushes:
            most = f"No pin bears more than {format_percent(reaction, at_most=True)} of its push."
            clamp = structs.replace(clamp, because=most)
        return Pinned(lie, site, (*told, clamp), error, reaction, float(ranked.cost[k]))
    return None


OUT = 0.1
"""How far a pin is taken to be out where that is put into words, mm."""


def _far(job: Job, error: float) -> str:
    """What the three pins come to, in words."""
    out, far = (format_measure(v, job.display) for v in (OUT, OUT * error))
    return f"If each of the three pins is out by {out}, no corner is out by more than {far}."


def _firsts(bare: Job, turned: Job, at: Point) -> Iterator[Hole]:
    """The holes for the first pin with all of the part on the table, those near a point first."""
    table, middle_now = bare.table, bare.table.nearest(*at)
    x0, y0, x1, y1 = bounds(part_ring(turned.parts[0]))
    some = [
        Hole(middle_now.col + dc, middle_now.row + dr)
        for dc in range(-PLACES, PLACES + 1)
        for dr in range(-PLACES, PLACES + 1)
    ]
    some.sort(key=lambda hole: (round(math.dist(table.at(hole), at), 3), hole))
    for hole in some[: 4 * PLACES]:
        dx, dy = (a - b for a, b in zip(table.at(hole), at, strict=True))
        if x0 + dx >= 0.0 and y0 + dy >= 0.0 and x1 + dx <= table.width and y1 + dy <= table.depth:
            yield hole


def _face(site: Site, part: Part, side: int) -> WorkFace:
    return next(face for face in site.faces[part.id] if face.of == FaceOf(part.id, side))


def _pins(
    site: Site, part: Part, pin: Piece, holes: list[Hole], edges: list[int]
) -> Iterator[Atom]:
    """The three pins, each at its side of the part."""
    for hole, side in zip(holes, edges, strict=True):
        face = _face(site, part, side)
        placement = Placement(
            id="new", piece=pin.id, seats=(Seat(pin.mounts[0].id, hole),), turn=looking(pin, face)
        )
        made = to_touch(site.job, placement, face.of, site.used)
        here = site.standing(made.placement) if made.touches else None
        if here is not None:
            (ux, uy), (x, y) = direction(face), here.rounds[0].centre
            along = (x - face.a[0]) * ux + (y - face.a[1]) * uy
            at = (face.a[0] + ux * along, face.a[1] + uy * along)
            yield site.atom(here, part.id, "long face", at, 0.0, side)


def _clamp(site: Site, part: Part, clamps: ClampPlaces, number: int, first: Hole) -> Atom | None:
    """A push clamp in the row or column, if its pad lies flat there; else one that presses down."""
    face = _face(site, part, int(clamps.edge[number]))
    axis, sign, line = (int(some[number]) for some in (clamps.axis, clamps.sign, clamps.line))
    table = site.job.table
    out = -sign  # from the work to the clamp
    square = face.normal[axis] * out >= SQUARE
    x, y = table.at(first)
    at = (x + float(clamps.at[number][0]), y + float(clamps.at[number][1]))
    for piece in site.job.rack.pieces:
        tip = piece.tip
        if tip is None or tip.push != "along" or site.left(piece) < 1 or not square:
            continue
        wanted = (0.0 if sign > 0 else 180.0) if axis == 0 else (90.0 if sign > 0 else -90.0)
        turn_by = math.remainder(wanted - tip.direction, 360.0) + 0.0
        steps = on_holes(table, piece, turn_by)
        lift = raised_to(site, face, tip.z_low, tip.z_high)
        if steps is None or lift is None:
            continue
        pitch = table.pitch_x if axis == 0 else table.pitch_y
        near = table.nearest(*at)
        for n in range(int(tip.reach_max / pitch) + 2):
            hole = (
                Hole(near.col + out * n, first.row + line)
                if axis == 0
                else Hole(first.col + line, near.row + out * n)
            )
            hx, hy = table.at(hole)
            reach = ((hx - at[0]) if axis == 0 else (hy - at[1])) * out
            if not tip.reach_min <= reach <= tip.reach_max:
                continue
            placement = Placement(
                id="new", piece=piece.id, seats=seats_at(piece, hole, steps), turn=turn_by,
                reach=reach, lift=lift,
            )  # fmt: skip
            made = to_touch(site.job, placement, face.of)
            here = site.standing(made.placement) if made.touches else None
            if here is not None and here.tip is not None:
                return site.atom(here, part.id, "clamp", here.tip.at, 0.0, face.of.side)
    return next(iter(clamp_atoms(site, part, ())), None)
