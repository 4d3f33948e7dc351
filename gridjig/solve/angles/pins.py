"""Lines made by two pins: the pins of the rack, and the answers of two equal ones.

Geometry (tangents to circles, as in any textbook): a line tangent to two discs of radii r1, r2 on
the same side, with centres d apart in the direction v, runs at dir(v) + asin((r2 - r1)/d) with the
discs on its right, at dir(v) - asin((r2 - r1)/d) with the discs on its left.  A shim adds to r.
"""

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from functools import lru_cache

import numpy as np
from msgspec import Struct

from gridjig.geometry import wrap
from gridjig.model import Hole, Table
from gridjig.rack import Piece, Rack, RoundHole, Shank
from gridjig.rack.same import Same
from gridjig.solve.grid.directions import BoolArray, off, window
from gridjig.solve.mounting.fit import radial_play
from gridjig.units.progress import look

from .answers import AngleAnswer, AngleWay, AnswerPiece
from .task import AngleTask, Batch, order, put_up, ranks

TOUCH = 1e-3
"""Pins whose bodies are closer than this (mm) touch each other."""


class Pin(Struct, frozen=True):
    """A piece with a round body about its only hole or shank, placed in a table hole.

    `radius` and radial `play` are in mm; `locking` is the id of its locking pin, if any.
    """

    piece: str
    feature: str
    radius: float
    z_low: float
    z_high: float
    play: float
    locking: str


class PinPair(Struct, frozen=True):
    """The pins in the first and the second hole; `pieces` are all pieces they take."""

    first: Pin
    second: Pin

    @property
    def pieces(self) -> tuple[str, ...]:
        """The ids of all pieces, each as often as it is needed."""
        both = (self.first.piece, self.second.piece, self.first.locking, self.second.locking)
        return tuple(p for p in both if p)

    @property
    def needs(self) -> Counter[str]:
        """The pieces, counted."""
        return Counter(self.pieces)


def pin_of(table: Table, rack: Rack, piece: Piece) -> list[Pin]:
    """Return the pins a piece can serve as: one per concentric round body, if it fits a hole."""
    if len(piece.mounts) != 1 or not isinstance(piece.mounts[0], RoundHole | Shank):
        return []
    mount = piece.mounts[0]
    locking = ""
    diameter = 0.0
    if isinstance(mount, RoundHole):
        held = next((p for p in piece.takes if rack.find(p) is not None), None)
        if held is None:
            return []
        locking, diameter = held, rack.piece(held).pin_diameter
    play = radial_play(table, None, mount, diameter)
    if play < 0:
        return []
    return [
        Pin(piece.id, mount.id, r.radius, r.z_low, r.z_high, play, locking)
        for r in piece.rounds
        if math.dist(r.centre, mount.at) < TOUCH
    ]


@lru_cache(maxsize=16)
def _pins(table: Same[Table], rack: Same[Rack]) -> tuple[Pin, ...]:
    return tuple(
        pin for piece in rack.value.pieces for pin in pin_of(table.value, rack.value, piece)
    )


def pins_of(task: AngleTask) -> tuple[Pin, ...]:
    """Return every pin of the rack that fits the table's holes."""
    return _pins(Same(task.table), Same(task.rack))


def alike(task: AngleTask) -> PinPair | None:
    """Return two pins of one size: the first size of which the rack has two left, or the first.

    Two different pieces of the same size will do.  Return None if there are none, or if none are
    left and only what is left may be used.
    """
    found = next(each_alike(task), None)
    if found is None and not task.limits.only_left:
        found = next((PinPair(pin, pin) for pin in pins_of(task)), None)
    return found


def each_alike(task: AngleTask) -> Iterator[PinPair]:
    """Yield two pins of each size of which the rack has two left, as `alike` chooses them."""
    pins = pins_of(task)
    radii = np.array([pin.radius for pin in pins])
    known: list[float] = []
    for i, a in enumerate(pins):
        look()
        if any(abs(a.radius - one) < TOUCH for one in known):
            continue
        for j in np.flatnonzero(np.abs(radii[i:] - a.radius) < TOUCH).tolist():
            pair = PinPair(a, pins[i + j])
            if level(a, pair.second) and _has(task, pair):
                known.append(a.radius)
                yield pair
                break


def sign(task: AngleTask) -> float:
    """Return +1 with the pins on the right of the line, -1 on its left."""
    return 1.0 if task.limits.side == "right" else -1.0


def level(a: Pin, b: Pin) -> bool:
    """True if there is a height at which a straight face can touch both."""
    return min(a.z_high, b.z_high) > max(a.z_low, b.z_low)


def _has(task: AngleTask, pair: PinPair) -> bool:
    return all(task.left(task.pieces[p]) >= n for p, n in pair.needs.items())


def on_rack(task: AngleTask, pins: Sequence[Pin]) -> BoolArray:
    """Return for each two pins whether the rack still has both, with their locking pins."""
    numbers = {piece: k for k, piece in enumerate(task.pieces)}
    left = np.array([task.left(piece) for piece in task.pieces.values()], dtype=np.int64)
    piece = np.array([numbers[pin.piece] for pin in pins], dtype=np.int64)
    locking = np.array([numbers.get(pin.locking, -1) for pin in pins], dtype=np.int64)
    both = np.ones((len(pins), len(pins)), dtype=np.bool_)
    for start in range(0, len(pins), _ROWS):
        look()
        rows = slice(start, start + _ROWS)
        one = (piece[rows, None], locking[rows, None], piece[None, :], locking[None, :])
        for wanted in one:
            count = sum(np.equal(wanted, other).astype(np.int64) for other in one)
            both[rows] &= (wanted < 0) | (left[wanted] >= count)
    return both


_ROWS = 256
"""So many pins are counted with all the others at a time."""


def same_side(radius_1: float, radius_2: float, apart: float) -> float:
    """Return the angle between a line with both pins on one side and their centre line, degrees."""
    return math.degrees(math.asin((radius_1 - radius_2) / apart))


def crossing(radius_1: float, radius_2: float, apart: float) -> float:
    """Return the angle between a line passing between two pins and their centre line, degrees."""
    return math.degrees(math.asin((radius_1 + radius_2) / apart))


# -- two equal pins ------------------------------------------------------------------------------


def equal_pins(task: AngleTask) -> Batch | None:
    """Return the answers of two equal pins: each direction once, its longest step in the limits.

    It works without pins on the rack too, as any two equal pins will do.  Return None if only what
    is left may be taken and no two equal pins are left.
    """
    limits = task.limits
    pair = alike(task)
    if pair is None and limits.only_left:
        return None
    apart = 2 * pair.first.radius + TOUCH if pair else 0.0
    table = task.field.pairs(max(limits.base_from, apart), limits.base_to)
    count = limits.top
    near, settled = window(table.angle, task.angle, count), False
    while not settled:
        q = ranks(off(table.angle[near], task.angle), limits.leg)
        settled = near.size == table.angle.size or bool(q[-1] > q[limits.top - 1])
        if not settled:
            count *= 2
            near = window(table.angle, task.angle, count)
    error = off(table.angle[near], task.angle)
    base = table.base[near]
    zero = np.zeros(near.size)
    pieces = np.full(near.size, len(pair.pieces) if pair else 2)
    chosen = order(error, zero, base, pieces, limits.leg)[: limits.top]

    low = max(limits.base_from, apart) - 1e-3

    def build(i: int) -> AngleAnswer:
        at = int(near[chosen[i]])
        m, n = _along(task, int(table.across[at]), int(table.up[at]))
        times = int(table.times[at])
        one = float(table.base[at]) / times
        k = np.arange(times, max(math.ceil(low / one), 1) - 1, -1)
        k = k[task.field.count(m // times * k, n // times * k) > 0]
        return two_pins(
            task,
            "pins",
            pair,
            float(error[chosen[i]]),
            (m, n),
            multiples=tuple((m // times * t, n // times * t) for t in k.tolist()),
        )

    return Batch(
        "pins", error[chosen], zero[chosen], base[chosen], pieces[chosen], build, table.angle.size
    )


def _along(task: AngleTask, m: int, n: int) -> tuple[int, int]:
    """The steps, reversed if they run against the wanted direction."""
    t = math.radians(task.angle)
    g = task.field.grid
    along = m * g.pitch_x * math.cos(t) + n * g.pitch_y * math.sin(t)
    return (-m, -n) if along < 0 else (m, n)


def two_pins(
    task: AngleTask,
    way: AngleWay,
    pair: PinPair | None,
    error: float,
    steps: tuple[int, int],
    *,
    multiples: tuple[tuple[int, int], ...] = (),
    holes: tuple[Hole, Hole] | None = None,
    shims: tuple[float, float] = (0.0, 0.0),
    packs: tuple[tuple[str, ...], tuple[str, ...]] = ((), ()),
    facing: tuple[float, float] | None = None,
) -> AngleAnswer:
    """Return the answer of two pins `steps` apart, in any place or in these holes only.

    `facing` is the direction in which each pin's packing faces, degrees; by default square to the
    line.
    """
    m, n = steps
    g = task.field.grid
    base = math.hypot(m * g.pitch_x, n * g.pitch_y)
    both = (pair.first, pair.second) if pair else ()
    play = sum(p.play for p in both)
    square = wrap(task.angle + error + 90.0 * sign(task))  # from the pin to the line
    looks = facing or (square, square)
    return put_up(
        task,
        way,
        error=error,
        setting=0.0,
        play=math.degrees(math.asin(min(1.0, play / base))),
        base=base,
        holes=holes or task.field.place(m, n, task.limits.near),
        steps=steps,
        line=tuple(p.radius + s for p, s in zip(both, shims, strict=False)),
        standing=tuple(
            AnswerPiece(p.piece, ((p.feature, i),), packs[i], turn=looks[i] if packs[i] else 0.0)
            for i, p in enumerate(both)
        ),
        needs=(*(pair.pieces if pair else ()), *packs[0], *packs[1]),
        places=1 if holes else int(task.field.count(np.array([m]), np.array([n]))[0]),
        fixed=holes is not None,
        shims=shims,
        multiples=multiples,
        set_how=None if pair else "any equal pins",
    )
