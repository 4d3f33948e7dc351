"""The actions of the Check menu."""

from functools import partial

from gridjig.sheets.drawings.proof_kinds import ProofDrawing

from .action import Action, OpenForm, Situation
from .port import Port

_SUBMENU = "Show on the plan"


def _run(port: Port) -> None:
    port.say(f"Check: {port.checks.run()}.")


def _next(port: Port) -> None:
    port.checks.next()


def _play(port: Port) -> None:
    port.say(port.checks.play())


def _turn(name: ProofDrawing, words: str, port: Port) -> None:
    on, nothing = port.checks.turn_drawing(name)
    if on and nothing:
        port.say(nothing)
    else:
        port.say(f"{'Shown' if on else 'No longer'} on the plan: {words}.")


def _points(port: Port) -> None:
    from gridjig.tools.pick.point_tool import PointTool  # noqa: PLC0415 - not needed to start

    port.tools.take(PointTool(port.document), "check.points")


def _is_shown(name: str, now: Situation) -> bool:
    return name in now.proof_shown


def _nothing_found(now: Situation) -> str:
    return "" if now.findings else "The check found nothing to look at"


def _nothing_moves(now: Situation) -> str:
    return "" if now.loose else "The check found nothing that can still move"


def _too_few_parts(now: Situation) -> str:
    return "" if now.parts > 1 else "There is only an order if the weldment has two parts or more"


def _no_part(now: Situation) -> str:
    return "" if now.parts else "There is nothing to measure yet: draw a part of the weldment"


def _drawing(name: ProofDrawing, words: str, hint: str) -> Action:
    return Action(
        f"check.show.{name.replace(' ', '_')}", words, "", (), hint, "Check",
        partial(_turn, name, words), ticked=partial(_is_shown, name), submenu=_SUBMENU,
    )  # fmt: skip


# fmt: off
CHECK: tuple[Action, ...] = (
    Action("check.run", "Check", "inspect", ("F8",), "Check the set-up and list what is found",
           "Check", _run, row=True),
    Action("check.next", "Next finding", "inspect-next", ("F4",),
           "Select and show the next thing the check found", "Check", _next, _nothing_found),
    _drawing("motion", "How it can move", "What can still move, in long dashes with two dots"),
    _drawing("reactions", "Reactions", "How hard the work lies against each stop, as wedges"),
    _drawing("errors", "How far out", "How far each part can be out, as ellipses, enlarged"),
    _drawing("torch", "Room for the torch", "The torch at each weld, hatched where it has no room"),
    _drawing("ways out", "Ways out", "The directions in which the work comes out, as arrows"),
    Action("check.play", "Play how it can move", "", (),
           "Move what is loose once on the plan, slowly, and back", "Check", _play,
           _nothing_moves),
    Action("check.loading", "Loading order", "list", (),
           "Choose the order in which the parts go into the jig", "Check",
           OpenForm("job.loading_form", "open_loading"), _too_few_parts, opens=True,
           after_line=True),
    Action("check.points", "Mark points that matter", "", (),
           "Mark a bolt hole or a corner; How exact then says how far it can be out", "Check",
           _points, _no_part),
    Action("check.exact", "How exact", "dimension", (),
           "Every measure as drawn, as set and as expected, and how far out it can be", "Check",
           OpenForm("job.exact_form", "open_exact"), _no_part, opens=True),
)
# fmt: on
