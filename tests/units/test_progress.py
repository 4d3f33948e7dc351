"""What long work reports and how it is cancelled, compared with simple sums."""

import pytest

from gridjig.units.progress import SILENT, Cancelled, Progress

Told = list[tuple[int, int | None, str]]


def telling(told: Told) -> Progress:
    return Progress(lambda done, total, words: told.append((done, total, words)))


def test_each_item_is_reported_before_it_is_given_and_all_at_the_end() -> None:
    told: Told = []
    seen = [(item, len(told)) for item in telling(told).each("abc", "Trying letters")]
    assert seen == [("a", 1), ("b", 2), ("c", 3)]
    assert told == [(k, 3, "Trying letters") for k in (0, 1, 2, 3)]


def test_a_part_counts_within_its_share_of_the_whole_however_deep() -> None:
    told: Told = []
    half = telling(told).part(500, 1000)
    half.report(1, 4)
    half.part(0, 250).report(1, 2, "half of the first quarter of the second half")
    half.report(9, None)
    half.report(8, 4)
    assert told == [
        (625, 1000, ""),
        (562, 1000, "half of the first quarter of the second half"),
        (500, 1000, ""),
        (1000, 1000, ""),
    ]


def test_cancelled_work_ends_at_its_next_check() -> None:
    wanted = True
    told: Told = []
    progress = Progress(lambda *said: told.append(said), lambda: not wanted)
    done = 0
    with pytest.raises(Cancelled):  # noqa: PT012
        for item in progress.part(0, 10).each(range(100)):
            done = item
            wanted = item < 2
    assert done == 2
    assert len(told) == 3
    for call in (progress.check, lambda: progress.report(1), lambda: progress.part(0, 1).check()):
        with pytest.raises(Cancelled):
            call()
    assert len(told) == 3


def test_silence_is_never_cancelled() -> None:
    assert list(SILENT.part(1, 2).each([1, 2])) == [1, 2]
    SILENT.check()
    SILENT.report(1)
