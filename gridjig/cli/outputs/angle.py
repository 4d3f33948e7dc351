"""What `gridjig angle --json` prints."""

from msgspec import field

from gridjig.geometry.part_solids import PartFace
from gridjig.model import FaceOf, Table
from gridjig.model.labels import address
from gridjig.rack import Rack
from gridjig.sheets.text.angle_coverage_text import missing_words, set_words, statement_words
from gridjig.sheets.text.angle_text import measured_words
from gridjig.solve.angles.answers import (
    AngleAnswer,
    AngleResult,
    AngleWay,
    AnswerPiece,
    Chord,
    CutPlate,
)
from gridjig.solve.tolerance import AngleClass

from .base import Output, Pair


class WantedAngle(Output, frozen=True):
    """The wanted line as the table sees it, and what the two usual mistakes would give."""

    text: str
    angle_deg: float
    complement_deg: float
    mirror_deg: float


class AngleSearch(Output, frozen=True):
    """What the search covers."""

    hole_pairs: int
    steps: int
    answers: int


class TakenPieceOutput(Output, frozen=True):
    """A piece of the rack and how many of it; `left` is how many hang there."""

    piece: str
    count: int
    left: int


class StandingPiece(Output, frozen=True):
    """How one piece of an answer stands: its holes, and the shims before its face."""

    piece: str
    holes: tuple[str, ...]
    flipped: bool
    packing: tuple[str, ...]


class MeasuredChord(Output, frozen=True):
    """A length that shows the angle, between two points that far from the corner."""

    radius_mm: float
    angle_deg: float
    length_mm: float


class CutPlateShape(Output, frozen=True):
    """A plate to be cut, from the centre of its first pin hole, across and up."""

    holes_mm: tuple[Pair, ...]
    hole_diameter_mm: float
    corners_mm: tuple[Pair, ...]


class AngleAnswerOutput(Output, frozen=True):
    """One way to make the angle.  `steps` lead from the first hole to the second, across and up.

    Of a face: `gap_mm` is what is to be packed before it, the most of its pieces, and `open_mm`
    what then stays open at each.  `fouled` says whether something is in the way wherever it could
    stand; without a job nobody has looked.
    """

    way: AngleWay
    holes: tuple[str, ...]
    steps: tuple[int, int]
    angle_deg: float
    error_arcmin: float
    error_mm: float
    setting_arcmin: float
    setting_mm: float
    play_arcmin: float
    play_mm: float
    base_mm: float
    line_mm: tuple[float, ...]
    shims_mm: Pair
    pieces: tuple[TakenPieceOutput, ...]
    standing: tuple[StandingPiece, ...]
    on_rack: bool
    verdict: AngleClass | None
    verdict_with_play: AngleClass | None
    places: int
    multiples: tuple[tuple[int, int], ...]
    chord: MeasuredChord | None
    plate: CutPlateShape | None
    note: str
    gap_mm: float | None
    open_mm: tuple[float, ...]
    fouled: bool | None


class HeldFace(Output, frozen=True):
    """The face of the weldment that is held, from end to end with the steel on its left."""

    part: str
    face: str
    ends_mm: tuple[Pair, Pair]


class AngleOutput(Output, frozen=True):
    """The answers, best first, the nearest by each way, and the cut plate where nothing will do.

    `left_out` is how many that would rank among them something is in the way of, and
    `why_left_out` the first reason.
    """

    wanted: WantedAngle
    table: str
    rack: str
    leg_mm: float
    angle_class: AngleClass | None = field(name="class")
    looked_at: AngleSearch
    statement: str
    within: bool | None
    notes: tuple[str, ...]
    answers: tuple[AngleAnswerOutput, ...]
    nearest: tuple[AngleAnswerOutput, ...]
    offer: AngleAnswerOutput | None
    face: HeldFace | None
    left_out: int
    why_left_out: str


def angle_output(
    table: Table, rack: Rack, found: AngleResult, held: FaceOf | None = None
) -> AngleOutput:
    """The answers as they are printed; `held` is the face that was asked for."""
    wanted, limits, looked_at = found.wanted, found.limits, found.looked_at
    return AngleOutput(
        wanted=WantedAngle(
            measured_words(wanted),
            _number(wanted.angle_deg, 6),
            _number(wanted.complement, 6),
            _number(wanted.mirror, 6),
        ),
        table=table.name,
        rack=rack.name,
        leg_mm=_number(limits.leg, 3),
        angle_class=limits.angle_class,
        looked_at=AngleSearch(looked_at.hole_pairs, looked_at.steps, looked_at.answers),
        statement=statement_words(found),
        within=found.within,
        notes=tuple(map(missing_words, found.notes)),
        answers=tuple(angle_answer(table, a) for a in found.ranked),
        nearest=tuple(angle_answer(table, a) for a in found.nearest),
        offer=None if found.offer is None else angle_answer(table, found.offer),
        face=_held(found, held),
        left_out=found.fouled,
        why_left_out=found.why_fouled,
    )


def _held(found: AngleResult, held: FaceOf | None) -> HeldFace | None:
    along = found.limits.along
    if held is None or along is None:
        return None
    ends = (_pair(along.a, 3), _pair(along.b, 3))
    return HeldFace(held.part, PartFace("side", held.side).label, ends)


def angle_answer(table: Table, answer: AngleAnswer) -> AngleAnswerOutput:
    """One answer as it is printed."""
    return AngleAnswerOutput(
        way=answer.way,
        holes=tuple(address(table, hole) for hole in answer.holes),
        steps=answer.steps,
        angle_deg=_number(answer.angle_deg, 6),
        error_arcmin=_number(answer.error_arcmin, 3),
        error_mm=_number(answer.error_mm, 3),
        setting_arcmin=_number(answer.setting_arcmin, 3),
        setting_mm=_number(answer.setting_mm, 3),
        play_arcmin=_number(answer.play_arcmin, 3),
        play_mm=_number(answer.play_mm, 3),
        base_mm=_number(answer.base_mm, 3),
        line_mm=tuple(_number(v, 3) for v in answer.line_mm),
        shims_mm=_pair(answer.shims_mm, 4),
        pieces=tuple(TakenPieceOutput(t.piece, t.count, t.left) for t in answer.takes),
        standing=tuple(_standing(table, answer, how) for how in answer.standing),
        on_rack=answer.on_rack,
        verdict=answer.verdict.finest,
        verdict_with_play=answer.verdict.with_play,
        places=answer.places,
        multiples=answer.multiples,
        chord=None if answer.chord is None else _chord(answer.chord),
        plate=None if answer.plate is None else _plate(answer.plate),
        note=set_words(answer),
        gap_mm=None if answer.gap_mm is None else _number(answer.gap_mm, 3),
        open_mm=tuple(_number(v, 3) for v in answer.open_mm),
        fouled=answer.fouled,
    )


def _standing(table: Table, answer: AngleAnswer, how: AnswerPiece) -> StandingPiece:
    holes = tuple(address(table, answer.holes[i]) for _, i in how.seats)
    return StandingPiece(how.piece, holes, how.flipped, how.packing)


def _chord(chord: Chord) -> MeasuredChord:
    return MeasuredChord(
        _number(chord.radius, 3), _number(chord.angle, 6), _number(chord.length, 3)
    )


def _plate(plate: CutPlate) -> CutPlateShape:
    return CutPlateShape(
        holes_mm=tuple(_pair(at, 3) for at in plate.holes),
        hole_diameter_mm=_number(plate.hole_diameter, 3),
        corners_mm=tuple(_pair(at, 3) for at in plate.corners),
    )


def _pair(at: Pair, digits: int) -> Pair:
    return (_number(at[0], digits), _number(at[1], digits))


def _number(value: float, digits: int) -> float:
    return round(value, digits) + 0.0
