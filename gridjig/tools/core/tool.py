"""What a tool is: it is told of pointer and keys and answers with a value.

A tool looks at the document and never changes it; `apply_outcome` applies its answer.
"""

from collections.abc import Mapping
from typing import Protocol

from msgspec import Struct

from gridjig.geometry.display import DisplayList
from gridjig.model import Job
from gridjig.session.document import Clipboard, Document
from gridjig.solve.placed.placed_piece import PlacedPiece

from .pointer import KeyPress, Pointer


class Nothing(Struct, frozen=True):
    """Nothing to change; `hint` says why, where there is a reason to give."""

    hint: str = ""


class Preview(Struct, frozen=True):
    """Show this job until the next answer; None drops what was shown."""

    job: Job | None
    hint: str = ""


class Commit(Struct, frozen=True):
    """Make this job the document, as a step of this name.

    `selection` is what is selected after it (None: as before).  Steps in a row with the same
    non-empty `burst` are one.
    """

    job: Job
    name: str
    selection: frozenset[str] | None = None
    merge_key: str = ""
    hint: str = ""


class Select(Struct, frozen=True):
    """Select these; the job stays."""

    ids: frozenset[str]
    hint: str = ""


class Leave(Struct, frozen=True):
    """The tool has done its work; whoever holds it goes back to selecting."""

    hint: str = ""


class CopyToClipboard(Struct, frozen=True):
    """Remember these for a later paste, then do what `then` says."""

    things: Clipboard
    then: Nothing | Commit

    @property
    def hint(self) -> str:
        """What `then` says."""
        return self.then.hint


Outcome = Nothing | Preview | Commit | Select | Leave | CopyToClipboard


class ToolContext(Protocol):
    """What a tool may look at.  A document is one."""

    @property
    def job(self) -> Job:
        """The job as committed."""

    @property
    def placed_pieces(self) -> Mapping[str, PlacedPiece]:
        """How each placement of the job shown stands."""

    @property
    def selection(self) -> frozenset[str]:
        """Ids of what is selected."""

    @property
    def clipboard(self) -> Clipboard:
        """What was copied last."""


class Tool:
    """A tool that does nothing; the real ones override what they need.

    `hint` and `overlay` are queries: they read what the last event computed and change nothing.
    Whatever depends on the job is computed in the event methods and in `follow`.
    """

    name = "tool"
    numbers = False
    """A digit typed over the table begins an entry for it: what it draws is drawn to a size."""

    def __init__(self, context: ToolContext) -> None:
        self.context = context

    def hint(self) -> str:
        """What the next click or key will do."""
        return ""

    def press(self, pointer: Pointer) -> Outcome:
        """The primary button goes down."""
        return Nothing()

    def move(self, pointer: Pointer) -> Outcome:
        """The pointer moves, with the button down or not."""
        return Nothing()

    def release(self, pointer: Pointer) -> Outcome:
        """The primary button comes up."""
        return Nothing()

    def key(self, key: KeyPress) -> Outcome:
        """A key goes down on the canvas."""
        return Nothing()

    def type(self, text: str) -> Outcome:
        """A text was entered in the tool's field: a hole address, a size, an angle."""
        return Nothing(f"The {self.name} tool takes no typed text.")

    def follow(self) -> None:
        """The job changed, through this tool or otherwise: bring what is shown up to date."""

    def leave(self, reason: str) -> Outcome:
        """Another tool or window takes over: drop what is under way."""
        return Preview(None)

    def overlay(self) -> DisplayList:
        """What to draw over the table: ghosts, reach, snap ring, boxes; in table mm."""
        return ()


def apply_outcome(document: Document, outcome: Outcome) -> None:
    """Apply one answer of a tool to the document; the caller shows what it says."""
    match outcome:
        case Commit():
            document.do(outcome.job, outcome.name, outcome.selection, outcome.merge_key)
        case Preview():
            document.preview(outcome.job)
        case Select():
            document.select(outcome.ids)
        case Leave():
            document.preview(None)
        case CopyToClipboard():
            document.set_clipboard(outcome.things)
            apply_outcome(document, outcome.then)
        case _:
            assert isinstance(outcome, Nothing)
