"""The guided first job: ten steps, each recognised from the job when it is done.

What leaves no trace in a job (a look at the check, an undo) is recognised from what the window
reports as it happens.
"""

from typing import Literal

from msgspec import Struct

from gridjig.contact.values import Contact
from gridjig.model import Member
from gridjig.session.document import Document

NAME = "First job"
"""The name of the job that the guide starts; it goes on where it was left in a job of that name."""

GuideStep = Literal[
    "look", "member", "stop", "second stop", "end stop", "clamp", "undo", "check", "pull", "save"
]
STEPS: tuple[GuideStep, ...] = (
    *("look", "member", "stop", "second stop", "end stop"),
    *("clamp", "undo", "check", "pull", "save"),
)
Event = Literal["zoomed", "undone", "checked", "pulled", "saved"]
_EVENTS: dict[GuideStep, Event] = {
    "look": "zoomed",
    "undo": "undone",
    "check": "checked",
    "pull": "pulled",
    "save": "saved",
}
_PARALLEL = 1e-6


class Guide(Struct, frozen=True):
    """How far someone is: the number of steps done, and what has happened since the last of them.

    It is never behind the job: `advanced` also passes steps that the job already shows as done.
    """

    done: int = 0
    happened: frozenset[Event] = frozenset()

    @property
    def step(self) -> GuideStep | None:
        """The step to do now; None if all are done."""
        return STEPS[self.done] if self.done < len(STEPS) else None

    def noted(self, event: Event) -> "Guide":
        """Return the guide after something has happened."""
        return Guide(self.done, self.happened | {event})

    def skipped(self) -> "Guide":
        """Return the guide with the step to do now left out."""
        return Guide(min(self.done + 1, len(STEPS)))

    def advanced(self, document: Document) -> "Guide":
        """Return the guide after all steps that are done by now."""
        guide = self
        while guide.step is not None and is_done(guide.step, document, guide.happened):
            guide = guide.skipped()
        return guide


def resumed(document: Document, reached: int) -> Guide:
    """Return where to go on in a job, if `reached` steps were done when the guide was left.

    Steps that the job does not show as done any more are to be done again.
    """
    for at, step in enumerate(STEPS[:reached]):
        if step not in _EVENTS and not is_done(step, document, frozenset()):
            return Guide(at)
    return Guide(min(reached, len(STEPS)))


def is_done(step: GuideStep, document: Document, happened: frozenset[Event]) -> bool:
    """True if a step is done in this job, or by what has happened since the step before."""
    if step in _EVENTS:
        return _EVENTS[step] in happened
    job = document.job
    if step == "member":
        return any(isinstance(part, Member) for part in job.parts)
    if not job.parts or not job.placements:
        return False
    if step == "clamp":
        return any(role.what == "clamps" for role in document.contacts.roles.values())
    return _is_located(step, _located(document))


def _is_located(step: GuideStep, located: list[Contact]) -> bool:
    """True if one stop, two on one face, or two on faces across one another touch a part."""
    pairs = [(a, b) for a in located for b in located if a.piece < b.piece and a.part == b.part]
    if step == "stop":
        return bool(located)
    if step == "second stop":
        return any(a.face == b.face for a, b in pairs)
    return any(abs(_cross(a, b)) > _PARALLEL for a, b in pairs)


def _located(document: Document) -> list[Contact]:
    """The contacts that locate the work."""
    known = document.contacts
    locators = {key for key, role in known.roles.items() if role.what == "locates"}
    return [c for c in known.touching() if c.piece in locators and abs(c.normal[2]) < 0.5]


def _cross(a: Contact, b: Contact) -> float:
    return a.normal[0] * b.normal[1] - a.normal[1] * b.normal[0]
