"""Holding a member's face where it lies: every way, answers that can stand, least gap first.

The caller, who knows the job, passes in the check for what is in the way.
"""

from collections.abc import Callable, Iterator

import numpy as np
from msgspec import structs

from gridjig.units.progress import SILENT, Progress, look

from .along_arms import held_by_arms
from .along_face import held_astride, held_by_pins
from .along_plate import held_by_plate
from .answers import (
    GRAIN,
    AlongFace,
    AngleAnswer,
    AngleLimits,
    AngleNote,
    AngleResult,
    AngleWay,
    FewAsked,
    FewBeside,
    Fouled,
    NoEqualPins,
    NoneOfWay,
    SearchCoverage,
)
from .beside import MOST_BESIDE, left_beside
from .pins import equal_pins
from .task import AngleTask, Batch, ranks
from .wanted import WantedLine

InTheWay = Callable[[AngleAnswer], Fouled | None]
"""Returns what is in the way of an answer in its holes; None if it can stand there."""

_SORTED, _SORTED_FIRST = 20_000, 256  # answers at a time; the first few usually suffice
MOST_ASKED = 300
"""The most answers of one way that are checked for something in their way."""


def free(_: AngleAnswer) -> Fouled | None:
    """Return None: nothing is in the way on a bare table."""
    return None


class _Walk:
    """Goes through the rows of one batch, and remembers which pieces are blocked in their holes."""

    def __init__(self, batch: Batch, in_the_way: InTheWay) -> None:
        self.batch, self._in_the_way = batch, in_the_way
        self._known: dict[int, AngleAnswer | None] = {}
        self._bad: set[int] = set()
        self.asked = 0
        self.why = ""

    @property
    def cut(self) -> bool:
        """True if no more answers are checked."""
        return self.asked >= MOST_ASKED

    def answer(self, row: int) -> AngleAnswer | None:
        """Return the answer of a row, or None if it cannot stand."""
        if row not in self._known:
            self._known[row] = self._looked_at(row)
        return self._known[row]

    def _looked_at(self, row: int) -> AngleAnswer | None:
        uses = [] if self.batch.uses is None else self.batch.uses[row].tolist()
        if (self._bad and any(one in self._bad for one in uses)) or self.cut:
            return None
        look()
        self.asked += 1
        made = self.batch.build(row)
        fouled = self._in_the_way(made)
        if fouled is None:
            return structs.replace(made, fouled=False)
        self.why = self.why or fouled.why
        if fouled.which is not None and uses:
            self._bad.add(uses[fouled.which])
        return None


def gap_order(batches: list[Batch], leg: float) -> Iterator[tuple[int, int]]:
    """Yield the batch and row number of every answer, best first: by what can stand, the gap at the
    face, the error at the far end, the longest base, then the fewest pieces.

    Sorted in parts as they are needed, since the first few hundred of a million usually suffice.
    """
    owner = np.repeat(np.arange(len(batches)), [len(b) for b in batches])
    place = np.concatenate([np.arange(len(b)) for b in batches])

    def column(name: str) -> np.ndarray:
        return np.concatenate([getattr(b, name) for b in batches])

    level, gap = column("level"), np.rint(column("gap") / GRAIN)
    error, setting, base, pieces = map(column, ("error", "setting", "base", "pieces"))
    look()
    first = level * (gap.max(initial=0.0) + 1.0) + gap
    rows = np.argsort(first, kind="stable")
    ordered, start, many = first[rows], 0, _SORTED_FIRST
    while start < rows.size:
        look()
        last = ordered[min(start + many, rows.size) - 1]
        end = int(np.searchsorted(ordered, last, side="right"))
        some = rows[start:end]
        off = np.abs(error[some])
        by_rank = ranks(off + setting[some], leg)
        best = some[np.lexsort((off, pieces[some], np.round(-base[some], 3), by_rank, first[some]))]
        yield from zip(owner[best].tolist(), place[best].tolist(), strict=True)
        start, many = end, min(4 * many, _SORTED)


def find_held(
    task: AngleTask,
    along: AlongFace,
    wanted: WantedLine,
    in_the_way: InTheWay = free,
    progress: Progress = SILENT,
) -> AngleResult:
    """Return every way to hold a face where it lies, and how complete the list is.

    Raises Cancelled through `progress`.
    """
    limits = task.limits
    makers = (held_by_pins, held_astride, held_by_arms, held_by_plate)
    batches = [
        batch
        for make in progress.each(list(makers), "Looking for holes")
        for batch in make(task, along)
        if len(batch)
    ]
    walks = [_Walk(batch, in_the_way) for batch in batches]
    nearest = {
        walk.batch.way: found
        for walk in progress.each(walks, "Looking for clashes")
        if (found := _first(walk, limits.leg)) is not None
    }
    ranked = tuple(_best(batches, walks, limits))
    reach = task.field.reach(limits.base_from, limits.base_to)
    looked_at = SearchCoverage(reach.pairs, reach.steps, sum(b.looked_at for b in batches))
    within, offer = _within(limits, nearest, ranked)
    fouled = sum(walk.asked - _standing(walk) for walk in walks)
    return AngleResult(
        wanted=wanted,
        limits=limits,
        ranked=ranked,
        nearest=tuple(nearest[way] for way in limits.ways if way in nearest),
        looked_at=looked_at,
        within=within,
        offer=offer,
        notes=tuple(_notes(task, walks, nearest)),
        fouled=fouled,
        why_fouled=next((walk.why for walk in walks if walk.why), ""),
    )


def _standing(walk: _Walk) -> int:
    return sum(one is not None for one in walk._known.values())


def _first(walk: _Walk, leg: float) -> AngleAnswer | None:
    found = (walk.answer(row) for _, row in gap_order([walk.batch], leg))
    return next((one for one in found if one is not None), None)


def _best(batches: list[Batch], walks: list[_Walk], limits: AngleLimits) -> Iterator[AngleAnswer]:
    """Yield the best answers that can stand, and meet the class if one is asked for; only the best
    one for the same pin holes, or for the same piece and holes.
    """
    if not batches:
        return
    left = limits.top
    seen: set[object] = set()
    for owner, row in gap_order(batches, limits.leg):
        level = batches[owner].level
        assert level is not None
        if limits.angle_class is not None and level[row] > 1:
            return
        place = batches[owner].place[row]
        found = walks[owner].answer(row) if place not in seen else None
        if found is not None:
            seen.add(place)
            yield found
            left -= 1
            if not left:
                return


def _within(
    limits: AngleLimits, nearest: dict[AngleWay, AngleAnswer], ranked: tuple[AngleAnswer, ...]
) -> tuple[bool | None, AngleAnswer | None]:
    """Whether anything from the rack meets the class, and the plate to fall back on."""
    if limits.angle_class is None:
        return None, None
    on_rack = any(one.way != "plate" or limits.ways == ("plate",) for one in ranked)
    return on_rack, None if on_rack else nearest.get("plate")


def _notes(
    task: AngleTask, walks: list[_Walk], nearest: dict[AngleWay, AngleAnswer]
) -> Iterator[AngleNote]:
    """What is missing, and why."""
    if "pins" in task.limits.ways:
        yield from _equal_pins(task, nearest.get("pins"))
    if along := task.limits.along:
        if not along.width and task.limits.ways == ("astride",):
            yield NoneOfWay("astride", holes=True)
        others = left_beside(task, along)
        if others:
            yield FewBeside(MOST_BESIDE, others)
    if any(walk.cut for walk in walks):
        yield FewAsked(MOST_ASKED)


def _equal_pins(task: AngleTask, found: AngleAnswer | None) -> Iterator[NoEqualPins]:
    """Whether two equal pins do not meet the class, and how near the nearest comes."""
    asked = task.limits.angle_class or "D"
    if found is not None and found.verdict.meets(asked):
        return
    batch = equal_pins(task)
    if batch is None or not len(batch):
        yield NoEqualPins(None, None)
        return
    best = batch.build(0)
    unmet = None if best.verdict.meets(asked) else asked
    yield NoEqualPins(best.error_arcmin, unmet, best.steps)
