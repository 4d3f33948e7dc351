"""Why stops or places for the weldment cannot be found, in a sentence."""

from gridjig.solve.layout.faults import LayoutReason, NotAStop, NothingToPlace, TooManyLines
from gridjig.units import format_count


def layout_fault_text(reason: LayoutReason) -> str:
    """Return why there is no answer, and what to do."""
    match reason:
        case NothingToPlace("no weldment"):
            return "There is no weldment to place; draw a member first."
        case NothingToPlace():
            return "No face lies along the grid; turn the weldment first."
        case TooManyLines():
            return (
                f"There are {format_count(reason.lines)} lines of faces, and at most"
                f" {format_count(reason.most)} can be compared; choose critical faces, or compare"
                " outer faces only."
            )
        case NotAStop(""):
            return f"The rack {reason.rack} has no stop; add one to the rack first."
        case NotAStop():
            return f"{reason.piece} is not a stop or round pin of the rack {reason.rack}."
