"""How a line of `gridjig angle` says steps and pieces."""

from gridjig.rack import Rack
from gridjig.sheets.text.angle_text import piece_name
from gridjig.solve.angles.answers import AngleAnswer, TakenPiece


def turned_over(answer: AngleAnswer) -> bool:
    """True if one of its pieces is placed turned over."""
    return any(how.flipped for how in answer.standing)


def steps_text(steps: tuple[int, int]) -> str:
    """Return steps as a pair, to the right and to the back: "13:10"; steps to the left or front are
    negative.
    """
    return f"{steps[0]}:{steps[1]}"


def takes_text(takes: tuple[TakenPiece, ...], rack: Rack) -> str:
    """Return the pieces taken by name, with a note on what the rack is short of."""
    if not takes:
        return "nothing from the rack"
    parts = []
    for take in takes:
        short = f" ({take.left} left)" if take.left < take.count else ""
        parts.append(f"{take.count} × {piece_name(rack, take.piece)}{short}")
    return ", ".join(parts)
