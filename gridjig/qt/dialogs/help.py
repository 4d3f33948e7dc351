"""Help that works offline: short topics from the package, shown beside the sheet."""

import re
from functools import cache

from PySide6.QtCore import QUrl
from PySide6.QtWidgets import QTextBrowser, QWidget

from gridjig import __version__
from gridjig.files.library.assets import assets_dir

TOPICS = (
    "start",
    "place",
    "select",
    "form",
    "outline",
    "member",
    "starters",
    "cuts",
    "joints",
    "where",
    "holes",
    "rack",
    "table",
    "drawing",
    "settings",
    "angle",
    "bill",
    "check",
    "files",
    "safety",
    "about",
)

_HEADING = re.compile(r"^(#+ )", re.MULTILINE)


@cache
def topic_text(topic: str) -> str:
    """The text of a topic as Markdown.  KeyError if there is none of that name."""
    if topic not in TOPICS:
        raise KeyError(topic)
    path = assets_dir() / "help" / f"{topic}.md"
    text = path.read_text(encoding="utf-8").replace("{version}", __version__)
    if topic in ("start", "about"):
        return text
    return f"{text}\n[The first five minutes](topic:start)\n"


class HelpPane(QTextBrowser):
    """Shows one topic; links lead to others."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Help")
        self.setOpenLinks(False)
        self.topic = ""
        self.anchorClicked.connect(self._follow)
        self.show_topic("start")

    def show_topic(self, topic: str) -> None:
        """Show a topic from its beginning."""
        if topic != self.topic:
            self.topic = topic
            # A heading of the first rank is far too large for a narrow pane; so all go two down.
            self.setMarkdown(_HEADING.sub(r"##\1", topic_text(topic)))

    def _follow(self, url: QUrl) -> None:
        if url.scheme() == "topic" and url.path() in TOPICS:
            self.show_topic(url.path())
