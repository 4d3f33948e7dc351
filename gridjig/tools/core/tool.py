"""What a tool is: it takes pointer and key events and returns an outcome as a value.

What an outcome says (`said`) has happened, or why nothing did.  What will happen is the tool's
prompt, which always holds; the two are never mixed.

A tool reads the document and never changes it; `apply_outcome` applies its outcome.
"""

from collections.abc import Mapping
from typing import Protocol

from msgspec import Struct

from gridjig.geometry.display import DisplayList
from gridjig.model import Job
from gridjig.session.document import Clipboard, Document
from gridjig.solve.placed.placed_piece import PlacedPiece

from .pointer import KeyPress, Pointer
from .prompt import Prompt


class Nothing(Struct, frozen=True):
    """Nothing changes; `said` says why, if there is a reason to give."""

    said: str = ""


class Preview(Struct, frozen=True):
    """Show this job until the next outcome; None drops the preview.

    `about` is what is being dragged, selected or not: the form shows that.
    """

    job: Job | None
    said: str = ""
    about: frozenset[str] = frozenset()


class Commit(Struct, frozen=True):
    """Make this job the document, as a step of this name.

    `selection` is what is selected afterwards (None: as before).  Consecutive steps with the same
    non-empty `burst` are merged into one.
    """

    job: Job
    name: str
    selection: frozenset[str] | None = None
    merge_key: str = ""
    said: str = ""


class Select(Struct, frozen=True):
    """Select these; the job does not change."""

    ids: frozenset[str]
    said: str = ""


class Leave(Struct, frozen=True):
    """The tool is finished; its controller goes back to selecting."""

    said: str = ""


class CopyToClipboard(Struct, frozen=True):
    """Copy these to the clipboard, then apply the outcome `then`."""

    things: Clipboard
    then: Nothing | Commit

    @property
    def said(self) -> str:
        """What `then` says."""
        return self.then.said


Outcome = Nothing | Preview | Commit | Select | Leave | CopyToClipboard


class ToolContext(Protocol):
    """What a tool may read.  A document is one."""

    @property
    def job(self) -> Job:
        """The job as committed."""

    @property
    def placed_pieces(self) -> Mapping[str, PlacedPiece]:
        """The placed pieces of the job shown, by id."""

    @property
    def selection(self) -> frozenset[str]:
        """The ids of what is selected."""

    @property
    def clipboard(self) -> Clipboard:
        """What was copied last."""


class Tool:
    """A tool that does nothing; the real ones override what they need.

    `prompt` and `overlay` are queries: they read what the last event computed and change nothing.
    Anything that depends on the job is computed in the event methods and in `follow`.
    """

    name = "tool"
    numbers = False
    """True if a digit typed over the table starts an entry for the tool, which draws to size."""

    def __init__(self, context: ToolContext) -> None:
        self.context = context

    def prompt(self) -> Prompt:
        """What the next click or key will do, where the tool is now."""
        return Prompt()

    def hint(self) -> str:
        """The prompt as one line."""
        return self.prompt().text()

    def press(self, pointer: Pointer) -> Outcome:
        """The primary button goes down."""
        return Nothing()

    def move(self, pointer: Pointer) -> Outcome:
        """The pointer moves, with the button down or not."""
        return Nothing()

    def release(self, pointer: Pointer) -> Outcome:
        """The primary button comes up."""
        return Nothing()

    def away(self) -> Outcome:
        """The pointer left the canvas."""
        return Nothing()

    def key(self, key: KeyPress) -> Outcome:
        """A key goes down on the canvas."""
        return Nothing()

    def type(self, text: str) -> Outcome:
        """Text was entered in the tool's field: a hole address, a size, an angle."""
        return Nothing(f"The {self.name} tool does not take typed text.")

    @property
    def in_progress(self) -> bool:
        """True while something is half drawn that Enter in the Type row can end."""
        return False

    def finish(self) -> Outcome:
        """Enter without new text in the tool's field: end what is half drawn."""
        return Nothing()

    def follow(self) -> None:
        """The job changed, through this tool or otherwise: update what is shown."""

    def leave(self, reason: str) -> Outcome:
        """Another tool or window takes over: drop what is in progress."""
        return Preview(None)

    def overlay(self) -> DisplayList:
        """What to draw over the table: ghosts, reach, snap ring, boxes; in table mm."""
        return ()


def apply_outcome(document: Document, outcome: Outcome) -> None:
    """Apply one outcome of a tool to the document; the caller shows its text."""
    match outcome:
        case Commit():
            document.do(outcome.job, outcome.name, outcome.selection, outcome.merge_key)
        case Preview():
            document.preview(outcome.job, outcome.about)
        case Select():
            document.select(outcome.ids)
        case Leave():
            document.preview(None)
        case CopyToClipboard():
            document.set_clipboard(outcome.things)
            apply_outcome(document, outcome.then)
        case _:
            assert isinstance(outcome, Nothing)
