"""Properties that the style sheet looks at."""

from PySide6.QtWidgets import QWidget


def restyle(widget: QWidget, name: str, value: object) -> None:
    """Set a property that the style sheet looks at, and have the sheet looked at again."""
    if widget.property(name) == value:
        return
    widget.setProperty(name, value)
    look_again(widget)


def look_again(widget: QWidget) -> None:
    """Have the style sheet looked at again, and the widget painted by it."""
    widget.style().unpolish(widget)
    widget.style().polish(widget)
    widget.update()
