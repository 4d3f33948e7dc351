"""Why a question about an angle cannot be answered as asked, in a sentence."""

from typing import assert_never

from gridjig.model import Table
from gridjig.model.labels import address
from gridjig.solve.angles.faults import (
    AngleFault,
    AskedWrong,
    BaseBeyondTable,
    BasesSwapped,
    JointsTakeFace,
    SameHole,
    TooFewHoles,
    TooManyShims,
)
from gridjig.units import Display, ParseError, format_length

_ASKED = {
    "no leg": "The length to the far end must be greater than 0.",
    "no shorter leg": "The shorter side must be longer than 0.",
    "shortest base below 0": "The shortest base must be 0 or more.",
    "no longest base": "The longest base needs a length greater than 0.",
    "no answers": "Ask for at least 1 answer.",
    "no ways": "Choose at least one way to make the angle.",
    "no rise and run": "Rise and run are both 0; give at least one of them.",
    "region of two corners": "A region needs at least three corners.",
    "face of no length": "The face has no length; choose one with two different ends.",
    "no face chosen": "Two pins astride need a member between them: choose the face to hold.",
    "nothing selected": "Nothing is selected; select what the holes should be near.",
    "not a straight face": "That is not a straight face of the weldment; pick another.",
    "packing below 0": "The thickest packing must be 0 or more.",
    "pin below 0": "The diameter of a pin must be 0 or more.",
    "pins overlap": "Pins of these diameters do not fit side by side there.",
    "hole off the table": "One of the holes is not on the table; choose another.",
    "chart step": "The step of the chart must be 0.05 to 45 degrees.",
    "no base within": "No two free holes have a base within these limits; widen the limits.",
}


def angle_fault_text(fault: AngleFault, table: Table, display: Display) -> str:
    """Return why the question has no answer, and what to change."""
    match fault.reason:
        case AskedWrong(what):
            text = _ASKED[what]
        case BasesSwapped(shortest, longest):
            low, high = format_length(shortest, display), format_length(longest, display)
            text = f"The longest base, {high}, is shorter than the shortest, {low}; swap the two."
        case BaseBeyondTable(shortest, farthest):
            low, far = format_length(shortest, display), format_length(farthest, display)
            text = (
                f"The shortest base is {low}, and the farthest holes of this table are {far} apart;"
                " type a shorter base."
            )
        case TooManyShims(most):
            text = f"One pin can have 0 to {most} shims; a thicker stack is not reliable."
        case TooFewHoles(holes, on_table):
            free = "No hole is free" if holes == 0 else "Only one hole is free"
            text = (
                f"{free} {'on the table' if on_table else 'here'}; an angle needs two. Widen the "
                "limits or clear some holes."
            )
        case SameHole(hole):
            text = f"Both holes are {address(table, hole)}; an angle needs two different ones."
        case JointsTakeFace(clear):
            off = format_length(clear, display)
            text = (
                f"Keeping {off} clear of its joints leaves nothing of the face;"
                " type a shorter length."
            )
        case ParseError():
            text = str(fault.reason)
        case _:
            assert_never(fault.reason)
    return text
