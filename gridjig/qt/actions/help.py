"""The actions of the Help menu."""

from functools import partial

from gridjig.units.spelling import spelled

from .action import Action
from .port import Port


def _help(topic: str, port: Port) -> None:
    port.pages.show_help(topic)


# fmt: off
HELP: tuple[Action, ...] = (
    Action("help.topic", "Help on this", "help", ("F1",), "Help on what you are doing",
           "Help", partial(_help, "")),
    Action("help.first_job", "First job in ten steps", "help", (),
           "From a tube to a saved set-up, step by step; each step is ticked off when it is done",
           "Help", lambda port: port.dialogs.first_job()),
    Action("help.keys", "All keys", "keys", ("Ctrl+/",), "List every key", "Help",
           lambda port: port.dialogs.keys(), opens=True),
    Action("help.safety", "Cautions", "check", (), "Safety: read before the first tack", "Help",
           partial(_help, "safety"), after_line=True),
    Action("help.about", "About GridJig", "help", (),
           spelled("Version, and the licences of what it is built with"), "Help",
           partial(_help, "about")),
)
# fmt: on
