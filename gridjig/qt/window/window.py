"""The window: puts the parts together and connects them.  It decides nothing itself.

Actions are in `qt/actions`, what their handlers get in `shell`, the file in `open_file`, the middle
of the window in `workspace`.
"""

from pathlib import Path

from msgspec import structs
from PySide6.QtCore import QEvent, Qt, Slot
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent, QShowEvent, QStatusTipEvent
from PySide6.QtWidgets import QApplication, QMenuBar, QWidget

from gridjig.files.storage.settings import Settings, write_settings
from gridjig.model import Job, MarkedState
from gridjig.qt.actions import piece, table
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.dialogs.questions import Questions
from gridjig.qt.forms.drawing.drawing_files import bring_in, is_drawing
from gridjig.qt.paint.scale_bar import scale_text
from gridjig.qt.style import appearance
from gridjig.qt.style import theme as themes
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.style.font_size import use_letters
from gridjig.qt.style.metrics import measured
from gridjig.qt.tasks.timers import call_later
from gridjig.qt.widgets.announce import announce
from gridjig.qt.widgets.file_drop import accept_one_file, take_dropped
from gridjig.qt.widgets.layout import in_column, inset
from gridjig.qt.widgets.lifetime import Surroundings
from gridjig.qt.widgets.plain import title_words
from gridjig.qt.widgets.plan_frame import PlanFrame
from gridjig.qt.widgets.tips import TipPlace
from gridjig.qt.window.shell import Shell
from gridjig.session.document import Document
from gridjig.sheets.text.placed_text import verdict
from gridjig.tools.core.pointer import KeyPress
from gridjig.tools.core.prompt import Prompt
from gridjig.tools.core.tool import Tool

from .banner import Banner
from .entry_row import EntryRow
from .focus_words import focus_words
from .guide import GuideController
from .menus import Actions, ToolRow
from .open_file import OpenFile, documents
from .situation import situation
from .start import StartController
from .status_bar import StatusBar
from .workspace import Workspace


class Window(TipPlace):
    """One job in one window: the contents of a frame, or a window by itself."""

    def __init__(
        self, job: Job, settings: Settings, points: float, frame: QWidget | None = None
    ) -> None:
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        self._app = app
        self.settings = settings
        use_letters(app, points * measured(app.primaryScreen(), settings).letters)
        super().__init__(frame)
        self._points = points
        self.questions = Questions(self)
        self.file = OpenFile(job, self.questions, settings.autosave_s, self)
        self.file.folder = settings.folder or documents()
        self.appearance = self._make_appearance()
        appearance.prepare(app, self.appearance, points)
        self._told: Job | None = None
        self._surroundings, self._verdict = Surroundings(), ""
        self.menu_bar = QMenuBar()
        self.actions_made = Actions(self)
        self.row = ToolRow(self.actions_made)
        self.entry = EntryRow()
        self.status_bar = StatusBar(self.entry)
        self.banner = Banner()
        self.start_pages = StartController(self, self)
        self.guide = GuideController(self, self)
        self.port = Shell(self, self)
        self.workspace = self._make_workspace(self.file.document)
        self._lay_out()
        appearance.dress(app, self.appearance, points)
        self._connect()
        self._apply_look()
        self._take_up(self.file.document)
        self.setAcceptDrops(True)
        self.resize(1280, 800)

    @property
    def document(self) -> Document:
        """The document of the open job."""
        return self.file.document

    # -- assembly --------------------------------------------------------------------------------

    def _make_workspace(self, document: Document) -> Workspace:
        return Workspace(document, self.appearance, self.settings.division, self)

    def _lay_out(self) -> None:
        self.actions_made.fill(self.menu_bar, {"file.open": self.start_pages.menu})
        self.row.fill_menu(self.menu_bar)
        self._column = in_column(over=self)
        self._column.setMenuBar(self.menu_bar)
        inset(self._column, "none", 0)
        for part in (self.row, self.banner, self.workspace, self.guide.strip, self.status_bar):
            self._column.addWidget(part, 1 if part is self.workspace else 0)

    def _connect(self) -> None:
        hints = self._app.styleHints()
        hints.colorSchemeChanged.connect(self._follow_system)
        hints.accessibility().contrastPreferenceChanged.connect(self._follow_system)
        self.actions_made.triggered.connect(self._on_action)
        self._app.focusChanged.connect(self._on_focus, Qt.ConnectionType.QueuedConnection)
        self.actions_made.opening.connect(self.update_actions)
        self.file.opened.connect(self._take_up)
        self.file.changed.connect(self._on_file)
        self.file.message.connect(self.show_message)
        self.file.foldered.connect(lambda folder: self.change_settings(folder=folder))
        self.banner.wanted.connect(lambda: self.port.do("file.take_over"))
        self.banner.saving.connect(lambda: self.port.do("file.save_as"))
        self.status_bar.lamp_pressed.connect(lambda: self.port.do("check.run"))
        self.entry.typed.connect(self._on_typed)
        self.entry.finished.connect(
            lambda: self.workspace.canvas.send_to_tool(lambda t: t.finish())
        )
        self.entry.escaped.connect(self._on_escaped)
        self.entry.left.connect(self._on_leave)
        self.entry.marking.connect(self._on_marking)
        choices = self.entry.member
        choices.section.chosen.connect(self.port.stock.choose)
        choices.section.refused.connect(self._on_section_refused)
        choices.section.adding.connect(lambda: self.port.do("weldment.section"))
        choices.side.connect(self.port.stock.choose_side)
        choices.way.connect(self.port.stock.choose_way)
        for strip in (choices, self.entry.plate):
            strip.said.connect(self._on_said)

    def _take_up(self, document: Document) -> None:
        """Show another document in a new workspace that replaces the old one."""
        if self.workspace.document is not document:
            old = self.workspace
            document.set_clipboard(old.document.clipboard)
            old.close_document()
            self.workspace = self._make_workspace(document)
            self._column.replaceWidget(old, self.workspace)
            self.workspace.show()
            old.hide()
            old.deleteLater()
        work = self.workspace
        work.changed.connect(self._on_document)
        work.message.connect(self.show_message)
        work.stepped.connect(lambda: self.entry.show_step(work.document.undo_name))
        work.keys_changed.connect(self._on_focus, Qt.ConnectionType.QueuedConnection)
        work.picked.connect(self._on_picked)
        work.action_wanted.connect(self.port.do)
        work.tool_wanted.connect(self._on_picking)
        work.checked.connect(self._on_checked)
        work.divided.connect(lambda division: self.change_settings(division=division))
        work.canvas.pointed.connect(self.status_bar.pointer.show_words)
        work.canvas.zoomed.connect(self._on_zoom)
        work.canvas.prompted.connect(self._on_prompt)
        work.canvas.said.connect(lambda words: self.show_message(words, over=True))
        work.canvas.tool_left.connect(self.port.tools.select)
        work.canvas.begun.connect(self.entry.begin)
        work.fronted.connect(self._on_focus)  # a list has lines now, or none
        self.guide.take_up(work)
        work.set_letters(self.settings.letters)
        self.entry.show_prompt(work.canvas.prompt)
        self.actions_made.give_to_plan(work.canvas)
        self._told = document.job
        self._show_parts()
        self.port.tools.select()
        self._on_document()
        self._on_file()
        self.workspace.canvas.setFocus()
        self.start_pages.update_visibility()

    def _on_action(self, action_id: str, _: bool) -> None:
        self.port.do(action_id)
        self.update_actions()  # a tick shows the state, not what was clicked

    # -- appearance ------------------------------------------------------------------------------

    def _make_appearance(self) -> Appearance:
        return Appearance(
            themes.choose(self.settings.theme), measured(self.screen(), self.settings)
        )

    def _apply_look(self) -> None:
        self.actions_made.set_appearance(self.appearance)
        self.actions_made.set_letters(self.settings.letters)
        self.workspace.set_letters(self.settings.letters)
        self.entry.set_keys("", self.settings.letters)
        self._on_focus()
        self.row.set_appearance(self.appearance)
        self.menu_bar.setVisible(not self.appearance.metrics.glove)
        self.workspace.set_appearance(self.appearance)
        for form in self.findChildren(FormDialog):
            form.set_appearance(self.appearance)
        self._show_parts()

    def _show_parts(self) -> None:
        self.workspace.drawer.setVisible(self.settings.rack_shown)
        self.workspace.side.setVisible(self.settings.side_shown)
        self.workspace.canvas.set_contacts_shown(self.settings.contacts_shown)
        self.workspace.canvas.set_wheel_zooms(self.settings.wheel == "zoom")
        self._on_zoom(self.workspace.canvas.view.scale)
        self.update_actions()

    def change_settings(self, **fields: object) -> None:
        """Change settings, store them, and apply them at once."""
        self.use_settings(structs.replace(self.settings, **fields))

    def use_settings(self, settings: Settings) -> None:
        """Use these settings from now on."""
        if settings == self.settings:
            return
        old, self.settings = self.settings, settings
        write_settings(settings)
        self.file.set_delay(settings.autosave_s)
        appearance = self._make_appearance()
        if appearance != self.appearance or old.letters != settings.letters:
            self.appearance = appearance
            self._restyle()
        else:
            self._show_parts()

    def show_settings(self) -> None:
        """Open the settings form; every change takes effect at once."""
        from gridjig.qt.forms.settings_form import SettingsForm  # noqa: PLC0415 - not needed to start

        form = SettingsForm(self.settings, self.appearance, self.use_settings, self)
        form.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        form.open()

    def _follow_system(self) -> None:
        """Follow the system between light and dark if the settings say so, once no form is open."""
        changed = themes.choose(self.settings.theme) is not self.appearance.theme
        if self.settings.theme == "system" and changed and QApplication.activeModalWidget() is None:
            self.appearance = self._make_appearance()
            call_later(self, self._restyle)

    def _restyle(self) -> None:
        appearance.apply(self._app, self.appearance, self._points)
        self._apply_look()

    # -- following the document ------------------------------------------------------------------

    def event(self, event: QEvent) -> bool:
        """Explain the action under the pointer: what it does, or why it is disabled."""
        if isinstance(event, QStatusTipEvent):
            self.entry.explain(event.tip())
            return True
        return super().event(event)

    def show_message(self, words: str, over: bool = False) -> None:
        """Show what has happened, and announce it; with `over`, no words take the last away."""
        if words or over:
            self.entry.show_message(words)
        if words:
            announce(self, words)

    def _on_section_refused(self, why: str) -> None:
        """Show why a typed section is refused; once it is not any more, take the words away."""
        self.show_message(why, over=True)
        self._on_focus()

    def _on_prompt(self, prompt: Prompt) -> None:
        self.entry.show_prompt(prompt)
        self.entry.follow(self.workspace.tool)
        if self.focusWidget() is self.entry.edit:  # Enter may now end what is drawn
            self._on_focus()
        self.port.stock.note(self.workspace.tool)

    @Slot()
    def _on_focus(self) -> None:
        """Say in the prompt what the keys do where the focus is, and follow the system if an open
        form held that up.  Queued: while Qt destroys widgets it moves the focus too.
        """
        if self._surroundings.whole() and self.window().isActiveWindow():
            words = focus_words(self.focusWidget(), self.workspace, self.entry)
            self.entry.set_keys(words, self.settings.letters)
            self._follow_system()

    def showEvent(self, event: QShowEvent) -> None:
        """Note what the window is in, for what is heard while it is being destroyed."""
        super().showEvent(event)
        self._surroundings.note(self)

    def _on_zoom(self, scale: float) -> None:
        if scale > 0:
            self.status_bar.scale.show_words(scale_text(self.appearance.metrics.px_per_mm, scale))

    def _on_document(self) -> None:
        document = self.document
        self.status_bar.show_job(document.shown, document.weldment)
        self.window().setWindowModified(document.modified)
        if document.job is not self._told:
            self._told = document.job
            self.start_pages.update_visibility()
        self.guide.follow()
        self.update_actions()

    def update_actions(self) -> None:
        """Enable the actions that are possible now, and give the reason for the others."""
        action_id = self.port.tools.action_id
        self.actions_made.update(situation(self.file, self.settings, self.workspace, action_id))

    def _on_file(self) -> None:
        reading = " (read-only)" if self.file.read_only else ""
        self.window().setWindowTitle(f"{title_words(self.file.name)}[*]{reading} — GridJig")
        self.window().setWindowModified(self.document.modified)
        self.status_bar.file.show_words(self.file.path.name if self.file.path else "not saved yet")
        self.banner.show_reason(self.file.read_only)
        self.guide.follow()
        self.update_actions()

    def _on_checked(self, looked_at: tuple[str, ...]) -> None:
        level, words = verdict(self.workspace.findings, looked_at)
        self.status_bar.show_verdict(level, words, looked_at)
        if words != self._verdict:
            self._verdict = words
            announce(self, f"Check: {words}")
        self.update_actions()

    # -- tools -----------------------------------------------------------------------------------

    def _on_picking(self, tool: Tool) -> None:
        self.port.tools.take(tool)
        self.focus_plan()

    def _on_picked(self, piece_id: str) -> None:
        piece.place(self.port, piece_id)
        self.focus_plan()

    def _on_marking(self, state: MarkedState, size: str, go_on: bool) -> None:
        fault = table.mark_holes(self.port, state, size)
        self.entry.mark_wrong(bool(fault))
        if go_on and not fault:
            self.focus_plan()

    def _on_typed(self, text: str) -> None:
        self.workspace.canvas.send_to_tool(lambda tool: tool.type(text))
        announce(self, self.workspace.canvas.prompt.text())

    def _on_said(self, text: str) -> None:
        """Pass on what was set in a strip beside the typed text, and go on on the plan."""
        self._on_typed(text)
        self.entry.follow(self.workspace.tool)
        self.focus_plan()

    def _on_escaped(self) -> None:
        """Esc in the typed text goes to the plan; there it also ends what is being drawn.

        Other tools stay: after a typed angle the piece in hand is still to be put down.
        """
        self.port.do("go.plan")
        if self.workspace.tool.name in ("member", "plate"):
            self.workspace.canvas.send_to_tool(lambda tool: tool.key(KeyPress("escape")))

    def _on_leave(self) -> None:
        self.port.tools.select()
        self.focus_plan()

    # -- opening and closing ---------------------------------------------------------------------

    @property
    def plan_frame(self) -> PlanFrame:
        """Return the frame around the plan; the start page is laid over it."""
        return self.workspace.middle

    def focus_plan(self) -> None:
        """Put the focus on the plan."""
        self.workspace.focus_plan()

    def open_path(self, path: Path) -> bool:
        """Open a file that was dropped, listed as recent, or named on the command line."""
        if is_drawing(path):
            bring_in(self, self.document, self.appearance, path)
            return True
        return self.file.open(path)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Settle unsaved changes before closing."""
        if not self.file.settle():
            event.ignore()
            return
        self.workspace.close_document()
        self.file.close()
        event.accept()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Accept the drag of one file."""
        accept_one_file(event)

    def dropEvent(self, event: QDropEvent) -> None:
        """Open the file once the drop has finished, because opening may ask a question."""
        take_dropped(event, self, self.open_path)
