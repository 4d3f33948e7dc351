"""The weldment that parts belong to, as a field of their form; hidden where there is only one."""

from collections.abc import Callable

from gridjig.edits.weldment_list import add_weldment, move_parts
from gridjig.model import Job
from gridjig.model.by_weldment import several, weldments_of
from gridjig.model.titles import weldment_title
from gridjig.qt.widgets.choices import Choices

A_NEW_ONE = "a new weldment"


class WeldmentCell(Choices):
    """Shows the weldment of some parts; choosing another one moves them there."""

    def __init__(self, ids: Callable[[], frozenset[str]]) -> None:
        super().__init__("Part of")
        self._ids = ids

    def show_parts(self, job: Job) -> bool:
        """Show where the parts belong; return False if there is nothing to choose."""
        self.set_choices(
            [
                *((weldment_title(job, one.id), one.id) for one in job.weldments),
                (A_NEW_ONE, A_NEW_ONE),
            ]
        )
        met = weldments_of(job, self._ids())
        self.set_value(met[0] if len(met) == 1 else None)
        return several(job) and bool(met)

    def moved(self, job: Job, chosen: object) -> Job:
        """Return the job with the parts in the chosen weldment."""
        weldment = str(chosen)
        if chosen == A_NEW_ONE:
            job, weldment = add_weldment(job)
        return move_parts(job, self._ids(), weldment)
