"""What a member shows in addition to its outline: centre line, hidden walls, its name along it.

Pure composition, as in `plan`.
"""

import math

from gridjig.geometry import Pose, unit
from gridjig.geometry.display import Polyline, Shape, Spot, TextLabel
from gridjig.model import Member
from gridjig.model.stock import ROUNDS, TUBES
from gridjig.rack import Point

NAMES_AT = (0.3, 0.5, 0.7, 0.4, 0.6, 0.2, 0.8, 0.12, 0.88)
"""Where along a part its name goes: first off the middle, where clamps often press."""
_BESIDE = 1.2  # the greatest length of a name beside a thing, as a multiple of the thing's
_ROOM = 1.8  # the greatest length of a name, as a multiple of the distance to the nearer end
_OVER = 0.25  # how far its centre line runs past each end, as a fraction of its width


def bar_shapes(member: Member) -> list[Shape]:
    """Return the lines inside a member, in table mm."""
    pose = Pose(member.x, member.y, member.turn)
    over = _OVER * member.width
    shapes: list[Shape] = [
        Polyline((pose.point((-over, 0.0)), pose.point((member.length + over, 0.0))), "centre")
    ]
    for across in _walls(member):
        a, b = _ends_at(member, across)
        shapes.append(Polyline((pose.point(a), pose.point(b)), "hidden"))
    return shapes


def bar_name(member: Member) -> list[Shape]:
    """Return its name, written along it so that it reads from the front or the right."""
    if not member.name:
        return []
    pose = Pose(member.x, member.y, member.turn)
    turn = (member.turn + 90.0) % 180.0 - 90.0
    if math.isclose(turn, -90.0):
        turn = 90.0
    backwards = abs((member.turn - turn + 180.0) % 360.0 - 180.0) > 90.0
    start = pose.point((member.length if backwards else 0.0, 0.0))
    return [along_name(member.name, start, turn, member.length, member.width)]


def along_name(
    name: str, start: Point, turn: float, length: float, across: float = 0.0
) -> TextLabel:
    """Return a name along a line from its start, with all the places that it may have there.

    A level one on a thing that is `across` mm deep may also stand above or below it.
    """
    c, s = unit(turn)
    first, *others = (
        Spot(
            (start[0] + part * length * c, start[1] + part * length * s),
            room=_ROOM * min(part, 1.0 - part) * length,
        )
        for part in NAMES_AT
    )
    if across and not turn:
        x, y = start[0] + length / 2, start[1]
        room = _BESIDE * length
        others += [
            Spot((x, y + across / 2), "above", room),
            Spot((x, y - across / 2), "below", room),
        ]
    return TextLabel(
        first.at,
        name,
        "thin",
        turn,
        size="small",
        cleared=True,
        room=first.room,
        spots=tuple(others),
        across=0.0 if turn else across,
    )


def _walls(member: Member) -> tuple[float, ...]:
    """The positions of its inner faces, mm left of its centre line."""
    section, half = member.section, member.width / 2.0
    hollow = section.kind in TUBES or (section.kind in ROUNDS and section.wall > 0)
    if hollow:
        return (half - section.wall, section.wall - half)
    leg = section.flange if section.kind == "channel" else section.wall
    # The way up decides on which side of the plan the upright leg or web is.
    standing_right = {0: True, 90: False, 180: False, 270: True}[member.way_up]
    if section.kind == "angle":
        return (section.wall - half if standing_right is not member.mirrored else half - leg,)
    if section.kind == "channel":
        if member.way_up in (90, 270):
            return (half - leg, leg - half)
        right = (member.way_up == 0) is not member.mirrored
        return (section.wall - half if right else half - section.wall,)
    return ()


def _ends_at(member: Member, across: float) -> tuple[Point, Point]:
    """Both ends of the line this far left of the centre line, in the member's frame."""
    start, end = (cut.reach(across, 0.0, member.width) for cut in (member.start, member.end))
    return (-start, across), (member.length + end, across)
