"""What the handler of an action gets: the document, and narrow ways to sheet, tool, pages, dialogs.

Declarations only.  The window provides one object that implements it all
(`gridjig/qt/window/shell.py`); tests provide another.  A handler that needs more gets a new method
here, never the window.
"""

from pathlib import Path
from typing import Literal, Protocol

from PySide6.QtWidgets import QWidget

from gridjig.edits.members import Hold
from gridjig.files.storage.settings import Settings
from gridjig.model import Section
from gridjig.qt.dialogs.questions import FileQuestions
from gridjig.qt.style.appearance import Appearance
from gridjig.session.document import Document
from gridjig.tools.core.tool import Tool

Page = Literal["placed", "pull", "check", "angle", "weldment", "help"]
FocusPlace = Literal["rack", "sheet", "form", "entry"]


class FilePort(Protocol):
    """The file that the job is in."""

    folder: str

    def ask_open(self) -> bool:
        """Open a file that the person chooses."""

    def save(self) -> bool:
        """Save the job in its file."""

    def save_as(self) -> bool:
        """Save the job under a name that the person chooses."""

    def take_over(self) -> None:
        """Edit a job that was opened for reading only."""


class SheetPort(Protocol):
    """What of the table is seen."""

    def fit_table(self) -> None:
        """Show the whole table."""

    def fit_selection(self) -> None:
        """Show what is selected."""

    def actual_size(self) -> None:
        """Show it at 1:1."""

    def zoom_by(self, factor: float) -> None:
        """Zoom about the middle."""


class ToolPort(Protocol):
    """The tool in hand."""

    @property
    def in_hand(self) -> Tool:
        """The tool that is told of pointer and keys."""

    def take(self, tool: Tool, action_id: str) -> None:
        """Take a tool in hand; the action of that id stays ticked."""

    def select(self) -> None:
        """Go back to selecting."""

    def key(self, name: str, shift: bool = False) -> None:
        """Tell the tool in hand of a key."""


class StockPort(Protocol):
    """What the next member is drawn of."""

    @property
    def lies(self) -> Hold:
        """The side of its line."""

    def section(self) -> Section:
        """The section drawn last: in this window, in this job, ever; else a usual one."""

    def add(self, section: Section) -> None:
        """A section came to the person's list: it is offered, and drawn next."""

    def offer(self) -> None:
        """The person's list is another one: it is offered as it is."""


class PagePort(Protocol):
    """What is in front and has the keyboard focus: lists, form, drawer, sheet."""

    def show(self, page: Page, part: int | None = None) -> None:
        """Bring a list to the front and the focus to it, `part` of it where it has several."""

    def pick_edge(self) -> None:
        """Let the user pick the edge whose angle is wanted."""

    def focus(self, place: FocusPlace) -> None:
        """Put the focus there."""

    def go(self, step: int) -> None:
        """Move the focus to the next part of the window, or with -1 to the one before."""

    def name_selected(self) -> None:
        """Put the focus on the name in the form."""

    def reveal(self, ids: frozenset[str]) -> None:
        """Bring things into view if they are out of it."""

    def show_help(self, topic: str = "") -> None:
        """Show the help on a topic; without one, on what is in hand."""


class CheckPort(Protocol):
    """The check of the set-up."""

    def run(self) -> str:
        """Check at once, show what was found, and say it in one line."""

    def next(self) -> None:
        """Select and show the next thing that was found."""


class DialogPort(FileQuestions, Protocol):
    """What is asked, and forms over the window."""

    @property
    def parent(self) -> QWidget:
        """What a form is opened over."""

    @property
    def appearance(self) -> Appearance:
        """Colours and sizes for a form."""

    def new_job(self) -> None:
        """Ask for table and rack, and start a job."""

    def start_page(self) -> None:
        """Show samples and recent jobs."""

    def drawing(self, path: Path) -> None:
        """Open the form that brings a drawing in."""

    def settings(self) -> None:
        """Open the settings."""

    def keys(self) -> None:
        """Show the sheet of all keys."""


class PreferencePort(Protocol):
    """The person's settings."""

    @property
    def value(self) -> Settings:
        """The settings in force."""

    def change(self, **fields: object) -> None:
        """Change settings, keep them, and show what changed at once."""


class Port(Protocol):
    """All that a handler gets."""

    @property
    def document(self) -> Document:
        """The job in hand with its history, selection and clipboard."""

    @property
    def files(self) -> FilePort:
        """The file that the job is in."""

    @property
    def sheet(self) -> SheetPort:
        """What of the table is seen."""

    @property
    def tools(self) -> ToolPort:
        """The tool in hand."""

    @property
    def stock(self) -> StockPort:
        """What the next member is drawn of."""

    @property
    def pages(self) -> PagePort:
        """Lists, form, drawer."""

    @property
    def checks(self) -> CheckPort:
        """The check."""

    @property
    def dialogs(self) -> DialogPort:
        """Questions and forms."""

    @property
    def preferences(self) -> PreferencePort:
        """The person's settings."""

    def say(self, words: str) -> None:
        """Show a line in the strip and have it read aloud."""

    def update(self) -> None:
        """Bring menus and buttons up to what is possible now."""

    def close(self) -> None:
        """Close the window, if the person lets it."""
