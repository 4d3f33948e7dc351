"""Distributes the cases of a round to parallel processes, and counts the results."""

import json
import queue
import threading
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from .finds import Finds
from .kind import Kind
from .watch import Done, Stop, Watch
from .worker import Span

_TELL_S = 60.0


@dataclass
class Round:
    """One kind's part of a run: which cases, and the results so far."""

    kind: Kind
    shares: Iterator[list[Span]]
    stop: Stop
    log: Path | None = None
    every: int = 1
    done: Done = field(default_factory=Done)
    seconds: float = 0.0

    def keep(self, spans: Sequence[Span], done: Done) -> None:
        """Count some cases, and note them in the log so that a round can be resumed."""
        self.done.add(done)
        if self.log is None or self.stop:  # shares stopped half-way are tried again
            return
        line = {"spans": spans, "words": done.words, "finds": done.finds, "mb": done.megabytes}
        self.log.parent.mkdir(parents=True, exist_ok=True)
        with self.log.open("a", encoding="utf-8") as file:
            file.write(json.dumps(line) + "\n")


def shares(seed: int, count: int | None, size: int, gone: frozenset[Span]) -> Iterator[list[Span]]:
    """Yield the cases of a seed in shares of that size, without those done; endless if `count` is
    None.
    """
    first = 0
    while count is None or first < count:
        last = first + size if count is None else min(first + size, count)
        span = Span(seed, first, last)
        if span not in gone:
            yield [span]
        first = last


def logged(log: Path) -> tuple[frozenset[Span], Done]:
    """Return the shares that a log says are done, and their results."""
    gone: set[Span] = set()
    done = Done()
    if log.exists():
        for line in log.read_text(encoding="utf-8").splitlines():
            told = json.loads(line)
            gone.update(Span(*span) for span in told["spans"])
            part = Done(finds=told["finds"], megabytes=told["mb"])
            part.words.update(told["words"])
            done.add(part)
    return frozenset(gone), done


def run(rounds: Sequence[Round], finds: Finds, workers: int) -> None:
    """Run rounds with that many parallel processes.  KeyboardInterrupt stops all of them."""
    dealt: queue.Queue[Round] = queue.Queue()
    for one in rounds:
        one.stop.begin()
        dealt.put(one)
    lock = threading.Lock()
    faults: list[Exception] = []

    def next_share() -> tuple[Round, list[Span]] | None:
        while True:
            with lock:
                if dealt.empty() or faults:
                    return None
                one = dealt.queue[0]
                share = None if one.stop else next(one.shares, None)
                if share is not None:
                    return one, share
                dealt.get()

    def work() -> None:
        while (given := next_share()) is not None:
            one, share = given
            began = time.monotonic()
            try:
                done = Watch(one.kind, finds.take, one.stop, one.every).run(share)
            except Exception as fault:  # reported by the thread that waits
                faults.append(fault)
                return
            with lock:
                one.keep(share, done)
                one.seconds += time.monotonic() - began

    threads = [threading.Thread(target=work, daemon=True) for _ in range(workers)]
    for thread in threads:
        thread.start()
    told = time.monotonic()
    try:
        while any(thread.is_alive() for thread in threads):
            threads[0].join(0.2)
            time.sleep(0.05)
            if time.monotonic() - told > _TELL_S:
                told = time.monotonic()
                for one in list(dealt.queue)[:1]:
                    if one.done.cases:
                        print(f"  ... {summary(one)}", flush=True)
    except KeyboardInterrupt:
        for one in rounds:
            one.stop.say()
        for thread in threads:
            thread.join(10.0)
        raise
    if faults:
        raise faults[0]


def summary(one: Round) -> str:
    """Return the results of a round in one line."""
    done = one.done
    words = ", ".join(f"{count:,} {word}" for word, count in done.words.most_common())
    ended = f" ({words})" if words else ""
    most = f", {done.megabytes:.0f} MB at most" if done.megabytes else ""
    found = "no find" if not done.finds else f"{done.finds:,} FINDS"
    part = f", in full one in {one.every}" if one.every > 1 else ""
    took = f"{one.seconds:.0f} s"
    return f"{one.kind.name}: {done.cases:,} cases{ended}{part}, {found}, {took}{most}"
