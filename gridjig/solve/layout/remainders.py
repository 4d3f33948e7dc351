"""The gap that the grid leaves between stop and face: the everyday arithmetic of packing.

A stop's face is at a fixed distance from its hole; the rest of the way to the work is packed,
or an adjustable stop is set out.  Rule: opposed stops e1 + e2 = (-(D + f1 + f2)) mod pitch, stops
on the same side e2 = (e1 + D) mod pitch (trade rule, plain arithmetic of a lattice).
"""

import math
from collections.abc import Iterable, Sequence
from typing import Literal

from msgspec import Struct

from gridjig.model import FaceOf, Hole, Job, Table
from gridjig.model.accuracy import LinearClass
from gridjig.rack import Rack
from gridjig.solve.grid.hole_faults import hole_fault
from gridjig.solve.packing.pack import NOTHING, Packing, pack_down
from gridjig.solve.packing.stops import Stop, holes_of, stops
from gridjig.solve.tolerance import linear_limit
from gridjig.solve.weldment.datum import DatumFaces, datum_faces
from gridjig.solve.weldment.faces import Axis, Stretch, WorkFace, faces
from gridjig.units.progress import looked_at

from .faults import LayoutFault, NotAStop

PackingVerdict = Literal["on the grid", "skip", "needed"]

EXACT = 0.005
"""A face is on the grid if the gap is at most this, mm."""

SHARE = 1.0 / 3.0
"""The share of a dimension's tolerance that the fixture may use.  Common practice, no source."""


def rest(value: float, pitch: float) -> float:
    """Return a length modulo the pitch, mm: at least 0, less than a pitch, 0 within rounding.

    Raise ValueError if the pitch is not greater than 0.
    """
    if not pitch > 0:
        raise ValueError("pitch not positive")
    left = value % pitch
    return 0.0 if min(left, pitch - left) < 1e-6 else left


def opposed(dimension: float, face_1: float, face_2: float, pitch: float) -> float:
    """Return the sum of the gaps of two opposed stops for a dimension, mm."""
    return rest(-(dimension + face_1 + face_2), pitch)


def same_side(dimension: float, first: float, pitch: float) -> float:
    """Return the gap of the second of two identical stops that face the same way, mm.

    `first` is the gap of the first; the second is the dimension further on, the way they face.
    """
    return rest(first + dimension, pitch)


class FaceLine(Struct, frozen=True, gc=False):
    """Faces of the work in one plane, facing one way along a table axis; mm.

    `critical` ones must lie on the grid; `outer`: one of them has nothing in front of it.
    """

    axis: Axis
    sign: int
    at: float
    faces: tuple[WorkFace, ...]
    critical: bool
    outer: bool

    @property
    def first(self) -> WorkFace:
        """The longest of its faces, which represents them all."""
        return max(self.faces, key=lambda face: round(face.length, 3))


class Remainder(Struct, frozen=True, gc=False):
    """The gap that a stop leaves in front of a line of faces, as the work lies now; mm.

    `hole_line` is the column (axis x) or row that its front hole stands in, `holes` the front
    holes there that can be used: on the table, open, before a free stretch of the face.  `left` is
    the gap to pack, or to set out an adjustable stop by: by `drawn` if the rack has one
    (`adjustable`), so that its face stands `face_from_hole` from its front hole.  `dimension` is
    taken from the datum face along that axis, opposed to it or on the same side; None for the datum
    face itself.  `allowed` is the share of that dimension's tolerance that may be used up.
    """

    line: FaceLine
    stop: Stop
    hole_line: int
    left: float
    short: float
    holes: tuple[Hole, ...]
    packing: Packing
    adjustable: str | None
    drawn: float
    face_from_hole: float
    dimension: float | None
    opposed: bool
    allowed: float
    verdict: PackingVerdict

    @property
    def packed_well(self) -> bool:
        """True if the gap that remains after packing is allowed."""
        return abs(self.packing.residual) <= max(self.allowed, EXACT)


class Remainders(Struct, frozen=True):
    """All remainders of a job; `slanting` are faces oblique to the grid, which need an angle.

    A mitred end that is joined along its whole length takes no stop, and is not among them.
    """

    stop: Stop
    datum: DatumFaces
    linear_class: LinearClass
    found: tuple[Remainder, ...]
    slanting: tuple[WorkFace, ...]


def lines(found: Sequence[WorkFace], critical: Iterable[FaceOf] = ()) -> tuple[FaceLine, ...]:
    """Return the faces that look along the grid, grouped by plane, in ascending order.

    A face that is joined along its whole length takes no stop and is left out.
    """
    chosen = frozenset(critical)
    groups: dict[tuple[Axis, int, int], list[WorkFace]] = {}
    along = sorted((f for f in looked_at(found, 500) if f.axis and f.free), key=lambda f: f.at)
    for face in looked_at(along, 500):
        axis = face.axis
        assert axis is not None
        key = (axis, face.sign, round(face.at / EXACT / 2.0))
        if key not in groups:  # not separated by rounding
            below = (axis, face.sign, key[2] - 1)
            key = below if below in groups else key
        groups.setdefault(key, []).append(face)
    made = [
        FaceLine(
            axis,
            sign,
            sum(f.at for f in group) / len(group),
            tuple(group),
            any(f.of in chosen for f in group),
            any(f.outer for f in group),
        )
        for (axis, sign, _), group in looked_at(list(groups.items()), 500)
    ]
    return tuple(sorted(made, key=lambda line: (line.axis, line.at, line.sign)))


def left_before(line_at: float, sign: int, face: float, first: float, pitch: float) -> float:
    """Return the gap that a stop leaves in front of a face at a position on the axis, mm.

    `sign` is the direction of the face, `face` the stop's distance from hole to face, `first` the
    position of the first hole.
    """
    return rest(sign * (first - line_at) - face, pitch)


def the_stop(rack: Rack, piece: str | None = None) -> Stop:
    """Return the rack's stop with that id; by default the first fixed stop that is owned.

    Raise LayoutFault if there is none.
    """
    known = stops(rack)
    if piece is not None:
        for stop in known:
            if stop.piece == piece:
                return stop
        raise LayoutFault(NotAStop(piece, rack.name))
    owned = [stop for stop in known if rack.piece(stop.piece).owned] or list(known)
    if not owned:
        raise LayoutFault(NotAStop("", rack.name))
    kinds = ("fixed stop", "adjustable stop", "pin")
    return min(owned, key=lambda stop: kinds.index(rack.piece(stop.piece).kind))


def remainders(
    job: Job, stop: Stop | None = None, linear_class: LinearClass = "B", share: float = SHARE
) -> Remainders:
    """Return the remainder of every line of faces of the weldment as it lies on the table.

    `share` of the tolerance may be used up without packing.  Each pack may use all shims of the
    rack, even if other packs need them; the pull list shows the shortage.  Raise LayoutFault
    if no stop is given and the rack has none.
    """
    chosen = stop or the_stop(job.rack)
    every = faces(job.parts)
    datum = datum_faces(job)
    drawers = [s for s in stops(job.rack) if s.slot > 0 and job.rack.piece(s.piece).owned]
    return Remainders(
        chosen,
        datum,
        linear_class,
        tuple(
            _remainder(job, chosen, drawers, line, datum, linear_class, share)
            for line in looked_at(lines(every, job.critical), 20)
        ),
        tuple(face for face in every if face.axis is None and face.free),
    )


def _remainder(
    job: Job,
    stop: Stop,
    drawers: Sequence[Stop],
    line: FaceLine,
    datum: DatumFaces,
    linear_class: LinearClass,
    share: float,
) -> Remainder:
    first, pitch = grid_along(job.table, line.axis)
    left = left_before(line.at, line.sign, stop.face, first, pitch)
    hole = line.at + line.sign * (stop.face + left)
    hole_line = round((hole - first) / pitch)
    origin = _datum_along(datum, line.axis)
    dimension = abs(line.at - origin.at) if origin is not None else None
    if dimension is not None and dimension <= EXACT:
        dimension = None
    limit = linear_limit(linear_class, dimension) if dimension is not None else None
    allowed = share * limit if limit is not None else 0.0
    short = left - pitch if left else 0.0
    nearest = min(left, -short)
    if nearest <= EXACT:
        verdict: PackingVerdict = "on the grid"
    else:
        verdict = "skip" if nearest <= allowed else "needed"
    adjustable, drawn, face = _drawn(drawers, line, first, pitch)
    return Remainder(
        line=line,
        stop=stop,
        hole_line=hole_line,
        left=left,
        short=short,
        holes=front_holes(job.table, stop, line, hole_line),
        packing=NOTHING if verdict == "on the grid" else pack_down(job.rack, left),
        adjustable=adjustable,
        drawn=drawn,
        face_from_hole=face,
        dimension=dimension,
        opposed=origin is not None and origin.sign != line.sign,
        allowed=allowed,
        verdict=verdict,
    )


def grid_along(table: Table, axis: Axis) -> tuple[float, float]:
    """Return the position of the first hole and the pitch along an axis, mm."""
    if axis == "x":
        return (table.first_x, table.pitch_x)
    return (table.first_y, table.pitch_y)


def _datum_along(datum: DatumFaces, axis: Axis) -> WorkFace | None:
    for face in (datum.long, datum.end):
        if face is not None and face.axis == axis:
            return face
    return None


def _drawn(
    drawers: Sequence[Stop], line: FaceLine, first: float, pitch: float
) -> tuple[str | None, float, float]:
    """The first adjustable stop that reaches the line, how far it is set out, and the distance of
    its face from its front hole then, mm.
    """
    for stop in drawers:
        left = left_before(line.at, line.sign, stop.face, first, pitch)
        if left <= stop.travel(pitch):
            return stop.piece, left, stop.face + left
    return None, 0.0, 0.0


def stretches(line: FaceLine, clear: float = 0.0) -> tuple[Stretch, ...]:
    """Return the stretches of a line of faces that are free of joints, along the other table axis.

    They keep `clear` mm from each joint.
    """
    k = 1 if line.axis == "x" else 0
    found = []
    for face in line.faces:
        way = 1.0 if face.b[k] > face.a[k] else -1.0
        found += [
            tuple(sorted((face.a[k] + way * low, face.a[k] + way * high)))
            for low, high in (face.room(clear) if clear else face.free)
        ]
    return tuple((low, high) for low, high in found)


def indices(low: float, high: float, first: float, pitch: float) -> range:
    """Return the hole indices along an axis from `low` to `high`, mm, even off the table."""
    return range(
        math.ceil((low - first) / pitch - 1e-6), math.floor((high - first) / pitch + 1e-6) + 1
    )


def front_holes(table: Table, stop: Stop, line: FaceLine, hole_line: int) -> tuple[Hole, ...]:
    """Return front holes in a column or row from which at least half of the stop's face bears."""
    first, pitch = grid_along(table, "y" if line.axis == "x" else "x")
    looks = (-line.sign, 0) if line.axis == "x" else (0, -line.sign)
    fronts = {
        Hole(hole_line, n) if line.axis == "x" else Hole(n, hole_line)
        for low, high in stretches(line)
        for n in indices(low, high, first, pitch)
    }
    return tuple(
        front
        for front in sorted(fronts)
        if all(hole_fault(table, hole) is None for hole in holes_of(table, stop, front, looks))
    )
