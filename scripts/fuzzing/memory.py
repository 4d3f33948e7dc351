"""Memory over many openings and many events in one window: memory must be reused.

It grows at first, because much is loaded and kept on purpose.  So the middle of a run is compared
with its end: in between, only what was opened last may be held.
"""

import gc
import json
import sys
from collections.abc import Callable
from pathlib import Path
from random import Random

from msgspec import structs
from PySide6.QtGui import QFont, QPixmapCache

from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.files.storage.settings import Settings
from gridjig.qt.widgets.styled import forget_rules
from tests.qt.windows import Answers

from .events import all_the_way_back, an_event
from .kind import Find, Parts
from .limits import memory_in_use
from .offscreen import Ear, application, dispose, settle, window_with
from .opened import look_at_all
from .player import Player

_ROUND = 500  # events after which everything is undone, since a history is allowed to grow
_ROOM = 6.0  # MB that the end of a whole run may exceed its middle by
_QUICK_ROOM = 60.0  # of a quick run, which ends before all is loaded and finds only large leaks


class Memory:
    """A case is one long run."""

    def __init__(self, folder: Path, openings: int, events: int, room: float) -> None:
        self._folder = folder
        self._openings = openings
        self._events = events
        self._room = room
        application()
        self._ear = Ear()

    def make(self, chance: Random) -> bytes:
        """Return what the events are drawn from, and the number of openings and events."""
        case = {"from": chance.randrange(10**9), "openings": self._openings, "events": self._events}
        return json.dumps(case).encode()

    def run(self, data: bytes) -> str:
        """Open many jobs, then play events on one."""
        case = json.loads(data)
        opened = self._opening(case["openings"])
        played = self._playing(case["events"], Random(case["from"]))
        return f"opened: {opened}; events: {played}"

    def _opening(self, times: int) -> str:
        answers = Answers()
        answers.close = "discard"
        paths = list(samples().values())
        window = window_with(load_job(paths[0]), answers)

        def once(k: int) -> None:
            if not window.open_path(paths[k % len(paths)]):
                raise Find(f"a sample does not open: {answers.asked[-1:]}")
            look_at_all(window)
            answers.asked.clear()

        try:
            return self._level("openings", times, once)
        finally:
            dispose(window)

    def _playing(self, times: int, chance: Random) -> str:
        player = Player(load_job(next(iter(samples().values()))), self._folder)

        def once(k: int) -> None:
            player.play(an_event(chance))
            if k % _ROUND == _ROUND - 1:
                player.leave_forms()
                all_the_way_back(player.document, player.first)
                player.document.set_clipboard(())  # pasted and copied again, it doubles each time
            player.answers.asked.clear()

        try:
            return self._level("events", times, once, lambda: stand_as_first(player))
        finally:
            player.close()

    def _level(
        self,
        what: str,
        times: int,
        once: Callable[[int], None],
        stand: Callable[[], object] = lambda: None,
    ) -> str:
        """Do something many times.  Raise Find if something goes wrong, or if memory is still
        growing in the second half.  `stand` makes the window comparable before it is measured.
        """
        levels: list[float] = []
        for k in range(times):
            once(k)
            self._ear.require_silence()
            if k + 1 in (times // 2, times):
                stand()
                levels.append(swept())
        middle, end = levels
        told = f"{middle:.0f} MB in use at the middle, {end:.0f} MB at the end of {times} {what}"
        if end - middle > self._room:
            raise Find(f"memory grows over {what}: {told}")
        return told

    def parts(self, data: bytes) -> Parts | None:
        """Return None: the run has to be long."""
        return None


def stand_as_first(player: Player) -> None:
    """Undo everything for good, and give the window its first settings, size and view.

    Otherwise two measurements differ by what happens to be on show: a larger window alone takes
    megabytes, and so do the steps that could be done again.
    """
    player.leave_forms()
    all_the_way_back(player.document, player.first)
    player.document.do(structs.replace(player.first, name="Another name"), "Rename")
    player.document.undo()
    player.document.select([])
    player.window.use_settings(Settings())
    player.window.resize(1280, 800)
    settle()
    player.window.workspace.canvas.fit_table()
    settle()


def swept() -> float:
    """Return the memory in use, MB, after everything that can be freed has been."""
    settle()
    for name, module in list(sys.modules.items()):
        for thing in list(vars(module).values()) if name.startswith("gridjig.") else ():
            # Each cache is bounded, so what it holds is no leak.
            if callable(clear := getattr(thing, "cache_clear", None)):
                clear()
    QPixmapCache.clear()  # Qt's own cache of what it has drawn, bounded too
    QFont.cleanup()  # and that of letters, which forgets what has not been used for minutes
    forget_rules()  # the program does so after every so many boxes
    for _ in range(3):
        gc.collect()
    return memory_in_use()


def quick(folder: Path) -> Memory:
    """Return the run that the check has time for."""
    return Memory(folder, 4, 120, _QUICK_ROOM)


def whole(folder: Path) -> Memory:
    """Return the full run, which is conclusive."""
    return Memory(folder, 200, 100_000, _ROOM)
