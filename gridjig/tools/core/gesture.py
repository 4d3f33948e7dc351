"""A gesture: one drag of the pointer.  It keeps what it started from and reckons each frame anew.

Nothing drifts, and dropping it gives back the very same job.
"""

from abc import ABC, abstractmethod

from gridjig.geometry.display import DisplayList
from gridjig.model import Job

from .pointer import Pointer
from .tool import Outcome, Preview


class Gesture(ABC):
    """One drag.  `to` shows where it has come, `drop` answers for the release there."""

    @abstractmethod
    def to(self, pointer: Pointer) -> Outcome:
        """The pointer has come here with the button down."""

    @abstractmethod
    def drop(self) -> Outcome:
        """The button comes up where the pointer last was."""

    @abstractmethod
    def overlay(self) -> DisplayList:
        """What to draw over the table meanwhile."""


def refused(hint: str) -> Preview:
    """Put everything back and say why."""
    return Preview(None, f"{hint} It was put back.")


def same_or(job: Job, before: Job) -> Job | None:
    """The job as a preview: None if it is the one that stands already."""
    return None if job is before else job
