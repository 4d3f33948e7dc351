"""Offline help: short topics that ship with the package, shown beside the plan."""

import re
from contextlib import suppress
from functools import cache

from PySide6.QtCore import QUrl
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QTextBrowser, QWidget

from gridjig.files.library.assets import assets_dir
from gridjig.units.spelling import spelled

TOPICS = (
    "start",
    "place",
    "select",
    "form",
    "plate",
    "member",
    "starters",
    "cuts",
    "joints",
    "where",
    "weldments",
    "holes",
    "rack",
    "table",
    "drawing",
    "settings",
    "angle",
    "pull",
    "check",
    "suggest",
    "files",
    "sheet",
    "safety",
    "about",
)

_NO_LETTERS = (
    "*Letter keys are off in the [settings](topic:settings): the single letters named here do"
    " nothing on the plan. The menus have the same actions, and `/` lets you type a value.*"
)
_HEADING = re.compile(r"^(#+ )", re.MULTILINE)


@cache
def topic_text(topic: str) -> str:
    """Return the text of a topic as Markdown.  Raise KeyError if there is no such topic."""
    if topic not in TOPICS:
        raise KeyError(topic)
    path = assets_dir() / "help" / f"{topic}.md"
    text = spelled(path.read_text(encoding="utf-8"))
    if topic == "about":
        from gridjig.files.library.built_with import about_text  # noqa: PLC0415 - dear, and rarely read

        return about_text(text)
    if topic == "start":
        return text
    return f"{text}\n[The first five minutes](topic:start)\n"


class HelpPane(QTextBrowser):
    """Shows one topic, with links to others; at first the one to start with."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Help")
        self.setOpenLinks(False)
        self.topic = ""
        self._letters = True
        self.anchorClicked.connect(self._follow)

    def showEvent(self, event: QShowEvent) -> None:
        """Show the first topic, unless another was asked for."""
        super().showEvent(event)
        if not self.topic and self.document().isEmpty():
            self.show_topic("start")

    def show_topic(self, topic: str) -> None:
        """Show a topic from the top."""
        if topic != self.topic:
            self.topic = topic
            # First-level headings are far too large for a narrow pane, so all go down two levels.
            text = topic_text(topic) if self._letters else f"{_NO_LETTERS}\n\n{topic_text(topic)}"
            self.setMarkdown(_HEADING.sub(r"##\1", text))

    def set_letters(self, on: bool) -> None:
        """Say above every topic that letter keys are off, if they are."""
        if on != self._letters:
            self._letters = on
            topic, self.topic = self.topic, ""
            if topic:
                self.show_topic(topic)

    def _follow(self, url: QUrl) -> None:
        if url.scheme() == "topic" and url.path() in TOPICS:
            self.show_topic(url.path())
        elif url.scheme() == "text":
            from gridjig.files.library.built_with import licence_texts  # noqa: PLC0415 - as above

            with suppress(KeyError):
                self.setPlainText(licence_texts(url.path()))
                self.topic = ""
