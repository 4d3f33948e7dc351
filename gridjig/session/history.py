"""The history: the jobs that were, in order.  Undo gives an old job back, the very same value.

It knows nothing of tools, files or windows, and never looks inside a job.
"""

from msgspec import Struct, structs

from gridjig.model import Job


class Step(Struct, frozen=True):
    """A job, the name of the edit that led to it, and what was selected after it.

    Two steps in a row with the same non-empty `burst` are one (arrow keys on the same pieces).
    """

    job: Job
    name: str
    selection: frozenset[str] = frozenset()
    merge_key: str = ""


class History:
    """Steps without limit, and the place among them."""

    def __init__(self, job: Job) -> None:
        self._steps = [Step(job, "")]
        self._at = 0
        self._merge_open = False

    @property
    def step(self) -> Step:
        """The step that the document stands at."""
        return self._steps[self._at]

    @property
    def next_step(self) -> Step | None:
        """The step that a redo would lead to, or None."""
        return self._steps[self._at + 1] if self._at + 1 < len(self._steps) else None

    @property
    def can_undo(self) -> bool:
        """True if there is a step to go back from."""
        return self._at > 0

    @property
    def count(self) -> int:
        """How many steps could be undone from here."""
        return self._at

    def do(self, step: Step, before: frozenset[str]) -> bool:
        """Add a step; False, and nothing added, if its job is the one that stands already.

        `before` is what was selected until now: an undo of the new step selects that again.
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
        """Let the next step stand by itself, so that the job of this moment can be come back to."""
        self._merge_open = False

    def undo(self) -> Step | None:
        """Go one step back and return the step arrived at, or None at the first."""
        if self._at == 0:
            return None
        self.end_merge()
        self._at -= 1
        return self.step

    def redo(self) -> Step | None:
        """Go one step on and return the step arrived at, or None at the last."""
        if self.next_step is None:
            return None
        self.end_merge()
        self._at += 1
        return self.step
