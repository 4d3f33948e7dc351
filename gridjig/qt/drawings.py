"""Drawings that come to the window: chosen from the menu, dropped, or named at the start.

The form is imported when it is first needed, so that starting stays quick.
"""

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from .window import Window

DRAWING_FILTER = "Drawings (*.dxf *.svg *.DXF *.SVG)"


def is_drawing(path: Path) -> bool:
    """True if a file's name says that it is a drawing."""
    return path.suffix.lower() in (".dxf", ".svg")


def ask_drawing(window: "Window") -> None:
    """Ask which drawing to bring in, and open its form."""
    chosen = window.questions.open_path(window.file.folder, "Bring in a drawing", DRAWING_FILTER)
    if chosen:
        bring_in(window, Path(chosen))


def bring_in(window: "Window", path: Path) -> None:
    """Open the form of a drawing over the window."""
    from .forms.drawing import DrawingForm  # noqa: PLC0415

    DrawingForm(window, window.desk, window.look, path).open()
