"""The actions for the weldment as a whole: ready ones, cut list, joints, place, which way up."""

from .actions import Action, Situation


def _parts(now: Situation) -> str:
    return "" if now.parts else "The weldment has no part yet; draw a member first"


def _two_parts(now: Situation) -> str:
    return "" if now.parts > 1 else "A joint needs two parts; draw them first"


# fmt: off
WHOLE: tuple[Action, ...] = (
    Action("weldment.starter", "Ready weldment", "starter", ("Ctrl+Shift+N",),
           "Frame, bracket, A-frame, ladder, gable, ring or tripod by a few sizes", "Weldment",
           opens=True, after_line=True),
    Action("weldment.cuts", "Cut list", "cuts", ("Ctrl+6",),
           "What to saw from which stock, with both cuts, hands and masses", "Weldment", _parts,
           after_line=True),
    Action("cuts.copy", "Copy the cut list", "copy", (),
           "Put the cut list on the clipboard as a table", "Weldment", _parts),
    Action("cuts.save", "Save the cut list as CSV", "save", (),
           "Write the cut list to a file that spreadsheets read", "Weldment", _parts, opens=True),
    Action("weldment.joints", "Joints and welds", "joints", ("Ctrl+7",),
           "Where members meet, how long, at what angle, and how they are welded", "Weldment",
           _two_parts, after_line=True),
    Action("weldment.faces", "Datum and stops", "datum", ("Ctrl+8",),
           "Datum faces, and what the grid leaves before each face", "Weldment", _parts,
           after_line=True),
    Action("weldment.where", "Where on the table", "where", ("Ctrl+9",),
           "Move it as one, or find where it needs the fewest packings", "Weldment", _parts),
    Action("weldment.way", "Which way up", "way-up", ("Ctrl+Shift+U",),
           "What lies flush each way up, face down, opposite hand", "Weldment", _parts),
)
# fmt: on
