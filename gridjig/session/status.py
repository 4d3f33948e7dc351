"""The status line: what just happened, or what the next click or key will do.

It is not part of the document, so that a new text does not redraw the job.
"""

from collections.abc import Callable

Listener = Callable[[str], None]


class Status:
    """One line of text, and its listeners."""

    def __init__(self) -> None:
        self._text = ""
        self._listeners: list[Listener] = []

    @property
    def text(self) -> str:
        """The current line."""
        return self._text

    def say(self, text: str) -> None:
        """Set the line.  Listeners are called only if it differs from the current one."""
        if text == self._text:
            return
        self._text = text
        for listener in tuple(self._listeners):
            listener(text)

    def subscribe(self, listener: Listener) -> Callable[[], None]:
        """Call `listener` with every new line.  Returns a function that unsubscribes it."""
        self._listeners.append(listener)

        def unsubscribe() -> None:
            if listener in self._listeners:
                self._listeners.remove(listener)

        return unsubscribe
