"""What the next member and the next plate of one window are drawn with."""

from typing import Protocol

from gridjig.edits.members import Hold
from gridjig.files.library.sections import find_section, sections
from gridjig.files.storage.settings import Settings
from gridjig.model import Member, Section, WayUp
from gridjig.qt.window.entry_row import EntryRow
from gridjig.qt.window.open_file import OpenFile
from gridjig.qt.window.workspace import Workspace
from gridjig.session.document import Document
from gridjig.tools.core.tool import Tool
from gridjig.tools.draw.member_tool import MemberTool
from gridjig.tools.draw.plate_tool import PlateTool


class StockHost(Protocol):
    """What it needs from a window."""

    @property
    def workspace(self) -> Workspace:
        """The middle of the window, for the open job."""

    @property
    def file(self) -> OpenFile:
        """The job's file."""

    @property
    def entry(self) -> EntryRow:
        """The input row under the plan."""

    @property
    def settings(self) -> Settings:
        """The user's settings."""

    def change_settings(self, **fields: object) -> None:
        """Change settings, store them, and apply them."""

    def show_message(self, words: str) -> None:
        """Show a line under the plan and announce it to screen readers."""


class ShellStock:
    """The section and the side of the line that the next member is drawn with."""

    def __init__(self, host: StockHost) -> None:
        self._host = host
        kept = host.settings
        self.lies: Hold = kept.lies
        self._way_up: WayUp = kept.way_up
        self._mirrored = kept.mirrored
        self._z_low = 0.0
        self._plate: tuple[float, float] | None = None
        self._plate_of: Document | None = None

    def lay(self, tool: MemberTool) -> None:
        """Lay the next member as the last one lay: way up, hand, height."""
        tool.way_up, tool.mirrored, tool.z_low = self._way_up, self._mirrored, self._z_low

    def plate_heights(self) -> tuple[float, float] | None:
        """Return the underside and the thickness that the last plate was drawn with in this job."""
        return self._plate if self._plate_of is self._host.file.document else None

    def note(self, tool: Tool) -> None:
        """Remember what the active tool draws with."""
        if isinstance(tool, PlateTool):
            self._plate, self._plate_of = (tool.z_low, tool.thickness), self._host.file.document
        if not isinstance(tool, MemberTool):
            return
        now = (tool.lies, tool.way_up, tool.mirrored)
        self._z_low = tool.z_low
        if now != (self.lies, self._way_up, self._mirrored):
            self.lies, self._way_up, self._mirrored = now
            self._host.change_settings(lies=now[0], way_up=now[1], mirrored=now[2])

    def choose_way(self, way_up: WayUp) -> None:
        """Turn the section of the next member."""
        tool = self._host.workspace.tool
        if isinstance(tool, MemberTool):
            tool.way_up = way_up
        self._go_on(tool)

    def _go_on(self, tool: Tool) -> None:
        """Remember and show what the tool draws with now, and go back to the plan."""
        host = self._host
        self.note(tool)
        if isinstance(tool, MemberTool):
            host.entry.follow(tool)
            host.entry.show_prompt(tool.prompt())
        host.workspace.focus_plan()

    def section(self) -> Section:
        """Return the section last drawn in this window, else in this job, else ever, else a common
        one.
        """
        host = self._host
        file = host.file
        job = file.document.job
        drawn = [part.section for part in job.parts if isinstance(part, Member)]
        last = host.entry.chosen_section() or (drawn[-1] if drawn else None)
        kind = host.settings.section_kind
        last = last or find_section(host.settings.section, kind or None)
        if last is not None:
            return last
        metric = job.display.unit == "millimetres"
        name = "50x50x3" if metric else "2x2x1/8"
        return find_section(name, "square tube") or sections()[0]

    def choose(self, section: Section) -> None:
        """Draw the next member with this section, and remember it."""
        tool = self._host.workspace.tool
        if isinstance(tool, MemberTool):
            tool.take(section)
        self._host.change_settings(section=section.name, section_kind=section.kind)
        self._go_on(tool)

    def choose_side(self, lies: Hold) -> None:
        """Put the next member on this side of its line."""
        tool = self._host.workspace.tool
        if isinstance(tool, MemberTool):
            tool.lies = lies
        self._go_on(tool)

    def add(self, section: Section) -> None:
        """Offer a section that was added to the user's list, and draw with it next."""
        self.offer()
        self._host.entry.show_section(section)
        self.choose(section)

    def offer(self) -> None:
        """Offer the user's list of sections again after it has changed."""
        host = self._host
        work = host.workspace
        host.entry.offer_sections(work.document.job.display.unit)
        work.offer_sections()
