"""Letting Qt do what is due, instead of waiting for a time that is too short or mostly wasted."""

from PySide6.QtCore import QCoreApplication


def settle() -> None:
    """Deliver every event that is waiting, and those that these cause in turn."""
    for _ in range(5):
        QCoreApplication.sendPostedEvents()
        QCoreApplication.processEvents()
