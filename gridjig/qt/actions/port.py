"""What an action's handler gets: the document, and narrow access to plan, tool, pages and dialogs.

Declarations only.  The window provides one object that implements all of it
(`gridjig/qt/window/shell.py`); tests provide another.  A handler that needs more gets a new method
here, never the window.
"""

from pathlib import Path
from typing import TYPE_CHECKING, Literal, Protocol

from PySide6.QtGui import QImage
from PySide6.QtWidgets import QWidget

from gridjig.edits.members import Hold
from gridjig.files.storage.settings import Settings
from gridjig.model import Section
from gridjig.qt.dialogs.questions import FileQuestions
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.list_entry import ListOrder
from gridjig.session.document import Document
from gridjig.sheets.drawings.proof_kinds import ProofDrawing
from gridjig.tools.core.tool import Tool
from gridjig.tools.draw.member_tool import MemberTool

if TYPE_CHECKING:  # the window opens without the angle finder and the proof
    from gridjig.cutplates.asked import PlateOf
    from gridjig.proof.report import ProofReport

Page = Literal["placed", "pull", "check", "angle", "weldment", "help"]
FocusPlace = Literal["rack", "plan", "form", "entry"]


class FilePort(Protocol):
    """The job's file."""

    folder: str

    def ask_open(self) -> bool:
        """Let the user choose a file and open it; True if one was opened."""

    def save(self) -> bool:
        """Save the job to its file; True if it was saved."""

    def save_as(self) -> bool:
        """Save the job under a name the user chooses; True if it was saved."""

    def take_over(self) -> None:
        """Make a job that was opened read-only editable."""


class ViewPort(Protocol):
    """The part of the table in view."""

    def fit_table(self) -> None:
        """Show the whole table."""

    def fit_selection(self) -> None:
        """Show the selection."""

    def actual_size(self) -> None:
        """Show it at 1:1."""

    def zoom_by(self, factor: float) -> None:
        """Zoom about the centre of the view."""

    def look_aside(self, right: int, back: int) -> None:
        """Move the view by so many fifths of its width and height."""

    def picture(self) -> QImage:
        """Return what is in view, without the focus mark and what a tool draws."""


class ToolPort(Protocol):
    """The active tool."""

    @property
    def in_hand(self) -> Tool:
        """Return the tool that receives pointer and key events."""

    def take(self, tool: Tool, action_id: str) -> None:
        """Activate a tool; the action with that id stays ticked."""

    def select(self) -> None:
        """Go back to the selection tool."""

    def key(self, name: str, shift: bool = False) -> None:
        """Send a key to the active tool."""


class StockPort(Protocol):
    """The section that the next member is drawn with, and its side of the line."""

    @property
    def lies(self) -> Hold:
        """Return the side of the line that the member lies on."""

    def lay(self, tool: MemberTool) -> None:
        """Lay the next member as the last one lay: way up, hand, height."""

    def plate_heights(self) -> tuple[float, float] | None:
        """Return the underside and the thickness that the last plate was drawn with in this job."""

    def section(self) -> Section:
        """Return the section last drawn in this window, else in this job, else ever, else a common
        one.
        """

    def add(self, section: Section) -> None:
        """Offer a section that was added to the user's list, and draw with it next."""

    def offer(self) -> None:
        """Offer the user's list of sections again after it has changed."""


class PagePort(Protocol):
    """What is in front, and what has the keyboard focus: lists, form, drawer, plan."""

    def show(self, page: Page, part: int | None = None) -> None:
        """Bring a list to the front and focus it; `part` selects one of its parts if it has
        several.
        """

    def show_beside(self) -> None:
        """Show the page that puts the other hand of the weldment beside it."""

    def pick_edge(self) -> None:
        """Let the user pick an edge to take the angle from."""

    def plate_wanted(self) -> "PlateOf | None":
        """Return which plate the angle finder stands for; None if no angle is asked for."""

    def focus(self, place: FocusPlace) -> None:
        """Put the focus on that part of the window."""

    def go(self, step: int) -> None:
        """Move the focus to the next part of the window, or to the previous one if `step` is -1."""

    def name_selected(self) -> None:
        """Put the focus on the name field of the form."""

    def reveal(self, ids: frozenset[str]) -> None:
        """Scroll things into view if they are outside it."""

    def copy_list(self) -> int:
        """Copy the list in front as a table, or its selected lines if several are selected; return
        how many lines there are.
        """

    def copy_focused(self) -> int:
        """Copy the lines of the list that has the focus; return how many, 0 without a list."""

    def sort_list(self, order: ListOrder) -> bool:
        """Show the list in front in this order; return False if there is no list."""

    def show_help(self, topic: str = "") -> None:
        """Show the help on a topic, or on the current context if none is given."""


class CheckPort(Protocol):
    """The check of the set-up."""

    def run(self) -> str:
        """Check at once, show the findings, and return a one-line summary."""

    def next(self) -> None:
        """Select and show the next finding."""

    def report(self) -> "ProofReport | None":
        """Return the whole report of the job as it is now; None if it is not finished yet."""

    def turn_drawing(self, name: ProofDrawing) -> tuple[bool, str]:
        """Show or hide a drawing of what was found; return whether it is on, and what to say if
        nothing is drawn.
        """

    def play(self) -> str:
        """Play how something can still move, what is selected if it can; say what, and how far."""


class DialogPort(FileQuestions, Protocol):
    """Questions, and forms over the window."""

    @property
    def parent(self) -> QWidget:
        """Return the widget that a form is opened over."""

    @property
    def appearance(self) -> Appearance:
        """Return the colours and sizes for a form."""

    def new_job(self) -> None:
        """Ask for a table and a rack, and start a job."""

    def start_page(self) -> None:
        """Show the start page: samples and recent jobs."""

    def first_job(self) -> None:
        """Begin the guided first job, or go on with it."""

    def drawing(self, path: Path) -> None:
        """Open the form that imports a drawing."""

    def settings(self) -> None:
        """Open the settings."""

    def keys(self) -> None:
        """Show the key sheet."""


class PreferencePort(Protocol):
    """The user's settings."""

    @property
    def value(self) -> Settings:
        """Return the current settings."""

    def change(self, **fields: object) -> None:
        """Change settings, store them, and apply them at once."""


class Port(Protocol):
    """Everything a handler gets."""

    @property
    def document(self) -> Document:
        """The open job with its history, selection and clipboard."""

    @property
    def files(self) -> FilePort:
        """The job's file."""

    @property
    def view(self) -> ViewPort:
        """The part of the table in view."""

    @property
    def tools(self) -> ToolPort:
        """The active tool."""

    @property
    def stock(self) -> StockPort:
        """The section that the next member is drawn with, and its side of the line."""

    @property
    def pages(self) -> PagePort:
        """The lists, the form and the drawer."""

    @property
    def checks(self) -> CheckPort:
        """The check of the set-up."""

    @property
    def dialogs(self) -> DialogPort:
        """The questions and forms."""

    @property
    def preferences(self) -> PreferencePort:
        """The user's settings."""

    def say(self, words: str) -> None:
        """Show a line under the plan and announce it to screen readers."""

    def update(self) -> None:
        """Update the menus and buttons to what is possible now."""

    def close(self) -> None:
        """Close the window, unless the user cancels."""
