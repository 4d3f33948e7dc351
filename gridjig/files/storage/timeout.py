"""Asking disks and shares that may never answer, without waiting for them longer than a moment."""

import threading
import time
from collections.abc import Callable, Sequence
from typing import TypeVar

T = TypeVar("T")


def with_timeout(asks: Sequence[Callable[[], T]], timeout: float) -> list[T | None]:
    """What each question answers, or None where no answer came within the time, in seconds.

    All are asked side by side, each in its own worker.  One that never answers is left behind and
    does not keep the program from ending.  A question must not raise.
    """
    answers: dict[int, T] = {}

    def work(at: int) -> None:
        answers[at] = asks[at]()

    workers = [threading.Thread(target=work, args=(at,), daemon=True) for at in range(len(asks))]
    for worker in workers:
        worker.start()
    until = time.monotonic() + timeout
    for worker in workers:
        worker.join(max(0.0, until - time.monotonic()))
    return [answers.get(at) for at in range(len(asks))]
