"""The port of one window: everything that action handlers may do to it, and nothing else.

It asks its host for the parts of the window every time, because each job gets a new workspace.
Only this module knows where things are in the window; it makes no decisions.
"""

from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from gridjig.files.storage.settings import Settings
from gridjig.qt.actions.port import FocusPlace, Page
from gridjig.qt.actions.registry import action
from gridjig.qt.canvas.canvas import Canvas
from gridjig.qt.dialogs.questions import Questions
from gridjig.qt.forms.drawing.drawing_files import bring_in
from gridjig.qt.panes.angle.angle_tab import AngleTab
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.copying import copy_lines
from gridjig.qt.widgets.list_entry import ListOrder
from gridjig.qt.window.guide import GuideController
from gridjig.qt.window.open_file import OpenFile
from gridjig.qt.window.shell_stock import ShellStock, StockHost
from gridjig.qt.window.start import StartController
from gridjig.session.document import Document
from gridjig.sheets.drawings.proof_kinds import ProofDrawing
from gridjig.sheets.text.placed_text import verdict
from gridjig.tools.core.pointer import KeyPress
from gridjig.tools.core.tool import Tool
from gridjig.tools.select.select import SelectTool

if TYPE_CHECKING:  # the window opens without the angle finder and the proof
    from gridjig.cutplates.asked import PlateOf
    from gridjig.proof.report import ProofReport

_SHORTCUT = Qt.FocusReason.ShortcutFocusReason
_TOPICS = {
    "place": "place",
    "plate": "plate",
    "hole": "holes",
    **dict.fromkeys(("member", "join", "notch", "dimension"), "member"),
}


class Host(StockHost, Protocol):
    """What the port needs from a window."""

    questions: Questions

    @property
    def start_pages(self) -> StartController:
        """The start page and the ways into a job."""

    @property
    def guide(self) -> GuideController:
        """The guided first job."""

    @property
    def appearance(self) -> Appearance:
        """Colours and sizes."""

    def show_settings(self) -> None:
        """Open the settings form."""

    def update_actions(self) -> None:
        """Update the menus and buttons to what is possible now."""

    def focusWidget(self) -> QWidget | None:
        """Return the widget that has the focus."""

    def window(self) -> QWidget:
        """The window on the screen."""


class ShellTools:
    """The active tool, and the action that is ticked for it."""

    def __init__(self, host: Host) -> None:
        self._host = host
        self.action_id = "tool.select"

    @property
    def in_hand(self) -> Tool:
        """Return the tool that receives pointer and key events."""
        return self._host.workspace.tool

    def take(self, tool: Tool, action_id: str = "") -> None:
        """Activate a tool; the action with that id, if any, stays ticked."""
        self.action_id = action_id
        host = self._host
        if action_id != "tool.select":
            host.start_pages.make_way()
        host.workspace.set_tool(tool)
        host.entry.take_up(tool)
        host.update_actions()

    def select(self) -> None:
        """Go back to the selection tool."""
        self.take(SelectTool(self._host.file.document), "tool.select")

    def key(self, name: str, shift: bool = False) -> None:
        """Send a key to the active tool."""
        canvas = self._host.workspace.canvas
        canvas.send_to_tool(lambda controller: controller.key(KeyPress(name, shift=shift)))


class ShellPages:
    """What is in front, and where the keyboard focus is."""

    def __init__(self, host: Host) -> None:
        self._host = host

    def show(self, page: Page, part: int | None = None) -> None:
        """Bring a list to the front and focus it; `part` is the one of its parts, if several."""
        host = self._host
        if not host.settings.side_shown:
            host.change_settings(side_shown=True)
        work, pane = host.workspace, host.workspace.pages[page]
        work.turn_to(pane)
        pane.setFocus(_SHORTCUT)
        if part is not None:
            work.turn_part(page, part)

    def show_beside(self) -> None:
        """Show the page that puts the other hand of the weldment beside it."""
        self.show("weldment", 4)
        self._host.workspace.show_beside()

    def pick_edge(self) -> None:
        """Let the user pick an edge to take the angle from."""
        work = self._host.workspace
        work.angle.pick_edge()

    def plate_wanted(self) -> "PlateOf | None":
        """Return which plate the angle finder stands for; None if no angle is asked for."""
        tab = self._host.workspace.pages["angle"]
        assert isinstance(tab, AngleTab)
        return tab.plate()

    def focus(self, place: FocusPlace) -> None:
        """Put the focus on that part of the window."""
        work = self._host.workspace
        if place == "rack":
            work.drawer.focus_list()
        elif place == "form":
            work.focus_form()
        elif place == "plan":
            self._host.start_pages.make_way()
            work.focus_plan(_SHORTCUT)
        else:
            self._host.entry.take_focus()

    def go(self, step: int) -> None:
        """Move the focus to the next part of the window, or to the previous one if `step` is -1."""
        work, focus = self._host.workspace, self._host.focusWidget()
        stations = [s for s in work.stations() if s.isVisible()]
        at = next(
            (i for i, s in enumerate(stations) if focus is s or (focus and s.isAncestorOf(focus))),
            0,
        )
        wanted = stations[(at + step) % len(stations)]
        if wanted is work.properties:
            work.focus_form()
        elif wanted is work.tabs:
            work.tabs.currentWidget().setFocus(_SHORTCUT)
        else:
            wanted.setFocus(_SHORTCUT)

    def name_selected(self) -> None:
        """Put the focus on the name field of the form."""
        work = self._host.workspace
        work.show_form()
        work.properties.focus_name()

    def reveal(self, ids: frozenset[str]) -> None:
        """Scroll things into view if they are outside it."""
        self._host.workspace.reveal(ids)

    def copy_list(self) -> int:
        """Copy the list in front, or its selected lines if several; return how many there are."""
        front = self._host.workspace.front_list()
        return front.copy() if front is not None else 0

    def copy_focused(self) -> int:
        """Copy the lines of the list that has the keyboard focus; return how many there are."""
        return copy_lines(self._host.focusWidget())

    def sort_list(self, order: ListOrder) -> bool:
        """Show the list in front in this order; return False if there is no list."""
        front = self._host.workspace.front_list()
        if front is not None:
            front.sort(order)
        return front is not None

    def show_help(self, topic: str = "") -> None:
        """Show the help on a topic, or on the current context if none is given."""
        work = self._host.workspace
        work.help.show_topic(topic or self.topic())
        self.show("help")

    def topic(self) -> str:
        """Return the help topic for the current context."""
        work, focus = self._host.workspace, self._host.focusWidget()
        for part, topic in (
            (work.drawer, "rack"),
            (work.properties, "form"),
            (work.pull_list, "pull"),
            (work.checks, "check"),
            (work.angle, "angle"),
            (work.weldment, work.weldment.topic),
            (work.placed, "select"),
        ):
            if focus is not None and part.isAncestorOf(focus):
                return topic
        if not work.document.job.placements and work.tool.name == "select":
            return "start"
        return _TOPICS.get(work.tool.name, "select")


class ShellChecks:
    """The check, and the finding that was shown last."""

    def __init__(self, host: Host, pages: ShellPages) -> None:
        self._host = host
        self._pages = pages
        self._shown = -1

    def run(self) -> str:
        """Check at once, show the findings, and return a one-line summary."""
        self._shown = -1
        found = self._host.workspace.check_now()
        self._pages.show("check")
        return verdict(found, self._host.workspace.looked_at)[1]

    def next(self) -> None:
        """Select and show the next finding."""
        work = self._host.workspace
        findings = [f for f in work.findings if f.level != "fine"]
        if findings:
            self._shown = (self._shown + 1) % len(findings)
            work.turn_to(work.checks)
            work.checks.mark(findings[self._shown])
            work.show_finding(findings[self._shown])

    def report(self) -> "ProofReport | None":
        """Return the whole report of the job as it is now; None if it is not finished yet."""
        work = self._host.workspace
        return work.proofs.report_of(work.document.job)

    def turn_drawing(self, name: ProofDrawing) -> tuple[bool, str]:
        """Show or hide a drawing of what was found; return whether it is on, and what to say if
        nothing is drawn.
        """
        work = self._host.workspace
        return work.proofs.turn(name)

    def play(self) -> str:
        """Play how something can still move, what is selected if it can; say what, and how far."""
        work = self._host.workspace
        return work.proofs.play_left(work.document.selection)


class ShellDialogs:
    """Questions to the user, and forms over the window."""

    def __init__(self, host: Host, parent: QWidget) -> None:
        self._host = host
        self.parent = parent

    @property
    def appearance(self) -> Appearance:
        """Return the colours and sizes for a form."""
        return self._host.appearance

    def open_path(self, folder: str, title: str, kinds: str) -> str:
        """Ask for a file to read; empty for none."""
        return self._host.questions.open_path(folder, title, kinds)

    def save_path(self, proposed: str, title: str, kinds: str) -> str:
        """Ask for a file to write; empty for none."""
        return self._host.questions.save_path(proposed, title, kinds)

    def problem(self, title: str, body: str) -> None:
        """Report that something could not be done."""
        self._host.questions.problem(title, body)

    def new_job(self) -> None:
        """Ask for a table and a rack, and start a job."""
        self._host.start_pages.ask_new()

    def start_page(self) -> None:
        """Show the start page: samples and recent jobs."""
        self._host.start_pages.show()

    def first_job(self) -> None:
        """Begin the guided first job, or go on with it."""
        self._host.guide.start()

    def drawing(self, path: Path) -> None:
        """Open the form that imports a drawing."""
        file = self._host.file
        bring_in(self.parent, file.document, self.appearance, path)

    def settings(self) -> None:
        """Open the settings."""
        self._host.show_settings()

    def keys(self) -> None:
        """Show the key sheet."""
        from gridjig.qt.window.keys_sheet import KeysSheet  # noqa: PLC0415 - not needed to start

        sheet = KeysSheet(self.parent, self._host.settings.letters)
        sheet.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        sheet.open()


class ShellPreferences:
    """The user's settings."""

    def __init__(self, host: Host) -> None:
        self._host = host

    @property
    def value(self) -> Settings:
        """Return the current settings."""
        return self._host.settings

    def change(self, **fields: object) -> None:
        """Change settings, store them, and apply them at once."""
        self._host.change_settings(**fields)


class Shell:
    """The port of one window (see gridjig/qt/actions/port.py); `do` runs an action by its id."""

    def __init__(self, host: Host, parent: QWidget) -> None:
        self._host = host
        self.tools = ShellTools(host)
        self.stock = ShellStock(host)
        self.pages = ShellPages(host)
        self.checks = ShellChecks(host, self.pages)
        self.dialogs = ShellDialogs(host, parent)
        self.preferences = ShellPreferences(host)

    @property
    def document(self) -> Document:
        """The open job with its history, selection and clipboard."""
        return self._host.file.document

    @property
    def files(self) -> OpenFile:
        """The job's file."""
        return self._host.file

    @property
    def view(self) -> Canvas:
        """The canvas that shows the table."""
        return self._host.workspace.canvas

    def say(self, words: str) -> None:
        """Show a line under the plan and announce it to screen readers."""
        self._host.show_message(words)

    def update(self) -> None:
        """Update the menus and buttons to what is possible now."""
        self._host.update_actions()

    def close(self) -> None:
        """Close the window, unless the user cancels."""
        self._host.window().close()

    def do(self, action_id: str) -> None:
        """Run the action with that id.  Raise KeyError if there is none."""
        action(action_id).handler(self)
        self._host.guide.acted(action_id)
