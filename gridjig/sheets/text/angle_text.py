"""The angle finder's answers in words: list rows, what to measure, how sure it is.

Every number carries its unit and no more digits than can be trusted.  Knows no widget.
"""

import math
from collections.abc import Iterable, Sequence

from msgspec import Struct

from gridjig.angle.question import FaceRoom
from gridjig.checks.findings import Level
from gridjig.contact.values import TOUCH
from gridjig.model import Display, Hole, Table
from gridjig.model.labels import address
from gridjig.rack import Point, Rack
from gridjig.solve.angles.answers import AngleAnswer, AngleLimits, CutPlate
from gridjig.solve.angles.plate import HOLE_OVER_PIN
from gridjig.solve.angles.wanted import WantedLine
from gridjig.units import (
    format_angle,
    format_angle_error,
    format_angle_range,
    format_angle_tolerance,
    format_deviation,
    format_deviation_range,
    format_length,
    format_measure,
)
from gridjig.units.spelling import spelled

from .angle_coverage_text import set_words
from .angle_way_text import steps_words, way_words

SEEN_ARCMIN, EXACT_ARCMIN = 0.5, 5e-4
"""From where on it is said how finely a setting can be made; below which an error is none."""


class AnswerLine(Struct, frozen=True):
    """One answer as a list shows it."""

    head: str
    right: str
    under: str
    level: Level

    @property
    def spoken(self) -> str:
        """The whole line as one string."""
        return ", ".join((self.head, self.right, *self.under.split("\n")))


def answer_line(answer: AngleAnswer, table: Table, rack: Rack, limits: AngleLimits) -> AnswerLine:
    """Return an answer as a list shows it: holes, steps, way, error, play, class, pieces."""
    display = limits.display
    where, error, *facts, takes = facts_words(answer, table, rack, display)
    told = filter(None, (sizes_words(answer, table, rack), shims_words(answer, table, display)))
    return AnswerLine(
        head=holes_words(table, answer.holes),
        right=f"{verdict_words(answer)}   {format_angle(answer.angle_deg)}",
        under="\n".join((where, error, *facts, *told, takes)),
        level=level_of(answer, limits),
    )


def facts_words(
    answer: AngleAnswer, table: Table, rack: Rack, display: Display, holes: Sequence[Hole] = ()
) -> list[str]:
    """Return what is known of an answer wherever it is set: steps, way and base, error and play,
    the gap at a face, what to measure, what it takes from the rack.
    """
    base = format_length(answer.base_mm, display)
    return [
        f"{steps_words(answer.steps)} · {way_words(answer, rack)} · base {base}"
        f" · {_places(answer)}",
        f"{error_words(answer, display)} · {play_words(answer, display)}",
        *filter(
            None,
            (gap_words(answer, display), measure_words(answer, table, display, holes)),
        ),
        f"takes {takes_words(answer, rack)}{_turned(answer)}",
    ]


def gap_words(answer: AngleAnswer, display: Display) -> str:
    """Return how far the pieces are from a face, and what stays open; empty without a face."""
    if answer.gap_mm is None or answer.way == "plate":
        return ""
    left = [max(mm, 0.0) for mm in answer.open_mm]
    most = max(left, default=0.0)
    if answer.gap_mm <= TOUCH:
        one_end = f"touches at one end, gap {format_measure(most, display)} at the other"
        return "touches without packing" if most <= TOUCH else one_end
    off = f"{format_measure(answer.gap_mm, display)} off the face"
    if most <= TOUCH:
        return f"{off}, packed to touch"
    packed = "packed, " if any(answer.shims_mm) else ""
    return f"{off}, {packed}gap {format_measure(most, display)} left"


def _turned(answer: AngleAnswer) -> str:
    return "; turned over" if any(how.flipped for how in answer.standing) else ""


def _places(answer: AngleAnswer) -> str:
    if answer.fixed:
        return "here only"
    return "1 position" if answer.places == 1 else f"{answer.places} positions"


def level_of(answer: AngleAnswer, limits: AngleLimits) -> Level:
    """Return the level of an answer, for its symbol: it fits, needs care, or does not fit."""
    asked = limits.angle_class or "D"
    if not answer.verdict.meets(asked):
        return "stop"
    with_play = answer.verdict.with_play
    short = not answer.on_rack if answer.takes else answer.way == "pins"  # no pin fits
    if with_play is None or with_play > asked or short or not answer.reaches:
        return "look"
    return "fine"


def holes_words(table: Table, holes: Iterable[Hole]) -> str:
    """Return holes as painted: "H6 + U16"."""
    return " + ".join(address(table, hole) for hole in holes)


def error_words(answer: AngleAnswer, display: Display) -> str:
    """Return the error in arc-minutes, and in mm or inches at the end of the member."""
    setting = ""
    if answer.setting_arcmin >= SEEN_ARCMIN:
        at_end = format_deviation_range(answer.setting_mm, display)
        setting = f" (set to {format_angle_range(answer.setting_arcmin)}, {at_end})"
    if abs(answer.error_arcmin) < EXACT_ARCMIN:
        return f"exact{setting}"
    error = format_angle_error(answer.error_arcmin, "under ")
    return f"{error}, {format_deviation(answer.error_mm, display)} at end{setting}"


def play_words(answer: AngleAnswer, display: Display) -> str:
    """Return how far the pins let it move, as an angle and as a length."""
    turn = format_angle_tolerance(answer.play_arcmin, "under ")
    return f"play {turn}, {format_deviation_range(answer.play_mm, display)}"


def verdict_words(answer: AngleAnswer) -> str:
    """Return the finest class that it meets."""
    finest, with_play = answer.verdict.finest, answer.verdict.with_play
    if finest is None:
        return "outside class D"
    if finest == with_play:
        return f"class {finest}"
    return f"class {finest} ({with_play or 'outside D'} with play)"


def piece_name(rack: Rack, piece_id: str) -> str:
    """Return a piece's name and size as they stand in a sentence; the id if the rack lacks it."""
    piece = rack.find(piece_id)
    name = piece_id if piece is None else f"{piece.name} {piece.size}".strip()
    return f"{name[:1].lower()}{name[1:]}"


def takes_words(answer: AngleAnswer, rack: Rack) -> str:
    """Return what it takes from the rack, by name, and what the rack is short of."""
    if not answer.takes:
        return set_words(answer) or "nothing from the rack"
    parts = []
    for take in answer.takes:
        short = f" (rack has {take.left})" if take.left < take.count else ""
        parts.append(f"{take.count} × {piece_name(rack, take.piece)}{short}")
    end = "" if any(t.left < t.count for t in answer.takes) else "; on the rack"
    return ", ".join(parts) + end


def sizes_words(
    answer: AngleAnswer, table: Table, rack: Rack | None = None, holes: Sequence[Hole] = ()
) -> str:
    """Return which of two pins goes where, by its size on the rack or else by its id; empty if they
    are the same.
    """
    alike = len({how.piece for how in answer.standing}) < 2
    if answer.way not in ("two sizes", "astride") or alike:
        return ""
    parts = []
    for how in answer.standing:
        piece = rack.find(how.piece) if rack is not None else None
        at = (holes or answer.holes)[how.seats[0][1]]
        parts.append(f"{piece.size if piece and piece.size else how.piece} at {address(table, at)}")
    return f"pins: {', '.join(parts)}"


def shims_words(
    answer: AngleAnswer, table: Table, display: Display, holes: Sequence[Hole] = ()
) -> str:
    """Return the packing at each pin; empty if there is none."""
    if not any(answer.shims_mm):
        return ""
    if len(answer.standing) == 1:
        return f"packing: {format_measure(answer.shims_mm[0], display)} in front of its face"
    return f"shims: {', '.join(_at_holes(answer.shims_mm, answer, table, display, holes, 'at'))}"


def _at_holes(
    lengths: Iterable[float],
    answer: AngleAnswer,
    table: Table,
    display: Display,
    holes: Sequence[Hole],
    word: str,
) -> list[str]:
    """A length for each hole: ".188\" at W18", "none at A1"."""
    return [
        f"{format_measure(mm, display) if mm else 'none'} {word} {address(table, hole)}"
        for mm, hole in zip(lengths, holes or answer.holes, strict=False)
    ]


def measure_words(
    answer: AngleAnswer, table: Table, display: Display, holes: Sequence[Hole] = ()
) -> str:
    """Return what to measure when setting it: a chord, or where the edge of a plate lies."""
    if answer.chord is not None:
        return (
            f"chord {format_measure(answer.chord.length, display)} at"
            f" {format_length(answer.chord.radius, display)} from the pivot"
        )
    if answer.way == "plate":
        parts = _at_holes(answer.line_mm, answer, table, display, holes, "from")
        return f"cut edge {' and '.join(parts)}"
    return ""


def line_words(
    answer: AngleAnswer, table: Table, display: Display, holes: Sequence[Hole] = ()
) -> str:
    """Return where the line runs: its distance from the centre of each hole, as a check."""
    if not answer.line_mm or answer.way == "astride":
        return ""
    parts = _at_holes(answer.line_mm, answer, table, display, holes, "from")
    return f"The line passes {', '.join(parts)}."


def face_words(
    answer: AngleAnswer, table: Table, limits: AngleLimits, holes: Sequence[Hole] = ()
) -> str:
    """Return how each piece lies against a member's face where it is shown; empty without one."""
    at = holes or answer.holes
    left = answer.open_mm
    if limits.along is None or not left:
        return ""
    if max(map(abs, left)) < TOUCH:
        return "The line lies on the face."
    if len(left) == 1:
        return f"Gap left at the face: {format_measure(max(left[0], 0.0), limits.display)}."
    parts = [
        f"{format_measure(max(mm, 0.0), limits.display)} at {address(table, hole)}"
        for mm, hole in zip(left, at, strict=False)
    ]
    return f"Gap left at the face: {', '.join(parts)}."


def room_along_words(room: FaceRoom, display: Display) -> str:
    """Return where along a face pins may stand, from its left or front end, and the joints avoided:
    "3" to 21" from its left end, clear of 2 joints by 1"".
    """
    (ax, ay), (bx, by) = room.a, room.b
    level = abs(bx - ax) >= abs(by - ay)
    long = math.dist(room.a, room.b)
    if not room.joints:
        return f"all {format_length(long, display)} of it; there is no joint on it"
    stretches = room.stretches
    if (ax > bx) if level else (ay > by):
        stretches = tuple((long - high, long - low) for low, high in reversed(stretches))
    parts = [f"{format_length(a, display)} to {format_length(b, display)}" for a, b in stretches]
    joints = "1 joint" if room.joints == 1 else f"{room.joints} joints"
    return (
        f"{' and '.join(parts) or 'nothing'} from its {'left' if level else 'front'} end,"
        f" clear of {joints} by {format_length(room.clear, display)}"
    )


def note_words(answer: AngleAnswer, table: Table, display: Display) -> str:
    """Return the note for the piece on the table: how it is set."""
    if answer.chord is None:
        return ""
    measured = measure_words(answer, table, display)
    return f"Set to {format_angle(answer.angle_deg)}: {measured}; {set_words(answer, display)}."


# -- what was asked, and how complete the answers are --------------------------------------------


def measured_words(wanted: WantedLine) -> str:
    """Return the wanted angle from its origin, and how it follows from the typed one."""
    note = f"half of {format_angle(wanted.typed)}" if wanted.halved else ""
    if wanted.complemented:
        note = f"complement of {note or format_angle(wanted.typed)}"
    origin = (
        f"the face at {format_angle(wanted.base)}" if wanted.origin == "face" else wanted.origin
    )
    return f"{format_angle(wanted.drawn)}{f', {note},' if note else ''} from {origin}"


def wanted_words(wanted: WantedLine) -> str:
    """Return the wanted line as a direction on the table; empty if that is the typed angle."""
    plain, measured = f"{format_angle(wanted.angle_deg)} from table x", measured_words(wanted)
    if abs(wanted.drawn - wanted.angle_deg) < 1e-9 and wanted.origin == "table x":
        return "" if measured == plain else measured
    return f"{measured}: {plain}"


def room_words(found: int, places: int, at: int, why: str) -> str:
    """Return at how many places an answer can stand, and which of them is shown."""
    if not places:
        return "There is no position where these holes are free."
    if not found:
        none = (
            "The only position is fouled." if places == 1 else f"All {places} positions are fouled."
        )
        return f"{none} {why}"
    head = f"Position {at + 1} of {found}" if found > 1 else "The only position"
    fouled = places - found
    return head if not fouled else f"{head}; {fouled} others would hit placed pieces"


def detail_words(
    answer: AngleAnswer, table: Table, rack: Rack, display: Display, holes: Sequence[Hole]
) -> str:
    """Return what to set and measure where it is shown: pins, packing, the line, a plate's cuts."""
    if answer.plate is not None:
        return " ".join(plate_words(answer, answer.plate, table, display, holes))
    where = (
        sizes_words(answer, table, rack, holes),
        shims_words(answer, table, display, holes),
    )
    told = [f"{words[:1].upper()}{words[1:]}." for words in where if words]
    return " ".join(filter(None, (*told, line_words(answer, table, display, holes))))


def plate_words(
    answer: AngleAnswer, plate: CutPlate, table: Table, display: Display, holes: Sequence[Hole] = ()
) -> tuple[str, ...]:
    """Return the dimensions a shop needs to cut a plate, one per line."""
    (near, far), run = answer.line_mm[:2], answer.base_mm
    a, b = (address(table, hole) for hole in (holes or answer.holes)[:2])
    along = math.sqrt(max(run * run - (far - near) ** 2, 0.0))
    wide, wider = (
        format_measure(plate.hole_diameter, display),
        format_measure(HOLE_OVER_PIN, display),
    )
    second = _spot(plate.holes[1], display)
    return (
        f"Pin holes on {a} and {b}, {format_measure(run, display)} apart, {wide} in "
        f"diameter, {wider} more than the pins.",
        spelled(
            f"Cut edge {format_measure(near, display)} from the centre of {a},"
            f" {format_measure(far, display)} from {b}, {format_measure(along, display)} from"
            " foot to foot."
        ),
        spelled(
            f"To the right and to the back from the centre of {a}: {b} {second}; corners"
            f" {', '.join(_spot(corner, display) for corner in plate.corners)}."
        ),
        "Mark the top face: turned over, it gives the mirror image.",
        f"The cut holds it to {format_angle_range(answer.setting_arcmin)}, the pins to"
        f" {format_angle_range(answer.play_arcmin)}.",
    )


def _spot(at: Point, display: Display) -> str:
    """A point of a plate, to the right and to the back: "(8.000", 6.000")"."""
    return f"({', '.join(format_measure(mm, display) for mm in at)})"
