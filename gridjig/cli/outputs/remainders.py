"""What `gridjig remainders --json` prints; lengths in mm."""

from collections.abc import Sequence
from typing import NamedTuple

from msgspec import field

from gridjig.checks.stop_places import StopSearch, StopSetting
from gridjig.edits.members import direction
from gridjig.model import Hole, Job
from gridjig.model.accuracy import LinearClass
from gridjig.model.labels import address
from gridjig.model.titles import weldment_title
from gridjig.sheets.text.layout_text import LOOKS, Looks
from gridjig.sheets.text.places_text import put_words, tried_words
from gridjig.solve.layout.places import WeldmentPlace, WeldmentPlaces
from gridjig.solve.layout.remainders import PackingVerdict, Remainder, Remainders
from gridjig.solve.weldment.faces import WorkFace
from gridjig.units import Display

from .base import Output, Pair


class FaceOfPart(Output, frozen=True):
    """A face of a part: the number of the corner where its side begins, and its direction."""

    part: str
    side: int
    angle_deg: float


class DatumOutput(Output, frozen=True):
    """The long and the end datum face; null where none suits."""

    long: FaceOfPart | None
    end: FaceOfPart | None


class PackingPiece(Output, frozen=True):
    """One kind of shim of the rack, and how many of it."""

    piece: str
    count: int


class StopToSet(Output, frozen=True):
    """A stop that touches a line of faces with nothing in its way: how it is set, lengths in mm.

    `gap` is what stays open in front of it; `packing` are the ids of its shims.
    """

    piece: str
    holes: tuple[str, ...]
    turn_deg: float
    slide: float
    packing: tuple[str, ...]
    gap: float


class FaceRemainder(Output, frozen=True):
    """What a stop leaves before a line of faces, what packs it, and whether it has to be packed.

    `holes` are those of the hole line in which the stop can really stand now.  `set` is the stop
    that can be set there, which may be another one; if it is null, `why` says why none can.
    """

    face: FaceOfPart
    looks: Looks
    at: float
    parts: tuple[str, ...]
    critical: bool
    outer: bool
    dimension: float | None
    opposed: bool
    hole_line: int
    left: float
    packing: tuple[PackingPiece, ...]
    residual: float
    adjustable: str | None
    drawn: float
    face_from_hole: float
    allowed: float
    verdict: PackingVerdict
    holes: tuple[str, ...]
    touching: int
    set: StopToSet | None
    why: str


class WeldmentPlaceOutput(Output, frozen=True):
    """A place of the weldment from where it lies now, and how many lines it leaves to pack."""

    flipped: bool
    turn_deg: float
    about: Pair
    move: Pair
    packed: int
    critical_off: int
    off: int
    pieces: int
    blocked: int
    over: float
    left: tuple[float, ...]
    why: str


class WhereOutput(Output, frozen=True):
    """How the weldment does now, and the places found, best first."""

    statement: str
    shifts: int
    now: WeldmentPlaceOutput
    found: tuple[WeldmentPlaceOutput, ...]


class WeldmentRemainders(Output, frozen=True):
    """What the grid leaves before each face of one weldment, measured from its own datum.

    `where` is null where no places were asked for.
    """

    weldment: str
    name: str
    datum: DatumOutput
    faces: tuple[FaceRemainder, ...]
    slanting: tuple[FaceOfPart, ...]
    where: WhereOutput | None


class RemaindersOutput(Output, frozen=True):
    """What the grid leaves before each face, weldment by weldment."""

    job: str
    stop: str
    linear_class: LinearClass = field(name="class")
    weldments: tuple[WeldmentRemainders, ...]


class FoundRemainders(NamedTuple):
    """A job with one weldment, its remainders, and its places if they were asked for.

    `searches` and `holes` are, for each remainder, the stop that can be set and the front holes
    where the chosen one can; None for the holes of those whose stops were not looked for.
    """

    job: Job
    found: Remainders
    searches: Sequence[StopSearch]
    holes: Sequence[Sequence[Hole] | None]
    places: WeldmentPlaces | None


def remainders_output(job: Job, every: Sequence[FoundRemainders]) -> RemaindersOutput:
    """The remainders and the places as they are printed.  Raises IndexError if there are none."""
    first = every[0].found
    return RemaindersOutput(
        job=job.name,
        stop=first.stop.piece,
        linear_class=first.linear_class,
        weldments=tuple(_of_weldment(*one) for one in every),
    )


def _of_weldment(
    job: Job,
    found: Remainders,
    searches: Sequence[StopSearch],
    holes: Sequence[Sequence[Hole] | None],
    places: WeldmentPlaces | None,
) -> WeldmentRemainders:
    long, end = found.datum.long, found.datum.end
    (one,) = job.weldments
    return WeldmentRemainders(
        weldment=one.id,
        name=weldment_title(job, one.id),
        datum=DatumOutput(
            None if long is None else _face(long), None if end is None else _face(end)
        ),
        faces=tuple(
            _remainder(job, one, search, stands)
            for one, search, stands in zip(found.found, searches, holes, strict=True)
        ),
        slanting=tuple(_face(face) for face in found.slanting),
        where=None if places is None else _where(places, job.display),
    )


def _face(face: WorkFace) -> FaceOfPart:
    return FaceOfPart(face.of.part, face.of.side, _number(direction(face.a, face.b)))


def _remainder(
    job: Job, one: Remainder, search: StopSearch, holes: Sequence[Hole] | None
) -> FaceRemainder:
    line = one.line
    return FaceRemainder(
        face=_face(line.first),
        looks=LOOKS[line.axis, line.sign],
        at=_number(line.at),
        parts=tuple(dict.fromkeys(face.of.part for face in line.faces)),
        critical=line.critical,
        outer=line.outer,
        dimension=None if one.dimension is None else _number(one.dimension),
        opposed=one.opposed,
        hole_line=one.hole_line,
        left=_number(one.left),
        packing=tuple(PackingPiece(piece, many) for piece, many in one.packing.pieces),
        residual=_number(one.packing.residual),
        adjustable=one.adjustable,
        drawn=_number(one.drawn),
        face_from_hole=_number(one.face_from_hole),
        allowed=_number(one.allowed),
        verdict=one.verdict,
        holes=tuple(address(job.table, hole) for hole in holes or ()),
        touching=search.set_already,
        set=None if search.setting is None else _to_set(job, search.setting),
        why=search.why,
    )


def _to_set(job: Job, setting: StopSetting) -> StopToSet:
    placement = setting.placement
    return StopToSet(
        piece=placement.piece,
        holes=tuple(address(job.table, seat.hole) for seat in placement.seats),
        turn_deg=_number(placement.turn),
        slide=_number(placement.slide),
        packing=placement.packing,
        gap=_number(max(setting.touching.gap, 0.0)),
    )


def _where(places: WeldmentPlaces, display: Display) -> WhereOutput:
    return WhereOutput(
        statement=tried_words(places),
        shifts=places.shifts,
        now=_place(places.now, display),
        found=tuple(_place(put, display) for put in places.found),
    )


def _place(put: WeldmentPlace, display: Display) -> WeldmentPlaceOutput:
    return WeldmentPlaceOutput(
        flipped=put.flipped,
        turn_deg=_number(put.turn),
        about=(_number(put.about[0]), _number(put.about[1])),
        move=(_number(put.dx), _number(put.dy)),
        packed=put.packed,
        critical_off=put.critical_off,
        off=put.off,
        pieces=put.pieces,
        blocked=put.blocked,
        over=_number(put.over),
        left=tuple(_number(v) for v in put.left),
        why=put_words(put, display),
    )


def _number(value: float) -> float:
    return round(value, 4) + 0.0
