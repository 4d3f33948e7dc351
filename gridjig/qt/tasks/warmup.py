"""Loads numpy, shapely and what uses them once the first picture is shown.

Invariant: these modules are loaded by the GUI thread, before any thread that uses them starts.  If
two threads load numpy and shapely at once, both stay broken until the program ends.
"""

import gc
import logging
import sys
from importlib import import_module

from PySide6.QtCore import QObject

from .collector import Collector
from .timers import call_later

log = logging.getLogger(__name__)

HEAVY = ("numpy", "shapely", "gridjig.solve.poses.search", "gridjig.geometry.part_mass")


class Warmup(QObject):
    """Loads one module after the other, and lets the window handle events in between."""

    def __init__(self, parent: QObject, modules: tuple[str, ...] = HEAVY) -> None:
        super().__init__(parent)
        self._left = list(modules)

    def start(self) -> None:
        """Start loading; called once, when the first picture is shown."""
        # Nearly all objects created so far stay alive, so the garbage collector need not scan them.
        gc.freeze()
        Collector(self)
        self._next()

    def _next(self) -> None:
        if self._left:
            _load(self._left.pop(0))
            call_later(self, self._next)


def is_warm() -> bool:
    """True if everything is loaded."""
    return all(name in sys.modules for name in HEAVY)


def before_thread() -> None:
    """Load everything; to be called before work is given to another thread."""
    for name in HEAVY:
        _load(name)


def _load(name: str) -> None:
    try:
        import_module(name)
    except ImportError:  # reported where the module is used; nothing else is affected
        log.warning("%s cannot be loaded", name, exc_info=True)
