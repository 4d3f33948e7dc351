"""Reads the command line, finds the verb in its own file, and turns refusals into one sentence."""

import os
import sys
from collections.abc import Sequence
from contextlib import redirect_stdout, suppress
from importlib import import_module
from importlib.util import find_spec
from io import StringIO, TextIOWrapper
from keyword import iskeyword
from pathlib import Path
from typing import TextIO

from gridjig import __version__
from gridjig.files.format.faults import words_for
from gridjig.files.storage.settings import read_settings, spelling_in_use
from gridjig.units.spelling import use_spelling

from .plain import escaped, one_line
from .verb import Parser, Refusal, Verb

_LONGEST = 2000
"""Maximum characters of a sentence, so that no input can make it fill the screen."""
HERE = str(Path(__file__).parent)


def find_verb(name: str) -> Verb | None:
    """Return the verb of that name, or None.

    Every module of this package with a VERB is a verb.  Only that module is imported, so that a
    verb loads only what it needs, and the window none of it.
    """
    file = f"{name}_" if iskeyword(name) else name.replace("-", "_")  # as a module can be called
    if not file.isidentifier() or find_spec(f"gridjig.cli.{file}") is None:
        return None
    verb = getattr(import_module(f"gridjig.cli.{file}"), "VERB", None)
    return verb if isinstance(verb, Verb) and verb.name == name else None


def all_verbs() -> list[Verb]:
    """Return every verb, sorted by name, without those that are old names."""
    from pkgutil import iter_modules  # noqa: PLC0415 - the window opens without

    modules = (module.name.removesuffix("_") for module in iter_modules([HERE]))
    names = sorted(name.replace("_", "-") for name in modules)
    return [verb for name in names if (verb := find_verb(name)) and not verb.now]


def parser_of(known: Sequence[Verb]) -> Parser:
    """Return a command line parser for these verbs."""
    parser = Parser(
        prog="gridjig",
        description="Plan a weldment's jig on a hole-grid table. Without a verb the window opens.",
        epilog="`gridjig JOB` opens the window with that job. Exit code 0, or 2 with one "
        "sentence that says why; 1 if a check finds what has to be fixed.",
    )
    parser.add_argument("--version", action="version", version=f"GridJig {__version__}")
    below = parser.add_subparsers(title="verbs", metavar="VERB", required=True)
    for verb in known:
        sub = below.add_parser(verb.name, help=verb.help, description=verb.about or verb.help)
        verb.arguments(sub)
        sub.set_defaults(verb=verb)
    return parser


def act(given: Sequence[str]) -> int:
    """Run the command line and return the exit code.  Raise Refusal if it cannot be done."""
    verb = find_verb(given[0]) if given else None
    if verb is None and (not given or (len(given) == 1 and not given[0].startswith("-"))):
        from .window import open_window  # noqa: PLC0415 - the verbs do not need it

        return open_window(given[0] if given else None)
    if verb is None and not given[0].startswith("-"):
        names = ", ".join(known.name for known in all_verbs())
        raise Refusal(f"There is no verb {one_line(given[0])}; the verbs are: {names}.")
    if sys.stdout is None:
        raise Refusal(_NOWHERE)
    said = StringIO()
    try:
        with redirect_stdout(said):
            chosen = parser_of([verb] if verb else all_verbs()).parse_args(given)
            code = chosen.verb.run(chosen) or 0
    except SystemExit:  # help and the version, which argparse prints by itself
        _say(said.getvalue())
        raise
    _say(said.getvalue())
    return int(code)


_NOWHERE = "There is nowhere to print the answer: standard output is closed."


def _say(text: str) -> None:
    """Print an answer in full.  Raise Refusal if it cannot be printed."""
    try:
        sys.stdout.write(escaped(text))
        sys.stdout.flush()
    except BrokenPipeError:
        raise
    except (OSError, ValueError) as fault:
        why = words_for(fault) if isinstance(fault, OSError) else "standard output is closed"
        leave(sys.stdout)
        raise Refusal(f"The answer cannot be printed: {why}.") from fault


def leave(stream: TextIO) -> None:
    """Write nothing more to a reader that has gone away, not even at exit."""
    with suppress(OSError, ValueError):  # it may already be closed, or not be a file
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)


def speak_utf8() -> None:
    """Print UTF-8 to files and pipes on Windows too, so that every system prints the same."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            with suppress(ValueError):  # closed
                stream.reconfigure(encoding="utf-8", errors="replace")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line.

    Return 0 if it is done, 1 if a check found what has to be fixed, or 2, with one sentence on
    standard error, if not; 130 after Ctrl-C; 70, with a report in the state folder, if the program
    itself failed.
    """
    given = sys.argv[1:] if arguments is None else arguments
    try:
        speak_utf8()
        use_spelling(spelling_in_use(read_settings()))  # before the verbs are loaded
        return act(given)
    except Refusal as refusal:
        complain(str(refusal))
        return 2
    except BrokenPipeError:
        leave(sys.stdout)
        return 0
    except KeyboardInterrupt:
        return 130
    except Exception as fault:
        if _interrupted(fault):
            return 130
        from . import fault_report  # noqa: PLC0415 - hardly ever needed

        complain(fault_report.report(given, fault))
        return fault_report.FAULT


def _interrupted(fault: BaseException | None) -> bool:
    """True if Ctrl-C is behind a fault: a library that is just loading can turn it into its own."""
    while fault is not None:
        if isinstance(fault, KeyboardInterrupt):
            return True
        fault = fault.__cause__ or fault.__context__
    return False


def complain(sentence: str) -> None:
    """Print a sentence on standard error, unless it is empty."""
    with suppress(OSError, ValueError, AttributeError):
        print(f"gridjig: {one_line(sentence, _LONGEST)}", file=sys.stderr, flush=True)
