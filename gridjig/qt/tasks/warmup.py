"""Loads what counts with arrays and areas once the first picture is shown.

Invariant: these modules are loaded by the window's own thread, and before any thread that uses them
begins.  Two threads that load numpy and shapely at once leave both broken until the program ends.
"""

import gc
import logging
import sys
from importlib import import_module

from PySide6.QtCore import QObject, QTimer

log = logging.getLogger(__name__)

HEAVY = ("numpy", "shapely", "gridjig.solve.poses.search", "gridjig.geometry.part_mass")


class Warmup(QObject):
    """Loads one module after the other, and lets the window take what came in between."""

    def __init__(self, parent: QObject, modules: tuple[str, ...] = HEAVY) -> None:
        super().__init__(parent)
        self._left = list(modules)

    def start(self) -> None:
        """Begin; called once, when the first picture is shown."""
        # Nearly all that was made so far stays: from now on garbage is looked for, but not in that.
        gc.freeze()
        gc.enable()
        self._next()

    def _next(self) -> None:
        if self._left:
            _load(self._left.pop(0))
            QTimer.singleShot(0, self, self._next)


def is_warm() -> bool:
    """True if all of it is loaded."""
    return all(name in sys.modules for name in HEAVY)


def before_thread() -> None:
    """Have all of it loaded: to be called before work is given to another thread."""
    for name in HEAVY:
        _load(name)


def _load(name: str) -> None:
    try:
        import_module(name)
    except ImportError:  # it is told where it is used, and nothing else is lost
        log.warning("%s cannot be loaded", name, exc_info=True)
