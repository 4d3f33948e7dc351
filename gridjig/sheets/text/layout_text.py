"""Where the weldment lies, in words: datum faces and why, remainders, better places.

Every number carries its unit and no more digits than can be trusted.  Knows no widget.
"""

from collections.abc import Iterable
from typing import Literal

from gridjig.checks.findings import Level
from gridjig.checks.stop_places import StopSearch, StopSetting
from gridjig.contact.values import TOUCH
from gridjig.edits.members import direction
from gridjig.model import Display, Job
from gridjig.model.labels import address, column_label, row_label
from gridjig.model.titles import title
from gridjig.solve.layout.places import WeldmentPlace, WeldmentPlaces
from gridjig.solve.layout.remainders import EXACT, FaceLine, Remainder, Remainders
from gridjig.solve.packing.pack import Packing
from gridjig.solve.placed.face_distance import face_distance, face_from_hole
from gridjig.solve.placed.solver import solve_placement
from gridjig.solve.weldment.datum import DatumFaces, angle_error, span
from gridjig.solve.weldment.faces import Axis, WorkFace
from gridjig.units import (
    format_arcminutes,
    format_length,
    format_measure,
    format_rounded_angle,
    format_setting,
)

from .list_line import ListLine
from .places_text import move_words, result_words

Looks = Literal["right", "left", "back", "front"]
LOOKS: dict[tuple[Axis, int], Looks] = {
    ("x", 1): "right",
    ("x", -1): "left",
    ("y", 1): "back",
    ("y", -1): "front",
}
"""Which way a face looks, by the axis of the table and its sign along it."""

STOP_ERROR = 0.1
"""The error of one of two stops, mm, for which the turn of the work is stated."""

_FEW = 3


# -- faces and the datum -------------------------------------------------------------------------


def face_words(job: Job, face: WorkFace) -> str:
    """Return a face in words: whose it is, which way it looks, and whether it is sawn."""
    made = "face" if face.mill else "cut end"
    if face.axis is None:
        at = format_rounded_angle(direction(face.a, face.b) % 180.0)
        return f"{title(job, face.of.part)}, {made} at {at}"
    return f"{title(job, face.of.part)}, {LOOKS[face.axis, face.sign]} {made}"


def reason_words(face: WorkFace, display: Display) -> str:
    """Return the reasons for and against a face as a datum."""
    said = [
        "nothing in front of it" if face.outer else "something in front of it",
        "uncut mill face" if face.mill else "sawn",
        "no weld on it" if face.clear else "welds on it",
        f"{format_length(face.length, display)} long",
    ]
    return ", ".join(said)


def datum_words(job: Job, datum: DatumFaces, which: str) -> str:
    """Return datum A ("long") or B ("end"): which face, chosen or proposed, why, and its stops."""
    face = datum.long if which == "long" else datum.end
    if face is None:
        return "No face of the weldment is suitable."
    how = "proposed: " if which in datum.proposed else "chosen; "
    told = f"{face_words(job, face)} ({how}{reason_words(face, job.display)})."
    room = span(face) if which == "long" else None
    if room is None:
        return told
    turn = angle_error(STOP_ERROR, room.spacing)
    return (
        f"{told} Two stops go {format_length(room.spacing, job.display)} apart; an error of "
        f"{format_measure(STOP_ERROR, job.display)} at one of them tilts the work by "
        f"{format_arcminutes(turn)}."
    )


# -- what the grid leaves ------------------------------------------------------------------------


def remainder_line(
    job: Job, found: Remainders, one: Remainder, search: StopSearch | None = None
) -> ListLine:
    """Return a line of faces with its remainder, what packs it, and the verdict; with `search` the
    stop that can be set there, or why none can.
    """
    line = one.line
    way = LOOKS[line.axis, line.sign]
    lines = [
        f"{hole_line_words(job, line.axis, one.hole_line)}{dimension_words(job, found, one)}",
        verdict_words(job, found, one),
    ]
    brief = ""
    if search is not None:
        set_here = setting_lines(job, one, search)
        lines += set_here
        brief = set_here[0] if search.set_already else set_here[-1]
    elif not one.holes:
        lines.append("no free hole for a stop in front of it")
    return ListLine(
        key=line_key(line),
        head=f"{way.capitalize()} face: {belongs_words(job, line)}"
        f"{' · critical' if line.critical else ''}",
        right=left_words(one, job.display),
        under="\n".join(lines),
        level=_level(one) if search is None else setting_level(search),
        ids=tuple(dict.fromkeys(face.of.part for face in line.faces)),
        faces=tuple(face.of for face in line.faces),
        brief=brief,
    )


def belongs_words(job: Job, line: FaceLine) -> str:
    """Return the parts of a line of faces, the longest face first: "Left upright + 2 more"."""
    names = list(dict.fromkeys(title(job, part) for part in _parts(line)))
    return names[0] + (f" + {len(names) - 1} more" if len(names) > 1 else "")


def setting_lines(job: Job, one: Remainder, search: StopSearch) -> list[str]:
    """Return what touches a line of faces, and the stop that can be set there, or why none can."""
    lines = []
    if search.set_already:
        many = search.set_already
        lines.append("1 piece touches it" if many == 1 else f"{many} pieces touch it")
    setting = search.setting
    if setting is None:
        none = "nothing more" if search.set_already else "no stop or pin"
        lines.append(f"{none} can be set in front of it: {search.why}")
        return lines
    if setting.stop.piece != one.stop.piece:
        if search.none_left:
            lines.append(f"no {_small(one.stop.name)} is left on the rack")
        elif setting.pinned != "two pins":
            lines.append("no two-pin stop fits here")
        else:
            lines.append(f"{one.stop.name} does not fit")
    lines.append(f"set: {setting_words(job, setting)}")
    return lines


def setting_words(job: Job, setting: StopSetting) -> str:
    """Return how a stop can be set: which, in which holes, how packed, its face how far out."""
    placement, display = setting.placement, job.display
    holes = " + ".join(address(job.table, seat.hole) for seat in placement.seats)
    told = [f"{_small(setting.stop.name)} in {holes}"]
    if placement.packing:
        told.append(f"packed with {packing_words(job, setting.touching.packing)}")
    placed = solve_placement(job.table, job.rack, placement)
    face = face_distance(job, placed)
    stands = face_from_hole(job.table, placed)
    if face is not None and stands is not None:  # it slides, so it is set with a rule
        hole = address(job.table, stands.hole)
        told.append(f"face {format_setting(face.now, display)} from {hole}")
    if setting.touching.gap > TOUCH:
        told.append(f"gap {format_measure(setting.touching.gap, display)} left")
    return ", ".join(told)


def setting_level(search: StopSearch) -> Level:
    """Return whether a line of faces can be held: touching, with a gap, or not at all."""
    if search.setting is None:
        return "fine" if search.set_already else "stop"
    return "fine" if search.setting.touching.touches else "look"


def line_key(line: FaceLine) -> str:
    """Return a key for a line of faces, valid until the weldment moves."""
    return str((line.axis, line.sign, round(line.at, 3)))


def names_words(job: Job, ids: Iterable[str], most: int = 3) -> str:
    """Return the names of parts, each once, and how many more there are."""
    names = list(dict.fromkeys(title(job, i) for i in ids))
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return ", ".join(names[:most]) + more


def _level(one: Remainder) -> Level:
    if one.verdict == "needed":
        well = one.packed_well or one.adjustable is not None
        return "look" if one.holes and well else "stop"
    return "fine" if one.holes else "look"


def left_words(one: Remainder, display: Display) -> str:
    """Return the remainder of a line of faces, in short."""
    if one.verdict == "on the grid":
        return "on the grid"
    if one.verdict == "skip":
        nearest = one.left if one.left <= -one.short else one.short
        return f"{format_measure(abs(nearest), display)}, leave as is"
    return f"pack {format_length(one.left, display)}"


def hole_line_words(job: Job, axis: Axis, number: int) -> str:
    """Return the column or row that a stop stands in, as painted."""
    table = job.table
    if axis == "x":
        there = 0 <= number < table.columns
        return f"stop in column {column_label(table, number)}" if there else "stop off the table"
    there = 0 <= number < table.rows
    return f"stop in row {row_label(table, number)}" if there else "stop off the table"


def dimension_words(job: Job, found: Remainders, one: Remainder) -> str:
    """Return the dimension from the datum face, and whether its stops are opposed."""
    name = _datum_name(found.datum, one.line.axis)
    if not name:
        return ""
    if one.dimension is None:
        return f" · datum {name}" if one.line.sign == _datum_sign(found.datum, one) else ""
    side = "opposed to it" if one.opposed else "same side"
    return f" · {format_length(one.dimension, job.display)} from {name}, {side}"


def _datum_sign(datum: DatumFaces, one: Remainder) -> int:
    face = next(f for f in (datum.long, datum.end) if f is not None and f.axis == one.line.axis)
    return face.sign


def _datum_name(datum: DatumFaces, axis: Axis) -> str:
    for name, face in (("A", datum.long), ("B", datum.end)):
        if face is not None and face.axis == axis:
            return name
    return ""


def verdict_words(job: Job, found: Remainders, one: Remainder) -> str:
    """Return whether the tolerance class requires the packing, and what makes it up."""
    display = job.display
    if one.verdict == "on the grid":
        return "a stop touches it without packing"
    allowed = (
        f"class {found.linear_class} allows the jig {format_measure(one.allowed, display)}"
        if one.allowed > 0.0
        else f"class {found.linear_class} leaves the jig no tolerance here"
    )
    if one.verdict == "skip":
        return f"within tolerance: {allowed}"
    ways = [packing_words(job, one.packing)] if one.packing.pieces else []
    if one.adjustable is not None:
        piece = job.rack.piece(one.adjustable)
        face = format_setting(one.face_from_hole, display)
        ways.append(f"{_small(piece.name)} with its face {face} from the hole")
    made = " or ".join(ways) or "nothing on the rack makes it up"
    left = ""
    if one.packing.pieces and one.packing.residual > EXACT:
        left = f", the pack leaves {format_measure(one.packing.residual, display)} open"
        left += " (within tolerance)" if one.packed_well else f" ({allowed})"
    return f"needed: {made}{left}"


def packing_words(job: Job, packing: Packing) -> str:
    """Return the shims of a pack by name: 1 × packing 1 in + 1 × packing 1/8 in."""
    told = []
    for piece_id, many in packing.pieces:
        piece = job.rack.piece(piece_id)
        told.append(f"{many} × {_small(piece.name)} {piece.size}".strip())
    return " + ".join(told)


def _small(name: str) -> str:
    return f"{name[:1].lower()}{name[1:]}"


def summary_words(job: Job, found: Remainders) -> str:
    """Return how many lines of faces are on the grid, packed, or set another way."""
    if not job.parts:
        return "There is no weldment yet; draw a member or put a standard one on the table."
    counts = {
        word: sum(one.verdict == word for one in found.found)
        for word in ("on the grid", "skip", "needed")
    }
    said = [f"{counts['on the grid']} on the grid", f"{counts['needed']} to pack"]
    if counts["skip"]:
        said.append(f"{counts['skip']} within tolerance")
    slanting = ""
    if found.slanting:
        names = names_words(job, (face.of.part for face in found.slanting))
        slanting = f"; not along the grid, set by angle: {names}"
    return f"Lines of faces: {', '.join(said)}{slanting}."


# -- where it could lie --------------------------------------------------------------------------


def put_line(job: Job, found: WeldmentPlaces, put: WeldmentPlace) -> ListLine:
    """Return a place for the weldment: how it is moved, and what is then left to pack."""
    packed = [
        f"{format_length(left, job.display)} at {title(job, line.first.of.part)}"
        for line, left in zip(found.lines, put.left, strict=True)
        if left
    ]
    more = f" and {len(packed) - _FEW} more" if len(packed) > _FEW else ""
    leaves = f"leaves {'; '.join(packed[:_FEW])}{more}" if packed else "every line on the grid"
    under = [result_words(put, job.display), leaves]
    if put.pieces:
        pieces = "1 piece of packing" if put.pieces == 1 else f"{put.pieces} pieces of packing"
        under[0] += f", {pieces}"
    blocked = put.critical_off or put.blocked
    return ListLine(
        key=put_key(put),
        head=move_words(put, job.display),
        right="none packed" if not put.packed else f"{put.packed} packed",
        under="\n".join(under),
        level="stop" if put.over > EXACT else "look" if blocked else "fine",
    )


def _parts(line: FaceLine) -> Iterable[str]:
    """The parts of a line of faces, the one with the longest face first."""
    return (line.first.of.part, *(face.of.part for face in line.faces))


def put_key(put: WeldmentPlace) -> str:
    """Return a key for a place."""
    return str((put.flipped, put.turn, round(put.dx, 3), round(put.dy, 3)))
