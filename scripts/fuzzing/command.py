"""The command line of the fuzzers."""

import argparse
import os
import random
import sys
from pathlib import Path

from .finds import Finds
from .kind import KINDS, ROOT, Kind, kind_of
from .rounds import Round, logged, run, shares, summary
from .watch import Stop, Watch
from .worker import Span
from .worker import main as work

HOME = ROOT / ".fuzz"
_SHORT_EVERY = 4
FIXED = 1
"""Random seed of the cases that are the same in every short round."""


def parser() -> argparse.ArgumentParser:
    """Return the parser of the options."""
    listed = "\n".join(f"  {kind.name:14} {kind.about}" for kind in KINDS)
    made = argparse.ArgumentParser(
        prog="fuzz.py",
        description="Feed the program what nobody would write, and watch what it does with it.",
        epilog=f"kinds:\n{listed}\n\nExit code 0 if nothing was found, 1 if something was.",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    made.add_argument("kinds", nargs="+", metavar="KIND", help="what to try, or: all")
    much = made.add_mutually_exclusive_group()
    much.add_argument("--count", type=int, metavar="N", help="so many cases of each kind")
    much.add_argument("--minutes", type=float, metavar="M", help="so long for each kind")
    much.add_argument("--short", action="store_true", help="as the check does; the usual")
    much.add_argument("--long", action="store_true", help="the long round")
    much.add_argument("--case", type=int, metavar="N", help="only this case of that seed")
    much.add_argument("--file", type=Path, metavar="PATH", help="only the case in this file")
    made.add_argument(
        "--every",
        type=int,
        metavar="K",
        help="do the costly part of one case in K only; the totals say of how many it was done",
    )
    made.add_argument("--seed", type=int, metavar="S", help="what cases are drawn from; else drawn")
    made.add_argument("--workers", type=int, metavar="W", help="processes side by side")
    made.add_argument(
        "--resume",
        action="store_true",
        help="note what is done, and go on where a round of the same seed and count was stopped",
    )
    made.add_argument("--folder", type=Path, default=HOME, help="where finds are kept")
    return made


def rounds_of(kinds: list[Kind], chosen: argparse.Namespace, seed: int) -> list[Round]:
    """Return the requested rounds."""
    made = []
    for kind in kinds:
        if chosen.case is not None:
            alone = iter([[Span(seed, chosen.case, chosen.case + 1)]])
            made.append(Round(kind, alone, Stop()))
            continue
        if chosen.minutes is not None or chosen.count is not None or chosen.long:
            count = kind.long if chosen.long else chosen.count
            log = chosen.folder / "rounds" / f"{kind.name}-{seed}.jsonl" if chosen.resume else None
            gone, done = logged(log) if log is not None else (frozenset(), None)
            stop = Stop() if chosen.minutes is None else Stop(chosen.minutes * 60.0)
            one = Round(kind, shares(seed, count, kind.share, gone), stop, log)
            one.done = done or one.done
            one.every = chosen.every or (kind.every if chosen.long else 1)
        else:
            half = -(-kind.short // 2)
            spans = [Span(FIXED, 0, half), Span(seed, 0, kind.short - half)]
            one = Round(kind, iter([[s for s in spans if s.last]] if kind.short else []), Stop())
            one.every = chosen.every or min(kind.every, _SHORT_EVERY)
        made.append(one)
    return made


def main(arguments: list[str]) -> int:
    """Run the command; return 0 if nothing was found, 1 if something was."""
    if arguments[:1] == ["--worker"]:
        return work(arguments[1])
    made = parser()
    chosen = made.parse_args(arguments)
    try:
        names = [kind.name for kind in KINDS] if chosen.kinds == ["all"] else chosen.kinds
        kinds = [kind_of(name) for name in names]
    except (KeyError, ImportError, AttributeError):
        made.error(f"there is no such kind; the kinds are {', '.join(k.name for k in KINDS)}")
    seed = random.SystemRandom().randrange(10**9) if chosen.seed is None else chosen.seed
    finds = Finds(chosen.folder / "finds")
    if chosen.file is not None:
        for kind in kinds:
            done = Watch(kind, finds.take, Stop()).file(chosen.file)
            print(f"{kind.name}: {', '.join(done.words) or 'found something'}")
        return 1 if finds.count else 0
    workers = chosen.workers or min(2, os.cpu_count() or 1)
    print(f"seed {seed}; repeat by --seed {seed}", flush=True)
    rounds = rounds_of(kinds, chosen, seed)
    if chosen.case is None and chosen.count is None and not chosen.long:
        rounds.reverse()  # the last kinds take longest in a short round: start with them
    stopped = False
    try:
        for group in [rounds] if chosen.minutes is None else [[one] for one in rounds]:
            run(group, finds, workers)
    except KeyboardInterrupt:
        print("stopped", file=sys.stderr)
        stopped = True
    for one in rounds:
        if one.done.cases:
            print(summary(one))
    for (name, mark), count in sorted(finds.count.items()):
        print(f"FOUND {count} times: {name}: {mark}")
    if stopped:
        return 130
    return 1 if finds.count or any(one.done.finds for one in rounds) else 0
