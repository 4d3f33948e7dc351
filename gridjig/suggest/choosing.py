"""One option of each group, none of which exclude each other, at the least cost: exactly.

First many starts of a greedy search give a choice that can be had; what it costs rules out every
option that no better choice can have; what is left is a 0-1 programme for HiGHS.  One row for each
pair that excludes each other: adding rows up slows HiGHS down.
"""

import math
import random
from collections.abc import Callable, Iterable, Mapping, Sequence

from msgspec import Struct

from gridjig.units.progress import SILENT, Progress, looked_at

from .engine import run_engine

_EXACT = 1e-6
"""Costs that differ by less are the same."""


class Option(Struct, frozen=True, eq=False):
    """One way to do what a group asks for: what it costs, and how much it takes of what is short.

    `atoms` are the things it consists of: two options with atoms that exclude each other do too.
    `needs` are atoms that the options of other groups must bring, which do this work as well.
    `lacks` is how much of what the group asks for it leaves undone; its cost has that in it.
    """

    cost: float
    atoms: frozenset[int] = frozenset()
    takes: Mapping[str, int] = {}
    lacks: int = 0
    needs: frozenset[int] = frozenset()


class Barred(Struct, frozen=True):
    """At most so many of these kinds of atoms, each a set, can be there together.

    Every kind is of one group, or its atoms exclude each other.
    """

    kinds: tuple[frozenset[int], ...]
    most: int

    def within(self, atoms: frozenset[int]) -> bool:
        """True if some atoms can be there together."""
        return sum(not kind.isdisjoint(atoms) for kind in self.kinds) <= self.most


class Puzzle(Struct, frozen=True, eq=False):
    """Groups of options, of each of which exactly one is chosen.

    `apart` has, for each atom, those that exclude it.  `stock` is how much there is to take.
    `barred` limits what can be there together.
    """

    groups: tuple[tuple[Option, ...], ...]
    apart: Mapping[int, frozenset[int]] = {}
    stock: Mapping[str, int] = {}
    barred: tuple[Barred, ...] = ()


class BestChoice(Struct, frozen=True, eq=False):
    """The option chosen of each group, its cost, and what no choice can cost less than.

    `proven`: there is no better one.
    """

    chosen: tuple[int, ...]
    cost: float
    bound: float
    proven: bool


def options_apart(puzzle: Puzzle, one: Option, other: Option) -> bool:
    """True if two options exclude each other."""
    return any(puzzle.apart.get(atom, _NONE) & other.atoms for atom in one.atoms)


_NONE: frozenset[int] = frozenset()


def least(puzzle: Puzzle) -> float:
    """What no choice can cost less than: the cheapest option of each group, by `reduced`."""
    return sum(min(group, default=0.0) for group in reduced(puzzle))


def reduced(puzzle: Puzzle) -> tuple[tuple[float, ...], ...]:
    """What each option costs if those that need an atom pay something to those that bring it.

    No choice costs less than the sum of these: whatever is needed is brought, and who brings it
    gets as much as all groups that may need it pay.  Nobody gets so much that an option becomes
    cheaper than the cheapest of its group.  What nobody brings cannot be paid for.
    """
    asking: dict[int, int] = {}
    for group in puzzle.groups:
        for atom in {atom for option in group for atom in option.needs}:
            asking[atom] = asking.get(atom, 0) + 1
    if not asking:
        return tuple(tuple(option.cost for option in group) for group in puzzle.groups)
    gets: dict[int, float] = {}
    for group in puzzle.groups:
        low = min(option.cost for option in group) if group else 0.0
        for option in group:
            mine = [atom for atom in option.atoms if atom in asking]
            for atom in mine:
                share = (option.cost - low) / len(mine)
                gets[atom] = min(gets.get(atom, share), share)

    def cost(option: Option) -> float:
        pays = sum(gets.get(atom, math.inf) / asking[atom] for atom in option.needs)
        return option.cost + pays - sum(gets[atom] for atom in option.atoms if atom in asking)

    return tuple(tuple(map(cost, group)) for group in puzzle.groups)


def allowed(puzzle: Puzzle, chosen: Sequence[int]) -> bool:
    """True if a choice, one option of each group, can be had."""
    picked = [group[k] for group, k in zip(puzzle.groups, chosen, strict=True)]
    atoms = frozenset(atom for option in picked for atom in option.atoms)
    if any(puzzle.apart.get(atom, _NONE) & atoms for atom in atoms):
        return False
    if any(not option.needs <= atoms for option in picked):
        return False
    taken: dict[str, int] = {}
    for option in picked:
        for what, many in option.takes.items():
            taken[what] = taken.get(what, 0) + many
    if any(many > puzzle.stock.get(what, 0) for what, many in taken.items()):
        return False
    return all(bar.within(atoms) for bar in puzzle.barred)


def first_choice(
    puzzle: Puzzle, seed: int, starts: int, progress: Progress = SILENT
) -> tuple[int, ...] | None:
    """The best choice of many starts, each in an order of its own; None if none can be had."""
    order = sorted(range(len(puzzle.groups)), key=lambda g: (len(puzzle.groups[g]), g))
    cheap = [sorted(range(len(g)), key=lambda k: (g[k].cost, k)) for g in puzzle.groups]
    chance = random.Random(seed)
    best: tuple[float, tuple[int, ...]] | None = None
    for start in range(starts):
        progress.check()
        if start:
            order = order[:]
            chance.shuffle(order)
        made = _greedy(puzzle, order, cheap)
        if made is None:
            continue
        made = _improved(puzzle, made, cheap)
        cost = cost_of(puzzle, made)
        if best is None or cost < best[0] - _EXACT:
            best = (cost, made)
    return None if best is None else best[1]


def cost_of(puzzle: Puzzle, chosen: Sequence[int]) -> float:
    """What a choice costs."""
    return sum(group[k].cost for group, k in zip(puzzle.groups, chosen, strict=True))


class _Taken:
    """What the options chosen so far rule out."""

    def __init__(self, puzzle: Puzzle) -> None:
        self._puzzle = puzzle
        self._atoms: dict[int, int] = {}
        self._needed: dict[int, int] = {}
        self._left = dict(puzzle.stock)

    def add(self, option: Option, by: int = 1) -> None:
        """Take an option; with -1, give it back."""
        for counts, some in ((self._atoms, option.atoms), (self._needed, option.needs)):
            for atom in some:
                counts[atom] = counts.get(atom, 0) + by
                if not counts[atom]:
                    del counts[atom]
        for what, many in option.takes.items():
            self._left[what] = self._left.get(what, 0) - many * by

    def fits(self, option: Option) -> bool:
        """True if an option can be added."""
        here = self._atoms.keys()
        if any(not here.isdisjoint(self._puzzle.apart.get(atom, _NONE)) for atom in option.atoms):
            return False
        if any(self._left.get(what, 0) < many for what, many in option.takes.items()):
            return False
        needed = (*option.needs, *self._needed)
        if any(atom not in here and atom not in option.atoms for atom in needed):
            return False
        if not self._puzzle.barred or not option.atoms:
            return True
        every = option.atoms.union(here)
        return all(bar.within(every) for bar in self._puzzle.barred)


def _greedy(
    puzzle: Puzzle, order: Sequence[int], cheap: Sequence[Sequence[int]]
) -> tuple[int, ...] | None:
    taken, chosen = _Taken(puzzle), [0] * len(puzzle.groups)
    for g in order:
        group = puzzle.groups[g]
        found = next((k for k in cheap[g] if taken.fits(group[k])), None)
        if found is None:
            return None
        chosen[g] = found
        taken.add(group[found])
    return tuple(chosen)


def _improved(
    puzzle: Puzzle, chosen: tuple[int, ...], cheap: Sequence[Sequence[int]]
) -> tuple[int, ...]:
    """Each option exchanged for a cheaper one as long as that fits."""
    taken, now = _Taken(puzzle), list(chosen)
    for g, k in enumerate(now):
        taken.add(puzzle.groups[g][k])
    better = True
    while better:
        better = False
        for g, group in enumerate(puzzle.groups):
            mine = group[now[g]]
            taken.add(mine, -1)
            for k in cheap[g]:
                if group[k].cost >= mine.cost - _EXACT:
                    break
                if taken.fits(group[k]):
                    now[g], mine, better = k, group[k], True
                    break
            taken.add(mine)
    return tuple(now)


def choose(
    puzzle: Puzzle,
    seed: int = 0,
    seconds: float = 10.0,
    starts: int = 12,
    progress: Progress = SILENT,
    told: Callable[[BestChoice], None] = lambda choice: None,
) -> BestChoice | None:
    """Return the best choice; None if there is none, or none was found in time.

    `told` hears of the first one at once.  The same puzzle and seed give the same choice if the
    time is enough for a proof.
    """
    if any(not group for group in puzzle.groups):
        return None
    floor = least(puzzle)
    first = first_choice(puzzle, seed, starts, progress)
    if first is not None:
        cost = cost_of(puzzle, first)
        made = BestChoice(first, cost, floor, cost <= floor + _EXACT)
        told(made)
        if made.proven:
            return made
    return _exactly(puzzle, first, floor, seconds, progress)


def _kept(puzzle: Puzzle, first: Sequence[int] | None, floor: float) -> list[list[int]]:
    """The options that a better choice can have."""
    room = float("inf") if first is None else cost_of(puzzle, first) - floor
    kept = []
    for costs in reduced(puzzle):
        low = min(costs)
        kept.append([k for k, cost in enumerate(costs) if cost - low <= room + _EXACT])
    return kept


def _exactly(
    puzzle: Puzzle,
    first: tuple[int, ...] | None,
    floor: float,
    seconds: float,
    progress: Progress,
) -> BestChoice | None:
    import highspy  # noqa: PLC0415 - 75 ms, only where it is needed

    kept = _kept(puzzle, first, floor)
    places = [(g, k) for g, some in enumerate(kept) for k in some]
    index = {place: n for n, place in enumerate(places)}
    options = [puzzle.groups[g][k] for g, k in places]

    class Quiet(highspy.Highs):
        """HiGHS without its banner, which it prints as soon as callbacks are on."""

        def enableCallbacks(self) -> None:
            self.silent()
            super().enableCallbacks()  # type: ignore[no-untyped-call]

    engine = Quiet()  # type: ignore[no-untyped-call]
    for name, value in (
        ("output_flag", False), ("threads", 1), ("mip_rel_gap", 0.0), ("mip_abs_gap", 1e-7),
        ("random_seed", 0), ("time_limit", seconds),
    ):  # fmt: skip
        engine.setOptionValue(name, value)
    lp = highspy.HighsLp()
    with progress.heeded():
        rows = list(_rows(puzzle, kept, index, options))
    lp.num_col_, lp.num_row_ = len(places), len(rows)
    lp.col_cost_ = [option.cost for option in options]
    lp.col_lower_, lp.col_upper_ = [0.0] * len(places), [1.0] * len(places)
    lp.row_lower_, lp.row_upper_ = [row[1] for row in rows], [row[2] for row in rows]
    lp.integrality_ = [highspy.HighsVarType.kInteger] * len(places)
    starts, columns, values = [0], [], []
    for terms, _, _ in rows:
        columns += list(terms)
        values += list(terms.values())
        starts.append(len(columns))
    matrix = lp.a_matrix_
    matrix.format_ = highspy.MatrixFormat.kRowwise
    matrix.start_, matrix.index_, matrix.value_ = starts, columns, values
    engine.passModel(lp)
    ended = run_engine(engine, seconds, progress)
    info = engine.getInfo()
    status = engine.getModelStatus()
    if status == highspy.HighsModelStatus.kInfeasible:
        return None
    found = first
    if info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible:
        solved = engine.getSolution().col_value
        picked = {g: k for (g, k), x in zip(places, solved, strict=True) if x > 0.5}
        made = tuple(picked.get(g, -1) for g in range(len(puzzle.groups)))
        if min(made) >= 0 and allowed(puzzle, made):
            better = first is None or cost_of(puzzle, made) < cost_of(puzzle, first) - _EXACT
            found = made if better else first
    if found is None:
        return None
    cost = cost_of(puzzle, found)
    proven = ended and status == highspy.HighsModelStatus.kOptimal
    bound = cost if proven else min(cost, max(floor, float(info.mip_dual_bound)))
    return BestChoice(found, cost, bound, proven)


ProgrammeRow = tuple[dict[int, float], float, float]


def _rows(
    puzzle: Puzzle,
    kept: Sequence[Sequence[int]],
    index: Mapping[tuple[int, int], int],
    options: Sequence[Option],
) -> Iterable[ProgrammeRow]:
    """One of each group; pairs that exclude each other; what is needed, the stock, the barred."""
    inf = float("inf")
    for g, mine in enumerate(kept):
        yield {index[g, k]: 1.0 for k in mine}, 1.0, 1.0
    having: dict[int, list[int]] = {}
    for n, option in enumerate(options):
        for atom in option.atoms:
            having.setdefault(atom, []).append(n)
    group_of = {n: g for (g, _), n in index.items()}
    pairs = {
        (min(n, m), max(n, m))
        for atom, having_it in having.items()
        for other in puzzle.apart.get(atom, _NONE)
        for n in looked_at(having_it, 20)
        for m in having.get(other, ())
        if group_of[n] != group_of[m]
    }
    for n, m in sorted(pairs):
        yield {n: 1.0, m: 1.0}, -inf, 1.0
    for n, option in enumerate(options):
        for atom in sorted(option.needs):
            yield {n: 1.0, **dict.fromkeys(having.get(atom, ()), -1.0)}, -inf, 0.0
    for what in sorted({what for option in options for what in option.takes}):
        taking = {n: float(o.takes[what]) for n, o in enumerate(options) if what in o.takes}
        yield taking, -inf, float(puzzle.stock.get(what, 0))
    for bar in puzzle.barred:
        terms: dict[int, float] = {}
        for n, option in enumerate(options):
            hit = sum(not kind.isdisjoint(option.atoms) for kind in bar.kinds)
            if hit:
                terms[n] = float(hit)
        yield terms, -inf, float(bar.most)
