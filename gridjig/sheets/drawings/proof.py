"""What a report found, drawn on the plan: five drawings that can be shown or hidden.

Each has lines and signs of its own, so that they can be told apart in black and white: the motion
that is left in the line of moving things, reactions as wedges with their force, errors as ellipses
at a stated enlargement, the torch as a cone, the ways out as arrows.
"""

import math
from collections.abc import Callable, Mapping

from gridjig.geometry import Pose
from gridjig.geometry.display import (
    Arc,
    Circle,
    DisplayList,
    DrawingRole,
    Hatch,
    Polyline,
    Shape,
    Symbol,
    TextLabel,
)
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Job, Part
from gridjig.proof.access.values import SideAccess
from gridjig.proof.exact.values import MemberError, PointError
from gridjig.proof.located.values import Located
from gridjig.proof.report import ProofReport
from gridjig.rack import Point
from gridjig.units import format_force, format_measure, format_number

from .proof_kinds import ProofDrawing
from .proof_motion import arrow, draw_motions

ENLARGED = 50.0
"""How many times larger than they are errors are drawn."""
_AROUND = 48


def draw_proof(
    job: Job,
    report: ProofReport,
    shown: frozenset[ProofDrawing],
    played: Located | None = None,
) -> DisplayList:
    """Draw what is asked for; nothing of what the report did not look at.

    The motion of what is played just now is left out: it is drawn as it moves.
    """
    shapes: list[Shape] = []
    for name, draw in _DRAWINGS.items():
        if name in shown:
            shapes += draw(job, report)
    if "motion" in shown:
        shapes += draw_motions(job, report, played)
    return tuple(shapes)


NOTHING_DRAWN: Mapping[ProofDrawing, str] = {
    "motion": "Nothing is loose, so no motion is drawn.",
    "reactions": "No stop, pin or arm stands against the work, so no reaction is drawn.",
    "errors": "No part is located yet, with all that it lies against, so no error is drawn.",
    "torch": "No joint is welded, so no torch is drawn.",
    "ways out": "There is no set-up yet that the work has to come out of.",
}
"""What to say where nothing is drawn."""


# -- reactions -----------------------------------------------------------------------------------


def _reactions(job: Job, report: ProofReport) -> list[Shape]:
    if report.held is None or report.contacts is None:
        return []
    shapes: list[Shape] = []
    for one in report.held.locators:
        own = report.contacts.pieces.get(one.placement)
        touching = next((c for c in own.touching if c.feature != "tip"), None) if own else None
        if touching is None or touching.normal[2]:
            continue
        nx, ny, _ = touching.normal
        turn = math.degrees(math.atan2(-ny, -nx))
        at = touching.middle
        said = "lifts off" if one.lifts else format_force(one.reaction, job.display)
        if one.lifts:
            shapes.append(Symbol(at, "apart", "check", turn % 360.0))
        else:
            shapes.append(Symbol(at, "force", "force", turn % 360.0))
        beside = (at[0] + nx * 18.0, at[1] + ny * 18.0)
        shapes.append(TextLabel(beside, said, "force", size="small", cleared=True))
    return shapes


# -- errors --------------------------------------------------------------------------------------


def _errors(job: Job, report: ProofReport) -> list[Shape]:
    if report.exact is None:
        return []
    shapes: list[Shape] = []
    shapes += [Symbol(point.at, "ring", "centre") for point in report.exact.points]
    found: tuple[MemberError | PointError, ...] = (*report.exact.members, *report.exact.points)
    for one in found:
        if one.error is None:
            continue
        ring = _ellipse(one)
        shapes.append(Polyline(ring, "centre", closed=True))
        worst = f"±{format_measure(one.error.worst, job.display)}"
        if isinstance(one, PointError) and one.name:
            worst = f"{one.name} {worst}"
        at = min(ring, key=lambda p: p[1])  # below its lowest point, so that it belongs to it
        shapes.append(TextLabel(at, worst, "graphite", anchor="below", size="small", cleared=True))
    if shapes:
        low = min(y for p in job.parts for _, y in part_ring(p))
        left = min(x for p in job.parts for x, _ in part_ring(p))
        told = f"errors enlarged {format_number(ENLARGED)} times"
        shapes.append(TextLabel((left, low - 30.0), told, "graphite", anchor="right", cleared=True))
    return shapes


def _largest(one: MemberError | PointError) -> float:
    assert one.error is not None
    return one.error.worst * ENLARGED


def _ellipse(one: MemberError | PointError) -> tuple[Point, ...]:
    """The ellipse of a corner's errors, its long axis as long as the worst."""
    long, short, turn = one.ellipse if one.ellipse[0] > 0.0 else (1.0, 1.0, 0.0)
    half = _largest(one)
    narrow = half * short / long
    frame = Pose(one.at[0], one.at[1], turn)
    turns = (2.0 * math.pi * k / _AROUND for k in range(_AROUND))
    return tuple(frame.point((half * math.cos(t), narrow * math.sin(t))) for t in turns)


# -- the torch -----------------------------------------------------------------------------------

_CONES: Mapping[str, tuple[DrawingRole, Hatch]] = {
    "free": ("thin", "none"),
    "tight": ("thin", "keep out"),
    "blocked": ("clash", "clash"),
}
"""How a cone looks: free ones are bare, the others are hatched, each in its own way."""


def _torches(job: Job, report: ProofReport) -> list[Shape]:
    if report.access is None:
        return []
    shapes: list[Shape] = []
    for joint in report.access.joints:
        for side in joint.sides:
            if not side.welded:
                continue
            if side.state in _CONES:
                shapes += _cone(job, side)
            elif side.state == "turned over":
                shapes.append(Symbol(side.at[:2], "ring", "hidden"))
    return shapes


def _cone(job: Job, side: SideAccess) -> list[Shape]:
    role, hatch = _CONES[side.state]
    x, y, _ = side.at
    ux, uy, _ = side.towards
    long, radius = job.shop.torch_length, job.shop.torch_radius
    flat = math.hypot(ux, uy)
    if flat < 0.05:
        return [Circle((x, y), radius, role)]
    turn = math.degrees(math.atan2(uy, ux))
    frame = Pose(x, y, turn)
    ring = (frame.point((0.0, 0.0)), frame.point((long * flat, -radius)),
            frame.point((long * flat, radius)))  # fmt: skip
    shapes: list[Shape] = [Polyline(ring, role, closed=True, hatch=hatch)]
    if side.state == "blocked":
        shapes.append(Symbol(frame.point((long * flat * 0.7, 0.0)), "clash", "clash"))
    return shapes


# -- the ways out --------------------------------------------------------------------------------


def _ways_out(job: Job, report: ProofReport) -> list[Shape]:
    if report.out is None:
        return []
    shapes: list[Shape] = []
    for one in report.out.weldments:
        parts = [part for part in job.parts if part.weldment == one.weldment]
        if not parts:
            continue
        centre, radius = _middle(parts)
        said = "lifts straight up" if one.up else "does not lift straight up"
        shapes.append(
            Symbol(centre, "ring", "thin") if one.up else Symbol(centre, "clash", "clash")
        )
        below = (centre[0], centre[1] - 18.0)
        shapes.append(TextLabel(below, said, "thin", anchor="below", cleared=True))
        for low, high in one.directions:
            shapes += _way(centre, radius, low, high)
    return shapes


def _way(centre: Point, radius: float, low: float, high: float) -> list[Shape]:
    """One range of directions: an arc between two arrows, or a single arrow."""
    ends = (low,) if high - low < 1e-6 else (low, high)
    shapes: list[Shape] = []
    if len(ends) == 2:
        shapes.append(Arc(centre, radius, low, high, "thin"))
    for degrees in ends:
        t = math.radians(degrees)
        way = (math.cos(t), math.sin(t))
        start = (centre[0] + way[0] * radius * 0.8, centre[1] + way[1] * radius * 0.8)
        shapes += arrow(start, way, "thin", radius * 0.35)
    return shapes


def _middle(parts: list[Part]) -> tuple[Point, float]:
    points = [p for part in parts for p in part_ring(part)]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    width, depth = max(xs) - min(xs), max(ys) - min(ys)
    centre = ((min(xs) + max(xs)) / 2.0, (min(ys) + max(ys)) / 2.0)
    return centre, max(60.0, min(width, depth) / 3.0)


_DRAWINGS: Mapping[ProofDrawing, Callable[[Job, ProofReport], list[Shape]]] = {
    "torch": _torches,
    "errors": _errors,
    "ways out": _ways_out,
    "reactions": _reactions,
}
