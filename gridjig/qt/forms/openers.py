"""Which form an action opens.  A new form is one more line of this table, and nothing elsewhere.

The forms are imported when they are first opened, so that starting stays quick.
"""

from collections.abc import Callable, Mapping
from functools import partial
from importlib import import_module

from PySide6.QtWidgets import QWidget

from gridjig.session.desk import Desk

from ..windowstyle import Look

Opener = Callable[[QWidget, Desk, Look], None]

# Action: the module of this package, and its function that opens the form.
_FORMS: dict[str, tuple[str, str]] = {
    "angle.chart": ("chart", "open_chart"),
    "rack.form": ("rack", "open_rack"),
    "table.form": ("table", "open_table"),
    "weldment.chain": ("chain", "open_chain"),
    "weldment.section": ("section", "open_section"),
    "weldment.starter": ("starter", "open_starter"),
}


def openers() -> Mapping[str, Opener]:
    """Action id to what opens its form over a window, for a desk."""
    return {action: partial(_open, *place) for action, place in _FORMS.items()}


def _open(module: str, function: str, window: QWidget, desk: Desk, look: Look) -> None:
    getattr(import_module(f"{__package__}.{module}"), function)(window, desk, look)
