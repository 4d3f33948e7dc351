"""A gesture: one drag of the pointer.  It computes every frame from where the drag started.

So nothing drifts, and cancelling it gives back exactly the same job.
"""

from abc import ABC, abstractmethod

from gridjig.geometry.display import DisplayList
from gridjig.model import Job

from .pointer import Pointer
from .prompt import Key, Prompt, esc
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
    def prompt(self) -> Prompt:
        """Return where the drag has got to, and what letting go will do."""

    @abstractmethod
    def overlay(self) -> DisplayList:
        """Return what to draw over the table during the drag."""


def refused(why: str) -> Preview:
    """Return a preview that puts everything back, and says why."""
    return Preview(None, f"{why} It was put back.")


def to_drop(state: str, why: str | None = None, more: tuple[Key, ...] = ()) -> Prompt:
    """Return the prompt of a drag: it stays there, or is put back because of `why`."""
    if why is not None:
        return Prompt(state=why, let_go="to put it back")
    return Prompt(state=state, let_go="to leave it there", keys=(*more, esc("to put it back")))


def same_or(job: Job, before: Job) -> Job | None:
    """Return the job to preview; None if it is unchanged."""
    return None if job is before else job
