"""Moving the weldment so that one face, or two at once, touch a pair of pins without packing.

Pure functions from a job to moves, each with its cost at the datum faces.  The one conflict
relation decides what clashes.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import islice

import numpy as np
from msgspec import Struct, structs

from gridjig.checks.conflicts import clashes
from gridjig.contact.moving import shift_to_touch
from gridjig.contact.shapes import placed_part
from gridjig.contact.values import TOUCH
from gridjig.contact.weldment import part_overlaps
from gridjig.edits.selection import shift_parts
from gridjig.geometry.part_outline import part_ring
from gridjig.model import FaceOf, Job, Part
from gridjig.model.by_weldment import parts_of, several
from gridjig.model.titles import thing_of
from gridjig.rack import Point
from gridjig.solve.angles.answers import AngleAnswer, AngleLimits
from gridjig.solve.angles.faults import AngleFault
from gridjig.solve.angles.finder import faced
from gridjig.solve.angles.hole_field import beside_by, holes_within
from gridjig.solve.angles.pins import alike, each_alike
from gridjig.solve.angles.task import AngleTask
from gridjig.solve.layout.faults import LayoutFault
from gridjig.solve.layout.remainders import grid_along, left_before, the_stop
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.weldment.datum import DatumFaces, datum_faces
from gridjig.solve.weldment.faces import WorkFace, faces

from .places import with_answer
from .question import hold_face
from .standing import answers_on

FIRST = 12
"""How many shifts are tried for each face or pair of faces, cheapest first."""
SIZES = 20
"""How many sizes of pins are tried, in the order of the rack: 1 ms each; no shop has more."""


class DatumCost(Struct, frozen=True):
    """The gap in front of a datum face that a stop leaves, before and after a move; mm."""

    name: str
    before: float
    after: float


class WeldmentMove(Struct, frozen=True):
    """A move of the whole weldment, mm, after which these faces touch their pins unpacked.

    `answers` are the pins that then stand there, one pair for each of `faces`.
    """

    dx: float
    dy: float
    faces: tuple[FaceOf, ...]
    answers: tuple[AngleAnswer, ...]
    costs: tuple[DatumCost, ...]

    @property
    def length(self) -> float:
        """The length of the move, mm."""
        return math.hypot(self.dx, self.dy)


def moves_to_touch(job: Job, of: FaceOf, limits: AngleLimits) -> tuple[WeldmentMove, ...]:
    """Return the move that brings a face to a pair of equal pins, and for every other sloping face
    the one that brings both to their pins; best first by their cost at the datum faces.

    Only pairs of holes count in which equal pins touch the whole face, level with it.  Pieces
    stay in their holes; a move after which one would overlap the weldment is left out.
    """
    sides = {face.of: face for face in faces(_together(job, of))}
    first = sides.get(of)
    if first is None:
        return ()
    made = []
    gaps = _gaps(job, of, limits)
    alone = ((s, (of,)) for gap in gaps for s in _shifts_of_one(job, first, gap))
    made.append(_best(job, list(alone), limits))
    for other in sides.values():
        if other.axis is None and other.of.part != of.part and _apart(first, other):
            both = (
                (s, (of, other.of))
                for gap in gaps
                for gap_2 in _gaps(job, other.of, limits)
                if (s := shift_to_touch((first.normal, other.normal), (gap, gap_2))) is not None
            )
            made.append(_best(job, list(both), limits))
    return tuple(one for one in made if one is not None)


def has_its_angle(job: Job, of: FaceOf, limits: AngleLimits) -> bool:
    """True if two holes near a face lie at its angle, so that only what is in the way forbids a
    move to equal pins in them.
    """
    return bool(_gaps(job, of, limits))


def with_move(job: Job, move: WeldmentMove) -> tuple[Job, frozenset[str]]:
    """Return the job with the weldment moved and the pins set, and the ids of the pins."""
    together = {part.id for part in _together(job, move.faces[0])}
    after = shift_parts(job, together, move.dx, move.dy)
    came: frozenset[str] = frozenset()
    for answer in move.answers:
        after, ids = with_answer(after, answer, answer.holes)
        came |= ids
    return after, came


def _together(job: Job, of: FaceOf) -> tuple[Part, ...]:
    """The parts of the weldment that a face belongs to, which move together."""
    part = thing_of(job, of.part)
    return parts_of(job, part.weldment) if isinstance(part, Part) else ()


def _apart(one: WorkFace, other: WorkFace) -> bool:
    """True if two faces are not parallel."""
    return abs(one.normal[0] * other.normal[1] - one.normal[1] * other.normal[0]) > 1e-3


def _gaps(job: Job, of: FaceOf, limits: AngleLimits) -> list[float]:
    """The gaps to the face of equal pins in pairs of holes with its angle, mm: for each size of
    pins the nearest on each side of touching.  Negative if the weldment has to back off.
    """
    try:
        question = hold_face(job, of, limits)
    except AngleFault:
        return []
    asked = question.limits_on(job)
    along = asked.along
    assert along is not None
    pitch = max(job.table.pitch_x, job.table.pitch_y)
    wide = structs.replace(along, least=-pitch)
    wanted = question.wanted(job.display.unit)
    field = holes_within(job.table, structs.replace(asked, along=wide))
    task = AngleTask(
        table=job.table,
        rack=job.rack,
        angle=wanted.angle_deg,
        limits=faced(asked, wanted),
        field=field,
        used=dict(asked.used),
        pieces={piece.id: piece for piece in job.rack.pieces},
    )
    first = alike(task)
    pairs = list(islice(each_alike(task), SIZES)) or ([first] if first else [])
    rows, cols = np.nonzero(field.usable)
    g = field.grid
    x, y = field.first[0] + cols * g.pitch_x, field.first[1] + rows * g.pitch_y
    far = beside_by(along, np.asarray(x), np.asarray(y))
    one, two = np.triu_indices(far.size, 1)
    base = np.hypot(x[one] - x[two], y[one] - y[two])
    level = (np.abs(far[one] - far[two]) <= TOUCH) & (base >= asked.base_from)
    found: dict[float, None] = {}
    for pair in pairs:
        radius = pair.first.radius
        apart = level & (base > 2.0 * radius)
        both = np.unique(np.round((far[one] + far[two])[apart] / 2.0 - radius, 3))
        ahead, behind = both[both >= 0.0], both[both < 0.0]
        found.update({float(v): None for v in (*ahead[:2], *behind[::-1][:2])})
    return list(found)


def _shifts_of_one(job: Job, face: WorkFace, gap: float) -> Iterator[Point]:
    """Yield shifts that close the gap at one face: the shortest, and one along each datum face."""
    nx, ny = face.normal
    shortest = shift_to_touch((face.normal,), (gap,))
    if shortest is not None:
        yield shortest
    datum = _datum(job, face.of)
    for other in (datum.long, datum.end):
        if other is not None:
            ux, uy = -other.normal[1], other.normal[0]  # along it, so that its gap stays the same
            speed = nx * ux + ny * uy
            if abs(speed) > 1e-3:
                yield (gap / speed * ux, gap / speed * uy)


def _best(
    job: Job, shifts: Sequence[tuple[Point, tuple[FaceOf, ...]]], limits: AngleLimits
) -> WeldmentMove | None:
    """The cheapest of some shifts after which the pins can stand."""
    priced = sorted(
        ((_price(job, shift, of[0]), math.hypot(*shift), shift, of) for shift, of in shifts),
        key=lambda one: (round(one[0], 2), round(one[1], 3)),
    )
    for _, _, shift, of in priced[:FIRST]:
        found = _moved(job, shift, of, limits)
        if found is not None:
            return found
    return None


def _datum(job: Job, of: FaceOf) -> DatumFaces:
    """The datum faces of the weldment that a face belongs to."""
    return datum_faces(job, _together(job, of)[0].weldment)


def _price(job: Job, shift: Point, of: FaceOf) -> float:
    """How much more packing a shift needs at the datum faces than now, mm."""
    return sum(max(cost.after - cost.before, 0.0) for cost in _costs(job, shift, of))


def _costs(job: Job, shift: Point, of: FaceOf) -> tuple[DatumCost, ...]:
    """The gap in front of each datum face that a stop leaves, before and after a shift.

    The datum faces are those of the weldment that `of` belongs to.
    """
    try:
        stop = the_stop(job.rack)
    except LayoutFault:
        return ()
    datum = _datum(job, of)
    found = []
    for name, face in (("A", datum.long), ("B", datum.end)):
        if face is not None and face.axis is not None:
            first, pitch = grid_along(job.table, face.axis)
            by = shift[0] if face.axis == "x" else shift[1]
            now, then = (
                left_before(at, face.sign, stop.face, first, pitch)
                for at in (face.at, face.at + by)
            )
            found.append(DatumCost(name, now, then))
    return tuple(found)


def _moved(
    job: Job, shift: Point, of: tuple[FaceOf, ...], limits: AngleLimits
) -> WeldmentMove | None:
    """The move with the pins that touch each face after it; None if some cannot stand."""
    after = shift_parts(job, {part.id for part in _together(job, of[0])}, *shift)
    if not _fouled(after) <= _fouled(job) or not _on_table(after):
        return None
    answers: list[AngleAnswer] = []
    with_pins = after
    for face in of:
        found = _touching(with_pins, face, limits)
        if found is None:
            return None
        answers.append(found)
        with_pins, _ = with_answer(with_pins, found, found.holes)
    return WeldmentMove(shift[0], shift[1], of, tuple(answers), _costs(job, shift, of[0]))


def _touching(job: Job, of: FaceOf, limits: AngleLimits) -> AngleAnswer | None:
    """The equal pins farthest apart that touch a face without packing and can stand."""
    try:
        only = structs.replace(limits, ways=("pins",), top=60, shims_at_most=0)
        question = hold_face(job, of, only)
        asked = question.limits_on(job)
        found = answers_on(job, PlacedPieces().of(job), question.wanted(job.display.unit), asked)
    except AngleFault:
        return None
    touch = [a for a in found.ranked if a.gap_mm is not None and a.gap_mm <= TOUCH]
    return max(touch, key=lambda a: round(a.base_mm, 3), default=None)


def _fouled(job: Job) -> frozenset[tuple[str, str]]:
    """The pairs of things that clash."""
    outlines = [placed_part(part) for part in job.parts]
    found = clashes(PlacedPieces().of(job).values(), outlines)
    lapped = part_overlaps(job.parts) if several(job) else ()
    return frozenset([*((one.a, one.b) for one in found), *((one.a, one.b) for one in lapped)])


def _on_table(job: Job) -> bool:
    """True if the whole weldment lies on the table."""
    points = [p for part in job.parts for p in part_ring(part)]
    return all(0.0 <= x <= job.table.width and 0.0 <= y <= job.table.depth for x, y in points)
