"""The history: the jobs that were, in order.  Undo gives an old job back, the very same value."""

from dataclasses import dataclass

from gridjig.model import Job


@dataclass(frozen=True, slots=True)
class Step:
    """A job, the name of the edit that led to it, and what was selected after it.

    Two steps in a row with the same non-empty `burst` are one (arrow keys on the same pieces).
    """

    job: Job
    name: str
    selection: frozenset[str] = frozenset()
    burst: str = ""
