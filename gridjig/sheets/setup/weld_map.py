"""A page for each weldment with the order of its tacks and welds: a number pair at each joint.

T3 W5: the third tack, the fifth weld.
"""

import math
from collections.abc import Iterator, Sequence

from gridjig.geometry.box_index import Box
from gridjig.geometry.page import (
    FINE,
    NARROW,
    PageDiscs,
    PageLine,
    PageLines,
    PageMark,
    PageText,
    PageWindow,
)
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Weldment
from gridjig.model.by_weldment import parts_of, several
from gridjig.model.titles import weldment_title
from gridjig.rack import Point
from gridjig.sheets.drawings.plan import draw_part
from gridjig.solve.weldment.joints import Joint
from gridjig.solve.weldment.weld_order import tacks_of, welds_of
from gridjig.units import format_scale

from .facts import SheetFacts
from .flow import Letters, PageRoom
from .letters import LINE, width_of
from .paper import fitting_scale
from .places import Occupied
from .strokes import PaperFrame, PlanStroke, strokes

_REACHES = (6.0, 8.0, 10.0, 15.0, 22.0, 30.0, 40.0, 55.0, 75.0)
_TURNS = tuple(math.radians(22.5 * k) for k in range(16))
_CLEARLY = 1.5
"""How much farther another joint is from a label than its own, if it is clear whose it is."""
_SAME = 0.1
"""mm on the paper within which two joints are in one place."""


def weld_map(
    facts: SheetFacts, one: Weldment, room: PageRoom, letters: Letters
) -> tuple[PageMark, ...]:
    """Return the marks of a weldment's page; none if nothing of it is welded."""
    job = facts.job
    tacks = {each.joint.id: k for k, each in enumerate(tacks_of(job, one.id), 1)}
    welds = {each.joint.id: k for k, each in enumerate(welds_of(job, one.id), 1)}
    joints = [each.joint for each in tacks_of(job, one.id)]
    if not joints:
        return ()
    parts = parts_of(job, one.id)
    x0, y0, x1, y1 = bounds([p for part in parts for p in part_ring(part)])
    title = LINE * letters.heading + 4.0
    wide, deep = room.width - 44.0, room.height - title - 30.0
    scale = fitting_scale(x1 - x0, y1 - y0, (wide, deep)) or max((x1 - x0) / wide, (y1 - y0) / deep)
    left = room.x + (room.width - (x1 - x0) / scale) / 2
    top = room.y + title + (room.height - title - (y1 - y0) / scale) / 2
    frame = PaperFrame(left - x0 / scale, top + y1 / scale, scale)
    drawn: list[PlanStroke] = []
    for index, part in enumerate(parts):
        drawn += strokes(draw_part(part, index), frame)
    of = f" of {weldment_title(job, one.id)}" if several(job) else ""
    words = f"Tacks and welds{of}: SCALE {format_scale(scale)}"
    note = "T: order of tacking, W: order of welding, as in the lists"
    size = letters.heading
    marks: list[PageMark] = [
        PageText(room.x, room.y, room.width, LINE * size, words, size, bold=True),
        PageText(room.x, room.y + LINE * size, room.width, 5.0, note, letters.text),
        PageWindow(room.x, room.y, room.width, room.height, tuple(drawn)),
    ]
    occupied = Occupied()
    occupied.take((room.x, room.y, room.x + room.width, room.y + title + 1.0))
    for joint in joints:
        x, y = frame.at(joint.place)
        occupied.take((x - 1.5, y - 1.5, x + 1.5, y + 1.5))
        for u, v in frame.all(joint.seam):
            occupied.take((u - 1.0, v - 1.0, u + 1.0, v + 1.0))
    places = tuple(frame.at(joint.place) for joint in joints)
    for joint in joints:
        told = f"T{tacks[joint.id]} W{welds[joint.id]}"
        marks += _flag(joint, told, frame, room, letters, occupied, places)
    return tuple(marks)


def _flag(
    joint: Joint,
    told: str,
    frame: PaperFrame,
    room: PageRoom,
    letters: Letters,
    occupied: Occupied,
    places: tuple[Point, ...],
) -> list[PageMark]:
    """A joint's seam, and its numbers in a frame with a leader to it."""
    x, y = frame.at(joint.place)
    seam = frame.all(joint.seam)
    marks: list[PageMark] = []
    if len(seam) > 1:
        marks.append(PageLine(seam, 0.9))
    size = letters.key
    wide, high = width_of(told, size, bold=True) + 2.0, 1.7 * size
    others = [one for one in places if math.dist(one, (x, y)) > _SAME]
    box = _place((x, y), (wide, high), room, occupied, others)
    if box is None:
        return marks
    occupied.take(box)
    cx, cy = min(max(x, box[0]), box[2]), min(max(y, box[1]), box[3])
    ring = ((box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3]))
    return [
        *marks,
        PageLines((((x, y), (cx, cy)),), FINE),
        PageDiscs(((x, y),), 0.7, FINE, fill="black"),
        PageLine(ring, NARROW, closed=True, fill="white"),
        PageText(box[0], box[1], wide, high, told, size, "centre", bold=True),
    ]


def _place(
    at: Point, size: Point, room: PageRoom, occupied: Occupied, others: Sequence[Point]
) -> Box | None:
    """The nearest free box about a place; None if the page has no room left.

    One that is clearly nearer to its own joint than to any other comes first: between two joints
    that lie close together nobody has to follow a leader then.
    """
    first: Box | None = None
    for box in _boxes(at, size):
        inside = (
            room.x <= box[0]
            and room.y <= box[1]
            and box[2] <= room.x + room.width
            and box[3] <= room.y + room.height
        )
        if not inside or not occupied.free(box):
            continue
        own = _apart(box, at)
        if all(_apart(box, other) > max(_CLEARLY * own, own + 3.0) for other in others):
            return box
        first = first or box
    return first


def _boxes(at: Point, size: Point) -> Iterator[Box]:
    """Boxes of a size about a place, from near to far."""
    wide, high = size[0] / 2, size[1] / 2
    for reach in _REACHES:
        for turn in _TURNS:
            x = at[0] + math.cos(turn) * (reach + wide)
            y = at[1] - math.sin(turn) * (reach + high)
            yield (x - wide, y - high, x + wide, y + high)


def _apart(box: Box, place: Point) -> float:
    """The distance of a place from a box, mm; 0 inside."""
    x, y = place
    return math.hypot(max(box[0] - x, 0.0, x - box[2]), max(box[1] - y, 0.0, y - box[3]))
