"""The actions of the weldment's menu: drawing its parts, joining them, measuring between them."""

from .actions import Action, Situation


def _parts(now: Situation) -> str:
    return "" if now.parts else "The weldment has no part yet; draw a member first"


def _two_parts(now: Situation) -> str:
    return "" if now.parts > 1 else "A joint needs two parts; draw them first"


# fmt: off
WELDMENT: tuple[Action, ...] = (
    Action("tool.member", "Member", "member", ("M",),
           "Draw tube, angle, flat or bar by two points and a side", "Weldment", on_sheet=True,
           checkable=True, choice="tool", row=True),
    Action("tool.rectangle", "Outline", "outline", ("O",),
           "Draw a rectangle of the weldment by two points", "Weldment", on_sheet=True,
           checkable=True, choice="tool", row=True),
    Action("tool.polygon", "Outline by corners", "polygon", ("G",),
           "Draw a part of the weldment corner by corner", "Weldment", on_sheet=True,
           checkable=True, choice="tool"),
    Action("join.trim", "Trim or extend", "trim", ("E",),
           "Cut a member at a face of another one, or extend it to there", "Weldment", _two_parts,
           on_sheet=True, checkable=True, choice="tool", row=True, after_line=True),
    Action("join.mitre", "Mitre", "mitre", ("J",),
           "Cut two members along the line from corner to corner", "Weldment", _two_parts,
           on_sheet=True, checkable=True, choice="tool", row=True),
    Action("join.butt", "Butt", "butt", ("U",),
           "Run one member through and butt the other; again with both selected: the other way",
           "Weldment", _two_parts, on_sheet=True, checkable=True, choice="tool"),
    Action("join.cope", "Cope", "cope", (),
           "Cut a member's end to fit round a round tube", "Weldment", _two_parts,
           checkable=True, choice="tool"),
    Action("tool.notch", "Notch", "notch", ("N",),
           "Cut a bite out of a corner of a member's end", "Weldment", _parts, on_sheet=True,
           checkable=True, choice="tool"),
    Action("tool.dimension", "Dimension", "dimension", ("D",),
           "Measure between two faces; type the distance to move the second", "Weldment", _parts,
           on_sheet=True, checkable=True, choice="tool", row=True, after_line=True),
    Action("weldment.chain", "Chain of dimensions", "chain", (),
           "Add up a chain to distances from its datum; says if it does not close", "Weldment",
           opens=True),
    Action("weldment.section", "Own section", "section", (),
           "Add a stock size of your own to the list, or forget one", "Weldment", opens=True,
           after_line=True),
)
# fmt: on
