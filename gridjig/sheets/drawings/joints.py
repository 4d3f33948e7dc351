"""Joints on the plan: a row of short ticks across each seam, its name, and the one pointed at."""

from gridjig.geometry.display import (
    DisplayList,
    DrawingRole,
    Polyline,
    Shape,
    Symbol,
    TextLabel,
    Ticks,
)
from gridjig.model import Job
from gridjig.solve.weldment.welds import Welded, welded


def draw_joints(job: Job, pointed: str = "") -> DisplayList:
    """Draw all joints of a job; the one with the id `pointed` stands out."""
    shapes: list[Shape] = []
    last: list[Shape] = []
    for one in welded(job):
        if one.joint.id == pointed:
            last += _joint(one, "selected", True)
        else:
            shapes += _joint(one, "edge", False)
    return (*shapes, *last)


def _joint(one: Welded, role: DrawingRole, pointed: bool) -> list[Shape]:
    joint = one.joint
    shapes: list[Shape] = []
    if joint.kind == "overlap":
        hatched: DrawingRole = "selected" if pointed else "clash"
        shapes.append(Polyline(joint.seam, hatched, closed=True, hatch="clash"))
    elif len(joint.seam) < 2:
        shapes.append(Symbol(joint.place, "tick", role, turn=45.0))
    elif one.kind == "none":
        shapes.append(Polyline(joint.seam, "hidden"))
    else:
        shapes.append(Ticks(joint.seam, role))
    if pointed:
        if len(joint.seam) > 1:
            shapes.append(Polyline(joint.seam, "selected"))
        shapes.append(Symbol(joint.place, "ring", "selected"))
    return [*shapes, _name(one, role, pointed)]


def _name(one: Welded, role: DrawingRole, pointed: bool) -> TextLabel:
    """The name beside the end of the seam, where it does not cover it.

    It is shown if it is no wider than roughly the length of the seam, and always if pointed at.
    """
    joint = one.joint
    at = max(joint.seam) if joint.kind == "edge" else joint.place
    room = 0.0 if pointed else max(joint.length, 15.0)
    return TextLabel(
        at,
        one.name,
        role,
        anchor="right",
        size="normal" if pointed else "small",
        cleared=True,
        room=room,
    )
