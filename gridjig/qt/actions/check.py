"""The actions of the Check menu."""

from .action import Action, Situation
from .port import Port


def _run(port: Port) -> None:
    port.say(f"Check: {port.checks.run()}.")


def _next(port: Port) -> None:
    port.checks.next()


def _nothing_found(now: Situation) -> str:
    return "" if now.findings else "The check found nothing to look at"


# fmt: off
CHECK: tuple[Action, ...] = (
    Action("check.run", "Check", "inspect", ("F8",), "Check the set-up and list what is found",
           "Check", _run, row=True),
    Action("check.next", "Next finding", "inspect-next", ("F4",),
           "Select and show the next thing the check found", "Check", _next, _nothing_found),
)
# fmt: on
