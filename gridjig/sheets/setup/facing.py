"""Which way things point, in words: to the right, to the back left, towards you.

Front, back, left and right are those of the table, as on the plan, wherever the operator stands;
only the operator's own side is called “you”.
"""

import math

from gridjig.model import Table
from gridjig.model.labels import OFF, address
from gridjig.model.table import Hole, TableSide
from gridjig.rack import Point

_EIGHTHS = (
    "right",
    "back right",
    "back",
    "back left",
    "left",
    "front left",
    "front",
    "front right",
)
_SIDES: dict[str, TableSide] = {"front": "front", "back": "back", "left": "left", "right": "right"}


def towards(table: Table, degrees: float) -> str:
    """Return a direction on the table in words, to the nearest eighth of a turn."""
    name = _EIGHTHS[round(degrees / 45.0) % 8]
    return "towards you" if name == table.labels.operator else f"to the {name}"


def direction_of(x: float, y: float) -> float:
    """Return the direction of a vector in degrees from the table's x axis."""
    return math.degrees(math.atan2(y, x))


def counted_words(table: Table, hole: Hole) -> tuple[str, ...]:
    """Return a hole's count from the nearest edges: ("7 from left", "4 from front").

    Nothing is said of a hole that the table does not have.
    """
    if not table.has(hole):
        return ()
    from_left, from_right = hole.col + 1, table.columns - hole.col
    from_front, from_back = hole.row + 1, table.rows - hole.row
    across = f"{from_left} from left" if from_left <= from_right else f"{from_right} from right"
    along = f"{from_front} from front" if from_front <= from_back else f"{from_back} from back"
    return (across, along)


def hole_words(table: Table, hole: Hole) -> str:
    """Return a hole's address as painted; of a hole off the table, how many holes off it is."""
    told = address(table, hole)
    if told != OFF:
        return told
    x, y = (
        hole.col - max(0, min(hole.col, table.columns - 1)),
        hole.row - max(0, min(hole.row, table.rows - 1)),
    )
    ways = ((abs(x), "right" if x > 0 else "left"), (abs(y), "back" if y > 0 else "front"))
    return f"{OFF} ({', '.join(f'{many} to the {way}' for many, way in ways if many)})"


def middle_of(points: list[Point]) -> Point:
    """Return the middle of the box round some points."""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return ((min(xs) + max(xs)) / 2.0, (min(ys) + max(ys)) / 2.0)
