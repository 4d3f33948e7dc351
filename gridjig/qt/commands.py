"""What each action does: one short function for each, found by the action's id.

The window is told by its parts only; nothing here draws or lays out.
"""

from collections.abc import Callable, Mapping
from functools import partial
from typing import TYPE_CHECKING, Literal

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QWidget

from gridjig.edits.details import set_display
from gridjig.edits.difference import differing
from gridjig.edits.selection import things
from gridjig.edits.table import size_fault
from gridjig.edits.things import all_ids
from gridjig.files.settings import Settings
from gridjig.model import SIZED, Part, Placement
from gridjig.sheets.pull import pull_list, to_text
from gridjig.sheets.tell import verdict
from gridjig.tools.acts import delete, flip, paste, turn
from gridjig.tools.holes import HoleTool, Wanted
from gridjig.tools.place import PlaceTool
from gridjig.tools.select import SelectTool
from gridjig.tools.tool import Outcome, play
from gridjig.units import Misread, parse_length

from .action_list import ACTIONS
from .deeds_weldment import WeldmentDeeds
from .deeds_whole import whole_deeds
from .drawings import ask_drawing
from .forms.openers import openers
from .panes.job_form import unit_display, unit_key
from .transfer import export_rack, import_rack, save_bill

if TYPE_CHECKING:
    from .window import Window

_NOTCH = 1.2
Deed = Callable[[], None]


class Commands:
    """The deeds of one window."""

    def __init__(self, window: "Window") -> None:
        self._window = window
        self._finding = -1
        self.weldment = WeldmentDeeds(window)
        self.table: Mapping[str, Deed] = {
            **self._files(),
            **self._edits(),
            **self._tools(),
            **self._angles(),
            **self.weldment.table,
            **whole_deeds(window, self._go_list),
            **self._views(),
            **self._helps(),
            **{key: self._opens(key) for key in openers()},
        }

    def do(self, action_id: str) -> None:
        """Do what an action of that id does."""
        self.table[action_id]()

    # -- files -----------------------------------------------------------------------------------

    def _files(self) -> dict[str, Deed]:
        w = self._window
        return {
            "file.new": w.ask_new,
            "file.open": lambda: void(w.file.ask_open()),
            "file.drawing": lambda: ask_drawing(w),
            "file.save": lambda: void(w.file.save()),
            "file.save_as": lambda: void(w.file.save_as()),
            "file.take_over": w.file.take_over,
            "file.start": w.show_start,
            "file.quit": lambda: void(w.window().close()),
            "bill.copy": self._copy_bill,
            "bill.save": lambda: save_bill(w),
            "rack.import": lambda: import_rack(w),
            "rack.export": lambda: export_rack(w),
            "settings": w.show_settings,
        }

    def _opens(self, action_id: str) -> Deed:
        return lambda: openers()[action_id](self._window, self._window.desk, self._window.look)

    def _copy_bill(self) -> None:
        pulled = pull_list(self._window.desk.job)
        QGuiApplication.clipboard().setText(to_text(pulled))
        self._window.say(f"{len(pulled.lines)} lines are on the clipboard as a table.")

    # -- edits -----------------------------------------------------------------------------------

    def _edits(self) -> dict[str, Deed]:
        return {
            "edit.undo": self._undo,
            "edit.redo": self._redo,
            "edit.copy": self._copy,
            "edit.cut": self._cut,
            "edit.paste": lambda: self._paste(self._window.desk.kept),
            "edit.duplicate": lambda: self._paste(
                things(self._window.desk.job, self._window.desk.selection)
            ),
            "edit.mirror_x": lambda: self._mirror("x"),
            "edit.mirror_y": lambda: self._mirror("y"),
            "edit.delete": lambda: self._act(
                delete(self._window.desk.job, self._window.desk.selection)
            ),
            "edit.all": self._select_all,
            "edit.name": self._name,
            "piece.turn": lambda: self._turn(1),
            "piece.turn_back": lambda: self._turn(-1),
            "piece.flip": self._flip,
        }

    def _act(self, outcome: Outcome) -> None:
        play(self._window.desk, outcome)
        self._window.say(outcome.hint)

    def _undo(self) -> None:
        desk = self._window.desk
        before = desk.job
        step = desk.undo()
        if step is not None:
            self._window.work.reveal(differing(before, desk.job))
            self._window.say(f"Undone: {step.name}.")

    def _redo(self) -> None:
        desk = self._window.desk
        before = desk.job
        step = desk.redo()
        if step is not None:
            self._window.work.reveal(differing(before, desk.job))
            self._window.say(f"Done again: {step.name}.")

    def _copy(self) -> None:
        desk = self._window.desk
        desk.keep(things(desk.job, desk.selection))
        self._window.say(f"{len(desk.kept)} copied. Paste sets them in the nearest free holes.")
        self._window.suit_actions()

    def _cut(self) -> None:
        self._copy()
        self._act(delete(self._window.desk.job, self._window.desk.selection, "Cut"))

    def _paste(self, copied: tuple[Placement | Part, ...]) -> None:
        desk = self._window.desk
        self._act(paste(desk.job, desk.stands, copied))
        self._window.work.reveal(desk.selection)

    def _mirror(self, axis: Literal["x", "y"]) -> None:
        from gridjig.tools.mirroring import mirror_copy  # noqa: PLC0415 - not needed to start

        desk = self._window.desk
        self._act(mirror_copy(desk.job, desk.stands, desk.selection, axis))
        self._window.work.reveal(desk.selection)

    def _select_all(self) -> None:
        desk = self._window.desk
        desk.select(all_ids(desk.job))
        self._window.say(f"{len(desk.selection)} selected.")

    def _name(self) -> None:
        self._window.work.show_form()
        self._window.work.properties.focus_name()

    def _turn(self, way: int) -> None:
        canvas = self._window.work.canvas
        if canvas.tool.name != "select":
            self._window.key_to_tool("r", shift=way < 0)
            return
        desk = self._window.desk
        self._act(turn(desk.job, desk.stands, desk.selection, way))

    def _flip(self) -> None:
        canvas = self._window.work.canvas
        if canvas.tool.name != "select":
            self._window.key_to_tool("f")
            return
        desk = self._window.desk
        self._act(flip(desk.job, desk.stands, desk.selection))

    # -- tools -----------------------------------------------------------------------------------

    def _tools(self) -> dict[str, Deed]:
        return {
            "tool.select": self.select_tool,
            "tool.place": self._go_rack,
            "tool.holes": lambda: self.hole_tool("blocked", ""),
        }

    def select_tool(self) -> None:
        """Go back to selecting."""
        self._window.take_tool(SelectTool(self._window.desk), "tool.select")

    def place_tool(self, piece_id: str) -> None:
        """Take a piece in hand."""
        self._window.take_tool(PlaceTool(self._window.desk, piece_id), "tool.place")

    def hole_tool(self, state: Wanted, size: str) -> None:
        """Mark holes as `state`; `size` is typed and may still be empty."""
        mm, fault = 0.0, ""
        window = self._window
        job = window.desk.job
        if state in SIZED and not size.strip():
            fault = f"Type how {'deep' if state == 'shallow' else 'wide'} the hole is."
        elif state in SIZED:
            try:
                mm = parse_length(size, job.display.unit)
                fault = size_fault(job.table, state, mm, job.display)
            except Misread as misread:
                fault = str(misread)
        window.entry.mark_wrong(bool(fault))
        if fault:
            window.say(fault)
        else:
            window.take_tool(HoleTool(window.desk, state, mm), "tool.holes")

    # -- angles ----------------------------------------------------------------------------------

    def _angles(self) -> dict[str, Deed]:
        return {
            "angle.find": lambda: self._angle(0),
            "angle.edge": self._angle_edge,
            "angle.back": lambda: self._angle(1),
            "angle.reach": lambda: self._angle(2),
        }

    def _angle(self, page: int) -> None:
        tab = self._window.work.angle
        self._go_list(tab)
        tab.pane.turn_to(page)
        tab.pane.focus_first()

    def _angle_edge(self) -> None:
        self._angle(0)
        self._window.work.angle.pane.ask.pick_edge()

    # -- view ------------------------------------------------------------------------------------

    def _views(self) -> dict[str, Deed]:
        w = self._window
        # The workspace is another one after every job that is opened, so it is looked up each time.
        deeds: dict[str, Deed] = {
            "view.fit": lambda: w.work.canvas.fit_table(),  # noqa: PLW0108
            "view.fit_selection": lambda: w.work.canvas.fit_selection(),  # noqa: PLW0108
            "view.actual": lambda: w.work.canvas.actual_size(),  # noqa: PLW0108
            "view.in": lambda: w.work.canvas.zoom_by(_NOTCH),
            "view.out": lambda: w.work.canvas.zoom_by(1 / _NOTCH),
            "view.rack": lambda: w.change_settings(rack_shown=not w.settings.rack_shown),
            "view.side": lambda: w.change_settings(side_shown=not w.settings.side_shown),
            "view.glove": lambda: w.change_settings(glove=not w.settings.glove),
            "go.next": lambda: self._go(1),
            "go.back": lambda: self._go(-1),
            "go.rack": self._go_rack,
            "go.type": self._go_type,
            "go.sheet": lambda: self._focus(w.work.canvas),
            "go.form": lambda: w.work.focus_form(),  # noqa: PLW0108
            "go.placed": lambda: self._go_list(w.work.placed),
            "go.bill": lambda: self._go_list(w.work.bill),
        }
        for theme in ("light", "dark", "system", "print"):
            deeds[f"theme.{theme}"] = partial(w.change_settings, theme=theme)
        for key in ("8", "16", "32", "64", "decimals", "mm"):
            deeds[f"unit.{key}"] = partial(self._unit, key)
        return deeds

    def _unit(self, key: str) -> None:
        desk = self._window.desk
        desk.do(set_display(desk.job, unit_display(key, desk.job.display)), "Change the unit")

    def _focus(self, widget: QWidget) -> None:
        widget.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _go(self, way: int) -> None:
        work = self._window.work
        stations = [s for s in work.stations() if s.isVisible()]
        focus = self._window.focusWidget()
        at = next(
            (i for i, s in enumerate(stations) if focus is s or (focus and s.isAncestorOf(focus))),
            0,
        )
        wanted = stations[(at + way) % len(stations)]
        if wanted is work.properties:
            work.focus_form()
        elif wanted is work.tabs:
            self._focus(work.tabs.currentWidget())
        else:
            self._focus(wanted)

    def _go_rack(self) -> None:
        if not self._window.settings.rack_shown:
            self._window.change_settings(rack_shown=True)
        self._window.work.rack.focus_list()
        self._window.say("Choose a piece with the arrow keys and Enter, or type to find one.")

    def _go_type(self) -> None:
        self._focus(self._window.entry.edit)
        self._window.entry.edit.selectAll()

    def _go_list(self, pane: QWidget) -> None:
        if not self._window.settings.side_shown:
            self._window.change_settings(side_shown=True)
        self._window.work.turn_to(pane)
        self._focus(pane)

    # -- check and help --------------------------------------------------------------------------

    def _helps(self) -> dict[str, Deed]:
        return {
            "check.run": self._check,
            "check.next": self._next_finding,
            "help.topic": lambda: self._help(self._window.topic()),
            "help.keys": self._keys,
            "help.safety": lambda: self._help("safety"),
            "help.about": lambda: self._help("about"),
        }

    def _check(self) -> None:
        self._finding = -1
        work = self._window.work
        found = work.checker.check_now()
        self._go_list(work.checks)
        self._window.say(f"Check: {verdict(found)[1]}.")

    def _next_finding(self) -> None:
        work = self._window.work
        findings = [f for f in work.findings if f.level != "fine"]
        if findings:
            self._finding = (self._finding + 1) % len(findings)
            work.turn_to(work.checks)
            work.checks.mark(findings[self._finding])
            work.show_finding(findings[self._finding])

    def _help(self, topic: str) -> None:
        self._window.work.help.show_topic(topic)
        self._go_list(self._window.work.help)

    def _keys(self) -> None:
        from .forms.keys import KeysSheet  # noqa: PLC0415 - not needed to start

        sheet = KeysSheet(self._window)
        sheet.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        sheet.open()

    # -- what is ticked --------------------------------------------------------------------------

    def ticks(self, settings: Settings, tool_action: str) -> dict[str, bool]:
        """Which actions are ticked now."""
        unit = unit_key(self._window.desk.shown.display)
        return {
            "view.rack": settings.rack_shown,
            "view.side": settings.side_shown,
            "view.glove": settings.glove,
            f"theme.{settings.theme}": True,
            f"unit.{unit}": True,
            **{one.id: one.id == tool_action for one in ACTIONS if one.choice == "tool"},
        }


def void(_: object) -> None:
    """Take an answer and give none."""
