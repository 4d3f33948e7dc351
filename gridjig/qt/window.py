"""The window: puts the parts together and passes word between them.  It decides nothing itself.

What actions do is in `actions`, what their handlers get in `shell`, the file in `files_ui`, the
middle of the window in `workspace`.
"""

from pathlib import Path

from msgspec import structs
from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent, QStatusTipEvent
from PySide6.QtWidgets import QApplication, QMenuBar, QWidget

from gridjig.files.settings import Settings, write_settings
from gridjig.model import Job, Placement
from gridjig.session.desk import Desk
from gridjig.sheets.tell import verdict
from gridjig.tools.holes import Wanted
from gridjig.tools.tool import Tool

from . import theme as themes
from . import windowstyle
from .actions import piece, table
from .actions.action import Situation
from .announce import announce
from .banner import Banner
from .drawings import bring_in, is_drawing
from .entry import EntryRow
from .files_ui import OpenFile, documents
from .fontsize import use_letters
from .forms.questions import Questions
from .menus import Actions, ToolRow
from .metrics import measure
from .panes.job_form import unit_key
from .scalebar import scale_text
from .shell import Shell
from .starting import Starting
from .strip import TitleStrip
from .widgets.layout import in_column, inset
from .widgets.plain import title_words
from .widgets.sheet_frame import SheetFrame
from .windowstyle import Look
from .workspace import Workspace


class Window(QWidget):
    """One job in one window: all that is in a frame, or a window by itself."""

    def __init__(
        self, job: Job, settings: Settings, points: float, frame: QWidget | None = None
    ) -> None:
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        self._app = app
        use_letters(app, points * settings.text_percent / 100)
        super().__init__(frame)
        self.settings = settings
        self._points = points
        self.questions = Questions(self)
        self.file = OpenFile(job, self.questions, settings.autosave_s, self)
        self.file.folder = settings.folder or documents()
        self.look = self._make_look()
        self._style()  # before the parts are made: styled afterwards they take three times as long
        self._told: Job | None = None
        self._verdict = ""
        self.menu_bar = QMenuBar()
        self.actions_made = Actions(self)
        self.row = ToolRow(self.actions_made)
        self.entry = EntryRow()
        self.strip = TitleStrip(self.entry)
        self.banner = Banner()
        self.starting = Starting(self, self)
        self.port = Shell(self, self)
        self.work = Workspace(self.file.desk, self.look)
        self._lay_out()
        self._connect()
        self._apply_look()
        self._take_up(self.file.desk)
        self.setAcceptDrops(True)
        self.resize(1280, 800)

    @property
    def desk(self) -> Desk:
        """The desk of the job in hand."""
        return self.file.desk

    # -- putting together ------------------------------------------------------------------------

    def _lay_out(self) -> None:
        self.actions_made.fill(self.menu_bar, {"file.open": self.starting.menu})
        self.row.fill_menu(self.menu_bar)
        self._column = in_column(over=self)
        self._column.setMenuBar(self.menu_bar)
        inset(self._column, "none", 0)
        for part in (self.row, self.banner):
            self._column.addWidget(part)
        self._column.addWidget(self.work, 1)
        self._column.addWidget(self.strip)

    def _connect(self) -> None:
        hints = self._app.styleHints()
        hints.colorSchemeChanged.connect(self._follow_system)
        hints.accessibility().contrastPreferenceChanged.connect(self._follow_system)
        self.actions_made.triggered.connect(self._on_action)
        self.file.opened.connect(self._take_up)
        self.file.changed.connect(self._on_file)
        self.file.said.connect(self.say)
        self.file.foldered.connect(lambda folder: self.change_settings(folder=folder))
        self.banner.wanted.connect(lambda: self.port.do("file.take_over"))
        self.banner.saving.connect(lambda: self.port.do("file.save_as"))
        self.strip.lamp_pressed.connect(lambda: self.port.do("check.run"))
        self.entry.typed.connect(self._on_typed)
        self.entry.escaped.connect(lambda: self.port.do("go.sheet"))
        self.entry.left.connect(self._on_leave)
        self.entry.marking.connect(self._on_marking)
        choices = self.entry.member
        choices.section.chosen.connect(self.port.stock.choose)
        choices.section.refused.connect(self.say)
        choices.section.adding.connect(lambda: self.port.do("weldment.section"))
        choices.side.connect(self.port.stock.choose_side)

    def _take_up(self, desk: Desk) -> None:
        """Show another desk: a fresh workspace takes the place of the old one."""
        if self.work.desk is not desk:
            old = self.work
            desk.keep(old.desk.kept)
            old.close_desk()
            self.work = Workspace(desk, self.look)
            self._column.replaceWidget(old, self.work)
            self.work.show()
            old.hide()
            old.deleteLater()
        work = self.work
        work.changed.connect(self._on_desk)
        work.said.connect(self.say)
        work.picked.connect(self._on_picked)
        work.wanted.connect(self.port.do)
        work.tooled.connect(self._on_picking)
        work.checked.connect(self._on_checked)
        work.canvas.pointed.connect(self.strip.pointer.show_words)
        work.canvas.zoomed.connect(self._on_zoom)
        work.canvas.hinted.connect(self._on_hint)
        work.canvas.tool_left.connect(self.port.tools.select)
        work.canvas.begun.connect(self.entry.begin)
        self.actions_made.give_to_sheet(work.canvas)
        self._told = desk.job
        self._show_parts()
        self.port.tools.select()
        self._on_desk()
        self._on_file()
        self.work.canvas.setFocus()
        self.starting.consider()

    def _on_action(self, action_id: str, _: bool) -> None:
        self.port.do(action_id)
        self.update_actions()  # a tick says how things are, not what was pressed

    # -- look ------------------------------------------------------------------------------------

    def _make_look(self) -> Look:
        theme = themes.choose(self.settings.theme)
        metrics = measure(self.screen(), self.settings.px_per_mm, self.settings.glove)
        return Look(theme, metrics)

    def _style(self) -> None:
        points = self._points * self.settings.text_percent / 100
        windowstyle.apply(self._app, self.look, points)

    def _apply_look(self) -> None:
        self.actions_made.set_icons(self.look)
        self.actions_made.set_letters(self.settings.letters)
        self.row.set_look(self.look)
        self.menu_bar.setVisible(not self.look.metrics.glove)
        self.work.set_look(self.look)
        self._show_parts()

    def _show_parts(self) -> None:
        self.work.rack.setVisible(self.settings.rack_shown)
        self.work.side.setVisible(self.settings.side_shown)
        self.work.canvas.set_wheel_zooms(self.settings.wheel == "zoom")
        self._on_zoom(self.work.canvas.view.scale)
        self.update_actions()

    def change_settings(self, **fields: object) -> None:
        """Change settings, keep them, and show what changed at once."""
        self.use_settings(structs.replace(self.settings, **fields))

    def use_settings(self, settings: Settings) -> None:
        """Use other settings from now on."""
        old, self.settings = self.settings, settings
        if settings == old:
            return
        write_settings(settings)
        self.file.set_delay(settings.autosave_s)
        look = self._make_look()
        if look != self.look or (old.text_percent, old.letters) != (
            settings.text_percent,
            settings.letters,
        ):
            self.look = look
            self._style()
            self._apply_look()
        else:
            self._show_parts()

    def show_settings(self) -> None:
        """Open the settings form; every change is in force at once."""
        from .forms.settings import SettingsForm  # noqa: PLC0415 - not needed to start

        form = SettingsForm(
            self.settings, self.look.theme, self.look.metrics.px_per_mm, self.use_settings, self
        )
        form.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        form.open()

    def _follow_system(self) -> None:
        """Follow the system from light to dark where the settings say so."""
        if self.settings.theme == "system" and (look := self._make_look()) != self.look:
            self.look = look
            QTimer.singleShot(0, self, self._restyle)

    def _restyle(self) -> None:
        self._style()
        self._apply_look()

    # -- following -------------------------------------------------------------------------------

    def event(self, event: QEvent) -> bool:
        """Say of the action under the pointer what it does or why it cannot be used."""
        if isinstance(event, QStatusTipEvent):
            self.entry.explain(event.tip())
            return True
        return super().event(event)

    def say(self, words: str) -> None:
        """Show a line in the strip and have it read aloud."""
        if words:
            self.entry.say(words)
            announce(self, words)

    def _on_hint(self, words: str) -> None:
        self.entry.say(words)
        self.entry.follow(self.work.tool)

    def _on_zoom(self, scale: float) -> None:
        if scale > 0:
            self.strip.scale.show_words(scale_text(self.look.metrics.px_per_mm, scale))

    def _on_desk(self) -> None:
        desk = self.desk
        self.strip.show_job(desk.shown)
        self.window().setWindowModified(desk.modified)
        if desk.job is not self._told:
            self._told = desk.job
            announce(self, desk.undo_name)
            self.starting.consider()
        self.update_actions()

    def update_actions(self) -> None:
        """Enable what can be done now, with the reason where it cannot."""
        desk = self.desk
        chosen = [desk.job.find(i) for i in desk.selection]
        self.actions_made.update(
            Situation(
                things=len(desk.job.placements) + len(desk.job.outlines),
                selected=len(chosen),
                placements=sum(isinstance(t, Placement) for t in chosen),
                parts=len(desk.job.outlines),
                copied=len(desk.kept),
                undo_name=desk.undo_name,
                redo_name=desk.redo_name,
                can_undo=desk.can_undo,
                can_redo=desk.can_redo,
                modified=desk.modified,
                in_a_file=self.file.path is not None,
                read_only=self.file.read_only,
                findings=sum(f.level != "fine" for f in self.work.findings),
                tool=self.work.tool.name,
                tool_action=self.port.tools.action_id,
                unit=unit_key(desk.shown.display),
                theme=self.settings.theme,
                rack_shown=self.settings.rack_shown,
                side_shown=self.settings.side_shown,
                glove=self.settings.glove,
            )
        )

    def _on_file(self) -> None:
        reading = " (for reading)" if self.file.read_only else ""
        self.window().setWindowTitle(f"{title_words(self.file.name)}[*]{reading} — GridJig")
        self.window().setWindowModified(self.desk.modified)
        self.strip.file.show_words(self.file.path.name if self.file.path else "not saved yet")
        self.banner.show_reason(self.file.read_only)
        self.update_actions()

    def _on_checked(self, findings: tuple[object, ...]) -> None:
        level: str
        level, words = verdict(self.work.findings)
        if not self.desk.job.placements and level == "fine":
            level, words = "", "nothing to check yet"
        self.strip.show_verdict(level, words)
        if words != self._verdict:
            self._verdict = words
            announce(self, f"Check: {words}")
        self.update_actions()

    # -- tools -----------------------------------------------------------------------------------

    def _on_picking(self, tool: Tool) -> None:
        self.port.tools.take(tool)
        self.focus_sheet()
        self.say(tool.hint())

    def _on_picked(self, piece_id: str) -> None:
        piece.place(self.port, piece_id)
        self.focus_sheet()

    def _on_marking(self, state: Wanted, size: str) -> None:
        fault = table.mark_holes(self.port, state, size)
        self.entry.mark_wrong(bool(fault))

    def _on_typed(self, text: str) -> None:
        self.work.canvas.tell(lambda tool: tool.type(text))
        announce(self, self.entry.hint.words())

    def _on_leave(self) -> None:
        self.port.tools.select()
        self.focus_sheet()

    # -- start and end ---------------------------------------------------------------------------

    @property
    def sheet_frame(self) -> SheetFrame:
        """What the sheet lies in: the start page is laid over it."""
        return self.work.middle

    def focus_sheet(self) -> None:
        """Put the focus on the sheet."""
        self.work.focus_sheet()

    def open_path(self, path: Path) -> bool:
        """Open a file that came from outside: dropped, listed, or named at the start."""
        if is_drawing(path):
            bring_in(self, self.desk, self.look, path)
            return True
        return self.file.open(path)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Settle unsaved changes first."""
        if not self.file.settle():
            event.ignore()
            return
        self.work.close_desk()
        self.file.close()
        event.accept()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take one file."""
        urls = event.mimeData().urls()
        if len(urls) == 1 and urls[0].isLocalFile():
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Open the file; after the drop is done, since it may ask something."""
        path = Path(event.mimeData().urls()[0].toLocalFile())
        event.acceptProposedAction()
        QTimer.singleShot(0, self, lambda: self.open_path(path))
