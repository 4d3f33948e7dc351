"""The open job: history, selection, preview.  It knows no tools, files or window.

Import the document from its own module, so that the history stays light.
"""

from .history import History, Step

__all__ = ["History", "Step"]
