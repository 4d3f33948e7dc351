"""Asking disks and shares that may never respond, with a short timeout."""

import threading
import time
from collections.abc import Callable, Sequence
from typing import TypeVar

T = TypeVar("T")


def with_timeout(asks: Sequence[Callable[[], T]], timeout: float) -> list[T | None]:
    """Return the result of each call, or None if it did not return within the timeout, s.

    All run in parallel, each in its own worker.  One that never returns is abandoned and does not
    keep the program from exiting.  A call must not raise.
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
