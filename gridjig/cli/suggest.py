"""`gridjig suggest`: a complete, proved set-up for a weldment, from what the rack has."""

import argparse
import math
from collections.abc import Callable
from pathlib import Path
from textwrap import wrap

from gridjig.cli.outputs.suggest import SuggestOutput, suggest_output
from gridjig.files.jobs.job_file import SUFFIX, write_job
from gridjig.model import Job
from gridjig.model.titles import title
from gridjig.sheets.text.suggestion_text import moved_text
from gridjig.suggest.search import suggest
from gridjig.suggest.values import (
    MOST_ALTERNATIVES,
    MOST_SECONDS,
    Alternative,
    Suggestion,
    Wishes,
)
from gridjig.units import format_count, format_number, format_points

from .given import JOB_HELP, shown, the_job
from .output_files import FORCE_HELP, require_free, write_out
from .outputs import as_json
from .plain import one_line, plainly
from .verb import JSON_HELP, Refusal, Verb

ABOUT = (
    "Suggest a set-up for the weldment of JOB: where it lies, stops against its long faces and its"
    " ends, risers, packing and clamps, from what the rack has, in free holes.  Writes the best to"
    " OUT.  Every set-up has been checked as `gridjig check` does, and nothing has to be put right."
    "  Exits with 1, and writes nothing, if there is none."
)
_WIDE = 96


def _number(low: float, high: float, name: str, whole: bool) -> Callable[[str], float]:
    def read(text: str) -> float:
        try:
            value = int(text) if whole else float(text)
        except ValueError:
            value = math.nan
        if not low <= value <= high:
            what = f"{format_number(low)} to {format_number(high)}"
            kind = "a whole number from " if whole else ""
            raise argparse.ArgumentTypeError(f"{name} must be {kind}{what}, not {text}")
        return value

    return read


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add JOB OUT and what is asked for."""
    parser.add_argument("job", metavar="JOB", help=JOB_HELP)
    parser.add_argument("out", metavar="OUT", help=f"the {SUFFIX} file to write the best one to")
    parser.add_argument(
        "--alternatives",
        metavar="N",
        default=3,
        type=_number(1, MOST_ALTERNATIVES, "the number of alternatives", True),
        help="how many different set-ups to look for (default 3)",
    )
    parser.add_argument(
        "--time",
        metavar="S",
        default=Wishes().seconds,
        type=_number(0.1, MOST_SECONDS, "the time", False),
        help="seconds to look; the best one so far is kept (default 30)",
    )
    parser.add_argument(
        "--seed",
        metavar="K",
        default=0,
        type=_number(0, 2_147_483_647, "the random seed", True),
        help="the same seed gives the same answers if the time is enough (default 0)",
    )
    parser.add_argument(
        "--keep",
        action="store_true",
        help="leave the work and the pieces on the table where they are, and add what is missing",
    )
    parser.add_argument(
        "--face-down", action="store_true", help="let the work be turned over as well"
    )
    parser.add_argument(
        "--slopes",
        action="store_true",
        help="let the work be turned so that its sloping members run along the grid as well",
    )
    parser.add_argument("--force", action="store_true", help=FORCE_HELP)
    parser.add_argument("--json", action="store_true", help=JSON_HELP.format("suggest"))


def run(chosen: argparse.Namespace) -> int:
    """Write the best set-up and print all; return 1 if there is none."""
    out = Path(chosen.out)
    if out.suffix != SUFFIX:
        raise Refusal(f"{out.name} must end in {SUFFIX}, as job files do.")
    require_free(out, chosen.force)
    job = the_job(chosen.job)
    wishes = Wishes(
        alternatives=int(chosen.alternatives),
        seconds=chosen.time,
        seed=int(chosen.seed),
        keep=chosen.keep,
        face_down=chosen.face_down,
        slopes=chosen.slopes,
    )
    found = suggest(job, wishes)
    if found.alternatives:
        write_out(out, write_job(found.alternatives[0].job))
    if chosen.json:
        print(as_json(suggest_output(found)))
    else:
        print("\n".join(one_line(line, 2000) for line in _told(shown(job, chosen), found, out)))
    return 0 if found.alternatives else 1


def _told(job: Job, found: Suggestion, out: Path) -> list[str]:
    if not found.alternatives:
        lines = [f"{job.name}: no set-up was found."]
        for reason in found.none_because:
            lines += _wrapped(reason)
        return lines
    many = len(found.alternatives)
    lines = [f"{job.name}: {'1 set-up' if many == 1 else f'{format_count(many)} set-ups'}"]
    for number, one in enumerate(found.alternatives, 1):
        lines += ["", *_wrapped(f"{number}. {_summary(one)}", "")]
    best = found.alternatives[0]
    shown_job = plainly(best.job)
    lines += ["", "The pieces of the first:" if best.added else "Nothing is missing."]
    for why in best.why:
        lines += _wrapped(f"{title(shown_job, why.placement)}: {why.words}")
    for lack in best.missing:
        lines += _wrapped(lack.words)
    looks = [f.what for f in best.report.findings if f.level == "look"]
    if looks:
        lines += ["", "Look at:"]
        for what in looks:
            lines += _wrapped(what)
    for what in found.left_out:
        lines += ["", *_wrapped(what, "")]
    if not found.ended:
        lines += ["", "The time was up before everything had been tried; --time allows more."]
    return [*lines, "", f"Written: {out}"]


def _wrapped(text: str, indent: str = "  ") -> list[str]:
    return wrap(text, _WIDE, initial_indent=indent, subsequent_indent=f"{indent}  ")


def _summary(one: Alternative) -> str:
    """One set-up in one line: pieces, shims, where the work lies, points."""
    told = moved_text(one)
    moved = f"{told[0].lower()}{told[1:]}"
    pieces = "1 piece" if one.pieces == 1 else f"{format_count(one.pieces)} pieces"
    shims = (
        "1 shim or riser" if one.packings == 1 else f"{format_count(one.packings)} shims or risers"
    )
    points, least = format_points(one.score), format_points(one.bound)
    return (
        f"{pieces}, {shims}; {moved}; {points} points, and no set-up there of the candidates that"
        f" were looked at costs less than {least}."
    )


VERB = Verb("suggest", "suggest a set-up for the weldment", arguments, run, ABOUT, (SuggestOutput,))
