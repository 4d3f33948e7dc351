"""What the actions for the weldment as a whole do, found by the action's id."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtGui import QGuiApplication

from .transfer import save_cuts

if TYPE_CHECKING:
    from .window import Window

PAGES = ("weldment.cuts", "weldment.joints", "weldment.faces", "weldment.where", "weldment.way")
"""The actions that open the pages of the weldment's tab, in their order."""


def whole_deeds(window: "Window", go: Callable[..., None]) -> dict[str, Callable[[], None]]:
    """The deeds of one window; `go` brings a list to the front."""
    return {
        **{action: partial(_open_page, window, go, page) for page, action in enumerate(PAGES)},
        "cuts.copy": partial(_copy_cuts, window),
        "cuts.save": partial(save_cuts, window),
    }


def _open_page(window: "Window", go: Callable[..., None], page: int) -> None:
    tab = window.work.weldment
    go(tab)
    tab.pane.turn_to(page)
    tab.pane.page.focus_first()


def _copy_cuts(window: "Window") -> None:
    from gridjig.sheets.cuts import cut_list, to_text  # noqa: PLC0415 - it counts with arrays

    cuts = cut_list(window.desk.job)
    QGuiApplication.clipboard().setText(to_text(cuts))
    window.say(f"{len(cuts.lines)} lines of the cut list are on the clipboard as a table.")
