"""A gesture: one drag of the pointer.  It keeps what it started from and reckons each frame anew.

Nothing drifts, and dropping it gives back the very same job.
"""

from dataclasses import dataclass

from gridjig.geometry.display import Drawing
from gridjig.model import Job
from gridjig.rack import Point

from .pointer import Pointer
from .tool import Outcome, Preview


@dataclass(frozen=True, slots=True)
class Start:
    """Where a drag began."""

    pointer: Pointer

    def offset(self, pointer: Pointer) -> Point:
        """How far the pointer is from the start, mm."""
        return (pointer.x - self.pointer.x, pointer.y - self.pointer.y)


class Gesture:
    """One drag.  `to` shows where it has come, `drop` answers for the release there."""

    def to(self, pointer: Pointer) -> Outcome:
        """The pointer has come here with the button down."""
        raise NotImplementedError

    def drop(self) -> Outcome:
        """The button comes up where the pointer last was."""
        raise NotImplementedError

    def overlay(self) -> Drawing:
        """What to draw over the table meanwhile."""
        return ()


def refused(hint: str) -> Preview:
    """Put everything back and say why."""
    return Preview(None, f"{hint} It was put back.")


def same_or(job: Job, before: Job) -> Job | None:
    """The job as a preview: None if it is the one that stands already."""
    return None if job is before else job
