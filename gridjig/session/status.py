"""What is said to the person now: what just happened, or what the next click or key will do.

It is no part of the document: a word that changes leaves the job and whoever shows it in peace.
"""

from collections.abc import Callable

Listener = Callable[[str], None]


class Status:
    """One line of text, and who is told when it becomes another."""

    def __init__(self) -> None:
        self._text = ""
        self._listeners: list[Listener] = []

    @property
    def text(self) -> str:
        """The line as it stands."""
        return self._text

    def say(self, text: str) -> None:
        """Say something else.  Whoever listens is told only of a line that differs."""
        if text == self._text:
            return
        self._text = text
        for listener in tuple(self._listeners):
            listener(text)

    def subscribe(self, listener: Listener) -> Callable[[], None]:
        """Have a listener told of every new line.  Returns a function that ends it."""
        self._listeners.append(listener)

        def unsubscribe() -> None:
            if listener in self._listeners:
                self._listeners.remove(listener)

        return unsubscribe
