"""`gridjig poses`: every pose that a piece can take with a pin in a given hole, or in two."""

import argparse
from collections.abc import Iterator
from itertools import product

from msgspec import Struct

from gridjig.cli.outputs.poses import PiecePose, PosesOutput
from gridjig.cli.outputs.seat import seated
from gridjig.model import Hole, Seat, Table
from gridjig.model.labels import address
from gridjig.rack import ArcSlot, Piece, Rack, StraightSlot
from gridjig.solve.grid.hole_faults import hole_fault, holes_fault
from gridjig.solve.mounting.faults import MountFault
from gridjig.solve.mounting.leaf import mount_leaf
from gridjig.solve.mounting.mount import Way, mount
from gridjig.solve.poses.pose_table import pair_poses
from gridjig.units import Display, format_angle, format_length, format_play, format_rounded_angle
from gridjig.words.placing_text import placing_text

from .columns import columns
from .given import RACK_HELP, TABLE_HELP, shown, the_hole, the_piece, the_table_and_rack
from .outputs import as_json
from .verb import JSON_HELP, Refusal, Verb

ABOUT = (
    "Print every pose that PIECE can take on a table: with one HOLE, those with a pin in it and the"
    " other pins in any hole; with two, those with a pin in each. Turns are degrees,"
    " counter-clockwise; the play is how far the pins let the piece move."
)


class PosesAnswer(Struct, frozen=True):
    """The poses found, or one sentence that says why there are none."""

    table: Table
    rack: Rack
    piece: Piece
    pin: float
    ways: tuple[Way, ...]
    why: str


def seatings(
    table: Table, piece: Piece, pin: float, holes: tuple[Hole, ...], flipped: bool
) -> Iterator[tuple[Seat, ...]]:
    """Yield every way to put features of the base over the holes; a slot may take two pins."""
    features = [m for m in piece.mounts if m.body == 0]
    if len(holes) == 1:
        yield from ((Seat(feature.id, holes[0]),) for feature in features)
    for a, b in product(features, features):
        if a is b and not isinstance(a, StraightSlot | ArcSlot):
            continue
        if len(holes) == 1:
            found = pair_poses(table, a, b, pin, flipped)
            steps = sorted(set(zip(found.dx.tolist(), found.dy.tolist(), strict=True)))
            seconds = [Hole(holes[0].col + dx, holes[0].row + dy) for dx, dy in steps]
        else:
            seconds = [holes[1]]
        for second in seconds:
            if hole_fault(table, second) is None:
                yield (Seat(a.id, holes[0]), Seat(b.id, second))


def answer(table: Table, rack: Rack, piece: Piece, holes: tuple[Hole, ...]) -> PosesAnswer:
    """Return every pose of the piece with pins in those holes.  Raise Refusal if the piece takes no
    hole, or a hole is given twice.
    """
    if not piece.is_placed:
        raise Refusal(f"{piece.name} stands in no hole of its own: it goes under or beside others.")
    if len(set(holes)) < len(holes):
        raise Refusal(f"Hole {address(table, holes[0])} is given twice; give two different ones.")
    pin = rack.pin_diameter(piece)
    display = display_of(table)
    blocked = holes_fault(table, holes)
    if blocked is not None:
        return PosesAnswer(table, rack, piece, pin, (), placing_text(blocked, table, display))
    ways: list[Way] = []
    fault: MountFault | None = None
    for flipped in (False, True) if piece.flips else (False,):
        for seats in seatings(table, piece, pin, holes, flipped):
            mounting = mount(table, piece, seats, pin, flipped)
            ways += mounting.ways
            fault = fault or mounting.why
    why = "" if fault is None else placing_text(fault, table, display)
    if not ways and not why:
        why = f"{piece.name} has one pin; give one hole."
    ways.sort(key=_order)
    return PosesAnswer(table, rack, piece, pin, tuple(ways), "" if ways else why)


def _order(way: Way) -> tuple[int, bool, float, list[tuple[Hole, str]]]:
    """Return the sort key: one pin before two, face up before turned over, then by turn
    and hole.
    """
    pins = [(seat.hole, seat.feature) for seat in way.seats]
    return (len(way.seats), way.flipped, round(way.turn_low, 6), pins)


def leaf_range(found: PosesAnswer, way: Way) -> tuple[float, float] | None:
    """Return the angles of an arm's leaf by its scale, degrees from the base; None
    without a leaf.
    """
    if found.piece.pivot is None:
        return None
    pose = way.pose(way.turn_low, way.slide_low)
    leaf = mount_leaf(found.table, found.piece, pose, (), found.pin).ways[0]
    return (leaf.low, leaf.high)


def output(found: PosesAnswer) -> PosesOutput:
    """Return the answer as printed in JSON."""
    return PosesOutput(
        piece=found.piece.id,
        rack=found.rack.name,
        table=found.table.name,
        pin_mm=found.pin,
        why=found.why,
        poses=tuple(_pose(found, way) for way in found.ways),
    )


def _pose(found: PosesAnswer, way: Way) -> PiecePose:
    return PiecePose(
        holes=seated(found.table, way.seats),
        flipped=way.flipped,
        kind=way.kind,
        turn_deg=(round(way.turn_low, 6), round(way.turn_high, 6)),
        slide_mm=(round(way.slide_low, 6), round(way.slide_high, 6)),
        play_mm=round(way.play_mm, 3),
        play_deg=round(way.play_deg, 3),
        leaf_deg=leaf_range(found, way),
    )


def display_of(table: Table) -> Display:
    """Return the unit that a table was made in."""
    return Display() if table.in_inches else Display(unit="millimetres")


def as_text(found: PosesAnswer) -> str:
    """Return the answer as a text table."""
    display = display_of(found.table)
    title = f"{found.piece.name} on {found.table.name}"
    if not found.ways:
        return f"{title}: no pose. {found.why}"
    rows = [("pins", "turn", "freedom", "play")]
    rows += [_row(found, way, display) for way in found.ways]
    count = "1 pose" if len(found.ways) == 1 else f"{len(found.ways)} poses"
    return f"{title}: {count}\n{columns(rows)}"


def _row(found: PosesAnswer, way: Way, display: Display) -> tuple[str, str, str, str]:
    pins = " + ".join(f"{seat.feature} {address(found.table, seat.hole)}" for seat in way.seats)
    free: list[str] = [way.kind]
    if way.slide_low < way.slide_high:
        low, high = format_length(way.slide_low, display), format_length(way.slide_high, display)
        free.append(f"slide {low} to {high}")
    leaf = leaf_range(found, way)
    if leaf is not None:
        free.append(f"leaf {format_angle(leaf[0])} to {format_angle(leaf[1])}")
    if way.flipped:
        free.append("turned over")
    return (pins, _turn(way), ", ".join(free), _play(way, display))


def _turn(way: Way) -> str:
    if way.turn_high - way.turn_low >= 360.0:
        return "any"
    if way.turn_low == way.turn_high:
        return format_angle(way.turn_low)
    return f"{format_angle(way.turn_low)} to {format_angle(way.turn_high)}"


def _play(way: Way, display: Display) -> str:
    play = format_play(way.play_mm, display)
    return f"{play}, {format_rounded_angle(way.play_deg)}" if way.play_deg else play


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add PIECE HOLE [HOLE] --table NAME [--rack NAME] [--json]."""
    parser.add_argument("piece", metavar="PIECE", help="id or name of a piece on the rack")
    parser.add_argument("hole", metavar="HOLE", help="a hole as painted on the table, such as H6")
    parser.add_argument("second", metavar="HOLE", nargs="?", help="a second hole")
    parser.add_argument("--table", metavar="NAME", required=True, help=TABLE_HELP)
    parser.add_argument("--rack", metavar="NAME", help=RACK_HELP)
    parser.add_argument("--json", action="store_true", help=JSON_HELP.format("poses"))


def run(chosen: argparse.Namespace) -> None:
    """Print the poses."""
    table, rack = the_table_and_rack(chosen.table, chosen.rack)
    piece = the_piece(rack, chosen.piece)
    given = [chosen.hole] if chosen.second is None else [chosen.hole, chosen.second]
    holes = tuple(the_hole(table, text) for text in given)
    found = answer(shown(table, chosen), shown(rack, chosen), shown(piece, chosen), holes)
    print(as_json(output(found)) if chosen.json else as_text(found))


VERB = Verb(
    "poses", "print every pose of a piece in given holes", arguments, run, ABOUT, (PosesOutput,)
)
