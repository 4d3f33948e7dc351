"""A one-off plate, cut for the angle: two pin holes on the grid and an edge along the line.

Cutting limits: ISO 9013, class 1, for steel over 3.15 up to 6.3 mm, as a fabricator reproduces
them.  The pin holes are assumed 0.2 mm wider than the pins: common practice, no source.
"""

import math

import numpy as np
from msgspec import Struct

from gridjig.geometry import unit
from gridjig.model import Hole
from gridjig.rack import Piece, Point, RoundHole
from gridjig.solve.grid.directions import IntArray
from gridjig.solve.mounting.fit import radial_play

from .answers import AngleAnswer, CutPlate
from .hole_field import within
from .pins import sign
from .strip import Strip, strip_of
from .task import AngleTask, Batch, put_up

CUTTING: tuple[tuple[float, float], ...] = ((125.0, 0.25), (315.0, 0.30), (1000.0, 0.40))
"""How far out an end of a cut edge may be, mm either way, up to each length in mm."""
SHORTEST, LONGEST = 35.0, CUTTING[-1][0]
"""The lengths (mm) that these limits are for."""
THICKNESS = 6.0
"""The assumed thickness of such a plate, mm: common practice, and within those limits."""
HOLE_OVER_PIN = 0.2
"""How much wider than its pin a hole in the plate is, mm."""


def edge_error(length: float) -> float:
    """Return the error of a cut edge, degrees, its ends out by the limit in opposite directions."""
    limit = next(limit for up_to, limit in CUTTING if length <= up_to)
    return math.degrees(math.atan(2.0 * limit / length))


def plate_round(
    direction: float, second: Point, line: tuple[float, float], clear: float, wide: float
) -> CutPlate:
    """Return a slim plate round two holes `wide` mm across: one at the origin, and `second`.

    Its edge runs along `direction` (degrees), the holes on its right where `line`, their distances
    from it in mm, is positive and on its left where it is negative.  The plate reaches `clear` mm
    beyond the holes.
    """
    c, s = unit(direction)
    run = second[0] * c + second[1] * s
    depth = max(line, key=abs)
    back = depth + math.copysign(clear, depth)

    def at(along: float, across: float) -> Point:
        """Return the point at a distance along the edge and to its right."""
        x, y = along * c - (line[0] - across) * s, along * s + (line[0] - across) * c
        return x, y

    ends = (run + clear, -clear) if depth > 0 else (-clear, run + clear)
    corners = (at(ends[0], 0.0), at(ends[1], 0.0), at(ends[1], back), at(ends[0], back))
    return CutPlate(corners, ((0.0, 0.0), second), wide)


def _near_the_line(task: AngleTask) -> tuple[Strip, IntArray]:
    """The narrowest strip along the line with steps that suit a plate, and which ones do."""
    half_width = max(task.field.grid.pitch_x, task.field.grid.pitch_y)
    while True:
        s = strip_of(task, half_width)
        fits = np.flatnonzero(within(s.base, SHORTEST, LONGEST))
        if fits.size or half_width >= task.field.grid.diagonal:
            return s, fits
        half_width *= 2


def _pin_for(task: AngleTask) -> Piece | None:
    """The first locking pin that fits the table's holes and of which there are two."""
    for piece in task.rack.pieces:
        thick = piece.pin_diameter if piece.kind == "locking pin" else 0.0
        if 0 < thick <= task.table.hole_diameter and task.enough({piece.id: 2}):
            return piece
    return None


class Fastening(Struct, frozen=True):
    """How a plate is pinned: the pin, the hole diameter and the play; mm.

    `clear` is how much steel remains round a hole.
    """

    pin: Piece | None
    hole_diameter: float
    play: float
    clear: float

    @property
    def needs(self) -> tuple[str, ...]:
        """The pins that it takes from the rack."""
        return (self.pin.id, self.pin.id) if self.pin else ()


def fastening(task: AngleTask) -> Fastening | None:
    """Return how a plate would be pinned; None if only what is left counts and two pins are not."""
    pin = _pin_for(task)
    if pin is None and task.limits.only_left:
        return None
    diameter = pin.pin_diameter if pin else task.table.hole_diameter
    hole = RoundHole("plate", (0.0, 0.0), diameter + HOLE_OVER_PIN)
    play = 2.0 * radial_play(task.table, None, hole, diameter)
    return Fastening(pin, hole.diameter, play, 1.5 * diameter)


def plate_answer(
    task: AngleTask,
    held: Fastening,
    holes: tuple[Hole, Hole],
    line: tuple[float, float],
    places: int,
    fixed: bool = False,
) -> AngleAnswer:
    """Return the answer of a plate on two holes, its edge at these distances from them, mm."""
    grid, to_right = task.field.grid, sign(task)
    m, n = holes[1].col - holes[0].col, holes[1].row - holes[0].row
    base = math.hypot(m * grid.pitch_x, n * grid.pitch_y)
    return put_up(
        task,
        "plate",
        error=0.0,
        setting=edge_error(min(base, LONGEST)),
        play=math.degrees(math.asin(min(1.0, held.play / base))),
        base=base,
        holes=holes,
        steps=(m, n),
        line=line,
        standing=(),
        needs=held.needs,
        places=places,
        fixed=fixed,
        plate=plate_round(
            task.angle,
            (m * grid.pitch_x, n * grid.pitch_y),
            (to_right * line[0], to_right * line[1]),
            held.clear,
            held.hole_diameter,
        ),
        set_how="to be cut",
    )


def cut_plate(task: AngleTask) -> Batch | None:
    """Return the plate whose holes are as far apart as possible, near the line to keep it slim.

    One answer: a longer base is better in every respect.  None if no pair of holes is at least
    35 mm and at most 1000 mm apart, for which cutting limits are known.
    """
    s, fits = _near_the_line(task)
    held = fastening(task)
    if not fits.size or held is None:
        return None
    best = int(fits[np.lexsort((np.abs(s.aside[fits]), np.round(-s.base[fits], 3)))[0]])
    base, aside = float(s.base[best]), float(s.aside[best])
    setting = edge_error(min(base, LONGEST))
    clear = held.clear

    def build(_: int) -> AngleAnswer:
        m, n = int(s.across[best]), int(s.up[best])
        # The edge stays clear of the hole that is nearer to it.
        towards = aside if task.limits.side == "right" else -aside
        line = (clear + max(towards, 0.0), clear + max(-towards, 0.0))
        places = int(task.field.count(np.array([m]), np.array([n]))[0])
        return plate_answer(task, held, task.field.place(m, n, task.limits.near), line, places)

    return Batch(
        "plate",
        np.zeros(1),
        np.array([setting]),
        np.array([base]),
        np.array([3]),
        build,
        int(fits.size),
    )
