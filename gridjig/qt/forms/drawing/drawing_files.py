"""Opens drawings that are chosen from the menu, dropped on the window, or named at start-up.

The form is imported when it is first needed, so that start-up stays fast.
"""

from pathlib import Path

from PySide6.QtWidgets import QWidget

from gridjig.qt.style.appearance import Appearance
from gridjig.session.document import Document

DRAWING_FILTER = "Drawings (*.dxf *.svg *.DXF *.SVG)"


def is_drawing(path: Path) -> bool:
    """True if a file's suffix is that of a drawing."""
    return path.suffix.lower() in (".dxf", ".svg")


def bring_in(parent: QWidget, document: Document, appearance: Appearance, path: Path) -> None:
    """Open the form for a drawing over the window."""
    from gridjig.qt.forms.drawing.drawing_form import DrawingForm  # noqa: PLC0415

    DrawingForm(parent, document, appearance, path).open()
