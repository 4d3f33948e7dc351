"""A gesture: one drag of the pointer.  It computes every frame from where the drag started.

So nothing drifts, and cancelling it gives back exactly the same job.
"""

from abc import ABC, abstractmethod

from gridjig.geometry.display import DisplayList
from gridjig.model import Job

from .pointer import Pointer
from .tool import Outcome, Preview


class Gesture(ABC):
    """One drag.  `to` shows where it has got to; `drop` is the outcome of releasing it there."""

    @abstractmethod
    def to(self, pointer: Pointer) -> Outcome:
        """The pointer moved here with the button down."""

    @abstractmethod
    def drop(self) -> Outcome:
        """The button was released where the pointer last was."""

    @abstractmethod
    def overlay(self) -> DisplayList:
        """Return what to draw over the table during the drag."""


def refused(hint: str) -> Preview:
    """Return a preview that puts everything back, and says why."""
    return Preview(None, f"{hint} It was put back.")


def same_or(job: Job, before: Job) -> Job | None:
    """Return the job to preview; None if it is unchanged."""
    return None if job is before else job
