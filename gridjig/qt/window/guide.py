"""The guided first job: a strip under the plan with the step to do now, which leaves by itself."""

import math
from typing import Protocol

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QFrame, QWidget

from gridjig.files.library.default_job import default_table, job_on
from gridjig.files.storage.settings import Settings
from gridjig.qt.canvas.canvas import Canvas
from gridjig.qt.tasks.timers import call_later
from gridjig.qt.widgets.announce import announce
from gridjig.qt.widgets.layout import in_column, in_row
from gridjig.qt.widgets.plain import Button, Label
from gridjig.session.document import Document
from gridjig.session.first_job import NAME, STEPS, Event, Guide, resumed
from gridjig.sheets.text.first_job_text import step_text, step_title

from .open_file import OpenFile
from .start import StartController
from .workspace import Workspace

_ZOOMED = 0.05
"""The plan was zoomed if its scale has changed by this part; a wheel notch is far more."""
_ACTIONS: dict[str, Event] = {"edit.undo": "undone", "check.run": "checked", "go.pull": "pulled"}


class GuideHost(Protocol):
    """What the guide needs from the window."""

    @property
    def file(self) -> OpenFile:
        """The open job and its file."""

    @property
    def workspace(self) -> Workspace:
        """The middle of the window, for the open job."""

    @property
    def settings(self) -> Settings:
        """The user's settings."""

    def change_settings(self, **fields: object) -> None:
        """Change settings, store them, and apply them."""

    @property
    def start_pages(self) -> StartController:
        """The start page."""

    def focus_plan(self) -> None:
        """Put the focus on the plan."""

    def show_message(self, words: str) -> None:
        """Show a message line."""


class GuideStrip(QFrame):
    """The step to do now, with its number; hidden while nobody is guided."""

    skipped = Signal()
    left = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("guide")
        self.setAccessibleName("First job")
        self.title = Label("", "guideTitle")
        self.words = Label()
        self.skip = Button("Skip this step", "plain", "Go on with the next step")
        self.leave = Button("Leave", "plain", "Close the guide; Help, First job goes on with it")
        self.skip.clicked.connect(self.skipped)
        self.leave.clicked.connect(self.left)
        said = in_column(self.title, self.words, margins="none", gap=0)
        in_row((said, 1), self.skip, self.leave, over=self, margins="banner")
        self.hide()

    def show_step(self, title: str, words: str, more: bool) -> None:
        """Show a step; without `more` it was the last."""
        self.title.setText(title)
        self.words.setText(words)
        self.skip.setVisible(more)
        self.leave.setText("Leave" if more else "Close")
        self.show()


class GuideController(QObject):
    """Follows what is done in the window, and shows the next step."""

    def __init__(self, host: GuideHost, parent: QWidget) -> None:
        super().__init__(parent)
        self._host = host
        self._parent = parent
        self._guide: Guide | None = None
        self._scale = 0.0
        self.strip = GuideStrip()
        self.strip.skipped.connect(self._on_skip)
        self.strip.left.connect(self.leave)

    @property
    def guide(self) -> Guide | None:
        """How far it is; None while nobody is guided."""
        return self._guide

    @property
    def _document(self) -> Document:
        return self._host.file.document

    @property
    def _canvas(self) -> Canvas:
        return self._host.workspace.canvas

    def start(self) -> None:
        """Begin the first job, or go on where it was left, if it is still open."""
        host = self._host
        settings = host.settings
        reached = settings.first_job
        if reached >= len(STEPS) or self._document.job.name != NAME:
            if not host.file.new(job_on(default_table(settings), settings, NAME)):
                return
            reached = 0
        self._guide = resumed(self._document, reached)
        self._show()
        host.start_pages.dismiss()
        call_later(self, self._note_scale)

    def leave(self) -> None:
        """Close the strip; what was done stays, and `start` goes on."""
        if self._guide is not None and self._guide.step is not None:
            self._host.show_message("Help, First job in ten steps goes on from here.")
        self._guide = None
        self.strip.hide()
        self._host.focus_plan()

    # -- what happens ----------------------------------------------------------------------------

    def take_up(self, work: Workspace) -> None:
        """Follow another workspace; the guide does not go along to another job."""
        work.tabs.currentChanged.connect(lambda _: self._on_page(work))
        work.canvas.zoomed.connect(self._on_zoom)
        if self._guide is not None and work.document.job.name != NAME:
            self._guide = None
            self.strip.hide()

    def acted(self, action_id: str) -> None:
        """Note that an action was carried out."""
        if action_id in _ACTIONS:
            self._note(_ACTIONS[action_id])

    def follow(self) -> None:
        """Look whether the step is done by now."""
        if self._guide is None:
            return
        file = self._host.file
        if file.path is not None and not file.modified:
            self._guide = self._guide.noted("saved")
        before, self._guide = self._guide, self._guide.advanced(file.document)
        if self._guide.done != before.done:
            self._show()

    def _note(self, event: Event) -> None:
        if self._guide is not None:
            self._guide = self._guide.noted(event)
            self.follow()

    def _note_scale(self) -> None:
        self._scale = self._canvas.view.scale

    def _on_zoom(self, scale: float) -> None:
        if min(scale, self._scale) > 0 and abs(math.log(scale / self._scale)) > _ZOOMED:
            self._note("zoomed")

    def _on_page(self, work: Workspace) -> None:
        if work.tabs.currentWidget() is work.pull_list:
            self._note("pulled")

    def _on_skip(self) -> None:
        if self._guide is not None:
            self._guide = self._guide.skipped()
            self._show()
            self.follow()

    def _show(self) -> None:
        guide = self._guide
        assert guide is not None
        settings = self._host.settings
        if settings.first_job != guide.done:
            self._host.change_settings(first_job=guide.done)
        title = step_title(guide)
        words = step_text(guide, self._document.job.table)
        self.strip.show_step(title, words, guide.step is not None)
        announce(self._parent, f"{title}. {words}")
