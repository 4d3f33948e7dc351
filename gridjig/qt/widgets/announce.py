"""Tells screen readers what happened, without moving the focus."""

from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent
from PySide6.QtWidgets import QWidget


def announce(widget: QWidget, message: str, urgent: bool = False) -> None:
    """Have a screen reader read `message`; do nothing if none is running."""
    if not message:
        return
    event = QAccessibleAnnouncementEvent(widget, message)
    if urgent:
        event.setPoliteness(QAccessible.AnnouncementPoliteness.Assertive)
    QAccessible.updateAccessibility(event)
