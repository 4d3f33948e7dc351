"""Patterns: how many of each wanted length a bar gives, and bars made of them without a solver."""

from collections.abc import Sequence

from msgspec import structs

from .values import CutBar, CuttingAnswer, CuttingTask

Pattern = tuple[int, tuple[int, ...]]
"""Which of the bars, and how many of each wanted length."""
Cuts = list[tuple[Pattern, int]]
"""Patterns, and how many bars are cut so."""
_OPEN = 200
"""How many bars that are not full yet are tried by hand: enough for a saw, and soon done."""


def fits(task: CuttingTask, bar: int, piece: int) -> bool:
    """True if a bar is long enough for one of the wanted lengths."""
    return task.wanted[piece].length + task.kerf <= task.room(bar)


def full_patterns(task: CuttingTask, bar: int, most: int) -> list[Pattern] | None:
    """Every pattern of a bar to which no further piece can be added; None if they are too many.

    No pattern has more of a length than are wanted.
    """
    order = _longest_first(task)
    found: list[Pattern] = []

    def deeper(at: int, room: int, counts: list[int]) -> bool:
        if at == len(order):
            left = [i for i in order if counts[i] < task.wanted[i].count]
            if all(task.wanted[i].length + task.kerf > room for i in left) and any(counts):
                found.append((bar, tuple(counts)))
            return len(found) <= most
        piece = order[at]
        each = task.wanted[piece].length + task.kerf
        for count in range(min(task.wanted[piece].count, room // each), -1, -1):
            counts[piece] = count
            if not deeper(at + 1, room - count * each, counts):
                return False
        counts[piece] = 0
        return True

    return found if deeper(0, task.room(bar), [0] * len(task.wanted)) else None


def _longest_first(task: CuttingTask) -> list[int]:
    return sorted(range(len(task.wanted)), key=lambda i: (-task.wanted[i].length, i))


def best_pattern(
    task: CuttingTask, bar: int, worth: Sequence[float], most: int = 200_000
) -> tuple[float, tuple[int, ...], bool]:
    """The pattern of a bar whose pieces are worth most, its worth, and whether that is certain.

    A depth-first search by worth per length, cut off where even the densest filling of what is left
    is worth no more than the best one; it stops after so many steps.
    """
    useful = [i for i in range(len(task.wanted)) if worth[i] > 1e-12 and fits(task, bar, i)]
    each = [task.wanted[i].length + task.kerf for i in range(len(task.wanted))]
    useful.sort(key=lambda i: -worth[i] / each[i])
    best, best_counts = 0.0, [0] * len(task.wanted)
    counts = [0] * len(task.wanted)
    steps = 0

    def deeper(at: int, room: int, value: float) -> None:
        nonlocal best, best_counts, steps
        steps += 1
        if value > best + 1e-9:
            best, best_counts = value, counts.copy()
        if at == len(useful) or steps > most:
            return
        piece = useful[at]
        if value + room * worth[piece] / each[piece] <= best + 1e-9:
            return
        for count in range(min(task.wanted[piece].count, room // each[piece]), -1, -1):
            counts[piece] = count
            deeper(at + 1, room - count * each[piece], value + count * worth[piece])
        counts[piece] = 0

    deeper(0, task.room(bar), 0.0)
    return best, tuple(best_counts), steps <= most


def by_first_fit(task: CuttingTask) -> Cuts:
    """Bars filled by hand: the longest piece into the first bars that have room, else a new one.

    What is on hand is used first, then the shortest bar that is bought and holds the piece.  What
    fits no bar is left out.
    """
    have = [bar.have for bar in task.bars]
    full: list[_Filled] = []
    open_: list[_Filled] = []
    for piece in _longest_first(task):
        each = task.wanted[piece].length + task.kerf
        left = task.wanted[piece].count
        for one in list(open_):
            some = min(one.room // each, left // one.count) if left else 0
            if some:
                one.take(piece, some, each)
                left -= some * one.count
        while left:
            bar = _next_bar(task, have, piece)
            if bar is None:
                break
            # As many bars alike as can be filled with this piece, the last one only in part.
            some = min(task.room(bar) // each, left)
            times = left // some
            had = have[bar]
            times = times if had is None else min(times, had)
            have[bar] = had if had is None else had - times
            filled = _Filled(bar, times, task.room(bar), {})
            filled.take(piece, some, each)
            open_.append(filled)
            left -= some * times
        full, open_ = [*full, *open_[:-_OPEN]], open_[-_OPEN:]
    kinds = range(len(task.wanted))
    return [
        ((one.bar, tuple(one.counts.get(i, 0) for i in kinds)), one.count)
        for one in (*full, *open_)
    ]


class _Filled:
    """Bars being filled by hand, all alike."""

    def __init__(self, bar: int, count: int, room: int, counts: dict[int, int]) -> None:
        self.bar = bar
        self.count = count
        self.room = room
        self.counts = counts

    def take(self, piece: int, some: int, each: int) -> None:
        """Put so many of a piece into each."""
        self.counts[piece] = self.counts.get(piece, 0) + some
        self.room -= some * each


def _next_bar(task: CuttingTask, have: Sequence[int | None], piece: int) -> int | None:
    able = [bar for bar in range(len(task.bars)) if fits(task, bar, piece) and have[bar] != 0]
    return min(able, key=lambda bar: (have[bar] is None, task.bars[bar].length, bar), default=None)


def answer_of(task: CuttingTask, cuts: Cuts, bound: int = 0) -> CuttingAnswer:
    """The answer with these bars, and a bound; what is more than wanted is not cut.

    That is taken out of the bars that are emptiest, so that one long off-cut is left and not
    several short ones; a bar that is empty then is not taken at all.
    """
    left = [one.count for one in task.wanted]
    taken: list[CutBar] = []
    order = _longest_first(task)
    fullest_first = sorted(
        cuts, key=lambda c: (task.bars[c[0][0]].have is None, _left(task, *c[0]), c)
    )
    for (bar, counts), times in fullest_first:
        while times:
            some = {i: min(counts[i], left[i]) for i in order if min(counts[i], left[i])}
            if not some:
                break
            alike = min(times, *(left[i] // n for i, n in some.items()))
            pieces = tuple(i for i, n in some.items() for _ in range(n))
            taken.append(CutBar(bar, pieces, offcut(task, bar, pieces), alike))
            for i, n in some.items():
                left[i] -= n * alike
            times -= alike
    bought = sum(task.cost(one.bar) * one.count for one in taken)
    return CuttingAnswer(tuple(_together(taken)), bought, min(bound, bought), tuple(left))


def _together(taken: Sequence[CutBar]) -> list[CutBar]:
    """Bars that are cut alike in one, in order."""
    counts: dict[CutBar, int] = {}
    for one in taken:
        alike = structs.replace(one, count=1)
        counts[alike] = counts.get(alike, 0) + one.count
    made = [structs.replace(one, count=n) for one, n in counts.items()]
    return sorted(made, key=lambda one: (one.bar, one.pieces))


def _left(task: CuttingTask, bar: int, counts: Sequence[int]) -> int:
    """What a pattern leaves of the room of its bar."""
    used = sum(n * (w.length + task.kerf) for n, w in zip(counts, task.wanted, strict=True))
    return task.room(bar) - used


def offcut(task: CuttingTask, bar: int, pieces: Sequence[int]) -> int:
    """What is left of a bar after these pieces; a rest that is no wider than a cut is swarf."""
    used = sum(task.wanted[piece].length for piece in pieces) + len(pieces) * task.kerf
    return max(0, task.room(bar) - task.kerf - used)


def material_bound(task: CuttingTask) -> int:
    """The length that must be bought at least, without a solver: all pieces with their kerfs laid
    end to end, what is on hand used up first, and the rest in the longest bars.
    """
    bars = range(len(task.bars))
    able = [w for i, w in enumerate(task.wanted) if any(fits(task, bar, i) for bar in bars)]
    need = sum(one.count * (one.length + task.kerf) for one in able)
    need -= sum((task.bars[bar].have or 0) * max(task.room(bar), 0) for bar in bars)
    rates = [
        task.bars[bar].length / task.room(bar)
        for bar in bars
        if task.bars[bar].have is None and task.room(bar) > 0
    ]
    return max(0, int(need * min(rates))) if rates else 0
