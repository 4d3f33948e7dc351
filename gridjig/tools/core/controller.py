"""The tool controller: holds the tool in hand, passes events to it and applies what it answers.

A tool that throws is put away and the job stays as it was.  It knows no window.
"""

import logging
from collections.abc import Callable

from gridjig.geometry.display import DisplayList
from gridjig.session.document import Document
from gridjig.session.status import Status
from gridjig.units.limits import LimitError

from .pointer import KeyPress, Pointer
from .tool import Leave, Nothing, Outcome, Tool, apply_outcome
from .wording import sentence

log = logging.getLogger(__name__)

ToolMaker = Callable[[Document], Tool]


class ToolController:
    """A document with the tool in hand; `home` makes the one that is in hand when no other is.

    `status` shows what the tool says: the text that came with its answer, or else its hint.
    """

    def __init__(self, document: Document, home: ToolMaker, status: Status | None = None) -> None:
        self.document = document
        self.status = Status() if status is None else status
        self._make_home = home
        self._home = home(document)
        self._tool = self._home
        self._job = document.job
        self._unsubscribe = document.subscribe(self._follow)
        self._say("")

    def close(self) -> None:
        """Stop following the document; call it when another bench takes over."""
        self._unsubscribe()

    @property
    def tool(self) -> Tool:
        """The tool in hand."""
        return self._tool

    def take(self, make: ToolMaker) -> Tool:
        """Put the tool in hand away and take another."""
        return self._switch(make(self.document))

    def home(self) -> Tool:
        """Go back to the first tool."""
        return self._switch(self._home)

    def _switch(self, tool: Tool) -> Tool:
        with self.document.together():
            self._pass(lambda: self._tool.leave("another tool"))
            self._take_in_hand(tool)
            self._say("")
        return tool

    def press(self, pointer: Pointer) -> None:
        """The primary button goes down."""
        self._pass(lambda: self._tool.press(pointer))

    def move(self, pointer: Pointer) -> None:
        """The pointer moves."""
        self._pass(lambda: self._tool.move(pointer), going_on=True)

    def release(self, pointer: Pointer) -> None:
        """The primary button comes up."""
        self._pass(lambda: self._tool.release(pointer))

    def key(self, key: KeyPress) -> None:
        """A key goes down on the canvas."""
        self._pass(lambda: self._tool.key(key))

    def type(self, text: str) -> None:
        """A text was entered in the tool's field."""
        self._pass(lambda: self._tool.type(text))

    def overlay(self) -> DisplayList:
        """What the tool draws over the table."""
        try:
            return self._tool.overlay()
        except Exception:
            self._drop()
            return ()

    def _pass(self, call: Callable[[], Outcome], going_on: bool = False) -> None:
        try:
            outcome = call()
        except LimitError as beyond:
            outcome = self._refuse(beyond, going_on)
        except Exception:
            self._drop()
            return
        with self.document.together():
            apply_outcome(self.document, outcome)
            if isinstance(outcome, Leave):
                self._take_in_hand(self._home)
            self._follow()
            self._say(outcome.hint)

    def _take_in_hand(self, tool: Tool) -> None:
        self._tool = tool
        self._job = self.document.job
        tool.follow()

    def _follow(self) -> None:
        """Let the tool in hand catch up when the job has changed."""
        if self.document.job is self._job:
            return
        self._job = self.document.job
        try:
            self._tool.follow()
        except Exception:
            self._drop()

    def _refuse(self, beyond: LimitError, going_on: bool) -> Outcome:
        """Say that what was asked for is more than a value can be.

        The pointer may come back from there; at any other event the tool is begun anew.
        """
        log.info("the %s tool was asked for too much: %s", self._tool.name, beyond)
        self.document.preview(None)
        if not going_on:
            self._home = self._make_home(self.document)
            self._take_in_hand(self._home)
        return Nothing(f"{sentence(str(beyond))} The job is as it was before.")

    def _drop(self) -> None:
        name = self._tool.name
        log.exception("the %s tool stopped", name)
        self.document.preview(None)
        self._home = self._make_home(self.document)
        self._take_in_hand(self._home)
        self._say(
            f"The {name} tool stopped and was put away. The job is as it was before;"
            " the log says more."
        )

    def _say(self, hint: str) -> None:
        self.status.say(hint or self._tool.hint())
