"""Which parts of the table to enlarge, so that every crowded piece is whole in one of them."""

from collections.abc import Mapping

from gridjig.geometry.box_index import Box
from gridjig.model import Table

_ROOM = 2.5
"""Room round the pieces for labels, in pitches, where the page has it."""


def windows(boxes: Mapping[str, Box], table: Table, wide: float, deep: float) -> list[Box]:
    """Return parts of the table, table mm, at most so large: from the front, then from the left."""
    left = sorted(boxes, key=lambda k: (round(boxes[k][1]), boxes[k][0]))
    made: list[Box] = []
    while left:
        row = boxes[left[0]][1]
        level = [k for k in left if boxes[k][3] <= row + deep] or left[:1]
        start = min(boxes[k][0] for k in level)
        inside = [k for k in level if boxes[k][2] <= start + wide] or level[:1]
        x0, y0 = min(boxes[k][0] for k in inside), min(boxes[k][1] for k in inside)
        x1, y1 = max(boxes[k][2] for k in inside), max(boxes[k][3] for k in inside)
        spare = _ROOM * table.pitch_x
        u0, u1 = _widened(x0, x1, wide, table.width, spare)
        v0, v1 = _widened(y0, y1, deep, table.depth, spare)
        made.append((u0, v0, u1, v1))
        taken = set(inside)
        left = [k for k in left if k not in taken]
    return made


def _widened(low: float, high: float, most: float, end: float, room: float) -> tuple[float, float]:
    """A span with room about it, but no more than the page has, and on the table if it can be."""
    size = min(high - low + room, most)
    start = low - (size - (high - low)) / 2.0
    if size <= end and low >= 0.0 and high <= end:
        start = min(max(start, 0.0), end - size)
    return (start, start + size)
