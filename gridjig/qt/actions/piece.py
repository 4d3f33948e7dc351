"""The actions of the Piece menu: picking up a piece, and turning the selection."""

from gridjig.contact.accepted import MOST, open_gap
from gridjig.contact.values import TOUCH
from gridjig.edits.placements import set_accepted_gap, set_clamped_by_hand
from gridjig.model.titles import titles
from gridjig.tools.draw.place_tool import PlaceTool
from gridjig.tools.select.commands import flip, turn
from gridjig.tools.select.to_face import bring_to_face
from gridjig.units import format_length, format_measure

from .action import Action, OpenForm, Situation, tool_action
from .edit import act, nothing_selected
from .port import Port

_TURNED_IN_HAND = ("place", "member")
"""Tools that can turn a piece before it is placed."""


def place(port: Port, piece_id: str) -> None:
    """Pick up a piece from the rack."""
    port.tools.take(PlaceTool(port.document, piece_id), "tool.place")


def choose_piece(port: Port) -> None:
    """Move the focus to the rack drawer, where a piece is chosen."""
    if not port.preferences.value.rack_shown:
        port.preferences.change(rack_shown=True)
    port.pages.focus("rack")


def _turn(port: Port, way: int) -> None:
    if port.tools.in_hand.name != "select":
        port.tools.key("r", shift=way < 0)
        return
    document = port.document
    act(port, turn(document.job, document.placed_pieces, document.selection, way))


def _flip(port: Port) -> None:
    if port.tools.in_hand.name != "select":
        port.tools.key("f")
        return
    document = port.document
    act(port, flip(document.job, document.placed_pieces, document.selection))


def bring(port: Port) -> None:
    """Move the selected pieces up against the faces in front of them."""
    document = port.document
    act(port, bring_to_face(document.job, document.placed_pieces, document.selection))


def _by_hand(port: Port) -> None:
    """Trust the selected pieces to be clamped by hand, or no longer if all of them are."""
    document = port.document
    chosen = [p for p in document.job.placements if p.id in document.selection]
    on = not all(p.clamped_by_hand for p in chosen)
    job = document.job
    for placement in chosen:
        job = set_clamped_by_hand(job, placement.id, on)
    name = titles(job, sorted(p.id for p in chosen))
    document.do(job, f"Clamp {name} by hand" if on else f"Do not clamp {name} by hand")
    one = len(chosen) == 1
    port.say(
        f"{name} {'is' if one else 'are'} taken as clamped by hand; the check trusts"
        f" {'it' if one else 'them'}."
        if on
        else f"{name} {'is' if one else 'are'} no longer taken as clamped by hand."
    )


def _accept_gap(port: Port) -> None:
    """Accept the gaps in front of the selected pieces, or no longer if all are accepted."""
    document = port.document
    gaps = {
        p.id: (p.accepted_gap, open_gap(document.contacts, p.id))
        for p in document.job.placements
        if p.id in document.selection
    }
    asked = {k: gap for k, (accepted, gap) in gaps.items() if gap and gap > accepted + TOUCH}
    taken_back = {k: 0.0 for k, (accepted, _) in gaps.items() if accepted}
    job = document.job
    for thing_id, gap in (asked or taken_back).items():
        job = set_accepted_gap(job, thing_id, gap)
    if asked:
        name, widest = titles(job, sorted(asked)), format_measure(max(asked.values()), job.display)
        document.do(job, f"Accept the gap of {name}")
        port.say(f"{name}: a gap of up to {widest} stays open; the check accepts it.")
    elif taken_back:
        name = titles(job, sorted(taken_back))
        document.do(job, f"No longer accept the gap of {name}")
        port.say(f"{name}: the gap is no longer accepted.")
    else:
        most = format_length(MOST, job.display)
        port.say(f"Nothing selected has a gap to the work to accept; the widest is {most}.")


def _nothing_to_bring(now: Situation) -> str:
    return "" if now.placements else "Select a piece on the table first"


def _nothing_to_turn(now: Situation) -> str:
    return "" if now.tool in _TURNED_IN_HAND else nothing_selected(now)


def _nothing_to_flip(now: Situation) -> str:
    if now.tool in _TURNED_IN_HAND:
        return ""
    return "" if now.placements else "Select a piece on the table first"


def _no_work(now: Situation) -> str:
    return "" if now.parts else "There is nothing to jig yet: draw a part of the weldment"


# fmt: off
PIECE: tuple[Action, ...] = (
    tool_action("tool.select", "Select", "select", ("V",),
                "Select, move, slide and swing what is on the table", "Piece",
                lambda port: port.tools.select(), row=True),
    tool_action("tool.place", "Place", "place", ("P",),
                "Choose a piece in the rack drawer, then a hole", "Piece", choose_piece, row=True),
    Action("piece.turn", "Turn", "turn", ("R",), "Turn to the next position that the holes allow",
           "Piece", lambda port: _turn(port, 1), _nothing_to_turn, on_plan=True, row=True,
           after_line=True),
    Action("piece.turn_back", "Turn back", "turn", ("Shift+R",), "Turn to the previous position",
           "Piece", lambda port: _turn(port, -1), _nothing_to_turn, on_plan=True),
    Action("piece.flip", "Turn over", "flip", ("F",), "Turn the piece over",
           "Piece", _flip, _nothing_to_flip, on_plan=True, row=True),
    Action("piece.bring", "Bring to the face", "touch", ("C",),
           "Slide, turn or pack the selected pieces so that they touch the work",
           "Piece", bring, _nothing_to_bring, on_plan=True),
    Action("piece.by_hand", "Clamped by hand", "clamp", (),
           "Trust the selected pieces to be clamped where their pins leave them free; again:"
           " no longer", "Piece", _by_hand, _nothing_to_bring),
    Action("piece.gap", "Gap accepted", "shim", (),
           "Leave the gap between the selected pieces and the work open; again: no longer",
           "Piece", _accept_gap, _nothing_to_bring),
    Action("piece.suggest", "Suggest a jig", "starter", ("F5",),
           "Find a complete set-up for the weldment, proved by the check, and choose one",
           "Piece", OpenForm("job.suggest_form", "open_suggest"), _no_work, opens=True,
           after_line=True),
)
# fmt: on
