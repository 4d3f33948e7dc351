"""How fast contacts are found, against shapely asked for every feature and part in the same run.

Run: python scripts/bench_contacts.py [--quick].  Prints one line for each promise and exits with 1
if one is missed: all contacts, roles and overlaps of 300 pieces at 60 members from nothing, and the
same again after one piece was moved.  Each number is the processor time of this process, all its
threads together, and the least of several rounds, so that other work of the computer is left out.
"""

import argparse
import gc
import sys
import time
from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path

import numpy as np
import shapely
from msgspec import structs
from shapely.geometry.base import BaseGeometry

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from gridjig.contact.book import Contacts
from gridjig.contact.features import features_of
from gridjig.edits.selection import shift
from gridjig.files.library.assets import starter_racks
from gridjig.files.library.sections import find_section
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Hole, Job, Member, Placement, Seat, Table
from gridjig.solve.placed.cache import PlacedPieces

INCH = 25.4
FRAMES = 15
FROM_NOTHING_MS = 20.0
ONE_MOVED_MS = 0.3
LEAST_RATIO = 2.0

TABLE = Table(
    name="Bench", width=122 * INCH, depth=122 * INCH, thickness=12.7, pitch_x=2 * INCH,
    pitch_y=2 * INCH, columns=60, rows=60, first_x=2 * INCH, first_y=2 * INCH,
    hole_diameter=0.75 * INCH,
)  # fmt: skip


def frame(name: str, x: float, y: float) -> Iterator[Member]:
    """Yield four tubes butted to a frame of 24 x 12 in, half an inch above the table."""
    tube = find_section("2x2x1/8")
    assert tube is not None
    w, half = 2 * INCH, INCH
    for part, (left, front, turn, length) in {
        "front": (x, y + half, 0.0, 24 * INCH),
        "back": (x, y + 12 * INCH - half, 0.0, 24 * INCH),
        "left": (x + half, y + w, 90.0, 8 * INCH),
        "right": (x + 24 * INCH - half, y + w, 90.0, 8 * INCH),
    }.items():
        yield Member(
            id=f"{name}-{part}", name=f"{name} {part}", section=tube, length=length, x=left,
            y=front, turn=turn, z_low=0.5 * INCH,
        )  # fmt: skip


def pieces(col: int, row: int, number: Iterator[int]) -> Iterator[Placement]:
    """Yield twenty pieces at a frame whose corner is half an inch inside the hole at col, row."""

    def put(piece: str, *seats: tuple[str, int, int], **more: float) -> Placement:
        made = Placement(
            id=f"p{next(number)}",
            piece=piece,
            seats=tuple(Seat(name, Hole(col + c, row + r)) for name, c, r in seats),
        )
        return structs.replace(made, **more)

    for c in (1, 6, 11):
        yield put("stop-fixed", ("front", c, 0), ("back", c, -1))
    for c in (1, 6, 11):
        yield put("stop-fixed", ("front", c, 7), ("back", c, 8))
    yield put("stop-fixed", ("front", 0, 3), ("back", -1, 3))
    yield put("stop-fixed", ("front", 13, 3), ("back", 14, 3))
    for c, r in ((2, 2), (11, 2), (2, 5), (11, 5)):
        yield put("pin-1", ("shank", c, r))
    for c, r in ((3, 1), (9, 1), (3, 6), (9, 6)):
        yield put("riser-1-2", ("centre", c, r))
    for c, r, turn in ((5, 3, -90.0), (8, 3, -90.0), (5, 4, 90.0), (8, 4, 90.0)):
        yield put("clamp-down-low", ("post", c, r), turn=turn, reach=1.9 * 2 * INCH)


def scene() -> Job:
    """Return a job with 300 pieces at 15 frames."""
    corners = [(2 + 19 * (k % 3), 2 + 11 * (k // 3)) for k in range(FRAMES)]
    numbers = count()
    placements = tuple(p for col, row in corners for p in pieces(col, row, numbers))
    parts = tuple(
        part
        for k, (col, row) in enumerate(corners)
        for part in frame(f"f{k}", *(v + 0.5 * INCH for v in TABLE.at(Hole(col, row))))
    )
    rack = starter_racks()["inch-3-4"]
    return Job(name="Bench", table=TABLE, rack=rack, placements=placements, parts=parts)


def brute_force(job: Job, stands: PlacedPieces) -> int:
    """Count the pairs of a feature and a part within 0.05 mm in plan, one by one."""
    plans = np.array([shapely.Polygon(part_ring(part)) for part in job.parts], dtype=object)
    near = 0
    for placed in stands.of(job).values():
        features = features_of(placed)
        lines: list[BaseGeometry] = [shapely.LineString((f.a, f.b)) for f in features.faces]
        lines += [shapely.Point(r.centre).buffer(r.radius) for r in features.rounds]
        lines += [shapely.Point(r.centre).buffer(r.radius) for r in features.rests]
        if features.pad is not None:
            lines.append(shapely.Point(features.pad.at).buffer(features.pad.pad_radius))
        for line in lines:
            near += int(np.count_nonzero(shapely.distance(plans, line) <= 0.05))
    return near


def least(work: Callable[[], object], before: Callable[[], object], rounds: int) -> float:
    """Return the least time that some work takes, ms; `before` runs first each time, untimed."""
    best = float("inf")
    for _ in range(rounds):
        before()
        gc.collect()
        gc.disable()
        start = time.process_time()
        work()
        best = min(best, (time.process_time() - start) * 1000.0)
        gc.enable()
    return best


def forget() -> None:
    """Empty every cache about parts, pieces and their pairs."""
    for name, module in list(sys.modules.items()):
        if name.startswith(
            ("gridjig.contact", "gridjig.geometry", "gridjig.solve.weldment.joints")
        ):
            for value in vars(module).values():
                if hasattr(value, "cache_clear"):
                    value.cache_clear()


def from_nothing(job: Job, rounds: int) -> float:
    """Return the time for all contacts of a job, ms, with only its placed pieces known."""
    placed_pieces = PlacedPieces().of(job)
    return least(lambda: Contacts().of(job, placed_pieces), forget, rounds)


def after_a_move(job: Job, rounds: int) -> tuple[float, float]:
    """Move each piece in turn by one hole and back; return the median and the worst time, ms."""
    keeper, stood = Contacts(), PlacedPieces()
    keeper.of(job, stood.of(job))
    spent = []
    for placement in job.placements[:: max(1, 60 // rounds)]:
        best = float("inf")
        for _ in range(3):
            for moved in (shift(job, frozenset([placement.id]), 1, 0), job):
                placed_pieces = stood.of(moved)
                gc.disable()
                start = time.process_time()
                keeper.of(moved, placed_pieces)
                best = min(best, (time.process_time() - start) * 1000.0)
                gc.enable()
        spent.append(best)
    return float(np.median(spent)), max(spent)


def main() -> int:
    """Print the times; return 1 if a limit is missed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="fewer rounds")
    rounds = 5 if parser.parse_args().quick else 30
    job = scene()
    whole = from_nothing(job, rounds)
    stands = PlacedPieces()
    stands.of(job)
    brute = least(lambda: brute_force(job, stands), lambda: None, max(2, rounds // 10))
    middle, worst = after_a_move(job, rounds)
    found = Contacts().of(job, stands.of(job))
    print(
        f"{len(job.placements)} pieces, {len(job.parts)} members: {len(list(found.every()))}"
        f" contacts, of which {len(list(found.touching()))} touch"
    )
    told = (
        ("from nothing", whole, FROM_NOTHING_MS, "ms"),
        ("one piece moved, median", middle, ONE_MOVED_MS, "ms"),
        ("one piece moved, worst", worst, ONE_MOVED_MS, "ms"),
    )
    missed = brute / whole < LEAST_RATIO
    for what, value, limit, unit in told:
        missed |= value > limit
        verdict = "met" if value <= limit else "NOT MET"
        print(f"{what:<28}{value:8.3f} {unit} <= {limit:g}: {verdict}")
    print(f"{'shapely over all pairs':<28}{brute:8.3f} ms, ratio {brute / whole:.1f}"
          f" (at least {LEAST_RATIO:g})")  # fmt: skip
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
