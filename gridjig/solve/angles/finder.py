"""Finds the holes for a wanted angle: every way, ranked by the error where it matters.

`find_angles` works from a table, a rack, a wanted line and limits.  Pieces on the table count only
as taken holes and used pieces; clashes are checked elsewhere.
"""

from collections.abc import Callable, Sequence

import numpy as np
from msgspec import structs

from gridjig.geometry import unit
from gridjig.model import Hole, Placement, Table
from gridjig.rack import Rack
from gridjig.units.progress import SILENT, Progress

from .answers import (
    AngleAnswer,
    AngleLimits,
    AngleResult,
    AngleWay,
    NoneOfWay,
    PinSide,
    SearchCoverage,
)
from .arms import arms, scales
from .faults import AngleFault, AskedWrong, BaseBeyondTable
from .held_face import InTheWay, find_held, free
from .hole_field import field_of, grid_of
from .pins import equal_pins
from .plate import cut_plate
from .strip import shimmed, two_sizes
from .task import AngleTask, Batch, order
from .wanted import WantedLine

_BY_WAY: dict[AngleWay, Callable[[AngleTask], Batch | None]] = {
    "pins": equal_pins,
    "two sizes": two_sizes,
    "shims": shimmed,
    "arm": arms,
    "scale": scales,
    "plate": cut_plate,
}
FREE_WAYS = frozenset(_BY_WAY)
"""The ways to make an angle where no face is to be held."""


def find_angles(
    table: Table,
    rack: Rack,
    wanted: WantedLine,
    limits: AngleLimits = AngleLimits(),  # noqa: B008
    progress: Progress = SILENT,
    in_the_way: InTheWay = free,
) -> AngleResult:
    """Return every way to make the wanted line, best first, and how complete the list is.

    Best is the least error at the end of the leg (with how exactly a scale or a cut edge can be
    set, compared in hundredths of a mm), then the longest base, then the fewest pieces.  Along a
    face (`held_face`) the gap at it comes first, and answers that `in_the_way` objects to are left
    out.  Raise AngleFault with the field to change: a base longer than the table, no free holes;
    raise Cancelled through `progress`.
    """
    grid = grid_of(table)
    if limits.base_from > grid.diagonal + 1e-3:
        raise AngleFault("base_from", BaseBeyondTable(limits.base_from, grid.diagonal))
    field = field_of(table, limits)
    task = AngleTask(
        table=table,
        rack=rack,
        angle=wanted.angle_deg,
        limits=faced(limits, wanted),
        field=field,
        used=dict(limits.used),
        pieces={piece.id: piece for piece in rack.pieces},
    )
    if task.limits.along is not None:
        return find_held(task, task.limits.along, wanted, in_the_way, progress)
    ways = [way for way in dict.fromkeys(limits.ways) if way in _BY_WAY]
    if not ways:
        raise AngleFault("ways", AskedWrong("no face chosen"))
    batches = {way: _BY_WAY[way](task) for way in progress.each(ways, "Looking for holes")}
    full = {way: batch for way, batch in batches.items() if batch is not None and len(batch)}
    ranked, nearest = _merged(list(full.values()), limits)
    reach = field.reach(limits.base_from, limits.base_to)
    looked_at = SearchCoverage(reach.pairs, reach.steps, sum(b.looked_at for b in full.values()))
    within: bool | None = None
    offer: AngleAnswer | None = None
    if limits.angle_class is not None:
        judged = [a for a in (*ranked, *nearest) if a.way != "plate" or limits.ways == ("plate",)]
        within = any(a.verdict.meets(limits.angle_class) for a in judged)
        offer = None if within else _plate(task, full)
        ranked = tuple(a for a in ranked if a.verdict.meets(limits.angle_class))
    return AngleResult(
        wanted=wanted,
        limits=limits,
        ranked=ranked,
        nearest=nearest,
        looked_at=looked_at,
        within=within,
        offer=offer,
        notes=tuple(NoneOfWay(way, reach.steps > 0) for way in batches if way not in full),
    )


def faced(limits: AngleLimits, wanted: WantedLine) -> AngleLimits:
    """Return the limits with the pins' side as seen along the wanted direction.

    A face may run the other way: its right is then on the left of the wanted line.
    """
    if limits.along is None:
        return limits
    (ax, ay), (bx, by) = limits.along.a, limits.along.b
    c, s = unit(wanted.angle_deg)
    with_it = (bx - ax) * c + (by - ay) * s >= 0
    other: dict[PinSide, PinSide] = {"right": "left", "left": "right"}
    return structs.replace(limits, side=limits.along.side if with_it else other[limits.along.side])


def _merged(
    batches: list[Batch], limits: AngleLimits
) -> tuple[tuple[AngleAnswer, ...], tuple[AngleAnswer, ...]]:
    """The best of all batches in order, and the first of each batch."""
    if not batches:
        return (), ()
    owner = np.repeat(np.arange(len(batches)), [len(b) for b in batches])
    place = np.concatenate([np.arange(len(b)) for b in batches])
    best = order(
        np.concatenate([b.error for b in batches]),
        np.concatenate([b.setting for b in batches]),
        np.concatenate([b.base for b in batches]),
        np.concatenate([b.pieces for b in batches]),
        limits.leg,
    )[: limits.top]
    made: dict[tuple[int, int], AngleAnswer] = {}

    def answer(which: int, at: int) -> AngleAnswer:
        if (which, at) not in made:
            made[which, at] = batches[which].build(at)
        return made[which, at]

    ranked = tuple(answer(int(owner[i]), int(place[i])) for i in best)
    return ranked, tuple(answer(which, 0) for which in range(len(batches)))


def _plate(task: AngleTask, full: dict[AngleWay, Batch]) -> AngleAnswer | None:
    """The cut plate to fall back on."""
    batch = full.get("plate") or cut_plate(task)
    return batch.build(0) if batch is not None and len(batch) else None


def answer_places(
    table: Table,
    answer: AngleAnswer,
    taken: frozenset[Hole] = frozenset(),
    limits: AngleLimits = AngleLimits(),  # noqa: B008
) -> tuple[tuple[Hole, ...], ...]:
    """Return every place where an answer has free holes, by row, then by column."""
    field = field_of(table, structs.replace(limits, taken=limits.taken | taken))
    pairs = field.places(*answer.steps)
    if answer.fixed:
        pairs = [pair for pair in pairs if pair == answer.holes]
    if len(answer.holes) == 2:
        return tuple(pairs)
    first = answer.holes[0]
    rest = [(h.col - first.col, h.row - first.row) for h in answer.holes[2:]]
    found = []
    for a, b in pairs:
        more = tuple(Hole(a.col + dc, a.row + dr) for dc, dr in rest)
        if all(table.has(h) and field.usable[h.row, h.col] for h in more):
            found.append((a, b, *more))
    return tuple(found)


def answer_placements(
    answer: AngleAnswer, ids: Sequence[str], holes: tuple[Hole, ...] = ()
) -> tuple[Placement, ...]:
    """Return the answer as placements with these ids, in its holes or those of another place.

    A cut plate has none, as it is not on the rack.
    """
    return tuple(
        Placement(
            id=one,
            piece=how.piece,
            seats=seats,
            flipped=how.flipped,
            turn=how.turn,
            slide=how.slide,
            leaf=how.leaf,
            packing=how.packing,
        )
        for one, how, seats in zip(ids, answer.standing, answer.seats(holes), strict=True)
    )
