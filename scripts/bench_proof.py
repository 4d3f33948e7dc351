"""How fast a set-up is proved: all checks after an edit, one moved piece, a great many set-ups.

Run: python scripts/bench_proof.py [--quick].  Prints one line for each promise and exits with 1 if
one is missed.  Each number is the processor time of this process; 300 pieces at 60 members for the
checks, 500 pieces for one moved piece.  What takes longer than an edit may runs beside the window.
"""

import argparse
import gc
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
from msgspec import structs

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from bench_contacts import TABLE, scene

from gridjig.checks.clash_book import ClashBook
from gridjig.checks.conflicts import conflict
from gridjig.checks.neighbours import Neighbours
from gridjig.edits.selection import shift
from gridjig.model import Hole, Job, Placement, Seat
from gridjig.proof.exact.report import Exactness
from gridjig.proof.exact.sampling import COUNT, sampled
from gridjig.proof.report import Prover
from gridjig.solve.placed.cache import PlacedPieces

AFTER_AN_EDIT_MS = 16.0
ONE_AGAINST_MS = 0.15
SAMPLED_MS = 200.0
AGAINST = 500


def spent(work: Callable[[], object]) -> float:
    """Return the processor time that some work takes, ms."""
    gc.collect()
    gc.disable()
    start = time.process_time()
    work()
    taken = (time.process_time() - start) * 1000.0
    gc.enable()
    return taken


def after_an_edit(job: Job, every: int, rounds: int) -> list[float]:
    """Move every so many-th piece by a hole and back; return the least time of each edit, ms."""
    prover, placed = Prover(), PlacedPieces()
    prover.of(job, placed.of(job), quick=True)
    found = []
    for placement in job.placements[::every]:
        moved = shift(job, frozenset([placement.id]), 1, 0)
        least = [float("inf"), float("inf")]
        for _ in range(rounds):
            for k, now in enumerate((moved, job)):
                pieces = placed.of(now)
                taken = spent(lambda now=now, pieces=pieces: prover.of(now, pieces, quick=True))  # type: ignore[misc]
                least[k] = min(least[k], taken)
        found += least
    return found


def five_hundred() -> Job:
    """Return a table full of round pins, none of which is in the way of another."""
    job = scene()
    pins = tuple(
        Placement(id=f"p{k}", piece="pin-1", seats=(Seat("shank", Hole(2 * (k % 28), k // 28)),))
        for k in range(AGAINST + 1)
    )
    return structs.replace(job, table=TABLE, parts=(), placements=pins)


def one_against(job: Job, rounds: int) -> float:
    """Return the time to compare one moved piece with all others, ms, as in a drag."""
    placed = PlacedPieces().of(job)
    every = Neighbours(placed.values())
    moved = PlacedPieces().of(shift(job, frozenset(["p0"]), 1, 0))["p0"]

    def compare() -> list[object]:
        near = {*every.pinned_in(moved.holes), *every.near(moved)}
        return [conflict(moved, one) for one in near if one is not placed["p0"]]

    compare()
    return min(spent(compare) for _ in range(rounds))


def kept_against(job: Job, rounds: int) -> float:
    """Return the time of all clashes of a job after one piece was moved, ms."""
    book, placed = ClashBook(), PlacedPieces()
    book.of(placed.of(job), ())
    moved = shift(job, frozenset(["p0"]), 1, 0)
    best = float("inf")
    for _ in range(rounds):
        for now in (moved, job):
            pieces = placed.of(now)
            best = min(best, spent(lambda pieces=pieces: book.of(pieces, ())))  # type: ignore[misc]
    return best


def told(rows: Sequence[tuple[str, float, float]]) -> bool:
    """Print each row with its limit; return True if one is missed."""
    missed = False
    for what, value, limit in rows:
        missed |= value > limit
        verdict = "met" if value <= limit else "NOT MET"
        print(f"{what:<52}{value:8.3f} ms <= {limit:g}: {verdict}")
    return missed


def main() -> int:
    """Print the times; return 1 if a limit is missed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="fewer rounds")
    quick = parser.parse_args().quick
    job = scene()
    edits = after_an_edit(job, 25 if quick else 5, 2 if quick else 4)
    pins = five_hundred()
    prover, placed, exactness = Prover(), PlacedPieces(), Exactness()
    report = prover.of(job, placed.of(job), quick=True)
    assert report.contacts is not None
    exact = exactness.of(job, placed.of(job), report.contacts)
    held = next(one for one in exact.members if one.error is not None)
    measure = exactness.measure_at(held.id, held.at)
    assert measure is not None
    print(
        f"{len(job.placements)} pieces, {len(job.parts)} members: {len(report.findings)} findings"
    )
    rows = [
        ("all checks after an edit, median", float(np.median(edits)), AFTER_AN_EDIT_MS),
        ("all checks after an edit, p95", float(np.quantile(edits, 0.95)), AFTER_AN_EDIT_MS),
        (f"one moved piece against {AGAINST}", one_against(pins, 50), ONE_AGAINST_MS),
    ]
    trials = min(spent(lambda: sampled(measure, 1.0)) for _ in range(3))
    rows.append((f"{COUNT} random set-ups of one point", trials, SAMPLED_MS))
    missed = told(rows)
    print(f"{'all clashes of those after it was moved':<52}{kept_against(pins, 20):8.3f} ms")
    return int(missed)


if __name__ == "__main__":
    sys.exit(main())
