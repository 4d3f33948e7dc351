"""Ways into a job: the start page, recent files, a new job, and copies to recover."""

import logging
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QMenu

from gridjig.files import autosave, recent
from gridjig.files.assets import rack_for, samples
from gridjig.files.faults import ReadFault, SaveFault
from gridjig.files.fresh import usual_display
from gridjig.files.jobfile import load_job
from gridjig.files.own import offered_racks, offered_tables

from .forms.new import NewJobForm
from .forms.start import StartPage, Way

if TYPE_CHECKING:
    from .window import Window

log = logging.getLogger(__name__)

_ASK_S = 0.25


class Starting:
    """The start page and the recent files of one window."""

    def __init__(self, window: "Window") -> None:
        self._window = window
        self._page: StartPage | None = None
        self._dismissed = False
        self.menu = QMenu("Recent jobs", window)
        self.menu.setToolTipsVisible(True)
        self.menu.aboutToShow.connect(self._fill_menu)

    # -- the page --------------------------------------------------------------------------------

    def consider(self) -> None:
        """Show the page over an empty job that has no file; take it away with the first part."""
        window = self._window
        job = window.desk.job
        empty = not job.placements and not job.outlines
        if not empty or window.file.path is not None:
            self._dismissed = True
            self.hide()
        elif not self._dismissed and self._page is None:
            self.show()

    def show(self) -> None:
        """Show the page."""
        self.hide()
        page = StartPage(self._window.work.middle)
        page.new.connect(self.ask_new)
        page.open.connect(lambda: self._window.commands.do("file.open"))
        page.sample.connect(self._window.file.open_sample)
        page.recent.connect(self._window.file.open)
        page.forget.connect(self._forget)
        page.closed.connect(self.dismiss)
        self._window.work.middle.resized.connect(page.place)
        page.show_ways(self._samples(), self._recent())
        page.show()
        page.raise_()
        if page.first is not None:
            page.first.setFocus()
        self._page = page

    def hide(self) -> None:
        """Take the page away."""
        page, self._page = self._page, None
        if page is not None:
            try:
                page.hide()
                page.deleteLater()
            except RuntimeError:
                log.debug("the start page went with its sheet")

    def dismiss(self) -> None:
        """Take the page away for good; the File menu shows it again."""
        self._dismissed = True
        self.hide()
        self._window.work.canvas.setFocus()

    @property
    def page(self) -> StartPage | None:
        """The page while it is shown."""
        return self._page

    def _samples(self) -> list[Way]:
        ways = []
        for name, path in samples().items():
            try:
                job = load_job(path)
            except ReadFault as fault:
                log.warning("sample: %s", fault)
                continue
            first = job.notes.split("\n", 1)[0].split(". ", 1)[0].rstrip(".")
            ways.append(Way(job.name, first, path))
            del name
        return ways

    def _recent(self) -> list[Way]:
        files = recent.load()
        there = recent.exists_soon(files, _ASK_S)
        return [Way(p.stem, str(p), p, there[p] is not False) for p in files]

    def _forget(self, path: Path) -> None:
        try:
            recent.remove(path)
        except SaveFault as fault:
            self._window.say(str(fault))
        if self._page is not None:
            self._page.show_ways(self._samples(), self._recent())

    # -- recent files ----------------------------------------------------------------------------

    def _fill_menu(self) -> None:
        self.menu.clear()
        ways = self._recent()
        for way in ways:
            action = self.menu.addAction(way.name if way.there else f"{way.name}  (not there)")
            action.setToolTip(way.about)
            action.setEnabled(way.there)
            action.triggered.connect(lambda _=False, path=way.path: self._window.open_path(path))
        missing = [way for way in ways if not way.there]
        if missing:
            self.menu.addSeparator()
        for way in missing:
            action = self.menu.addAction(f"Take {way.name} off the list")
            action.triggered.connect(lambda _=False, path=way.path: self._forget(path))
        if not ways:
            none = self.menu.addAction("Jobs that you save are listed here")
            none.setEnabled(False)

    # -- new and recovered -----------------------------------------------------------------------

    def ask_new(self) -> None:
        """Ask for name, table and rack, and start a job with them."""
        settings = self._window.settings
        preferred = usual_display(settings)
        form = NewJobForm(offered_tables(), offered_racks(), rack_for, preferred, self._window)
        if form.exec():
            self._dismissed = True
            if self._window.file.new(form.job()):
                self.hide()
        form.deleteLater()

    def offer_copies(self) -> bool:
        """Offer what a crash left behind; True if a copy was opened."""
        copies = autosave.recoverable()
        if not copies:
            return False
        chosen, thrown = self._window.questions.recover(copies)
        for copy in thrown:
            autosave.discard(copy)
        return chosen is not None and self._window.file.open_copy(chosen)
