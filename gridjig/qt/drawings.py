"""Drawings that come to the window: chosen from the menu, dropped, or named at the start.

The form is imported when it is first needed, so that starting stays quick.
"""

from pathlib import Path

from PySide6.QtWidgets import QWidget

from gridjig.session.desk import Desk

from .windowstyle import Look

DRAWING_FILTER = "Drawings (*.dxf *.svg *.DXF *.SVG)"


def is_drawing(path: Path) -> bool:
    """True if a file's name says that it is a drawing."""
    return path.suffix.lower() in (".dxf", ".svg")


def bring_in(parent: QWidget, desk: Desk, look: Look, path: Path) -> None:
    """Open the form of a drawing over the window."""
    from .forms.drawing import DrawingForm  # noqa: PLC0415

    DrawingForm(parent, desk, look, path).open()
