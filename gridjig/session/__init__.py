"""The open job: history, selection, preview.  Knows no tool, no file and no window.

The document is imported from its own module, so that the history stays light.
"""

from .history import History, Step

__all__ = ["History", "Step"]
