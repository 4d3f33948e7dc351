"""What can still move, drawn: the outline where it ends up, with an arrow each way that it goes.

A motion is drawn as far as its stops let it, and a little way where none was found; one that is too
small to be seen is enlarged, and the drawing says by how much.
"""

import math
from collections.abc import Callable

from gridjig.geometry import Pose
from gridjig.geometry.display import (
    Arc,
    DisplayList,
    DrawingRole,
    Polyline,
    Shape,
    Symbol,
    TextLabel,
)
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Job
from gridjig.proof.located.values import Located, Motion
from gridjig.proof.located.wording import body_name, capital
from gridjig.proof.report import ProofReport
from gridjig.rack import Point
from gridjig.units import format_measure, format_number, format_rounded_angle

TURN, SLIDE = 8.0, 40.0
"""How far a motion is drawn that nothing was found to stop: degrees, mm."""
LEAST_SEEN = 6.0
"""A motion of less is enlarged, mm."""
_TIMES = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0)
_ARROW, _BARB = 90.0, 14.0
"""The length of an arrow and of its barbs, mm."""
_HALF_ARC = 15.0
_NOTHING = 1e-3

PointMove = Callable[[Point], Point]


def loose_ones(report: ProofReport) -> tuple[Located, ...]:
    """What can still move: weldments, or the parts of one that is located as a whole."""
    if report.located is None:
        return ()
    whole = tuple(one for one in report.located.weldments if one.motion is not None)
    return whole or tuple(one for one in report.located.parts if one.motion is not None)


def goes(one: Located) -> tuple[float, ...]:
    """The shares of its motion at which it is stopped: 1 ahead, -1 back; none if it is fast."""
    motion = one.motion
    if motion is None:
        return ()
    ways = ((1.0, motion.ahead), (-1.0, motion.back))
    return tuple(share for share, by in ways if by is None or by > _NOTHING)


def share_at(one: Located, time: float) -> float:
    """The share of its motion that something has made when it is played, at a time from 0 to 1.

    It starts and stops gently, and goes one way after the other.
    """
    ends = goes(one)
    if not ends:
        return 0.0
    n = min(int(time * len(ends)), len(ends) - 1)
    return ends[n] * math.sin(math.pi * (time * len(ends) - n)) ** 2


def moved_rings(job: Job, one: Located, share: float) -> list[tuple[Point, ...]]:
    """The outlines of what moves after a share of its motion, from -1 to 1; enlarged as told."""
    if one.motion is None:
        return []
    move = _mover(one.motion, one.where, share * enlarged(job, one))
    return [tuple(move(p) for p in ring) for ring in _rings(job, one)]


def enlarged(job: Job, one: Located) -> float:
    """How many times larger than it is a motion is drawn, so that it is seen at all."""
    if one.motion is None:
        return 1.0
    moves = [_mover(one.motion, one.where, share) for share in goes(one)]
    far = max(
        (math.dist(p, move(p)) for ring in _rings(job, one) for p in ring for move in moves),
        default=LEAST_SEEN,
    )
    return next((times for times in _TIMES if far * times >= LEAST_SEEN), _TIMES[-1])


def moves_words(job: Job, one: Located) -> str:
    """Say what moves as it is drawn, and how far: Front rail moves like this by .120" in all."""
    name, motion = capital(body_name(job, one.id, one.parts)), one.motion
    if motion is None:
        return f"{name} does not move."
    how = "; nothing was found to stop it"
    if motion.by is not None:
        turns = motion.kind == "turn"
        by = format_rounded_angle(motion.by) if turns else format_measure(motion.by, job.display)
        how = f", by {by} in all"
    times = enlarged(job, one)
    large = f", drawn {format_number(times)} times as large" if times > 1.0 else ""
    return f"{name} moves like this{how}{large}."


def draw_moved(job: Job, one: Located, share: float) -> DisplayList:
    """Draw what moves after a share of its motion, in the line of moving things."""
    return tuple(Polyline(ring, "reach", closed=True) for ring in moved_rings(job, one, share))


def draw_motions(job: Job, report: ProofReport, played: Located | None = None) -> list[Shape]:
    """Draw how everything can move that is loose, but for what is played just now."""
    shapes: list[Shape] = []
    for one in loose_ones(report):
        if played is None or one.id != played.id or one.parts != played.parts:
            shapes += _motion(job, one)
    return shapes


def _motion(job: Job, one: Located) -> list[Shape]:
    motion = one.motion
    assert motion is not None
    shapes: list[Shape] = []
    ends = goes(one)
    for share in ends:
        shapes += draw_moved(job, one, share)
    slides, turns = motion.kind != "turn", motion.kind != "slide"
    centre = motion.centre or one.where
    if slides and motion.direction is None:  # nothing touches it: it goes everywhere
        shapes += _both_ways(one.where, (1.0, 0.0), ends)
        shapes += _both_ways(one.where, (0.0, 1.0), ends)
    elif slides and motion.direction is not None:
        shapes += _both_ways(one.where, motion.direction, ends)
    if turns:
        shapes.append(Symbol(centre, "turns", "reach"))
    if motion.kind == "turn":
        shapes += _arc(centre, one.where, ends)
    times = enlarged(job, one)
    if times > 1.0:
        told = f"enlarged {format_number(times)} times"
        at = (one.where[0], one.where[1] - _BARB)
        shapes.append(TextLabel(at, told, "reach", anchor="below", size="small", cleared=True))
    return shapes


def _both_ways(start: Point, way: Point, ends: tuple[float, ...]) -> list[Shape]:
    return [
        shape
        for share in ends
        for shape in arrow(start, (way[0] * share, way[1] * share), "reach", _ARROW / 2.0)
    ]


def _arc(centre: Point, where: Point, ends: tuple[float, ...]) -> list[Shape]:
    """An arc through the middle of what turns, with a head at each end that it reaches."""
    radius = max(math.dist(centre, where), _ARROW / 2.0)
    at = math.degrees(math.atan2(where[1] - centre[1], where[0] - centre[0]))
    shapes: list[Shape] = [Arc(centre, radius, at - _HALF_ARC, at + _HALF_ARC, "reach")]
    for share in ends:
        t = math.radians(at + share * _HALF_ARC)
        tip = (centre[0] + radius * math.cos(t), centre[1] + radius * math.sin(t))
        shapes.append(_head(tip, (-math.sin(t) * share, math.cos(t) * share), "reach"))
    return shapes


def arrow(start: Point, way: Point, role: DrawingRole, long: float) -> list[Shape]:
    """An arrow from a point along a unit vector."""
    tip = (start[0] + way[0] * long, start[1] + way[1] * long)
    return [Polyline((start, tip), role), _head(tip, way, role)]


def _head(tip: Point, way: Point, role: DrawingRole) -> Polyline:
    """The head of an arrow: two barbs."""
    back = Pose(tip[0], tip[1], math.degrees(math.atan2(way[1], way[0])))
    return Polyline(
        (back.point((-_BARB, _BARB / 2.0)), tip, back.point((-_BARB, -_BARB / 2.0))), role
    )


def _rings(job: Job, one: Located) -> list[tuple[Point, ...]]:
    ids = set(one.parts) or {one.id}
    return [tuple(part_ring(part)) for part in job.parts if part.id in ids]


def _mover(motion: Motion, where: Point, share: float) -> PointMove:
    """What a share of a motion does to a point.  What is free slides ahead, and turns back."""
    slides = motion.kind == "slide" or (motion.kind == "free" and share >= 0.0)
    most = SLIDE if slides else TURN
    stop = motion.ahead if share >= 0.0 else motion.back
    far = (most if stop is None else min(stop, most)) * share
    if slides:
        ux, uy = motion.direction or (1.0, 0.0)
        return lambda p: (p[0] + ux * far, p[1] + uy * far)
    x, y = motion.centre or where
    c, s = math.cos(math.radians(far)), math.sin(math.radians(far))
    return lambda p: (x + (p[0] - x) * c - (p[1] - y) * s, y + (p[0] - x) * s + (p[1] - y) * c)
