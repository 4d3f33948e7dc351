"""The command line: one file per verb; without a verb, the window.

Knows how to read arguments and how to say in one sentence what is wrong with them; what a verb
answers is worked out by the packages below.  Nothing here imports the window until it is opened.
"""

from .command import main
from .verb import Refusal

__all__ = ["Refusal", "main"]
