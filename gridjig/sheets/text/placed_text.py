"""What stands where, and how it is held, in words: for the list, the form and screen readers.

Knows nothing about how the words are shown.
"""

import math
from collections.abc import Mapping, Sequence
from typing import Literal

from msgspec import Struct

from gridjig.checks.findings import LEVELS, Finding, Level
from gridjig.model import Display, Job, Member, Part, Placement, Table
from gridjig.model.by_weldment import parts_of, several
from gridjig.model.labels import address
from gridjig.model.titles import title, weldment_title
from gridjig.proof.held.forces import clamp_force
from gridjig.rack import Piece
from gridjig.solve.mounting.ways import Way
from gridjig.solve.placed.face_distance import face_distance
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units import (
    format_angle,
    format_force,
    format_length,
    format_measure,
    format_play,
    format_rounded_angle,
)
from gridjig.words.placing_text import placing_text

_SAME_TURN = 1e-6
"""Degrees; a turn this little below its range is at its end."""


class PlacedLine(Struct, frozen=True):
    """One thing on the table: what it is, where, and how it stands.

    `group` is the heading that it comes under: its weldment, or the pieces.
    """

    id: str
    sort: Literal["piece", "outline"]
    group: str
    name: str
    place: str
    state: str
    level: Level

    @property
    def spoken(self) -> str:
        """The line as one string."""
        return f"{self.name}, {self.place}, {self.state}"


def place_words(table: Table, placement: Placement) -> str:
    """Return the holes that a placement stands in, as painted: "H6 + J6"."""
    return " + ".join(address(table, seat.hole) for seat in placement.seats)


def part_place(part: Part, display: Display) -> str:
    """Return the position of an outline's frame, and its turn if any."""
    at = f"{format_length(part.x, display)}, {format_length(part.y, display)}"
    return at if not part.turn else f"{at}, turned {format_angle(part.turn)}"


def part_words(part: Part, display: Display) -> str:
    """Return what a part is: a member's section and length, a plate's heights."""
    heights = f"{format_length(part.z_low, display)} to {format_length(part.z_high, display)} high"
    if not isinstance(part, Member):
        return heights
    long = format_length(part.long_point, display)
    return f"{part.section.name}, {long} long, {heights}"


def play_words(placed: PlacedPiece, display: Display) -> str:
    """Return how far play lets a piece move; empty if not at all."""
    way = placed.way
    if way is None or way.play_mm <= 0:
        return ""
    play = f"play {format_play(way.play_mm, display)}"
    return f"{play}, {format_rounded_angle(way.play_deg, 1)}" if way.play_deg > 0 else play


def freedom_words(job: Job, placed: PlacedPiece) -> str:
    """Return the freedom that the holes leave, in words, or why the piece cannot stand."""
    if placed.fault is not None:
        return placing_text(placed.fault, job.table, job.display)
    way, display = placed.way, job.display
    if way is None:
        return "Stands free"
    pins = len(way.seats)
    moves = []
    if "slides" in way.kind:
        moves.append(_slides(job, placed, way))
    if "turns" in way.kind:
        moves.append(_turns(*turn_range(placed, way)))
    told = (
        "Pinned by 1 pin" if pins == 1 else f"Pinned by {pins} pins",
        " and ".join(moves),
        "clamped by hand" if placed.placement.clamped_by_hand else "",
        _gap_accepted(placed, display),
        play_words(placed, display),
    )
    return "; ".join(words for words in told if words)


def default_force_words(job: Job, piece: Piece) -> str:
    """Return what a clamp presses with where nothing is typed: 1000 N, shop value."""
    told = clamp_force(job, None, piece)
    whose = "by its piece" if told.of == "piece" else "shop value"
    return f"empty: {format_force(told.newtons, job.display)}, {whose}"


def _gap_accepted(placed: PlacedPiece, display: Display) -> str:
    gap = placed.placement.accepted_gap
    return f"a gap of {format_measure(gap, display)} is accepted" if gap else ""


def _slides(job: Job, placed: PlacedPiece, way: Way) -> str:
    """The range of a slide, as the distance of the face from the hole if there is a face."""
    face = face_distance(job, placed)
    low, high = (face.low, face.high) if face else (way.slide_low, way.slide_high)
    return f"slides {format_length(low, job.display)} to {format_length(high, job.display)}"


def turn_range(placed: PlacedPiece, way: Way) -> tuple[float, float]:
    """Return from where to where a piece turns, degrees, counted so that its own turn is within."""
    whole = 360.0 * math.floor((placed.turn - way.turn_low + _SAME_TURN) / 360.0)
    return way.turn_low + whole, way.turn_high + whole


def _turns(low: float, high: float) -> str:
    if high - low >= 360 - 1e-6:
        return "turns freely"
    return f"turns {format_angle(low)} to {format_angle(high)}"


def placed_lines(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], findings: tuple[Finding, ...]
) -> tuple[PlacedLine, ...]:
    """Return everything on the table: the parts by weldment first, then the pieces as placed."""
    worst = _worst(findings)
    lines: list[PlacedLine] = []
    groups = {one.id: weldment_title(job, one.id) for one in job.weldments}
    if not several(job):
        groups = dict.fromkeys(groups, "Weldment")
    for part in (part for one in job.weldments for part in parts_of(job, one.id)):
        found = worst.get(part.id)
        lines.append(
            PlacedLine(
                part.id,
                "outline",
                groups[part.weldment],
                title(job, part.id),
                part_place(part, job.display),
                found.what if found else part_words(part, job.display),
                found.level if found else "fine",
            )
        )
    for placement in job.placements:
        found = worst.get(placement.id)
        placed = placed_pieces[placement.id]
        level: Level = found.level if found else "stop" if placed.fault else "fine"
        lines.append(
            PlacedLine(
                placement.id,
                "piece",
                "Pieces",
                _piece_title(job, placement),
                place_words(job.table, placement),
                found.what if found else freedom_words(job, placed),
                level,
            )
        )
    return tuple(lines)


def _piece_title(job: Job, placement: Placement) -> str:
    """Return a placement's own name, or its piece's, with the size if the rack has several so
    called.
    """
    piece = None if placement.name else job.rack.find(placement.piece)
    alike = piece and sum(other.name == piece.name for other in job.rack.pieces) > 1
    return piece.full_name if piece and alike else title(job, placement.id)


def _worst(findings: tuple[Finding, ...]) -> dict[str, Finding]:
    worst: dict[str, Finding] = {}
    for finding in sorted(findings, key=lambda f: LEVELS.index(f.level), reverse=True):
        if finding.level in ("note", "fine"):
            continue
        for thing_id in finding.ids:
            worst[thing_id] = finding
    return worst


_WELL = {
    "fine": "no overlaps",
    "fine/parts": "no overlaps",
    "fine/contacts": "no overlaps, no gaps",
    "fine/gaps": "gaps as accepted",
}
"""What the lamp says if a check found nothing: only what was checked."""

_PROVED = {
    "fine/contacts": "located, held, no gaps",
    "fine/gaps": "located, held, gaps as accepted",
}
"""What it says if whether the work is located and held was checked as well."""


def verdict(
    findings: tuple[Finding, ...], looked_at: Sequence[str] = ()
) -> tuple[Level | Literal[""], str]:
    """Return the check lamp: the worst level, and how many of what; no level for an empty table.

    Green says what was checked; the finding itself says that in full, and what was not checked.
    """
    stops = sum(f.level == "stop" for f in findings)
    looks = sum(f.level == "look" for f in findings)
    if stops:
        more = f", {looks} to look at" if looks else ""
        return "stop", f"{stops} to fix{more}"
    if looks:
        return "look", f"{looks} to look at"
    if findings:
        well = next((f.id for f in findings if f.level == "fine"), "")
        proved = "located" in looked_at and well in _PROVED
        return "fine", _PROVED[well] if proved else _WELL.get(well, _WELL["fine"])
    return "", "nothing to check yet"
