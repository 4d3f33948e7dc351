"""`gridjig reach`: how an arm can be set about a hole, or where it gives a wanted face."""

import argparse
import math

from gridjig.cli.outputs.reach import (
    LeftOutHole,
    ReachFaceOutput,
    ReachOutput,
    ReachPlace,
    ReachSetting,
)
from gridjig.cli.outputs.seat import seated
from gridjig.model import Display, Hole, Table
from gridjig.model.labels import address
from gridjig.rack import Piece, Point, Rack
from gridjig.sheets.text.angle_text import holes_words
from gridjig.sheets.text.two_holes_text import reach_words
from gridjig.solve.reach.face_places import FacePlace, FacePlaces, face_places
from gridjig.solve.reach.reach import ArmReach, ReachAngle, carrier, reach
from gridjig.units import (
    INCH,
    ParseError,
    format_angle,
    format_angle_error,
    format_angle_range,
    format_length,
    format_play,
    format_rounded_angle,
    parse_angle,
)

from .columns import columns
from .given import RACK_HELP, TABLE_HELP, length, shown, the_hole, the_piece, the_table_and_rack
from .outputs import as_json
from .poses import display_of
from .verb import JSON_HELP, Refusal, Verb

ABOUT = (
    "With a HOLE: every angle of its face that PIECE can be set to with its first feature there,"
    " and the holes that hold it. With --face: every set of holes of the table in which its face"
    " lies at that angle, nearest first, and with --through on a line through a point of the table."
    " Angles are those of a line, from the table's x axis, counter-clockwise."
)
_TOP = 10
_NEAR_DEG = 0.5


def _own_angle(piece: Piece) -> float:
    """Return the direction of the locating face in its own body, degrees."""
    (ax, ay), (bx, by) = piece.faces[0].a, piece.faces[0].b
    return math.degrees(math.atan2(by - ay, bx - ax))


def _face_range(piece: Piece, low: float, high: float, flipped: bool) -> tuple[float, float]:
    """Return the range of the face's angle as its body turns from low to high."""
    own = _own_angle(piece) * (-1.0 if flipped else 1.0)
    return (low + own, high + own)


def _line(piece: Piece, one: ReachAngle) -> float:
    """Return the angle of the face's line at which a setting begins, degrees from 0 to 180."""
    return round(_face_range(piece, one.low, one.high, one.flipped)[0], 6) % 180.0


# -- about one hole --------------------------------------------------------------------------------


def about_output(
    table: Table, rack: Rack, piece: Piece, hole: Hole, found: ArmReach
) -> ReachOutput:
    """Return the reach about a hole as printed in JSON."""
    box = None
    if not found.area.is_empty:
        low_x, low_y, high_x, high_y = (round(at, 3) for at in found.area.bounds)
        box = (low_x, low_y, high_x, high_y)
    return ReachOutput(
        piece=piece.id,
        rack=rack.name,
        table=table.name,
        hole=address(table, hole),
        angles=tuple(_setting(table, piece, one) for one in found.angles),
        area_mm2=round(found.area.area, 1),
        area_box_mm=box,
        left_out=tuple(
            LeftOutHole(
                hole=address(table, out) if table.has(out) else None,
                steps=(out.col - hole.col, out.row - hole.row),
                why=why,
            )
            for out, why in found.left_out
        ),
    )


def _setting(table: Table, piece: Piece, one: ReachAngle) -> ReachSetting:
    first, last = _face_range(piece, one.low, one.high, one.flipped)
    return ReachSetting(
        holes=seated(table, one.seats),
        face_deg=(round(first, 6), round(last, 6)),
        turn_deg=(round(one.low, 6), round(one.high, 6)),
        flipped=one.flipped,
        play_deg=round(one.play_deg, 3),
        scale=one.scale,
    )


def about_text(table: Table, piece: Piece, hole: Hole, found: ArmReach) -> str:
    """Return the reach about a hole as a text table."""
    display = display_of(table)
    title = f"{piece.name} with its first feature in {address(table, hole)}"
    out = _left_out(table, found)
    if not found.angles:
        return "\n".join([f"{title}: it cannot be set there.", *out])
    rows = [("holes", "face", "turn", "held")]
    for one in sorted(found.angles, key=lambda a: _line(piece, a)):
        own = _face_range(piece, one.low, one.high, one.flipped)[0] - one.low
        holes, face, held = reach_words(one, table, own)
        turn = format_angle(one.low)
        if one.high > one.low:
            turn += f" to {format_angle(one.high)}"
        rows.append((holes, face, turn, held))
    low_x, low_y, high_x, high_y = found.area.bounds
    across = f"{format_length(low_x, display)} and {format_length(high_x, display)} left to right"
    up = f"{format_length(low_y, display)} and {format_length(high_y, display)} front to back"
    room = f"Its faces stay between {across}, {up}."
    count = "1 setting" if len(found.angles) == 1 else f"{len(found.angles)} settings"
    return "\n".join([f"{title}: {count}", columns(rows), room, *out])


def _left_out(table: Table, found: ArmReach) -> list[str]:
    """Return which holes would have worked; those off the table have no address and are only
    counted.
    """
    there = [(hole, why) for hole, why in found.left_out if table.has(hole)]
    off = len(found.left_out) - len(there)
    lines = [f"Left out: {address(table, hole)} ({why})." for hole, why in there]
    if off:
        lines.append(f"Left out: {off} more that would be off the table.")
    return lines


# -- on the whole table ----------------------------------------------------------------------------


def places_output(
    table: Table,
    rack: Rack,
    piece: Piece,
    wanted: float,
    through: Point | None,
    found: FacePlaces,
) -> ReachFaceOutput:
    """Return all places as printed in JSON."""
    return ReachFaceOutput(
        piece=piece.id,
        rack=rack.name,
        table=table.name,
        face_deg=wanted,
        through_mm=through,
        settings=found.looked_at,
        sets_tried=found.pairs,
        places_in_all=found.every,
        places=tuple(
            ReachPlace(
                holes=seated(table, place.seats),
                flipped=place.flipped,
                turn_deg=round(place.turn, 6),
                slide_mm=round(place.slide, 6),
                leaf_deg=round(place.leaf, 6),
                error_deg=round(place.error, 6),
                off_mm=round(place.off, 6),
                play_deg=round(place.play_deg, 3),
                scale=place.scale,
            )
            for place in found.found
        ),
    )


def places_text(
    table: Table, piece: Piece, wanted: float, through: Point | None, found: FacePlaces, top: int
) -> str:
    """Return the first places as a text table, and how many there are."""
    display = display_of(table)
    title = f"{piece.name} with its face at {format_angle(wanted)}"
    if through is not None:
        x, y = (format_length(at, display) for at in through)
        title += f" through {x}, {y}"
    tried = (
        f"Compared {found.looked_at} settings of the piece and tried {found.pairs} sets of holes."
    )
    if not found.found:
        return f"{title}: no holes give it.\n{tried}"
    rows = [("holes", "error", *(("off line",) if through is not None else ()), "play", "set")]
    rows += [_row(table, place, through is not None, display) for place in found.found[:top]]
    shown = min(top, len(found.found))
    count = f"{found.every} positions" if found.every > 1 else "1 position"
    more = f", the nearest {shown} of them" if shown < found.every else ""
    return f"{title}: {count}{more}\n{columns(rows)}\n{tried}"


def _row(table: Table, place: FacePlace, with_line: bool, display: Display) -> tuple[str, ...]:
    by_hand = not place.scale and not place.play_deg  # set by hand in its slot
    parts = ["by its scale" if place.scale else "by hand" if by_hand else "by its pins"]
    if place.slide:
        parts.append(f"{format_length(place.slide, display)} along its slot")
    if place.leaf:
        parts.append(f"leaf {format_rounded_angle(place.leaf)}")
    if place.flipped:
        parts.append("turned over")
    arcmin = place.error * 60
    error = format_angle_error(arcmin) if abs(arcmin) >= 0.05 else "exact"
    line = (format_play(place.off, display),) if with_line else ()
    holes = holes_words(table, (seat.hole for seat in place.seats))
    play = format_angle_range(place.play_deg * 60) if place.play_deg else "—"
    return (holes, error, *line, play, ", ".join(parts))


# -- the verb --------------------------------------------------------------------------------------


def _angle(text: str) -> float:
    try:
        return parse_angle(text)
    except ParseError as parse_error:
        raise Refusal(str(parse_error)) from parse_error


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add PIECE (HOLE | --face ANGLE) --table NAME."""
    parser.add_argument("piece", metavar="PIECE", help="id or name of a piece on the rack")
    parser.add_argument(
        "hole", metavar="HOLE", nargs="?", help="the hole its first feature is pinned in"
    )
    parser.add_argument("--face", metavar="ANGLE", help="the wanted angle of its face")
    parser.add_argument(
        "--through",
        nargs=2,
        metavar=("X", "Y"),
        help="a point that the line of the face must pass through, from the front left corner of "
        "the plate",
    )
    parser.add_argument(
        "--off", metavar="L", help="how far the line may be from it (default 1/64 in or .5 mm)"
    )
    parser.add_argument(
        "--near",
        metavar="ANGLE",
        help="how far the face may be from its angle (default half a degree)",
    )
    parser.add_argument("--top", type=int, default=_TOP, metavar="N", help="how many to list")
    parser.add_argument("--table", metavar="NAME", required=True, help=TABLE_HELP)
    parser.add_argument("--rack", metavar="NAME", help=RACK_HELP)
    parser.add_argument("--json", action="store_true", help=JSON_HELP.format("reach"))


def run(chosen: argparse.Namespace) -> None:
    """Print the reach."""
    table, rack = the_table_and_rack(chosen.table, chosen.rack)
    piece = shown(the_piece(rack, chosen.piece), chosen)
    if (chosen.hole is None) == (chosen.face is None):
        raise Refusal("Give either a hole or --face with an angle.")
    if not piece.is_placed:
        raise Refusal(
            f"{piece.name} has no pin of its own: it goes under or in front of other pieces."
        )
    if not piece.faces or piece.faces[0].body != carrier(piece):
        raise Refusal(
            f"{piece.name} has no face to set; `gridjig poses` shows how it can be placed."
        )
    if chosen.hole is not None:
        hole = the_hole(table, chosen.hole)
        about = reach(table, rack, piece, hole)
        text = about_text(table, piece, hole, about)
        output = about_output(table, rack, piece, hole, about)
        print(as_json(output) if chosen.json else text)
        return
    display = display_of(table)
    wanted = _angle(chosen.face)
    usual = INCH / 64 if table.in_inches else 0.5
    off = usual if chosen.off is None else length(chosen.off, display)
    near = _NEAR_DEG if chosen.near is None else abs(_angle(chosen.near))
    through = None
    if chosen.through is not None:
        x, y = (length(text, display) for text in chosen.through)
        through = (x, y)
    found = face_places(table, rack, piece, wanted, near, point=through, within=off)
    if chosen.json:
        print(as_json(places_output(table, rack, piece, wanted, through, found)))
    else:
        print(places_text(table, piece, wanted, through, found, max(1, chosen.top)))


_OUTPUTS = (ReachOutput, ReachFaceOutput)
VERB = Verb("reach", "print every setting of an arm", arguments, run, ABOUT, _OUTPUTS)
