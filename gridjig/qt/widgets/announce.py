"""Tells readers for the blind what happened, without taking the focus."""

from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent
from PySide6.QtWidgets import QWidget


def announce(widget: QWidget, message: str, urgent: bool = False) -> None:
    """Have `message` read aloud where a reader listens; nothing happens where none does."""
    if not message:
        return
    event = QAccessibleAnnouncementEvent(widget, message)
    if urgent:
        event.setPoliteness(QAccessible.AnnouncementPoliteness.Assertive)
    QAccessible.updateAccessibility(event)
