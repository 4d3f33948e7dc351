"""Long work beside the window: `TaskRunner` runs pure functions and hands their answers back."""

from .runner import TaskRunner, Work, cancel_all

__all__ = ["TaskRunner", "Work", "cancel_all"]
