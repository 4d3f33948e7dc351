"""Pins along a member's face where it lies, each packed out to the face with the rack's shims.

The face does not move, so every hole beside it has its own gap to fill, and an answer is valid
only for its two holes.  Packing is rounded down: one shim too many would stand in the work.
"""

import math
from typing import NamedTuple

import numpy as np
from msgspec import structs

from gridjig.geometry import wrap
from gridjig.solve.grid.directions import BoolArray, FloatArray, IntArray
from gridjig.solve.packing.pack import ROUNDING
from gridjig.solve.packing.stacks import MOST
from gridjig.units.progress import look

from .answers import NEAR_ENOUGH, AlongFace, AngleAnswer, AngleWay, PinSide
from .beside import OPEN_MOST, Beside, Packs, beside_face, packs_of
from .hole_field import holes_within, within
from .pins import TOUCH, Pin, PinPair, on_rack, pins_of, sign, two_pins
from .task import AngleTask, Batch, levels

_OTHER: dict[PinSide, PinSide] = {"right": "left", "left": "right"}


class Pairs(NamedTuple):
    """Pairs of pins as columns, in order along the line: rows of the two `Beside`, the stacks that
    both can have at once, and how they hold.

    `base` is in mm; `aside` is how far the second is to the left of the wanted direction, mm.
    """

    one: IntArray
    two: IntArray
    first: IntArray
    second: IntArray
    base: FloatArray
    aside: FloatArray

    def pick(self, chosen: BoolArray) -> "Pairs":
        """Return the chosen pairs."""
        one, two, first, second = (v[chosen] for v in self[:4])
        return Pairs(one, two, first, second, self.base[chosen], self.aside[chosen])


def _shared(
    packs: Packs, first: IntArray, second: IntArray, gap: FloatArray, gap_2: FloatArray
) -> tuple[IntArray, IntArray]:
    """The stacks that two pins can have at once for these gaps in mm: of the two ways to share, the
    one that leaves less open in total, and if equal the more even one.
    """
    if packs.rest is None:
        return first, second
    total = packs.every.total
    ways = ((first, packs.rest[first, second]), (packs.rest[second, first], second))
    made = [total[a] + total[b] for a, b in ways]
    uneven = [np.abs(gap - total[a] - gap_2 + total[b]) for a, b in ways]
    more = made[0] - made[1]
    keep = (more > ROUNDING) | ((np.abs(more) <= ROUNDING) & (uneven[0] <= uneven[1]))
    return np.where(keep, first, ways[1][0]), np.where(keep, ways[0][1], second)


def _pairs(
    task: AngleTask, packs: Packs, a: Beside, b: Beside, one: IntArray, two: IntArray
) -> Pairs:
    """Pairs of rows from two sides that can stand together, within the limits."""
    dx, dy = b.x[two] - a.x[one], b.y[two] - a.y[one]
    t = math.radians(task.angle)
    aside, base = dy * math.cos(t) - dx * math.sin(t), np.hypot(dx, dy)
    first, second = _shared(packs, a.stack[one], b.stack[two], a.gap[one], b.gap[two])
    total = packs.every.total
    look()
    keep = within(base, task.limits.base_from, task.limits.base_to)
    keep &= base > a.radius[one] + b.radius[two] + TOUCH
    keep &= a.gap[one] - total[first] <= OPEN_MOST
    keep &= b.gap[two] - total[second] <= OPEN_MOST
    return Pairs(one, two, first, second, base, aside).pick(keep)


def _has_both(task: AngleTask, pins: tuple[Pin, ...]) -> BoolArray:
    """For each two pins, whether the rack has both, if only what is left may be taken."""
    if not task.limits.only_left:
        return np.ones((len(pins), len(pins)), dtype=np.bool_)
    return on_rack(task, pins)


def held_by_pins(task: AngleTask, along: AlongFace) -> list[Batch]:
    """Return every two pins beside a face that hold it, bare or packed: "pins" if they are equal
    and packed alike, "shims" if they are packed differently, "two sizes" if they differ.

    The line then runs at dir(v) + asin((r2 + e2 - r1 - e1)/d), r being the radii, e the packing.
    """
    pins, packs = pins_of(task), packs_of(task)
    beside = beside_face(task, along, task.field.usable, pins, packs)
    look()
    one, two = np.triu_indices(beside.x.size, 1)
    t = math.radians(task.angle)
    c, s = math.cos(t), math.sin(t)
    dx, dy = beside.x[two] - beside.x[one], beside.y[two] - beside.y[one]
    back = dx * c + dy * s < 0
    one, two = np.where(back, two, one), np.where(back, one, two)
    both = _has_both(task, pins)[beside.pin[one], beside.pin[two]]
    one, two = one[both], two[both]
    look()
    found = _pairs(task, packs, beside, beside, one, two)
    look()
    total, base = packs.every.total, found.base
    r1 = beside.radius[found.one] + total[found.first]
    r2 = beside.radius[found.two] + total[found.second]
    turn = np.arcsin(np.clip(found.aside / base, -1, 1))
    error = np.degrees(turn + np.arcsin(np.clip(sign(task) * (r2 - r1) / base, -1, 1)))
    alike = np.abs(beside.radius[found.one] - beside.radius[found.two]) < TOUCH
    same = alike & (np.abs(r1 - r2) < TOUCH)
    ways: tuple[tuple[AngleWay, BoolArray], ...] = (
        ("pins", same),
        ("shims", alike & ~same),
        ("two sizes", ~alike),
    )
    facing = wrap(_facing(along))
    return [
        _batch(
            task,
            way,
            pins,
            packs,
            (beside, beside),
            found.pick(chosen),
            error[chosen],
            (facing, facing),
        )
        for way, chosen in ways
        if way in task.limits.ways and chosen.any()
    ]


def held_astride(task: AngleTask, along: AlongFace) -> list[Batch]:
    """Return two pins astride the member, one at each long face, so that its sides touch both.

    Its axis lies at dir(v) -+ asin((r1 + e1 + r2 + e2 + w)/d), w being its width.
    """
    if not along.width or "astride" not in task.limits.ways:
        return []
    pins, packs = pins_of(task), packs_of(task)
    far = across(along)
    here = beside_face(task, along, task.field.usable, pins, packs)
    usable = holes_within(task.table, structs.replace(task.limits, along=far)).usable
    there = beside_face(task, far, usable, pins, packs)
    one, two = (v.ravel() for v in np.meshgrid(np.arange(here.x.size), np.arange(there.x.size)))
    both = _has_both(task, pins)[here.pin[one], there.pin[two]]
    found = _pairs(task, packs, here, there, one[both], two[both])
    total = packs.every.total
    radii = here.radius[found.one] + there.radius[found.two]
    needed = radii + total[found.first] + total[found.second] + along.width
    fits = needed < found.base
    found, needed = found.pick(fits), needed[fits]
    t = math.radians(task.angle)
    dx, dy = there.x[found.two] - here.x[found.one], there.y[found.two] - here.y[found.one]
    forward = np.where(dx * math.cos(t) + dy * math.sin(t) >= 0, 1.0, -1.0)
    turn = np.arcsin(np.clip(found.aside / found.base, -1, 1))
    by = np.arcsin(np.clip(needed / found.base, -1, 1))
    # The second pin stands beyond the member: on the left of the line with pins on its right.
    error = np.asarray(np.degrees(forward * (turn - sign(task) * by)))
    chosen = np.abs(error) <= 45.0
    if not chosen.any():
        return []
    facing = wrap(_facing(along))
    return [
        _batch(
            task,
            "astride",
            pins,
            packs,
            (here, there),
            found.pick(chosen),
            error[chosen],
            (facing, wrap(facing + 180.0)),
            along.width,
        )
    ]


def across(along: AlongFace) -> AlongFace:
    """Return the opposite long face of the member."""
    (ax, ay), (bx, by) = along.a, along.b
    length = math.dist(along.a, along.b)
    k = (1.0 if along.side == "right" else -1.0) * along.width / length
    nx, ny = -(by - ay) * k, (bx - ax) * k  # into the member
    return structs.replace(
        along,
        a=(ax + nx, ay + ny),
        b=(bx + nx, by + ny),
        side=_OTHER[along.side],
        stretches=along.beyond,
    )


def _facing(along: AlongFace) -> float:
    """The direction from the pins to the face, degrees: square to it, so that packing lies flat."""
    (ax, ay), (bx, by) = along.a, along.b
    return math.degrees(math.atan2(by - ay, bx - ax)) + (90.0 if along.side == "right" else -90.0)


def _batch(
    task: AngleTask,
    way: AngleWay,
    pins: tuple[Pin, ...],
    packs: Packs,
    sides: tuple[Beside, Beside],
    found: Pairs,
    error: FloatArray,
    facing: tuple[float, float],
    width: float = 0.0,
) -> Batch:
    """The pairs of one way, with their errors in degrees.  `width` is that of a member between the
    two pins.
    """
    (here, there), (one, two, first, second, base, _) = sides, found
    look()
    total, pieces = packs.every.total, packs.every.pieces
    pin_a, pin_b = here.pin[one], there.pin[two]
    plays = np.array([pin.play for pin in pins])
    play = np.degrees(np.arcsin(np.minimum(1.0, (plays[pin_a] + plays[pin_b]) / base)))
    many = np.array([1 + bool(pin.locking) for pin in pins])
    zero = np.zeros(one.size)
    open_ = np.maximum(here.gap[one] - total[first], there.gap[two] - total[second])
    well = on_rack(task, pins)[pin_a, pin_b] & (open_ <= NEAR_ENOUGH)
    look()
    uses = np.stack(
        [_key(task, pin_a, here, one, first), _key(task, pin_b, there, two, second)], axis=1
    )
    if width:
        uses[:, 1] = -1 - uses[:, 1]  # beside the other face: a different use

    def build(i: int) -> AngleAnswer:
        a, b, i_a, i_b = int(one[i]), int(two[i]), int(first[i]), int(second[i])
        pair = PinPair(pins[int(pin_a[i])], pins[int(pin_b[i])])
        standing = ((a, here, i_a, facing[0]), (b, there, i_b, facing[1]))
        line = [side.radius[k] + total[stack] for k, side, stack, _ in standing]
        if width:
            line[1] = -(line[1] + width)
        gaps = [float(side.gap[k]) for k, side, _, _ in standing]
        shims = [float(total[stack]) for _, _, stack, _ in standing]
        holes = (here.hole(a), there.hole(b))
        made = two_pins(
            task,
            way,
            pair,
            float(error[i]),
            (holes[1].col - holes[0].col, holes[1].row - holes[0].row),
            holes=holes,
            shims=(shims[0], shims[1]),
            packs=(packs.pieces(i_a), packs.pieces(i_b)),
            facing=facing,
        )
        return structs.replace(
            made,
            line_mm=tuple(map(float, line)),
            gap_mm=max(0.0, *gaps),
            open_mm=tuple(gap - shim for gap, shim in zip(gaps, shims, strict=True)),
        )

    return Batch(
        way,
        error,
        zero,
        base,
        pieces[first] + pieces[second] + many[pin_a] + many[pin_b],
        build,
        int(one.size),
        gap=np.maximum(np.maximum(here.gap[one], there.gap[two]), 0.0),
        level=levels(task, error, zero, play, well),
        uses=uses,
        place=_same_holes(task, here, there, one, two).tolist(),
    )


def _key(task: AngleTask, pin: IntArray, side: Beside, rows: IntArray, stack: IntArray) -> IntArray:
    """A number for each use of a pin: which pin, in which hole, with which stack."""
    g = task.field.grid
    at = (pin * g.rows + side.row[rows]) * g.columns + side.col[rows]
    return np.asarray(at * MOST + stack)


def _same_holes(
    task: AngleTask, here: Beside, there: Beside, one: IntArray, two: IntArray
) -> IntArray:
    """A number for each two holes, in either order."""
    wide = task.field.grid.columns
    a, b = here.row[one] * wide + here.col[one], there.row[two] * wide + there.col[two]
    return np.asarray(np.minimum(a, b) * (wide * task.field.grid.rows) + np.maximum(a, b))
