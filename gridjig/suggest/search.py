"""The search for complete set-ups."""

from gridjig.model import Job
from gridjig.units.progress import SILENT, Progress

from .values import Found, Suggestion, Wishes


def _nobody(best: Suggestion) -> None:
    """Ignores what was found."""


def suggest(
    job: Job, wishes: Wishes = Wishes(), progress: Progress = SILENT, found: Found = _nobody
) -> Suggestion:
    """Return complete set-ups of a job, best first, or why there is none.

    `found` is told of each better answer as soon as it exists, so that nothing is lost when the
    search is cancelled.  Raises Cancelled through `progress`, within 0.2 s.
    """
    raise NotImplementedError
