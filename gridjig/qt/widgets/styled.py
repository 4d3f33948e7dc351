"""Properties that the style sheet depends on."""

from PySide6.QtWidgets import QWidget


def restyle(widget: QWidget, name: str, value: object) -> None:
    """Set a property that the style sheet depends on, and apply the style sheet again."""
    if widget.property(name) == value:
        return
    widget.setProperty(name, value)
    apply_style(widget)


def apply_style(widget: QWidget) -> None:
    """Apply the style sheet to the widget again, and repaint it."""
    widget.style().unpolish(widget)
    widget.style().polish(widget)
    widget.update()
