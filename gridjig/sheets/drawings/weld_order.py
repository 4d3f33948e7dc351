"""The order of tacks or welds on the plan: a number at each joint, and its seam."""

from collections.abc import Iterable

from gridjig.geometry.display import DisplayList, DrawingRole, Polyline, Shape, TextLabel, Ticks
from gridjig.solve.weldment.welds import Welded


def draw_order(order: Iterable[Welded], pointed: str = "") -> DisplayList:
    """Draw the joints with their numbers in an order; the one with the id `pointed` stands out."""
    shapes: list[Shape] = []
    for number, one in enumerate(order, 1):
        joint = one.joint
        here = joint.id == pointed
        role: DrawingRole = "selected" if here else "edge"
        if len(joint.seam) > 1:
            shapes.append(Polyline(joint.seam, role) if here else Ticks(joint.seam, role))
        shapes.append(
            TextLabel(
                joint.place,
                str(number),
                role,
                anchor="right",
                size="large" if here else "normal",
                cleared=True,
            )
        )
    return tuple(shapes)
