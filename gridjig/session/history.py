"""The history: past jobs in order.  Undo returns an old job, the same object.

It knows no tools, files or window, and never looks inside a job.
"""

from msgspec import Struct, structs

from gridjig.model import Job


class Step(Struct, frozen=True):
    """A job, the name of the edit that led to it, and the selection after it.

    Successive steps with the same non-empty `merge_key` become one (arrow keys on the same pieces).
    """

    job: Job
    name: str
    selection: frozenset[str] = frozenset()
    merge_key: str = ""


class History:
    """An unlimited list of steps, and the position in it."""

    def __init__(self, job: Job) -> None:
        self._steps = [Step(job, "")]
        self._at = 0
        self._merge_open = False

    @property
    def step(self) -> Step:
        """The current step."""
        return self._steps[self._at]

    @property
    def next_step(self) -> Step | None:
        """The step that redo would lead to, or None."""
        return self._steps[self._at + 1] if self._at + 1 < len(self._steps) else None

    @property
    def can_undo(self) -> bool:
        """True if there is a step to undo."""
        return self._at > 0

    @property
    def count(self) -> int:
        """The number of steps that can be undone."""
        return self._at

    def do(self, step: Step, before: frozenset[str]) -> bool:
        """Add a step; returns False, and adds nothing, if its job is the current one.

        `before` is the selection until now: undoing the new step restores it.
        """
        here = self.step
        if step.job is here.job:
            return False
        del self._steps[self._at + 1 :]
        if self._merge_open and step.merge_key == here.merge_key:
            self._steps[self._at] = step
        else:
            if here.selection != before:
                self._steps[self._at] = structs.replace(here, selection=before)
            self._steps.append(step)
            self._at += 1
        self._merge_open = bool(step.merge_key)
        return True

    def end_merge(self) -> None:
        """Keep the next step separate, so that undo can return to the current job."""
        self._merge_open = False

    def undo(self) -> Step | None:
        """Go back one step and return the step there; None at the first."""
        if self._at == 0:
            return None
        self.end_merge()
        self._at -= 1
        return self.step

    def redo(self) -> Step | None:
        """Go forward one step and return the step there; None at the last."""
        if self.next_step is None:
            return None
        self.end_merge()
        self._at += 1
        return self.step
