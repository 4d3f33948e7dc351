"""The font size of the whole program."""

from PySide6.QtWidgets import QApplication


def use_letters(app: QApplication, points: float) -> None:
    """Use this font size from now on.

    Call this before a window is made.  Until the event loop runs, Qt does not tell windows of a
    font change, and under a style sheet the contents of a window get the font it was made with.
    """
    font = app.font()
    if font.pointSizeF() != points:
        font.setPointSizeF(points)
        app.setFont(font)
