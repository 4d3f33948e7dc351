"""The names of the ways in which an angle is held, and of the piece that holds it."""

from gridjig.rack import Rack, kind_name
from gridjig.solve.angles.answers import AngleAnswer, AngleWay

WAY_NAMES: dict[AngleWay, str] = {
    "pins": "Equal pins",
    "two sizes": "Two pin sizes",
    "shims": "Shims",
    "astride": "Astride",
    "arm": "Arm, block",
    "scale": "Arm, by scale",
    "plate": "Cut plate",
}
"""Short names of the ways, for check boxes."""


def other_than_arm(answer: AngleAnswer, rack: Rack) -> str:
    """Return the kind of the one piece that holds an angle by its own pins, such as "angle block";
    empty for an arm and for every other way.
    """
    piece = rack.find(answer.standing[0].piece) if answer.way == "arm" and answer.standing else None
    return "" if piece is None or piece.kind == "arm" else kind_name(piece.kind)


def way_words(answer: AngleAnswer, rack: Rack) -> str:
    """Return how an angle is held, within a sentence."""
    if answer.way != "arm":
        return WAY_NAMES[answer.way].lower()
    other = other_than_arm(answer, rack)
    return f"{other}, pinned" if other else "arm, locked"


def steps_words(steps: tuple[int, int]) -> str:
    """Return steps as the operator sees them: "13 right, 10 back"; none in one way is left out."""
    m, n = steps
    said = ((abs(m), "right" if m > 0 else "left"), (abs(n), "back" if n > 0 else "front"))
    return ", ".join(f"{many} {way}" for many, way in said if many) or "0"
