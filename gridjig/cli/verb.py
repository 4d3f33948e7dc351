"""What a verb of the command line is, and how it refuses.  It knows no verb by name."""

import argparse
from collections.abc import Callable, Sequence
from typing import NoReturn

from msgspec import Struct

JSON_HELP = "print JSON; `gridjig schema --of {}` describes its fields"


class Refusal(Exception):  # noqa: N818 - the request is at fault, not the program
    """Why a command cannot be done: one sentence, printed as it stands, with exit code 2."""


class Parser(argparse.ArgumentParser):
    """An argument parser whose complaints are one sentence, raised and not printed."""

    def error(self, message: str) -> NoReturn:
        """Raise Refusal in place of printing the usage and ending the program."""
        start = message[:1].upper() + message[1:]
        raise Refusal(f"{start}; `{self.prog} --help` shows its arguments.")


class Verb(Struct, frozen=True):
    """A verb of the command line: what it is for, what it takes, what it does.

    A new verb is a new module in this package with a VERB named like the module.  `run` prints the
    answer on standard output, or raises Refusal before printing anything; it returns the exit code
    if that is not 0.  `outputs` are the types of what it may print as JSON, one at a time.  `now`
    is the new name of a verb that was renamed: the old one still works for a while, unlisted.
    """

    name: str
    help: str
    arguments: Callable[[argparse.ArgumentParser], None]
    run: Callable[[argparse.Namespace], int | None]
    about: str = ""
    outputs: tuple[type[Struct], ...] = ()
    now: str = ""


def unknown(what: str, given: str, names: Sequence[str], where: str) -> Refusal:
    """Return a refusal of an unknown name, with the nearest names or, if there are few, all of
    them.
    """
    from difflib import get_close_matches  # noqa: PLC0415 - for refusals only

    near = get_close_matches(given, names, n=3, cutoff=0.5)
    folded = {name.casefold(): name for name in names}
    near = near or [folded[n] for n in get_close_matches(given.casefold(), folded, n=3, cutoff=0.5)]
    if near:
        return Refusal(f"There is no {what} {given} {where}; the nearest are: {', '.join(near)}.")
    if len(names) <= 12:
        return Refusal(f"There is no {what} {given} {where}; choose from: {', '.join(names)}.")
    first = ", ".join(names[:8])
    return Refusal(f"There is no {what} {given} {where}; the first of {len(names)} are: {first}.")
