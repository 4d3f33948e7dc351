"""The command line: one file per verb; without a verb, the window.

Knows how to read arguments and how to say in one sentence what is wrong with them; what a verb
answers is worked out by the packages below.  Nothing here imports the window until it is opened.
"""

from collections.abc import Sequence

from .verb import Refusal

__all__ = ["Refusal", "main"]


def main(arguments: Sequence[str] | None = None) -> int:
    """Do what the command line says; the exit code.  Ctrl-C ends it quietly at any moment."""
    try:
        from .command import main as run  # noqa: PLC0415 - what it imports takes a while

        return run(arguments)
    except KeyboardInterrupt:
        return 130
