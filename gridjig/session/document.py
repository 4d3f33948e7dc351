"""The document: one open job with its history, selection, preview and clipboard.

The only thing in the program that changes.  It must not know its views: they subscribe, and find
out by identity what differs.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from operator import attrgetter
from typing import TYPE_CHECKING

from gridjig.edits.into_weldment import put_new_parts
from gridjig.model import Job, Part, Placement
from gridjig.model.by_weldment import several, weldment_of, weldments_of
from gridjig.model.changes import exchanged, renamed
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.placed_piece import PlacedPiece

from .history import History, Step

if TYPE_CHECKING:
    from gridjig.contact.book import Contacts
    from gridjig.contact.values import JobContacts

Callback = Callable[[], None]
Clipboard = tuple[Placement | Part, ...]
_FEW = 3
_NAME = attrgetter("id")


class Document:
    """One open job.  `modified` starts True for a job that is not in a file yet (recovered)."""

    def __init__(self, job: Job, modified: bool = False) -> None:
        self._history = History(job)
        self._saved = None if modified else job
        self._preview: Job | None = None
        self._dragged: frozenset[str] = frozenset()
        self._selection: frozenset[str] = frozenset()
        self._clipboard: Clipboard = ()
        self._weldment = job.weldments[0].id
        self._stands = PlacedPieces()
        self._contacts: Contacts | None = None
        self._callbacks: list[Callback] = []
        self._held = 0
        self._due = False

    @property
    def job(self) -> Job:
        """The committed job."""
        return self._history.step.job

    @property
    def shown(self) -> Job:
        """The preview if there is one, else the committed job."""
        return self.job if self._preview is None else self._preview

    @property
    def previewing(self) -> bool:
        """True while a preview is shown instead of the job."""
        return self._preview is not None

    @property
    def placed_pieces(self) -> Mapping[str, PlacedPiece]:
        """The placed pieces of `shown`, by placement id."""
        return self._stands.of(self.shown)

    @property
    def contacts(self) -> "JobContacts":
        """What touches what in `shown`.  What a change leaves alone stays the same object.

        Found when it is asked for; the first time loads numpy and shapely.
        """
        if self._contacts is None:
            from gridjig.contact.book import Contacts  # noqa: PLC0415 - late: it loads numpy

            self._contacts = Contacts()
        return self._contacts.of(self.shown, self.placed_pieces)

    @property
    def selection(self) -> frozenset[str]:
        """The ids of what is selected; never part of the job."""
        return self._selection

    @property
    def weldment(self) -> str:
        """The id of the current weldment: new parts go into it, and lists are about it."""
        known = self.job.weldments
        return self._weldment if any(w.id == self._weldment for w in known) else known[0].id

    def work_on(self, weldment: str) -> None:
        """Make a weldment the current one.  Raises KeyError if there is no such weldment."""
        before = self.weldment
        self._weldment = weldment_of(self.job, weldment).id
        if self._weldment != before:
            self._changed()

    # -- the job -------------------------------------------------------------------------------

    def do(
        self, job: Job, name: str, selection: Iterable[str] | None = None, merge_key: str = ""
    ) -> bool:
        """Commit a job as a named step; returns False if it is the current job.

        `selection` is what is selected afterwards (None: as before, without what is gone).
        Successive steps with the same `merge_key` become one.  The preview, if any, ends.  Joints
        keep their names, even if the edit adds or removes others.
        """
        if job.parts is not self.job.parts:
            from gridjig.edits.joints import carry_names  # noqa: PLC0415 - late: it loads numpy

            job = carry_names(self.job, put_new_parts(self.job, job, self.weldment))
        before = self._selection
        chosen = before if selection is None else frozenset(selection)
        if chosen and not (selection is None and _no_id_gone(self.job, job)):
            chosen = _those_in(job, chosen)
        done = self._history.do(Step(job, name, chosen, merge_key), before)
        self._preview, self._dragged = None, frozenset()
        self._selection = chosen
        self._follow(chosen)
        self._changed()
        return done

    @property
    def about(self) -> frozenset[str]:
        """The ids of what is being dragged, or else of what is selected."""
        return self._dragged or self._selection

    def preview(self, job: Job | None, about: frozenset[str] = frozenset()) -> None:
        """Show another job without committing it; None drops the preview.

        `about` are the ids of what is being dragged, if anything is.
        """
        shown = None if job is self.job else job
        if shown is self._preview and about == self._dragged:
            return
        self._preview, self._dragged = shown, about
        self._changed()

    def undo(self) -> Step | None:
        """Undo the last step.  Returns it, or None if there is none."""
        undone = self._history.step
        return undone if self._arrive(self._history.undo()) else None

    def redo(self) -> Step | None:
        """Redo the step that was undone last.  Returns it, or None if there is none."""
        step = self._history.redo()
        return step if self._arrive(step) else None

    def _arrive(self, step: Step | None) -> bool:
        if step is None:
            return False
        self._preview, self._dragged = None, frozenset()
        self._selection = step.selection
        self._follow(step.selection)
        self._changed()
        return True

    @property
    def can_undo(self) -> bool:
        """True if a step can be undone."""
        return self._history.can_undo

    @property
    def can_redo(self) -> bool:
        """True if a step can be redone."""
        return self._history.next_step is not None

    @property
    def undo_name(self) -> str:
        """The name of the step that undo would undo, or ""."""
        return self._history.step.name

    @property
    def redo_name(self) -> str:
        """The name of the step that redo would redo, or ""."""
        step = self._history.next_step
        return "" if step is None else step.name

    @property
    def undo_count(self) -> int:
        """The number of steps that can be undone."""
        return self._history.count

    @property
    def modified(self) -> bool:
        """True if the job is not the one last saved; undoing back to that one makes it False."""
        return self.job is not self._saved

    @property
    def saved(self) -> Job | None:
        """The job last saved, or the one it began with; None for a recovered job not saved yet."""
        return self._saved

    def mark_saved(self) -> None:
        """Note that the current job is in the file.  The history stays."""
        self._saved = self.job
        # Merging the next arrow key into this step would remove the saved job from the history.
        self._history.end_merge()
        self._changed()

    # -- what is selected and copied ----------------------------------------------------------

    def select(self, ids: Iterable[str]) -> None:
        """Select exactly these; unknown ids are ignored."""
        chosen = _those_in(self.job, frozenset(ids))
        if chosen == self._selection:
            return
        self._selection = chosen
        self._follow(chosen)
        self._history.end_merge()
        self._changed()

    @property
    def clipboard(self) -> Clipboard:
        """What was last copied, as it was then; it outlives tools and is not part of the job."""
        return self._clipboard

    def set_clipboard(self, things: Clipboard) -> None:
        """Remember these for a later paste."""
        self._clipboard = things

    # -- views -----------------------------------------------------------------------------------

    def subscribe(self, callback: Callback) -> Callback:
        """Call `callback` after every change.  Returns a function that unsubscribes it."""
        self._callbacks.append(callback)

        def unsubscribe() -> None:
            if callback in self._callbacks:
                self._callbacks.remove(callback)

        return unsubscribe

    @contextmanager
    def together(self) -> Iterator[None]:
        """Combine the changes made inside into one callback at the end."""
        self._held += 1
        try:
            yield
        finally:
            self._held -= 1
            if self._due and not self._held:
                self._due = False
                self._changed()

    def _changed(self) -> None:
        if self._held:
            self._due = True
            return
        for callback in tuple(self._callbacks):
            callback()

    def _follow(self, chosen: frozenset[str]) -> None:
        """Make the weldment of the selected parts the current one, if they are all of one."""
        if several(self.job) and chosen:
            met = weldments_of(self.job, chosen)
            if len(met) == 1:
                self._weldment = met[0]


def _no_id_gone(old: Job, new: Job) -> bool:
    """True if a quick look shows that the new job has everything of the old one."""
    for before, after in ((old.placements, new.placements), (old.parts, new.parts)):
        places = exchanged(before, after)
        if places is None or renamed(before, after, places):
            return False
    return True


def _those_in(job: Job, ids: frozenset[str]) -> frozenset[str]:
    if len(ids) <= _FEW:  # the common case, at every edit: searching is faster than building a set
        every = (job.placements, job.parts)
        there = [i for i in ids if any(i in map(_NAME, things) for things in every)]
        return ids if len(there) == len(ids) else frozenset(there)
    present = {p.id for p in job.placements}
    present.update(o.id for o in job.parts)
    return ids & present
