"""The bars that take the least to be bought, with a proof: patterns chosen by integer programming.

Gilmore and Gomory's formulation: how often is each pattern cut, so that nothing is missing.  If the
patterns are few, all of them are choices, and the programme's own bound is the proof.  If they are
many, those that the linear programme asks for are (column generation); its value, rounded up to
what whole bars can add up to, is the bound.

HiGHS prints a line about itself and cannot be stopped at once, so that a process of its own runs
this (`process`).
"""

import math
from collections.abc import Sequence
from typing import Any

from msgspec import Struct

from .patterns import (
    Cuts,
    Pattern,
    answer_of,
    best_pattern,
    by_first_fit,
    fits,
    full_patterns,
    material_bound,
)
from .values import CuttingAnswer, CuttingTask

MOST_PATTERNS = 3000
"""The most patterns that are all choices at once; the programme takes a second or two then."""
SECONDS = 6.0
"""How long the integer programme may take."""
MOST_LENGTHS = 300
"""The most different lengths of one section; of more, bars filled by hand are the answer."""
ROUNDS = 300
"""The most rounds of column generation."""
_NEAR = 1e-6


def cheapest(task: CuttingTask, seconds: float = SECONDS) -> CuttingAnswer:
    """Return the best bars found in so many seconds, and what must be bought at least.

    A piece that fits no bar, or for which no bar is left, is uncut.
    """
    bars = range(len(task.bars))
    able = [
        i for i, w in enumerate(task.wanted) if w.count > 0 and any(fits(task, b, i) for b in bars)
    ]
    if not able:
        return answer_of(task, [])
    programme = _Programme.of(task, able)
    by_hand = by_first_fit(task)
    if len(task.wanted) > MOST_LENGTHS:
        return answer_of(task, by_hand, material_bound(task))
    patterns = _every(task)
    if patterns is not None:
        chosen = programme.integer(patterns, seconds)
        bound = chosen.bound
    else:
        patterns, bound = _generated(programme, [*dict.fromkeys(pattern for pattern, _ in by_hand)])
        chosen = programme.integer(patterns, seconds)
    answers = [answer_of(task, by_hand)]
    if chosen.patterns is not None:
        answers.append(answer_of(task, chosen.patterns))
        if programme.limited:
            less = programme.integer(patterns, seconds / 3.0, at_most=chosen.value)
            answers += [] if less.patterns is None else [answer_of(task, less.patterns)]
    best = min(answers, key=lambda one: (sum(one.uncut), one.bought, _on_hand(task, one)))
    floor = programme.bought(bound, best.uncut)
    return CuttingAnswer(best.cut, best.bought, min(floor, best.bought), best.uncut)


def _on_hand(task: CuttingTask, answer: CuttingAnswer) -> int:
    """The length that is taken of what is on hand."""
    bars = task.bars
    return sum(bars[c.bar].length * c.count for c in answer.cut if bars[c.bar].have is not None)


def _every(task: CuttingTask) -> list[Pattern] | None:
    """All full patterns of all bars; None if they are too many."""
    every: list[Pattern] = []
    for bar in range(len(task.bars)):
        some = full_patterns(task, bar, MOST_PATTERNS - len(every))
        if some is None:
            return None
        every += some
    return every


def _generated(programme: "_Programme", columns: list[Pattern]) -> tuple[list[Pattern], float]:
    """Patterns that the linear programme can make use of, and its value, which is a bound.

    If the rounds end too soon, the value is 0: nothing is known.
    """
    task = programme.task
    for _ in range(ROUNDS):
        value, worth, rent = programme.linear(columns)
        found, certain = [], True
        for bar in range(len(task.bars)):
            gain, counts, sure = best_pattern(task, bar, worth)
            certain = certain and sure
            if gain > programme.cost(bar) + rent[bar] + _NEAR:
                found.append((bar, counts))
        new = [one for one in found if one not in columns]
        if not new:
            return columns, value if certain else 0.0
        columns = [*columns, *new]
    return columns, 0.0


class _Chosen(Struct, frozen=True):
    """The patterns to cut (None: none were found), what they cost with what stays uncut, and the
    least that they could.
    """

    patterns: Cuts | None
    value: float
    bound: float


class _Programme(Struct, frozen=True):
    """The programme of one task: a row for each length that can be cut, one for each bar on hand.

    Costs are whole numbers of `unit`, the length that all bought bars are multiples of; then every
    value is a whole number too, and a bound may be rounded up.  A piece may stay uncut, for
    `penalty`, more than any bar costs.
    """

    task: CuttingTask
    able: Sequence[int]
    limited: Sequence[int]
    unit: int
    penalty: int

    @classmethod
    def of(cls, task: CuttingTask, able: Sequence[int]) -> "_Programme":
        bars = range(len(task.bars))
        unit = math.gcd(*(task.cost(bar) for bar in bars)) or 1
        limited = [bar for bar in bars if task.bars[bar].have is not None]
        penalty = 2 * max(max(task.cost(bar) for bar in bars) // unit, 1)
        return cls(task, able, limited, unit, penalty)

    def cost(self, bar: int) -> int:
        """What a bar costs, in units."""
        return self.task.cost(bar) // self.unit

    def bought(self, bound: float, uncut: Sequence[int]) -> int:
        """The length to be bought at least, of a bound of the programme.

        Without the time to find one, the bound is minus infinity.
        """
        if not math.isfinite(bound):
            return 0
        units = max(0, math.ceil(bound - _NEAR * max(1.0, abs(bound))))
        return max(0, units - self.penalty * sum(uncut[i] for i in self.able)) * self.unit

    def _solver(self, patterns: Sequence[Pattern], costs: Sequence[float]) -> Any:
        import highspy  # noqa: PLC0415 - only for this

        h = highspy.Highs()  # type: ignore[no-untyped-call]
        h.silent()
        wanted, bars = self.task.wanted, self.task.bars
        for k, cost in enumerate(costs):
            rest = k - len(patterns)
            most = math.inf if rest < 0 else float(wanted[self.able[rest]].count)
            h.addVar(0.0, most)
            h.changeColCost(k, float(cost))
        for row, piece in enumerate(self.able):
            some = [(k, counts[piece]) for k, (_, counts) in enumerate(patterns) if counts[piece]]
            some.append((len(patterns) + row, 1))
            _row(h, float(wanted[piece].count), math.inf, some)
        for bar in self.limited:
            of_bar = [(k, 1) for k, (which, _) in enumerate(patterns) if which == bar]
            _row(h, -math.inf, float(bars[bar].have or 0), of_bar)
        return h

    def _costs(self, patterns: Sequence[Pattern]) -> list[int]:
        return [*(self.cost(bar) for bar, _ in patterns), *([self.penalty] * len(self.able))]

    def linear(self, patterns: Sequence[Pattern]) -> tuple[float, list[float], list[float]]:
        """The value of the linear programme, what a piece of each length is worth, and what a bar
        of each length must earn besides its cost because there are no more of it.
        """
        h = self._solver(patterns, self._costs(patterns))
        h.run()
        duals = list(h.getSolution().row_dual)
        worth = [0.0] * len(self.task.wanted)
        for row, piece in enumerate(self.able):
            worth[piece] = duals[row]
        rent = [0.0] * len(self.task.bars)
        for row, bar in enumerate(self.limited):
            rent[bar] = -duals[len(self.able) + row]
        return float(h.getInfo().objective_function_value), worth, rent

    def integer(
        self, patterns: Sequence[Pattern], seconds: float, at_most: float | None = None
    ) -> _Chosen:
        """The best choice found in so many seconds.

        With `at_most`, one that costs no more, and takes the least of what is on hand.
        """
        import highspy  # noqa: PLC0415

        costs = self._costs(patterns)
        longest = max(bar.length for bar in self.task.bars)
        second = [
            self.task.bars[bar].length / longest if bar in self.limited else 0
            for bar, _ in patterns
        ]
        goal: list[float] = [*costs] if at_most is None else [*second, *([0] * len(self.able))]
        h = self._solver(patterns, goal)
        if at_most is not None:
            _row(h, -math.inf, at_most + 0.5, [(k, cost) for k, cost in enumerate(costs) if cost])
        _all_whole(h, len(costs), highspy.HighsVarType.kInteger)
        h.setOptionValue("time_limit", seconds)
        h.setOptionValue("mip_rel_gap", 0.0)
        h.run()
        info = h.getInfo()
        bound = float(info.mip_dual_bound)
        if info.primal_solution_status != _FEASIBLE:
            return _Chosen(None, math.inf, bound)
        values = [round(value) for value in h.getSolution().col_value]
        chosen = [(one, n) for one, n in zip(patterns, values, strict=False) if n]
        value = sum(cost * n for cost, n in zip(costs, values, strict=True))
        return _Chosen(chosen, float(value), bound)


_FEASIBLE = 2
"""`kSolutionStatusFeasible` of HiGHS."""


def _row(h: Any, low: float, high: float, of: Sequence[tuple[int, int]]) -> None:
    import numpy as np  # noqa: PLC0415 - with the solver only

    at = np.array([k for k, _ in of], dtype=np.int32)
    h.addRow(low, high, len(of), at, np.array([n for _, n in of], dtype=np.float64))


def _all_whole(h: Any, count: int, kind: Any) -> None:
    import numpy as np  # noqa: PLC0415 - with the solver only

    h.changeColsIntegrality(count, np.arange(count, dtype=np.int32), np.array([kind] * count))
