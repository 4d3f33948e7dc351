"""How large the letters of the whole program are."""

from PySide6.QtWidgets import QApplication


def use_letters(app: QApplication, points: float) -> None:
    """Write in letters of that size from now on.

    To be called before a window is made: before the event loop runs, Qt tells no window of other
    letters, and under a style sheet what is in a window gets those that the window was made with.
    """
    font = app.font()
    if font.pointSizeF() != points:
        font.setPointSizeF(points)
        app.setFont(font)
