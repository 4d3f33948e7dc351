"""`gridjig check`: everything that is checked of a job, and what to do about it."""

import argparse
from textwrap import wrap

from gridjig.checks.finding import Finding
from gridjig.cli.outputs.check import CheckOutput, check_output
from gridjig.model import Job
from gridjig.proof.report import ProofReport, prove
from gridjig.sheets.text.finding_text import (
    LEVEL_WORDS,
    counts_words,
    figure_words,
    where_words,
)
from gridjig.solve.placed.cache import PlacedPieces

from .given import JOB_HELP, shown, the_job
from .outputs import as_json
from .verb import JSON_HELP, Verb

ABOUT = (
    "Check JOB: whether its pieces fit, clash and touch, whether the work is located, held and"
    " exact enough, carried, reached by the torch and comes out again, and whether the rack has it"
    " all.  Exits with 1 if something has to be fixed, with 0 if not."
)
_WIDE = 96


def as_text(job: Job, report: ProofReport, sources: bool) -> str:
    """Return what was found, the worst first, with what to do about each."""
    counts = counts_words(report.findings)
    head = {"nothing to check": "nothing to check yet", "fine": "fine"}.get(report.verdict, "")
    said = ", ".join(filter(None, (head, counts)))
    lines = [f"{job.name}: {said}"]
    for one in report.findings:
        lines += ["", *_lines(job, one, sources)]
    if report.looked_at:
        lines += ["", *wrap(f"Looked at: {', '.join(report.looked_at)}.", _WIDE)]
    return "\n".join(lines)


def _lines(job: Job, one: Finding, sources: bool) -> list[str]:
    figure = figure_words(one, job.display)
    told = [
        *wrap(f"{LEVEL_WORDS[one.level]}: {one.what}", _WIDE, subsequent_indent="  "),
        *wrap(one.do, _WIDE, initial_indent="  Do: ", subsequent_indent="  "),
    ]
    about = "; ".join(filter(None, (where_words(job, one), figure)))
    if about:
        told += wrap(f"{about[:1].upper()}{about[1:]}.", _WIDE, initial_indent="  ",
                     subsequent_indent="  ")  # fmt: skip
    if sources and one.source:
        told += wrap(f"Source: {one.source.rstrip('.')}.", _WIDE, initial_indent="  ",
                     subsequent_indent="  ")  # fmt: skip
    return told


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add JOB [--sources] [--json]."""
    parser.add_argument("job", metavar="JOB", help=JOB_HELP)
    parser.add_argument(
        "--sources", action="store_true", help="also print where each limit and figure comes from"
    )
    parser.add_argument("--json", action="store_true", help=JSON_HELP.format("check"))


def run(chosen: argparse.Namespace) -> int:
    """Print what was found; return 1 if something has to be fixed."""
    job = shown(the_job(chosen.job), chosen)
    report = prove(job, PlacedPieces().of(job))
    if chosen.json:
        print(as_json(check_output(job, report)))
    else:
        print(as_text(job, report, chosen.sources))
    return 1 if report.verdict == "stop" else 0


VERB = Verb("check", "check a job, and say what to do", arguments, run, ABOUT, (CheckOutput,))
