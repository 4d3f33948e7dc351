"""What the actions of the weldment's menu do, found by the action's id."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, cast

from gridjig.edits.members import Hold
from gridjig.files.sections import find, sections
from gridjig.model import Member, Part, Section
from gridjig.tools.dimension import DimensionTool
from gridjig.tools.join import JoinTool
from gridjig.tools.joins import JoinKind, join_selected
from gridjig.tools.member import MemberTool
from gridjig.tools.notch import NotchTool
from gridjig.tools.outline import OutlineTool
from gridjig.tools.tool import play

if TYPE_CHECKING:
    from .window import Window


class WeldmentDeeds:
    """The deeds of one window; it remembers the section and the side that were drawn last."""

    def __init__(self, window: "Window") -> None:
        self._window = window
        self._lies: Hold = "centre"
        self.table: dict[str, Callable[[], None]] = {
            "tool.member": self._member,
            "tool.rectangle": lambda: window.take_tool(
                OutlineTool(window.desk, "rectangle"), "tool.rectangle"
            ),
            "tool.polygon": lambda: window.take_tool(
                OutlineTool(window.desk, "polygon"), "tool.polygon"
            ),
            "tool.notch": lambda: window.take_tool(NotchTool(window.desk), "tool.notch"),
            "tool.dimension": lambda: window.take_tool(
                DimensionTool(window.desk), "tool.dimension"
            ),
            **{
                f"join.{kind}": partial(self._join, kind)
                for kind in ("trim", "mitre", "butt", "cope")
            },
        }
        choices = window.entry.member
        choices.section.chosen.connect(self._on_section)
        choices.section.refused.connect(window.say)
        choices.section.adding.connect(lambda: window.commands.do("weldment.section"))
        choices.side.connect(self._on_side)

    # -- drawing ---------------------------------------------------------------------------------

    def _member(self) -> None:
        window = self._window
        window.take_tool(MemberTool(window.desk, self._section(), self._lies), "tool.member")

    def _section(self) -> Section:
        """The section drawn last: in this window, in this job, ever; else a usual one."""
        window = self._window
        drawn = [part.section for part in window.desk.job.outlines if isinstance(part, Member)]
        last = window.entry.member.section.section or (drawn[-1] if drawn else None)
        last = last or find(window.settings.section)
        if last is not None:
            return last
        metric = window.desk.job.display.unit == "millimetres"
        name = "50x50x3" if metric else "2x2x1/8"
        return find(name, "square tube") or sections()[0]

    def _on_section(self, section: Section) -> None:
        tool = self._window.work.canvas.tool
        if isinstance(tool, MemberTool):
            tool.take(section)
            self._window.say(tool.hint())
        self._window.change_settings(section=section.name)
        self._window.work.canvas.setFocus()

    def on_own_section(self, section: Section) -> None:
        """A section was added to the list: it is offered, and drawn next."""
        self.on_forgotten_section()
        self._window.entry.member.section.show_section(section)
        self._on_section(section)

    def on_forgotten_section(self) -> None:
        """The list of sections is another one now: it is offered as it is."""
        self._window.entry.member.section.offer(self._window.desk.job.display.unit)
        self._window.work.properties.member_form.offer_sections()

    def _on_side(self, lies: str) -> None:
        self._lies = cast(Hold, lies)
        tool = self._window.work.canvas.tool
        if isinstance(tool, MemberTool):
            tool.lies = self._lies
            self._window.say(tool.hint())
        self._window.work.canvas.setFocus()

    # -- joining ---------------------------------------------------------------------------------

    def _join(self, kind: JoinKind) -> None:
        """Two that are selected are joined at once; else they are clicked one after the other."""
        window, desk = self._window, self._window.desk
        chosen = [desk.job.find(i) for i in desk.selection]
        if len(chosen) == 2 and all(isinstance(one, Part) for one in chosen):
            outcome = join_selected(desk.job, kind, desk.selection)
            play(desk, outcome)
            window.say(outcome.hint)
            window.suit_actions()
            return
        window.take_tool(JoinTool(desk, kind), f"join.{kind}")
