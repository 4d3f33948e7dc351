"""Long work in the background: `TaskRunner` runs pure functions and delivers their answers."""

from .runner import TaskRunner, Work, cancel_all

__all__ = ["TaskRunner", "Work", "cancel_all"]
