"""The tool controller: holds the active tool, passes events to it and applies its outcomes.

A tool that raises an exception is dropped and the job stays as it was.  Knows no window.
"""

import logging
from collections.abc import Callable

from gridjig.geometry.display import DisplayList
from gridjig.session.document import Document
from gridjig.units.limits import LimitError

from .pointer import KeyPress, Pointer
from .prompt import Prompt
from .tool import Leave, Nothing, Outcome, Tool, apply_outcome
from .wording import sentence

log = logging.getLogger(__name__)

ToolMaker = Callable[[Document], Tool]


class ToolController:
    """A document with its active tool; `home` makes the default tool.

    `said` is what the last event has done, or why it did nothing; empty if there is nothing to
    say.  `overtaken` is whether the last event followed a refusal and says nothing itself: the
    refusal then no longer matters.  `prompt` is what the next one will do.
    """

    def __init__(self, document: Document, home: ToolMaker) -> None:
        self.document = document
        self.said = ""
        self.overtaken = self._refused = False
        self._make_home = home
        self._home = home(document)
        self._tool = self._home
        self._job = document.job
        self._unsubscribe = document.subscribe(self._follow)

    def close(self) -> None:
        """Stop following the document; call this when another controller takes over."""
        self._unsubscribe()

    @property
    def tool(self) -> Tool:
        """The active tool."""
        return self._tool

    def take(self, make: ToolMaker) -> Tool:
        """Leave the active tool and take another."""
        return self._switch(make(self.document))

    def home(self) -> Tool:
        """Go back to the default tool."""
        return self._switch(self._home)

    def _switch(self, tool: Tool) -> Tool:
        with self.document.together():
            self._pass(lambda: self._tool.leave("another tool"))
            self._take_in_hand(tool)
            self.said = ""
            self.overtaken = False
        return tool

    def press(self, pointer: Pointer) -> None:
        """The primary button goes down."""
        self._begin(lambda: self._tool.press(pointer))

    def move(self, pointer: Pointer) -> None:
        """The pointer moves."""
        self._pass(lambda: self._tool.move(pointer), going_on=True)

    def release(self, pointer: Pointer) -> None:
        """The primary button comes up."""
        self._pass(lambda: self._tool.release(pointer))

    def away(self) -> None:
        """The pointer leaves the canvas."""
        self._pass(self._tool.away, going_on=True)

    def key(self, key: KeyPress) -> None:
        """A key goes down on the canvas."""
        self._begin(lambda: self._tool.key(key))

    def type(self, text: str) -> None:
        """Text was entered in the tool's field."""
        self._begin(lambda: self._tool.type(text))

    def finish(self) -> None:
        """Enter was pressed in the tool's field without new text."""
        self._begin(self._tool.finish)

    @property
    def prompt(self) -> Prompt:
        """What the next click or key will do with the active tool."""
        try:
            return self._tool.prompt()
        except Exception:
            self._drop()
            return self._tool.prompt()

    def overlay(self) -> DisplayList:
        """What the tool draws over the table."""
        try:
            return self._tool.overlay()
        except Exception:
            self._drop()
            return ()

    def _begin(self, call: Callable[[], Outcome]) -> None:
        """Pass on the first event of an act: why the last one was refused no longer matters."""
        refused, self._refused = self._refused, False
        self._pass(call)
        self.overtaken = refused and not self.said

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
            self.said = outcome.said
            self.overtaken = False
            if self.said:
                self._refused = isinstance(outcome, Nothing)

    def _take_in_hand(self, tool: Tool) -> None:
        self._tool = tool
        self._job = self.document.job
        tool.follow()

    def _follow(self) -> None:
        """Let the active tool catch up when the job has changed."""
        if self.document.job is self._job:
            return
        self._job = self.document.job
        try:
            self._tool.follow()
        except Exception:
            self._drop()

    def _refuse(self, beyond: LimitError, going_on: bool) -> Outcome:
        """Say that a value is beyond its limit.

        A pointer move may come back into range; after any other event the tool starts again.
        """
        log.info("the %s tool was asked for too much: %s", self._tool.name, beyond)
        self.document.preview(None)
        if not going_on:
            self._home = self._make_home(self.document)
            self._take_in_hand(self._home)
        return Nothing(f"{sentence(str(beyond))} The job is unchanged.")

    def _drop(self) -> None:
        name = self._tool.name
        log.exception("the %s tool stopped", name)
        self.document.preview(None)
        self._home = self._make_home(self.document)
        self._take_in_hand(self._home)
        self.said = (
            f"The {name} tool failed and was closed. The job is unchanged; the log has the details."
        )
