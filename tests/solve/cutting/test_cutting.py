"""Cutting bars: the optimum against brute force and the bound, kerf, trim, bars on hand."""

from collections.abc import Iterator
from functools import cache

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gridjig.solve.cutting import exact, process
from gridjig.solve.cutting.exact import cheapest
from gridjig.solve.cutting.patterns import (
    best_pattern,
    by_first_fit,
    full_patterns,
    material_bound,
    offcut,
)
from gridjig.solve.cutting.process import by_hand, cheapest_of_all
from gridjig.solve.cutting.values import BarLength, CuttingAnswer, CuttingTask, WantedPieces
from gridjig.units.progress import Cancelled, Progress


def task(
    wanted: list[tuple[int, int]],
    bars: list[tuple[int, int | None]],
    kerf: int = 0,
    trim: int = 0,
) -> CuttingTask:
    return CuttingTask(
        tuple(WantedPieces(*one) for one in wanted),
        tuple(BarLength(*one) for one in bars),
        kerf,
        trim,
    )


def least_bought(one: CuttingTask) -> int | None:
    """The least length to be bought, by trying everything: the first piece that is left goes into
    each bar that is open or can be opened.  None if the pieces cannot all be cut.
    """
    pieces = sorted((w.length + one.kerf for w in one.wanted for _ in range(w.count)), reverse=True)
    kinds = range(len(one.bars))

    @cache
    def deeper(at: int, open_: tuple[int, ...], used: tuple[int, ...]) -> int | None:
        if at == len(pieces):
            return 0
        results = []
        for k, room in enumerate(open_):
            if room >= pieces[at] and room not in open_[:k]:
                rest = tuple(sorted((*open_[:k], room - pieces[at], *open_[k + 1 :])))
                results.append(deeper(at + 1, rest, used))
        for kind in kinds:
            have = one.bars[kind].have
            if (have is None or used[kind] < have) and one.room(kind) >= pieces[at]:
                opened = tuple(sorted((*open_, one.room(kind) - pieces[at])))
                more = tuple(n + (k == kind) for k, n in enumerate(used))
                after = deeper(at + 1, opened, more)
                results.append(None if after is None else after + one.cost(kind))
        found = [result for result in results if result is not None]
        return min(found) if found else None

    return deeper(0, (), (0,) * len(one.bars))


def bars_of(answer: CuttingAnswer) -> int:
    return sum(cut.count for cut in answer.cut)


def require_sound(one: CuttingTask, answer: CuttingAnswer) -> None:
    """What holds of any answer: nothing is missing, no bar overfilled, none more than there are."""
    made = [0] * len(one.wanted)
    used = [0] * len(one.bars)
    for cut in answer.cut:
        used[cut.bar] += cut.count
        lengths = [one.wanted[piece].length for piece in cut.pieces]
        assert lengths
        for piece in cut.pieces:
            made[piece] += cut.count
        taken = sum(lengths) + one.kerf * (len(lengths) - 1) + one.trim
        left = one.bars[cut.bar].length - taken
        assert left >= 0
        assert cut.offcut == max(0, left - one.kerf)
    for n, bar in zip(used, one.bars, strict=True):
        assert bar.have is None or n <= bar.have
    for n, uncut, wanted in zip(made, answer.uncut, one.wanted, strict=True):
        assert n + uncut == wanted.count
    assert answer.bought == sum(one.cost(cut.bar) * cut.count for cut in answer.cut)
    assert answer.bound <= answer.bought


@pytest.mark.source("method", "arithmetic of kerfs: n pieces need n - 1 cuts between them")
def test_a_kerf_between_pieces_can_cost_a_bar() -> None:
    [exactly] = cheapest(task([(2000, 3)], [(6000, None)])).cut
    assert exactly.offcut == 0
    assert bars_of(cheapest(task([(2000, 3)], [(6000, None)], kerf=3))) == 2
    [close] = cheapest(task([(1998, 3)], [(6000, None)], kerf=3)).cut
    assert close.offcut == 0, "the last cut takes what is left"
    assert bars_of(cheapest(task([(1998, 3)], [(6000, None)], kerf=3, trim=1))) == 2


@pytest.mark.source("method", "the textbook case in which filling by hand takes a bar too many")
def test_the_optimum_beats_the_longest_piece_first() -> None:
    one = task([(45, 2), (35, 2), (20, 2)], [(100, None)])
    # By hand 45 + 45, 35 + 35 + 20, 20; better twice 45 + 35 + 20.
    assert bars_of(by_hand(one)) == 3
    best = cheapest(one)
    assert [(cut.pieces, cut.count) for cut in best.cut] == [((0, 1, 2), 2)]
    assert best.proven
    assert best.bought == best.bound == 200


SMALL = st.builds(
    task,
    st.lists(st.tuples(st.integers(10, 90), st.integers(1, 3)), min_size=1, max_size=3),
    st.sampled_from(
        [
            [(100, None)],
            [(100, None), (150, None)],
            [(100, None), (60, 2)],
            [(120, None), (75, 1), (50, 2)],
            [(100, 3)],
        ]
    ),
    st.sampled_from([0, 3]),
    st.sampled_from([0, 5]),
)


@pytest.mark.untraced
@pytest.mark.source("method", "brute force over every way to cut the bars")
@settings(max_examples=25)
@given(SMALL)
def test_no_way_to_cut_takes_less(one: CuttingTask) -> None:
    answer = cheapest(one)
    require_sound(one, answer)
    assert answer.proven
    least = least_bought(one)
    assert (least is None) == (sum(answer.uncut) > 0)
    if least is not None:
        assert answer.bought == least
        assert material_bound(one) <= least
        require_sound(one, by_hand(one))
        assert by_hand(one).bought >= least


@pytest.mark.untraced
@pytest.mark.source("method", "all patterns as choices, against patterns that are generated")
def test_generated_patterns_give_the_same_optimum(monkeypatch: pytest.MonkeyPatch) -> None:
    cases = [
        task([(17, 3), (23, 4), (31, 2), (12, 5), (44, 1)], [(100, None)], kerf=1),
        task([(17, 3), (23, 4), (31, 2), (12, 5)], [(100, None), (70, None), (50, 1)], kerf=1),
    ]
    whole = [cheapest(one) for one in cases]
    monkeypatch.setattr(exact, "MOST_PATTERNS", 2)
    for one, expected in zip(cases, whole, strict=True):
        found = cheapest(one)
        require_sound(one, found)
        assert found.bound <= expected.bought <= found.bought
        assert expected.proven
    assert cheapest(cases[0]).bought == whole[0].bought


@pytest.mark.source("method", "by hand: 2 x 60 and 1 x 40 fit 100 + 60, and nothing less")
def test_patterns_are_generated_where_they_are_too_many(monkeypatch: pytest.MonkeyPatch) -> None:
    one = task([(60, 2), (40, 1)], [(100, None), (60, None), (55, 1)])
    monkeypatch.setattr(exact, "MOST_PATTERNS", 1)
    found = cheapest(one)
    require_sound(one, found)
    assert found.bought == least_bought(one)
    assert found.bound <= found.bought
    monkeypatch.setattr(exact, "ROUNDS", 0)  # too few to know anything
    assert cheapest(one).bound == 0


def test_of_very_many_lengths_bars_filled_by_hand_are_the_answer(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    one = task([(60, 2), (40, 1)], [(100, None)])
    monkeypatch.setattr(exact, "MOST_LENGTHS", 1)
    found = cheapest(one)
    require_sound(one, found)
    assert (found.cut, found.bound) == (by_hand(one).cut, material_bound(one))


def test_without_time_for_the_programme_there_is_still_an_answer() -> None:
    one = task([(17, 3), (23, 4), (31, 2)], [(100, None)])
    found = cheapest(one, seconds=0.0)  # HiGHS then has no bound at all
    require_sound(one, found)
    assert sum(found.uncut) == 0
    assert 0 <= found.bound <= found.bought


def test_what_no_bar_holds_is_left_and_the_rest_is_cut() -> None:
    one = task([(70, 1), (30, 4)], [(50, None)])
    answer = cheapest(one)
    require_sound(one, answer)
    assert answer.uncut == (1, 0)
    assert bars_of(answer) == 4
    assert cheapest(task([(70, 1)], [(50, None)])) == CuttingAnswer((), 0, 0, (1,))
    short = cheapest(task([(30, 4)], [(50, 3)]))
    assert short.uncut == (1,)


def test_what_is_on_hand_is_used_before_anything_is_bought() -> None:
    one = task([(40, 4)], [(100, None), (45, 3)])
    answer = cheapest(one)
    assert answer.bought == 100
    # Two in the bar that is bought; of the short ones on hand only as many as are needed then.
    assert [(cut.bar, cut.count) for cut in answer.cut] == [(0, 1), (1, 2)]


@pytest.mark.source("method", "every filling of a bar, tried one by one")
def test_full_patterns_and_the_best_of_them() -> None:
    one = task([(30, 3), (45, 2), (20, 2)], [(100, None)], kerf=2)
    patterns = full_patterns(one, 0, 100)
    assert patterns is not None

    def fillings() -> Iterator[tuple[int, int, int]]:
        for a in range(4):
            for b in range(3):
                for c in range(3):
                    if a * 32 + b * 47 + c * 22 <= 102:
                        yield a, b, c

    every = set(fillings())
    more = ((1, 0, 0), (0, 1, 0), (0, 0, 1))
    full = {
        (a, b, c)
        for a, b, c in every
        if not any((a + i, b + j, c + k) in every for i, j, k in more)
    }
    assert {counts for _, counts in patterns} == full
    assert len(patterns) == len(full)
    assert full_patterns(one, 0, 1) is None
    worth = [1.0, 1.7, 0.4]
    value, counts, sure = best_pattern(one, 0, worth)
    assert sure
    assert value == pytest.approx(
        max(sum(w * n for w, n in zip(worth, p, strict=True)) for p in every)
    )
    assert counts in every
    assert not best_pattern(one, 0, worth, most=1)[2]


def test_an_off_cut_narrower_than_a_cut_is_swarf() -> None:
    one = task([(48, 1)], [(50, None)], kerf=3)
    assert offcut(one, 0, [0]) == 0
    assert by_first_fit(one) == [((0, (1,)), 1)]


def test_another_process_gives_the_same_answers() -> None:
    tasks = [task([(2000, 5)], [(6000, None)], kerf=3), task([(70, 1)], [(50, None)])]
    assert cheapest_of_all(tasks) == tuple(cheapest(one) for one in tasks)
    assert cheapest_of_all([]) == ()


def test_it_stops_when_told_and_falls_back_when_it_lasts(monkeypatch: pytest.MonkeyPatch) -> None:
    one = task([(2000, 5)], [(6000, None)], kerf=3)
    with pytest.raises(Cancelled):
        cheapest_of_all([one], Progress(is_cancelled=lambda: True))
    answers = cheapest_of_all([one], longest=0.0)
    assert answers == (by_hand(one),)
    require_sound(one, answers[0])
    monkeypatch.setattr(process, "_MODULE", "gridjig.solve.cutting.gone")
    assert cheapest_of_all([one]) == (by_hand(one),)


def test_the_process_reads_tasks_and_writes_answers(
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    folder = tmp_path_factory.mktemp("cutting")
    one = task([(2000, 5)], [(6000, None)], kerf=3)
    (folder / "tasks").write_bytes(msgspec.json.encode([one]))
    process.main(str(folder / "tasks"), str(folder / "answers"))
    told = msgspec.json.decode((folder / "answers").read_bytes(), type=list[CuttingAnswer])
    assert told == [cheapest(one)]


def test_thousands_of_pieces_and_of_lengths_are_soon_filled_by_hand() -> None:
    many = task([(1000, 1_000_000), (700, 2_000_000)], [(6000, None)], kerf=3)
    require_sound(many, by_hand(many))
    best = cheapest(many)
    require_sound(many, best)
    assert best.proven
    assert len(best.cut) < 10
    lengths = task([(200 + k, 3) for k in range(1500)], [(6000, None)], kerf=3)
    answer = cheapest(lengths)
    require_sound(lengths, answer)
    assert 0 < answer.bound <= answer.bought < 1.2 * answer.bound
