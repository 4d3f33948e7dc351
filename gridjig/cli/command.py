"""Reads the command line, finds the verb in its own file, and turns refusals into one sentence."""

import os
import sys
from collections.abc import Sequence
from importlib import import_module
from pkgutil import iter_modules

from gridjig import __version__

from .verb import Parser, Refusal, Verb


def verbs() -> dict[str, Verb]:
    """Every verb by name: a module of this package that has a VERB is one."""
    package = import_module("gridjig.cli")
    found: dict[str, Verb] = {}
    for module in iter_modules(package.__path__):
        verb = getattr(import_module(f"gridjig.cli.{module.name}"), "VERB", None)
        if isinstance(verb, Verb):
            found[verb.name] = verb
    return found


def parser_of(known: dict[str, Verb]) -> Parser:
    """The parser of the whole command line."""
    parser = Parser(
        prog="gridjig",
        description="Plan a weldment's jig on a hole-grid table. Without a verb the window opens.",
        epilog="`gridjig JOB` opens the window with that job. Exit code 0, or 2 with one sentence.",
    )
    parser.add_argument("--version", action="version", version=f"GridJig {__version__}")
    below = parser.add_subparsers(title="verbs", metavar="VERB", required=True)
    for verb in known.values():
        sub = below.add_parser(verb.name, help=verb.help, description=verb.help)
        verb.arguments(sub)
        sub.set_defaults(verb=verb)
    return parser


def wants_window(arguments: Sequence[str], names: Sequence[str]) -> bool:
    """True for `gridjig` alone and for `gridjig JOB`; a job called like a verb needs a folder."""
    if not arguments:
        return True
    return len(arguments) == 1 and arguments[0] not in names and not arguments[0].startswith("-")


def quiet_stdout() -> None:
    """Let nothing more be written to a reader that has gone away, not even at the very end."""
    sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: PTH123, SIM115


def main(arguments: Sequence[str] | None = None) -> int:
    """Do what the command line says.  0 if done; 2, with one sentence on standard error, if not."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    known = verbs()
    try:
        if wants_window(given, list(known)):
            from .window import open_window  # noqa: PLC0415

            return open_window(given[0] if given else None)
        chosen = parser_of(known).parse_args(given)
        chosen.verb.run(chosen)
        sys.stdout.flush()
    except Refusal as refusal:
        print(f"gridjig: {refusal}", file=sys.stderr)
        return 2
    except BrokenPipeError:
        quiet_stdout()
        return 0
    except KeyboardInterrupt:
        return 130
    return 0
