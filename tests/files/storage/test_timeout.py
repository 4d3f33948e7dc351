"""Questions to disks that may never answer."""

import threading
import time
from functools import partial

from hypothesis import given
from hypothesis import strategies as st

from gridjig.files.storage.timeout import with_timeout


@given(st.lists(st.integers(), max_size=8))
def test_every_question_gets_its_own_answer(values: list[int]) -> None:
    assert with_timeout([partial(int, value) for value in values], 10) == values


def test_who_does_not_answer_in_time_gives_none_and_holds_nobody() -> None:
    answer = threading.Event()
    began = time.monotonic()
    assert with_timeout([lambda: answer.wait(20), lambda: True], 0.2) == [None, True]
    assert time.monotonic() - began < 5
    answer.set()
