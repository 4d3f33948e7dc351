"""The command line: one file per verb; without a verb, the window.

It reads arguments and says in one sentence what is wrong with them; the packages below compute the
answers.  Nothing here imports the window until it is opened.
"""

from collections.abc import Sequence

from .verb import Refusal

__all__ = ["Refusal", "main"]


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line and return the exit code.  Ctrl-C ends it quietly at any moment."""
    try:
        from .command import main as run  # noqa: PLC0415 - what it imports takes a while

        return run(arguments)
    except KeyboardInterrupt:
        return 130
