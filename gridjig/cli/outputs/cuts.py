"""What `gridjig cuts --json` prints."""

from typing import Literal

from gridjig.model import CutOut, Display, Drilled, EndCut, PlateHole, SectionKind, Slotted
from gridjig.rack import Point
from gridjig.sheets.lists.bar_list import BarList, BarPiece, SectionBars
from gridjig.sheets.lists.cut_list import CutLine, CutList, StockTotal, WeldmentTotal
from gridjig.sheets.lists.cut_plates import PlateLine
from gridjig.sheets.text.cut_text import cut_in_words

from .base import Output


class EndOutput(Output, frozen=True):
    """How one end is cut: in words, and each of its saw cuts.

    Angles are counted from square, positive with the long point on the left.  `past_mm` is how far
    beyond the nominal end a cut crosses the centre line.
    """

    words: str
    angles_deg: tuple[float, ...]
    past_mm: tuple[float, ...]


class CutMember(Output, frozen=True):
    """Members that are cut alike; `hand` is empty where one is its own opposite hand.

    `start` and `end` are those of the first of them.  `beyond_saw`: a cut is further from square
    than the shop's saw goes.
    """

    ids: tuple[str, ...]
    names: tuple[str, ...]
    section: str
    kind: SectionKind
    long_point_mm: float
    short_point_mm: float
    cuts: str
    start: EndOutput
    end: EndOutput
    beyond_saw: bool
    count: int
    hand: str
    mass_each_kg: float
    mass_kg: float


class CutHole(Output, frozen=True):
    """A hole of a plate: a circle of `size_mm` with its centre, a slot of that width with the
    centres of its ends, or an opening, whose size is 0, with its corners.

    Places are from the lower left corner of the box round the first of the plates, as drawn.
    """

    kind: Literal["hole", "slot", "opening"]
    size_mm: float
    points_mm: tuple[tuple[float, float], ...]


class CutPlateOutput(Output, frozen=True):
    """Plates that are cut alike, with the rectangle that they are cut from."""

    ids: tuple[str, ...]
    names: tuple[str, ...]
    length_mm: float
    width_mm: float
    thickness_mm: float
    shaped: bool
    holes: tuple[CutHole, ...]
    count: int
    mass_each_kg: float
    mass_kg: float


class CutStock(Output, frozen=True):
    """What one section adds up to: long points, without saw cuts."""

    section: str
    kind: SectionKind
    count: int
    length_mm: float
    mass_kg: float


class CutWeldment(Output, frozen=True):
    """A weldment of the list; `opposite_of` is the id of the one whose opposite hand it is."""

    id: str
    name: str
    opposite_of: str | None
    quantity: int
    parts: int
    mass_each_kg: float
    mass_kg: float


class BarPieceOutput(Output, frozen=True):
    """Equal pieces of one bar; `saw` is what the saw's scale reads at the start and at the end."""

    ids: tuple[str, ...]
    names: tuple[str, ...]
    count: int
    length_mm: float
    saw: tuple[str, str]


class BarOutput(Output, frozen=True):
    """Bars that are cut alike, and what is left of each."""

    count: int
    length_mm: float
    on_hand: bool
    pieces: tuple[BarPieceOutput, ...]
    offcut_mm: float


class SectionBarsOutput(Output, frozen=True):
    """The bars of one section.  At least `least_mm` has to be bought; `proven` if no more is.

    There is no bar for the pieces in `uncut`.
    """

    section: str
    kind: SectionKind
    bought_mm: float
    least_mm: float
    proven: bool
    bars: tuple[BarOutput, ...]
    uncut: tuple[BarPieceOutput, ...]


class BarsLeftOut(Output, frozen=True):
    """Bars on hand that are not used: they name no section, and several sections are cut."""

    count: int
    length_mm: float


class CutsOutput(Output, frozen=True):
    """The cut list of a job's weldment, and the bars that its members are cut from."""

    job: str
    count: int
    mass_kg: float
    saw_deg: float
    members: tuple[CutMember, ...]
    plates: tuple[CutPlateOutput, ...]
    stock: tuple[CutStock, ...]
    weldments: tuple[CutWeldment, ...]
    kerf_mm: float
    trim_mm: float
    bars: tuple[SectionBarsOutput, ...]
    not_used: tuple[BarsLeftOut, ...]


def cuts_output(cuts: CutList, bars: BarList) -> CutsOutput:
    """The lists as they are printed."""
    return CutsOutput(
        job=cuts.job,
        count=cuts.count,
        mass_kg=round(cuts.mass, 3),
        saw_deg=cuts.saw,
        members=tuple(_member(line, cuts.display) for line in cuts.bars),
        plates=tuple(_plate(line) for line in cuts.plates),
        stock=tuple(_stock(total) for total in cuts.totals),
        weldments=tuple(_weldment(one) for one in cuts.weldments),
        kerf_mm=round(bars.kerf, 3),
        trim_mm=round(bars.trim, 3),
        bars=tuple(_section(one) for one in bars.sections),
        not_used=tuple(
            BarsLeftOut(count=bar.have or 0, length_mm=round(bar.length, 3))
            for bar in bars.left_out
        ),
    )


def _section(one: SectionBars) -> SectionBarsOutput:
    return SectionBarsOutput(
        section=one.section,
        kind=one.kind,
        bought_mm=round(one.bought, 3),
        least_mm=round(one.bound, 3),
        proven=one.proven,
        bars=tuple(
            BarOutput(
                count=cut.count,
                length_mm=round(cut.length, 3),
                on_hand=cut.on_hand,
                pieces=tuple(map(_piece, cut.pieces)),
                offcut_mm=round(cut.offcut, 3),
            )
            for cut in one.cuts
        ),
        uncut=tuple(map(_piece, one.uncut)),
    )


def _piece(piece: BarPiece) -> BarPieceOutput:
    return BarPieceOutput(
        ids=piece.ids,
        names=piece.names,
        count=piece.count,
        length_mm=round(piece.length, 3),
        saw=(piece.start, piece.end),
    )


def _end(cut: EndCut, width: float, display: Display) -> EndOutput:
    return EndOutput(
        words=cut_in_words(cut, display, width),
        angles_deg=tuple(round(saw.angle, 4) for saw in cut.saws),
        past_mm=tuple(round(saw.past, 3) for saw in cut.saws),
    )


def _member(line: CutLine, display: Display) -> CutMember:
    return CutMember(
        ids=line.ids,
        names=line.names,
        section=line.section,
        kind=line.kind,
        long_point_mm=round(line.long_point, 3),
        short_point_mm=round(line.short_point, 3),
        cuts=line.cuts,
        start=_end(line.first.start, line.first.width, display),
        end=_end(line.first.end, line.first.width, display),
        beyond_saw=line.beyond_saw,
        count=line.count,
        hand=line.hand,
        mass_each_kg=round(line.each, 3),
        mass_kg=round(line.each * line.count, 3),
    )


def _plate(line: PlateLine) -> CutPlateOutput:
    return CutPlateOutput(
        ids=line.ids,
        names=line.names,
        length_mm=round(line.length, 3),
        width_mm=round(line.width, 3),
        thickness_mm=round(line.thickness, 3),
        shaped=line.shaped,
        holes=tuple(_hole(hole) for hole in line.holes),
        count=line.count,
        mass_each_kg=round(line.each, 3),
        mass_kg=round(line.each * line.count, 3),
    )


def _weldment(one: WeldmentTotal) -> CutWeldment:
    return CutWeldment(
        id=one.id,
        name=one.title,
        opposite_of=one.opposite_of,
        quantity=one.quantity,
        parts=one.parts,
        mass_each_kg=round(one.each, 3),
        mass_kg=round(one.each * one.quantity, 3),
    )


def _hole(hole: PlateHole) -> CutHole:
    match hole:
        case Drilled():
            return CutHole("hole", round(hole.diameter, 3), _points(hole.at))
        case Slotted():
            return CutHole("slot", round(hole.width, 3), _points(hole.a, hole.b))
        case CutOut():
            return CutHole("opening", 0.0, _points(*hole.corners))


def _points(*points: Point) -> tuple[Point, ...]:
    return tuple((round(x, 3), round(y, 3)) for x, y in points)


def _stock(total: StockTotal) -> CutStock:
    return CutStock(
        section=total.section,
        kind=total.kind,
        count=total.count,
        length_mm=round(total.length, 3),
        mass_kg=round(total.mass, 3),
    )
