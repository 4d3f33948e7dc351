"""From an answer of the angle finder, or the face of a part, to the plate that holds it.

A plate that nothing names the holes of takes the two that are farthest apart and free.
"""

import math
from collections.abc import Iterator, Sequence
from typing import Literal

import shapely
from msgspec import Struct, structs

from gridjig.angle.question import KEEP_OFF, taken_holes
from gridjig.angle.standing import answers_on
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import FaceOf, Hole, Job, Table
from gridjig.model.marks import mark_index
from gridjig.model.titles import title
from gridjig.rack import Piece, Point
from gridjig.solve.angles.answers import AngleAnswer, AngleLimits
from gridjig.solve.angles.plate import LONGEST, SHORTEST
from gridjig.solve.angles.wanted import WantedLine
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.weldment.faces import WorkFace, faces
from gridjig.solve.weldment.joints import joints
from gridjig.units import format_angle
from gridjig.units.progress import SILENT, Progress

from .design import PlateDesign, designed
from .outline import LocatingEdge
from .standing import in_its_way
from .uprights import require_rise
from .wanted import BEAD, RELIEF, THICKNESS, PlateWanted, Uprights

WrapKind = Literal["face", "face and end", "end and both faces"]
"""What of a member a plate goes round."""
DEEPEST = 3.0
"""How far from the face a pin hole may be, in pitches."""
MOST_TRIED, MOST_LOOKED = 20, 150
"""For each length of the edge, how many pairs of holes are tried for one with nothing in its way,
and how many are looked at, most of which would have the plate beneath something: a second in all.
"""
_NEARER = 0.85
"""What is tried next for an angle: pin holes at most this share as far apart."""
_SHORTER = ((0.0, 0.0), (0.2, 0.0), (0.0, 0.2), (0.2, 0.2), (0.4, 0.0), (0.0, 0.4))
"""By which shares of the free stretch an edge is made shorter at its ends, if the plate would lie
beneath a part.
"""
_SLACK, _SLACK_SHARE = 0.5, 0.01
"""How far the second face stays away: what EN 10219-2 allows a tube below 100 mm, 1 % or 0.5 mm."""


class PlateOptions(Struct, frozen=True, kw_only=True):
    """What a person chooses of a plate; lengths in mm, None for the usual.

    `square`: its sides run along the table's axes instead of along the edge.  `upright` is how high
    two uprights reach; 0 for none.
    """

    thickness: float = THICKNESS
    over: float = 0.2
    kerf: float = 0.0
    relief: float = RELIEF
    bead: float = BEAD
    margin: float | None = None
    square: bool = False
    upright: float = 0.0
    around: WrapKind = "face"
    holes: tuple[Hole, Hole] | None = None
    name: str = ""


class PlateOf(Struct, frozen=True):
    """What a plate is for: an answer in these holes, an angle within the limits of its question
    anywhere on the table, or one of the straight faces of a part.
    """

    answer: AngleAnswer | None = None
    holes: tuple[Hole, ...] = ()
    wanted: WantedLine | None = None
    limits: AngleLimits = AngleLimits()
    part: str = ""


def pin_for(job: Job) -> Piece | None:
    """The locking pin that a plate is pinned by: the first that fits, if possible one of two."""
    able = [
        piece
        for piece in job.rack.pieces
        if piece.kind == "locking pin" and 0 < piece.pin_diameter <= job.table.hole_diameter
    ]
    return next((piece for piece in able if piece.owned >= 2), able[0] if able else None)


def _wanted(
    job: Job,
    options: PlateOptions,
    holes: tuple[Hole, Hole],
    edges: Sequence[LocatingEdge],
    main: int,
    name: str,
    beads: Sequence[Point] = (),
) -> PlateWanted:
    pin = pin_for(job)
    diameter = job.table.hole_diameter if pin is None else pin.pin_diameter
    margin = 1.5 * diameter if options.margin is None else options.margin
    ux, uy = edges[main].along
    return PlateWanted(
        name=options.name.strip() or name,
        holes=holes,
        edges=tuple(edges),
        main=main,
        pin=pin,
        pin_diameter=diameter,
        over=options.over,
        thickness=options.thickness,
        frame=0.0 if options.square else math.degrees(math.atan2(uy, ux)),
        margin=margin,
        land=margin,
        relief=options.relief,
        bead=options.bead,
        beads=tuple(beads),
        kerf=options.kerf,
        uprights=(Uprights(options.upright, options.thickness) if options.upright else None),
    )


def for_answer(
    job: Job, answer: AngleAnswer, options: PlateOptions, holes: Sequence[Hole] = ()
) -> PlateDesign:
    """Design the plate of an answer of the angle finder, in its own holes or in others.

    Raises ValueError with a sentence if the answer is no plate, or it cannot be made.
    """
    if answer.plate is None:
        raise ValueError("This answer needs no plate; choose one of the kind plate.")
    at = tuple(holes[:2]) or answer.holes[:2]
    x, y = job.table.at(at[0])
    a, b = ((x + dx, y + dy) for dx, dy in answer.plate.corners[:2])
    name = f"Cut plate {format_angle(answer.angle_deg)}"
    wanted = _wanted(job, options, (at[0], at[1]), [LocatingEdge(a, b)], 0, name)
    return designed(job, wanted)


def for_angle(
    job: Job,
    wanted: WantedLine,
    limits: AngleLimits,
    options: PlateOptions,
    progress: Progress = SILENT,
) -> PlateDesign:
    """Design the plate that makes an angle anywhere on the table where nothing is in its way.

    Of the limits, the kinds of answer and the class are left aside: it is to be a plate.  Its pin
    holes are those of the options, or the two farthest apart with which it can lie: pairs
    nearer to each other are tried as long as something is in the way of all that are farther
    apart.  If it can lie nowhere it is that of the first pair.  Raises ValueError with a sentence
    if there is no pair; AngleFault as the angle finder does; Cancelled.
    """
    limits = structs.replace(limits, ways=("plate",), angle_class=None, top=1)
    placed = PlacedPieces().of(job)
    first: PlateDesign | None = None
    why = ""
    longest, shortest = limits.base_to, max(limits.base_from, SHORTEST)
    while longest >= shortest:
        progress.check()
        found = answers_on(job, placed, wanted, structs.replace(limits, base_to=longest))
        longest = _NEARER * min(longest, LONGEST)
        why = why or found.why_fouled
        plates = (one for one in (*found.ranked, *found.nearest) if one.plate is not None)
        answer = next(plates, None)
        if answer is None:
            continue
        design = for_answer(job, answer, options, options.holes or ())
        if options.holes is not None or not in_its_way(job, design):
            return design
        first = first or design
    if first is None:
        told = why or "there are no two free holes for it."
        raise ValueError(f"No plate at this angle fits on the table: {told}")
    return first


def for_face(
    job: Job, of: FaceOf, options: PlateOptions, progress: Progress = SILENT
) -> PlateDesign:
    """Design the plate for the face of a part where it lies.

    Its pin holes are those of the options, or the two farthest apart with which nothing is in its
    way.  Raises ValueError with a sentence if there is none; Cancelled.
    """
    beads = [
        end
        for joint in joints(job.parts)
        if of.part in (joint.a, joint.b) and joint.seam
        for end in (joint.seam[0], joint.seam[-1])
    ]
    if options.holes is not None:
        edges, main, name = edges_for(job, of, options.around)
        return designed(job, _wanted(job, options, options.holes, edges, main, name, beads))
    if options.upright:
        require_rise(Uprights(options.upright, options.thickness), options.thickness)
    low = _low_things(job, options.thickness)
    why = ""
    for shorter in _SHORTER:
        tried = 0
        edges, main, name = edges_for(job, of, options.around, shorter)
        for looked, holes in enumerate(_pairs(job, edges[main], options)):
            if looked % 16 == 0:
                progress.report(tried, MOST_TRIED, "Trying pin holes")
            if tried == MOST_TRIED or looked == MOST_LOOKED:
                break
            wanted = _wanted(job, options, holes, edges, main, name, beads)
            try:
                design = designed(job, wanted, low)
            except ValueError as fault:
                why = why or str(fault)
                continue
            tried += 1
            reason = in_its_way(job, design)
            if not reason:
                return design
            why = why or reason
    raise ValueError(
        why
        or "There are no two free holes within three pitches of this face; move the weldment, or"
        " choose the holes."
    )


def _low_things(job: Job, thickness: float) -> shapely.geometry.base.BaseGeometry:
    """The plans of what lies as low as a plate, a little shrunk: touching is allowed.

    Only to look at fewer plates; the conflict relation decides.
    """
    rings = [part_ring(part) for part in job.parts if part.z_low < thickness]
    for placed in PlacedPieces().of(job).values():
        rings += [s.points for s in placed.solids if s.z_low < thickness and s.role != "handle"]
    plans = [shapely.Polygon(ring).buffer(-1.0) for ring in rings]
    return shapely.union_all([plan for plan in plans if plan.is_valid])


def edges_for(
    job: Job, of: FaceOf, around: WrapKind, shorter: tuple[float, float] = (0.0, 0.0)
) -> tuple[list[LocatingEdge], int, str]:
    """Return the edges for a face of a part, in order round the plate, the index of the one that
    lies on that face, and the name of the plate.

    The edge is as long as the free stretch of the face, less these shares of it at its two ends.
    """
    every = {face.of: face for face in faces(job.parts)}
    face = every.get(of)
    if face is None:
        raise ValueError("This side of the part is not straight; choose another one.")
    name = f"Cut plate for {title(job, of.part)}"
    keep = KEEP_OFF[job.display.unit == "millimetres"]
    room = max(face.room(keep), key=lambda r: round(r[1] - r[0], 3), default=(0.0, 0.0))
    if room[1] - room[0] < SHORTEST:
        raise ValueError(
            "Its joints leave too little of this face for a plate to hold; choose another face."
        )
    free = room[1] - room[0]
    low, high = _along(face, room[0] + shorter[0] * free), _along(face, room[1] - shorter[1] * free)
    if around == "face":
        return [LocatingEdge(high, low)], 0, name
    part = next(part for part in job.parts if part.id == of.part)
    sides = len(part_ring(part))
    before, after = (every.get(FaceOf(of.part, (of.side + step) % sides)) for step in (-1, 1))
    if before is not None and before.clear:
        first = [LocatingEdge(high, face.a), LocatingEdge(before.b, before.a)]
        far = every.get(FaceOf(of.part, (of.side - 2) % sides))
        if around == "face and end":
            return first, 0, name
        return [*first, _other(face, far, before.a, high, forward=True)], 0, name
    if after is not None and after.clear:
        last = [LocatingEdge(after.b, after.a), LocatingEdge(face.b, low)]
        far = every.get(FaceOf(of.part, (of.side + 2) % sides))
        if around == "face and end":
            return last, 1, name
        return [_other(face, far, after.b, low, forward=False), *last], 2, name
    raise ValueError("Both ends of this member are joined to others; choose its face alone.")


def _along(face: WorkFace, at: float) -> Point:
    share = at / face.length
    return (
        face.a[0] + (face.b[0] - face.a[0]) * share,
        face.a[1] + (face.b[1] - face.a[1]) * share,
    )


def _other(
    face: WorkFace, far: WorkFace | None, corner: Point, to: Point, forward: bool
) -> LocatingEdge:
    """The edge on the other side of the member, as far along as the first one, and with room."""
    if far is None or far.normal[0] * face.normal[0] + far.normal[1] * face.normal[1] > -0.999:
        raise ValueError("The opposite side of this part is not parallel; choose its face and end.")
    ux, uy = (far.b[0] - far.a[0]) / far.length, (far.b[1] - far.a[1]) / far.length
    run = (to[0] - corner[0]) * ux + (to[1] - corner[1]) * uy
    end = (corner[0] + ux * run, corner[1] + uy * run)
    width = abs((corner[0] - face.a[0]) * face.normal[0] + (corner[1] - face.a[1]) * face.normal[1])
    room = max(_SLACK, _SLACK_SHARE * width)
    return LocatingEdge(corner, end, room) if forward else LocatingEdge(end, corner, room)


def _pairs(job: Job, edge: LocatingEdge, options: PlateOptions) -> Iterator[tuple[Hole, Hole]]:
    """Free pairs of holes beside an edge: farthest apart first, then nearest to the edge."""
    table = job.table
    pin = pin_for(job)
    diameter = table.hole_diameter if pin is None else pin.pin_diameter
    least = 1.5 * diameter if options.margin is None else options.margin
    pitch = max(table.pitch_x, table.pitch_y)
    (ax, ay), (ux, uy) = edge.a, edge.along
    long = math.dist(edge.a, edge.b)
    closed = {hole for hole, mark in mark_index(table).items() if mark.closed}
    out = taken_holes(job) | closed
    able: list[tuple[Hole, Point, float]] = []
    for hole in _holes_near(table, edge, (DEEPEST + 1.0) * pitch):
        x, y = table.at(hole)
        along, aside = (x - ax) * ux + (y - ay) * uy, (x - ax) * -uy + (y - ay) * ux
        beside = -pitch <= along <= long + pitch and least <= aside <= DEEPEST * pitch
        if beside and hole not in out:
            able.append((hole, (x, y), aside))
    pairs = [
        (-round(base, 3), max(p[2], q[2]), p[0], q[0])
        for k, p in enumerate(able)
        for q in able[k + 1 :]
        if SHORTEST <= (base := math.dist(p[1], q[1])) <= LONGEST
    ]
    pairs.sort(key=lambda one: (one[0], round(one[1], 3), one[2], one[3]))
    for _, _, a, b in pairs:
        yield a, b


def _holes_near(table: Table, edge: LocatingEdge, far: float) -> Iterator[Hole]:
    """The holes in the box round an edge, `far` mm beyond it."""
    x1, y1, x2, y2 = bounds((edge.a, edge.b))
    low, high = table.nearest(x1 - far, y1 - far), table.nearest(x2 + far, y2 + far)
    for row in range(low.row, high.row + 1):
        for col in range(low.col, high.col + 1):
            yield Hole(col, row)
