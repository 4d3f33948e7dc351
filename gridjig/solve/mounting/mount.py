"""The mount kernel: one solver for every piece, from pins in features to attainable poses.

It knows features, holes and play, but no particular piece.  Whether a hole may be used (not
blocked, not off the table) is decided elsewhere; here only whether the piece goes on.
"""

import math
from functools import lru_cache

from msgspec import structs

from gridjig.geometry import Pose
from gridjig.model import Seat, Table
from gridjig.rack import Piece, Point

from .faults import HolesDisagree, PieceFault
from .fit import Seating, prepare, too_far
from .leaf import mount_leaf
from .multipin import Stance, narrowed, settle, worst
from .pairs import PinFit, about
from .slot_pairs import SlotFits, linked_turn, slot_fits
from .track import EPS, Track, tidy
from .ways import LeafMounting, LeafWay, Link, Mounting, Way

__all__ = ["LeafMounting", "LeafWay", "Link", "Mounting", "Way", "mount", "mount_leaf"]

Ready = list[Seating]


def mount(
    table: Table,
    piece: Piece,
    seats: tuple[Seat, ...],
    pin_diameter: float,
    flipped: bool = False,
) -> Mounting:
    """All ways in which the base body goes onto pins in these holes.

    Seats of features on the second body are left to `mount_leaf`.  In every pose returned, each
    pinned feature is within play of its hole.
    """
    if flipped and not piece.flips:
        return Mounting((), PieceFault(piece.name, "never turned over"))
    leaf = {m.id for m in piece.mounts if m.body}
    base = tuple(s for s in seats if s.feature not in leaf) if leaf else seats
    if not base:
        return Mounting((), PieceFault(piece.name, "base in no hole"))
    ready = prepare(table, piece, base, pin_diameter, flipped)
    if not isinstance(ready, list):
        return Mounting((), ready)
    if len(ready) == 1:
        return Mounting((_single(ready, base, flipped),))
    first = next((k for k, s in enumerate(ready) if s.track.kind == "point"), None)
    if first is None:
        return _on_slots(table, ready, base, flipped)
    anchor = ready[first]
    others = ready[:first] + ready[first + 1 :]
    return _on_hole(table, anchor, others, base, flipped)


def _single(ready: Ready, seats: tuple[Seat, ...], flipped: bool) -> Way:
    only = ready[0]
    slides = only.track.kind != "point"
    return Way(
        seats=seats,
        kind="slides and turns" if slides else "turns",
        turn_low=-180.0,
        turn_high=180.0,
        slide_low=0.0,
        slide_high=only.track.length,
        play_mm=only.play,
        play_deg=0.0,
        flipped=flipped,
        anchor=(only.x, only.y),
        track=only.track,
    )


def _steps(table: Table, a: Seating, b: Seating) -> Point:
    """The vector from hole to hole in mm, from whole pitches, so that no rounding creeps in."""
    (c0, r0), (c1, r1) = a.seat.hole, b.seat.hole
    return ((c1 - c0) * table.pitch_x, (r1 - r0) * table.pitch_y)


def _shifted(a: Seating, b: Seating, v: Point, gap: float) -> Point:
    """Where the first feature lies when the pins share the gap in proportion to their play."""
    share = gap * (a.play / (a.play + b.play) if a.play + b.play > 0.0 else 0.5)
    distance = math.hypot(*v)
    return (a.x + v[0] / distance * share, a.y + v[1] / distance * share)


def _on_hole(
    table: Table,
    anchor: Seating,
    others: Ready,
    seats: tuple[Seat, ...],
    flipped: bool,
) -> Mounting:
    """Solves for the turn, the one unknown where a round hole or a shank is pinned."""
    px, py = anchor.track.x, anchor.track.y
    best: tuple[float, Point, Seating, list[PinFit]] | None = None
    rings: list[tuple[Seating, list[PinFit]]] = []
    for other in others:
        v = _steps(table, anchor, other)
        hits = about(px, py, other.track, *v, anchor.play + other.play)
        if not hits:
            return Mounting((), too_far(anchor, other))
        if hits[0].turn < hits[0].turn_high:
            rings.append((other, hits))
        elif best is None or math.hypot(*v) > best[0]:
            best = (math.hypot(*v), v, other, hits)
    play = max(s.play for s in (anchor, *others))
    if best is None:
        return _turning(table, anchor, rings, seats, flipped, play)
    _, v, other, hits = best
    slot = next((s for s in others if s.track.kind != "point"), None)
    ways: list[Way] = []
    for hit in hits:
        at = _shifted(anchor, other, v, hit.gap)
        turn, slide = hit.turn, 0.0 if slot is None else hit.slide
        if len(others) > 1:
            settled = settle(_stance(at, (px, py), turn), [anchor, *others])
            if settled is None:
                continue
            body = Pose(*settled)
            at, turn = body.point((px, py)), body.turn
            if slot is not None and slot is not other:
                slide = slot.track.nearest(*body.back((slot.x, slot.y)))
        pinned = Way(
            seats, "pinned", turn, turn, slide, slide, play, hit.swing, flipped, at, anchor.track
        )
        ways.append(pinned)
    return Mounting(tuple(ways), None if ways else HolesDisagree(len(seats)))


def _stance(at: Point, p: Point, turn: float) -> Stance:
    """Where the body stands with its point `p` at the table point `at`."""
    x, y = Pose(0.0, 0.0, turn).point(p)
    return (at[0] - x, at[1] - y, turn)


def _turning(
    table: Table,
    anchor: Seating,
    rings: list[tuple[Seating, list[PinFit]]],
    seats: tuple[Seat, ...],
    flipped: bool,
    play: float,
) -> Mounting:
    """All other pins run in arcs about the hole: the ranges of turn that all of them allow."""
    first, hits = rings[0]
    v = _steps(table, anchor, first)
    ranges = [(hits[0].turn, hits[0].turn_high)]
    for _, more in rings[1:]:
        ranges = _common(ranges, (more[0].turn, more[0].turn_high))
    at = _shifted(anchor, first, v, hits[0].gap)
    ways = tuple(
        Way(
            seats=seats,
            kind="turns",
            turn_low=low,
            turn_high=high,
            slide_low=0.0,
            slide_high=first.track.length,
            play_mm=play,
            play_deg=0.0,
            flipped=flipped,
            anchor=at,
            track=anchor.track,
            slot=first.track,
            slot_at=(first.x, first.y),
        )
        for low, high in ranges
    )
    fit = [
        w
        for w in ways
        if worst(
            _stance(at, (anchor.track.x, anchor.track.y), tidy((w.turn_low + w.turn_high) / 2.0)),
            [anchor, *(r[0] for r in rings)],
        )
        <= EPS
    ]
    return Mounting(tuple(fit), None if fit else HolesDisagree(len(seats)))


def _common(
    ranges: list[tuple[float, float]], other: tuple[float, float]
) -> list[tuple[float, float]]:
    """The parts of the ranges of turn that lie in the other range too, modulo a full turn."""
    found = []
    for low, high in ranges:
        for whole in (-360.0, 0.0, 360.0):
            a, b = max(low, other[0] + whole), min(high, other[1] + whole)
            if b > a:
                first = tidy(a)
                found.append((first, first + (b - a)))
    return found


def _on_slots(table: Table, ready: Ready, seats: tuple[Seat, ...], flipped: bool) -> Mounting:
    """Only slots are pinned: the first two leave a slide, which further pins narrow."""
    a, b, *others = ready
    v = _steps(table, a, b)
    ways: list[Way] = []
    play = max(s.play for s in ready)
    families = slot_fits(a.track, b.track, *v, a.play + b.play)
    for run in families:
        way = _sliding(a, b, v, run, seats, flipped, play)
        if not others:
            ways.append(way)
            continue
        for low, high in narrowed(way, others):
            turns = (way.turn_low, way.turn_high)
            if way.link is not None:
                turns = _turn_range(a, b, v, run, low, high)
            ways.append(_narrow(way, low, high, turns))
    if ways:
        return Mounting(tuple(ways))
    return Mounting((), HolesDisagree(len(seats)) if families else too_far(a, b))


def _sliding(
    a: Seating,
    b: Seating,
    v: Point,
    run: SlotFits,
    seats: tuple[Seat, ...],
    flipped: bool,
    play: float,
) -> Way:
    turns = (run.turn, run.turn)
    link = None
    if not run.straight:
        turns = _turn_range(a, b, v, run, run.low, run.high)
        link = Link(b.track, run.branch, *v)
    return Way(
        seats=seats,
        kind="slides" if run.high - run.low > EPS else "pinned",
        turn_low=turns[0],
        turn_high=turns[1],
        slide_low=run.low,
        slide_high=run.high,
        play_mm=play,
        play_deg=run.swing,
        flipped=flipped,
        anchor=_shifted(a, b, v, run.gap),
        track=a.track,
        link=link,
    )


def _turn_range(
    a: Seating, b: Seating, v: Point, run: SlotFits, low: float, high: float
) -> tuple[float, float]:
    """The range of turn of a linked family, unrolled."""
    ahead = math.degrees(math.atan2(v[1], v[0]))
    least, most = _turns_ahead(a.track, b.track, run.branch, (low, high), math.hypot(*v))
    first = tidy(least + ahead)
    return (first, first + (most - least))


@lru_cache(maxsize=4096)
def _turns_ahead(
    one: Track, other: Track, branch: int, slides: tuple[float, float], distance: float
) -> tuple[float, float]:
    """The least and the most turn with the second hole in direction 0, sampled in 32 steps."""
    low, high = slides
    last = linked_turn(one, other, branch, low, distance, 0.0)
    least = most = last
    for k in range(1, 33):
        now = linked_turn(one, other, branch, low + (high - low) * k / 32.0, distance, 0.0)
        last += tidy(now - last)
        least, most = min(least, last), max(most, last)
    return (least, most)


def _narrow(way: Way, low: float, high: float, turns: tuple[float, float]) -> Way:
    """The way with its slide narrowed."""
    return structs.replace(
        way,
        kind="slides" if high - low > EPS else "pinned",
        slide_low=low,
        slide_high=high,
        turn_low=turns[0],
        turn_high=turns[1],
    )
