"""Random pointer events, keys, typed texts, menus and forms in the window; then undo everything.

A case is a list of events as plain values, so that it can be minimised and replayed.
"""

import json
import shutil
from pathlib import Path
from random import Random

from gridjig.files.jobs.job_file import load_job, write_job
from gridjig.files.library.assets import samples
from gridjig.files.storage.locations import state_dir
from gridjig.model import Job
from gridjig.session.document import Document
from tests.workshop import EMPTY, laid, pin, plate, stop

from .kind import Find, Parts
from .offscreen import Ear, application, settle
from .player import BUTTONS, HELD, Event, Player
from .richjobs import rich_jobs
from .texts import a_measure, a_text

COUNT = 100
PLAYED = 40
"""Cases after which the window is replaced by a new one."""
_KEYS = [
    "Left", "Right", "Up", "Down", "Return", "Escape", "Delete", "Tab", "Backtab", "Space", "Home",
    "End", "PageUp", "PageDown", "Backspace", "F2", "F4", "F6", "F8", "Plus", "Minus",
    *"RFBASLVPHMEJUDTZ019",
]  # fmt: skip
_EVENTS = {
    "point": 10,
    "drag": 8,
    "spot": 8,
    "wheel": 3,
    "key": 10,
    "type": 4,
    "say": 4,
    "action": 9,
    "tool": 4,
    "widget": 14,
    "size": 1,
}
"""What can happen, and how often."""


def an_event(chance: Random) -> Event:
    """Return one event.  The first value says which; the others depend on it."""
    r, pick = chance.random, chance.choice
    big = chance.randrange(10**6)
    button, held = chance.randrange(len(BUTTONS)), chance.randrange(len(HELD))
    [what] = chance.choices(list(_EVENTS), list(_EVENTS.values()))
    rest: Event
    match what:
        case "point" | "wheel":
            rest = [r(), r(), button, held, big]
        case "drag":
            rest = [[[r(), r()] for _ in range(pick([2, 2, 3, 5]))], button, held]
        case "spot":
            rest = [big, r() - 0.5, r() - 0.5, pick(["click", "drag", "double"])]
        case "key":
            rest = [pick(_KEYS), held]
        case "type" | "say":
            text = a_measure(chance) if r() < 0.7 else a_text(chance)
            rest = [text[:60], pick(["Return", "Return", "Tab", "Escape", ""])]
        case "widget":
            rest = [big, pick(["type", "press", "step"]), a_measure(chance)[:60], big // 7]
        case _:
            rest = [big]
    return [what, *rest]


class Events:
    """Each case is a list of events on one of a few jobs.

    One window plays many of them, each on a job opened in it: to make a window takes as long as to
    play a hundred events, and a long use of one window is more like what people do.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._player: Player | None = None
        self._held = 0
        self._count = 0
        self._app = application()
        self._ear = Ear()
        small = laid(stop("s", 3, 3), pin("p", 10, 10), plate("bar", 600, 600, 200, 40))
        own = [load_job(path) for path in samples().values()]
        self._jobs = [small, EMPTY, *own, *rich_jobs()]

    def make(self, chance: Random) -> bytes:
        """Return a job's number and a list of events."""
        start = chance.randrange(len(self._jobs))
        events = [an_event(chance) for _ in range(COUNT)]
        return json.dumps({"job": start, "events": events}, ensure_ascii=False).encode()

    def run(self, data: bytes) -> str:
        """Play the events, then undo everything."""
        case = json.loads(data)
        try:
            player = self._with(self._jobs[case["job"] % len(self._jobs)])
            self._ear.require_silence()
            for event in case["events"]:
                player.play(event)
                self._ear.require_silence()
            player.leave_forms()
            steps = all_the_way_back(player.document, player.first)
            self._ear.require_silence()
        except BaseException:
            self._put_away()  # results from a broken window say nothing new
            raise
        return "changed" if steps else "unchanged"

    def _with(self, job: Job) -> Player:
        """Return the window's player with a job open; the window is a new one now and then."""
        if self._player is None or self._held >= PLAYED:
            self._put_away()
            shutil.rmtree(state_dir(), ignore_errors=True)
            self._player, self._held = Player(EMPTY, self._folder), 0
        self._held += 1
        self._count += 1
        path = self._folder / f"job {self._count}.gridjig"
        path.write_bytes(write_job(job))
        self._player.open(path)
        (self._folder / f"job {self._count - 1}.gridjig").unlink(missing_ok=True)
        return self._player

    def _put_away(self) -> None:
        """Give up the window."""
        if self._player is not None:
            player, self._player = self._player, None
            player.close()
            self._ear.heard.clear()

    def parts(self, data: bytes) -> Parts | None:
        """Split the case into events."""
        case = json.loads(data)

        def join(kept: list[bytes]) -> bytes:
            events = [json.loads(event) for event in kept]
            return json.dumps({"job": case["job"], "events": events}, ensure_ascii=False).encode()

        return Parts([json.dumps(e, ensure_ascii=False).encode() for e in case["events"]], join)


def all_the_way_back(document: Document, first: Job) -> int:
    """Undo everything and redo it; return the number of steps.  Raise Find if a job differs."""
    while document.redo() is not None:
        pass
    last, steps = document.job, 0
    while document.undo() is not None:
        steps += 1
    if document.job is not first:
        raise Find("undo does not give back the identical job")
    for _ in range(steps):
        document.redo()
    if document.job is not last:
        raise Find("doing everything again does not give back the identical job")
    for _ in range(steps):
        document.undo()
    settle()
    return steps


def playing(folder: Path) -> Events:
    """Return the trial for this kind."""
    return Events(folder)
