"""The actions of the Help menu."""

from functools import partial

from .action import Action
from .port import Port


def _help(topic: str, port: Port) -> None:
    port.pages.show_help(topic)


# fmt: off
HELP: tuple[Action, ...] = (
    Action("help.topic", "Help on this", "help", ("F1",), "Open the help for the thing in hand",
           "Help", partial(_help, "")),
    Action("help.keys", "All keys", "keys", ("Ctrl+/",), "Show every key in one sheet", "Help",
           lambda port: port.dialogs.keys(), opens=True),
    Action("help.safety", "Cautions", "check", (), "What this plan does not say", "Help",
           partial(_help, "safety"), after_line=True),
    Action("help.about", "About GridJig", "help", (), "Version and licence", "Help",
           partial(_help, "about")),
)
# fmt: on
