"""Loads what counts with arrays and areas while the person looks at the first picture.

Nothing waits for it: whoever needs one of these modules earlier loads it by the first use.
"""

import gc
import logging
from importlib import import_module
from threading import Thread

log = logging.getLogger(__name__)

HEAVY = ("numpy", "shapely", "gridjig.solve.spot_search", "gridjig.geometry.steel")


class Warmup:
    """One loading in the background.  A thread: in the window's own each module would hold it up
    for as long as it takes, while a thread lets it go on every few milliseconds.
    """

    def __init__(self, modules: tuple[str, ...] = HEAVY) -> None:
        self._modules = modules
        self._thread = Thread(target=self._load, name="warmup", daemon=True)

    def start(self) -> None:
        """Begin; called once, when the first picture is shown."""
        settle()
        self._thread.start()

    def wait(self) -> None:
        """Stay until it is done, so that the program does not end in the middle of it."""
        if self._thread.ident is not None:
            self._thread.join()

    def _load(self) -> None:
        for name in self._modules:
            try:
                import_module(name)
            except ImportError:  # it is told where it is used, and nothing else is lost
                log.warning("%s cannot be loaded", name, exc_info=True)


def hold() -> None:
    """Look for no garbage while the program loads: nearly all that it makes then stays.

    Looking through it time and again takes a tenth of a second of the start.
    """
    gc.disable()


def settle() -> None:
    """Look for garbage again, but not among what was loaded."""
    gc.freeze()
    gc.enable()
