"""What the verbs that print a list of a job share: their arguments, and how it is printed."""

import argparse
from collections.abc import Callable
from typing import TypeVar

from .given import JOB_HELP
from .outputs import as_json
from .outputs.base import Output
from .verb import JSON_HELP

T = TypeVar("T")


def list_arguments(
    parser: argparse.ArgumentParser, verb: str, csv_help: str = "print comma-separated values"
) -> None:
    """Add JOB and [--json | --csv]."""
    parser.add_argument("job", metavar="JOB", help=JOB_HELP)
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help=JSON_HELP.format(verb))
    form.add_argument("--csv", action="store_true", help=csv_help)


def print_list(
    listed: T,
    chosen: argparse.Namespace,
    output: Callable[[T], Output],
    csv: Callable[[T], str],
    text: Callable[[T], str],
) -> None:
    """Print a list as JSON, as comma-separated values or as text, whichever is chosen."""
    if chosen.json:
        print(as_json(output(listed)))
    elif chosen.csv:
        print(csv(listed).replace("\r\n", "\n"), end="")
    else:
        print(text(listed))
