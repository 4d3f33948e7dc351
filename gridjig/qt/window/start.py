"""Ways into a job: the start page, recent files, a new job, and recovered copies."""

import logging
from pathlib import Path
from typing import Protocol

import msgspec
from PySide6.QtWidgets import QMenu, QWidget

from gridjig.files.format.faults import SaveFault
from gridjig.files.jobs import autosave
from gridjig.files.library.assets import ready_tables, sample_head, samples
from gridjig.files.library.default_job import (
    default_display,
    default_rack,
    default_table,
    job_on,
)
from gridjig.files.library.user_library import offered_racks, offered_tables, user_library
from gridjig.files.storage import recent
from gridjig.files.storage.settings import Settings
from gridjig.model import Table
from gridjig.qt.dialogs.questions import Questions
from gridjig.qt.forms.job.new_job import NewJobForm
from gridjig.qt.forms.job.start_page import StartChoice, StartPage, TableChoice
from gridjig.qt.widgets.plain import menu_words, tip
from gridjig.qt.widgets.plan_frame import PlanFrame

from .open_file import OpenFile

log = logging.getLogger(__name__)

_ASK_S = 0.25
_TABLES = 4
"""How many tables are offered on the page; the form for a new job has all."""


class Acts(Protocol):
    """Carries out actions."""

    def do(self, action_id: str) -> None:
        """Run the action with that id."""


class StartHost(Protocol):
    """What the ways into a job need from the window."""

    questions: Questions

    @property
    def file(self) -> OpenFile:
        """The open job and its file."""

    @property
    def settings(self) -> Settings:
        """The user's settings."""

    @property
    def plan_frame(self) -> PlanFrame:
        """Return the frame that the page is laid over."""

    def focus_plan(self) -> None:
        """Put the focus on the plan."""

    def open_path(self, path: Path) -> bool:
        """Open the file at that path; True if it was opened."""

    def show_message(self, words: str) -> None:
        """Show a message line."""

    @property
    def port(self) -> Acts:
        """What carries out actions."""


class StartController:
    """The start page and the recent files of one window; `parent` is the window."""

    def __init__(self, host: StartHost, parent: QWidget) -> None:
        self._host = host
        self._parent = parent
        self._page: StartPage | None = None
        self._dismissed = False
        self.menu = QMenu("Recent jobs", parent)
        self.menu.setToolTipsVisible(True)
        self.menu.aboutToShow.connect(self._fill_menu)

    # -- the page --------------------------------------------------------------------------------

    def update_visibility(self) -> None:
        """Show the page over an empty job without a file; hide it once the job has a part."""
        file = self._host.file
        job = file.document.job
        empty = not job.placements and not job.parts
        if not empty or file.path is not None:
            self._dismissed = True
            self.hide()
        elif not self._dismissed and self._page is None:
            self.show()

    def show(self) -> None:
        """Show the page."""
        self.hide()
        frame = self._host.plan_frame
        page = StartPage(frame)
        page.new.connect(self.ask_new)
        page.table.connect(self._start_on)
        page.learn.connect(lambda: self._host.port.do("help.first_job"))
        page.safety.connect(lambda: self._host.port.do("help.safety"))
        page.open.connect(self._host.file.ask_open)
        page.sample.connect(self._host.file.open_sample)
        page.recent.connect(self._host.file.open)
        page.forget.connect(self._forget)
        page.closed.connect(self.dismiss)
        frame.resized.connect(page.place)
        self._fill(page)
        page.show()
        page.raise_()
        if page.first is not None:
            page.first.setFocus()
        self._page = page

    def _fill(self, page: StartPage) -> None:
        page.show_ways(self._samples(), self._tables(), self._recent())

    def hide(self) -> None:
        """Hide the page."""
        page, self._page = self._page, None
        if page is not None:
            try:
                page.hide()
                page.deleteLater()
            except RuntimeError:
                log.debug("the start page went with its plan")

    def dismiss(self) -> None:
        """Close the page for good; the File menu can show it again."""
        self._dismissed = True
        self.hide()
        self._host.focus_plan()

    def make_way(self) -> None:
        """Close the page for good if it is shown: the plan that it covers is needed now."""
        page = self._page
        if page is None:
            return
        focus = page.window().focusWidget()
        if focus is page or page.isAncestorOf(focus):
            self.dismiss()
        else:
            self._dismissed = True
            self.hide()

    @property
    def page(self) -> StartPage | None:
        """Return the page while it is shown, else None."""
        return self._page

    def _samples(self) -> list[StartChoice]:
        ways = []
        for path in samples().values():
            try:
                head = sample_head(path)
            except (OSError, msgspec.DecodeError) as fault:
                log.warning("sample %s: %s", path.name, fault)
                continue
            ways.append(StartChoice(head.name, head.about, path))
        return ways

    def _tables(self) -> list[TableChoice]:
        """The user's own tables, kept last first, and then the standard ones in the user's unit."""
        own = [TableChoice(t, own=True) for t in reversed(user_library().tables)]
        inches = default_table(self._host.settings).in_inches
        ready = [TableChoice(t) for t in ready_tables().values() if t.in_inches == inches]
        return [*own, *ready][:_TABLES]

    def _start_on(self, table: Table) -> None:
        self._host.file.new(job_on(table, self._host.settings))
        self.dismiss()

    def _recent(self) -> list[StartChoice]:
        files = recent.load()
        there = recent.exists_soon(files, _ASK_S)
        return [StartChoice(p.stem, str(p), p, there[p] is not False) for p in files]

    def _forget(self, path: Path) -> None:
        try:
            recent.remove(path)
        except SaveFault as fault:
            self._host.show_message(str(fault))
        if self._page is not None:
            self._fill(self._page)

    # -- recent files ----------------------------------------------------------------------------

    def _fill_menu(self) -> None:
        self.menu.clear()
        ways = self._recent()
        for way in ways:
            action = self.menu.addAction(
                menu_words(way.name if way.there else f"{way.name}  (not there)")
            )
            action.setToolTip(tip(way.about))
            action.setEnabled(way.there)
            action.triggered.connect(lambda _=False, path=way.path: self._host.open_path(path))
        missing = [way for way in ways if not way.there]
        if missing:
            self.menu.addSeparator()
        for way in missing:
            action = self.menu.addAction(menu_words(f"Remove {way.name} from the list"))
            action.triggered.connect(lambda _=False, path=way.path: self._forget(path))
        if not ways:
            none = self.menu.addAction("Jobs that you save are listed here")
            none.setEnabled(False)

    # -- new and recovered -----------------------------------------------------------------------

    def ask_new(self) -> None:
        """Ask for name, table and rack, and start a job with them."""
        settings = self._host.settings
        form = NewJobForm(
            offered_tables(),
            offered_racks(),
            default_rack,
            default_display(settings),
            self._parent,
            default_table(settings),
        )
        if form.ask():
            self._dismissed = True
            if self._host.file.new(form.job()):
                self.hide()

    def offer_copies(self) -> bool:
        """Offer the copies left by a crash; True if one was opened."""
        copies = autosave.recoverable()
        if not copies:
            return False
        chosen, thrown = self._host.questions.recover(copies)
        for copy in thrown:
            autosave.discard(copy)
        return chosen is not None and self._host.file.open_copy(chosen)
