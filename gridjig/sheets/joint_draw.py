"""Joints on the sheet: a row of short ticks across each seam, its name, and the one pointed at."""

from gridjig.geometry.display import Circle, Drawing, Line, Role, Shape, Symbol, Ticks, Words
from gridjig.model import Job
from gridjig.solve.joints import Joint
from gridjig.solve.welds import Welded, welded

_DOT = 4.0


def draw_joints(job: Job, pointed: str = "") -> Drawing:
    """All joints of a job; the one of the id `pointed` stands out."""
    shapes: list[Shape] = []
    last: list[Shape] = []
    for one in welded(job):
        if one.joint.id == pointed:
            last += _joint(one, "selected", True)
        else:
            shapes += _joint(one, "thin", False)
    return (*shapes, *last)


def _joint(one: Welded, role: Role, pointed: bool) -> list[Shape]:
    joint = one.joint
    shapes: list[Shape] = []
    if joint.kind == "overlap":
        hatched: Role = "selected" if pointed else "clash"
        shapes.append(Line(joint.seam, hatched, closed=True, hatch="clash"))
    elif len(joint.seam) < 2:
        shapes.append(Symbol(joint.place, "tick", role, turn=45.0))
    elif one.kind == "none":
        shapes.append(Line(joint.seam, "hidden"))
    else:
        shapes.append(Ticks(joint.seam, role))
    if pointed:
        if len(joint.seam) > 1:
            shapes.append(Line(joint.seam, "selected"))
        shapes.append(Circle(joint.place, _DOT, "selected"))
    size = "normal" if pointed else "small"
    words = Words(
        joint.place,
        one.name,
        role,
        anchor="above",
        size=size,  # type: ignore[arg-type]
        cleared=True,
        room=0.0 if pointed else _room(joint),
    )
    return [*shapes, words]


def _room(joint: Joint) -> float:
    """A name is shown where it is no wider than about the seam is long."""
    return max(1.5 * joint.length, 20.0)
