"""Builds a set-up from the text of a sheet alone, as a person with the paper and the rack would.

Knows no job: it is given the printed lines of the sheet's pages and a rack, and makes placements of
them.
"""

import re
from collections.abc import Sequence

from msgspec import Struct

from gridjig.model import Hole, LabelScheme, Placement, Seat, Table
from gridjig.model.labels import find_hole
from gridjig.rack import Piece, Rack, StraightSlot
from gridjig.solve.placed.face_distance import face_from_hole
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.placed.solver import solve_placement
from gridjig.units import parse_angle, parse_length
from tests.pdftext import Line

PROVE = "Prove the set-up before the first tube"
_LENGTH = r"≈?(-?[0-9][^ ]*(?: mm)?|-?\.[0-9]+\"?)"

_HAIR = 0.1  # mm; a PDF gives a place to a few thousandths
_SLOT = r"pin (\S+(?: mm)?)(?: \([^)]*\))? (?:from the [a-z ]*end|along its arc)"


class Built(Struct):
    """What a row of the list says of a piece."""

    number: int
    piece: Piece
    name: str
    seats: tuple[Seat, ...]
    turn: float | None
    flipped: bool
    face: tuple[float, Hole] | None
    slot: float | None
    leaf: float | None
    reach: float | None
    lift: tuple[str, ...]
    packing: tuple[str, ...]
    by_hand: bool


def length(words: str) -> float:
    """A length as printed, mm; where it is given in both units, the one that is not rounded."""
    first, _, other = words.removesuffix(")").partition(" (")
    exact = other if first.startswith("≈") and other and not other.startswith("≈") else first
    return parse_length(exact.removeprefix("≈"), "inch fractions")


def identity(lines: list[str]) -> Table:
    """The table as the sheet describes it."""
    told = " ".join(lines)
    name = re.search(
        r"Table: (.*?) ([0-9,]+) columns x ([0-9,]+) rows of holes, (.*?) dia, pitch (.*?) Plate",
        told,
    )
    plate = re.search(
        r"Plate (.*?) x (.*?); first hole (.*?) from the left edge, (.*?) from the front edge", told
    )
    zero = re.search(
        r"Zero corner: (\w+ \w+) \(black on the plan\)\. Columns are (\w+), (\S+) at the (\w+) to"
        r" (\S+) at the (\w+); rows are (\w+), (\S+) at the (\w+) to (\S+) at the (\w+?)"
        r"( \(I and O left out\))? An address is the (\w+) first",
        told,
    )
    operator = re.search(r"The operator stands at the (\w+)", told)
    assert name is not None
    assert plate is not None
    assert zero is not None
    assert operator is not None
    pitches = re.fullmatch(r"(.*) left to right, (.*) front to back", name[5])
    x, y = pitches.groups() if pitches else (name[5], name[5])
    low = {zero[3], zero[5]} if zero[2] == "numbers" else {zero[8], zero[10]}
    start = 1 if zero[2] == zero[7] == "letters" else min(map(int, low))
    return Table(
        name=name[1],
        width=length(plate[1]),
        depth=length(plate[2]),
        thickness=10.0,
        pitch_x=length(x),
        pitch_y=length(y),
        columns=int(name[2].replace(",", "")),
        rows=int(name[3].replace(",", "")),
        first_x=length(plate[3]),
        first_y=length(plate[4]),
        hole_diameter=length(name[4]),
        labels=LabelScheme(
            along_x=zero[2],  # type: ignore[arg-type]
            along_y=zero[7],  # type: ignore[arg-type]
            zero=zero[1],  # type: ignore[arg-type]
            first="x" if zero[13] == "column" else "y",
            skip_i_o=bool(zero[12]),
            start=start,
            operator=operator[1],  # type: ignore[arg-type]
        ),
    )


def cells_of(pages: Sequence[Sequence[Line]]) -> list[list[str]]:
    """The rows of the list of pieces, each as the texts of its cells.

    A person sees columns; so does this: what stands below a heading belongs to it.
    """
    rows: list[list[str]] = []
    for page in pages:
        head = next((t for t in page if t.bold and t.words == "Holes"), None)
        if head is None:
            continue
        lefts = sorted(t.x for t in page if t.bold and abs(t.y - head.y) < _HAIR)[1:]
        last = [t.y for t in page if t.words in (PROVE, "Document number") and t.y > head.y]
        for text in page:
            if text.grey or not head.y < text.y < min(last) - _HAIR or text.x < lefts[0] - _HAIR:
                continue
            cell = max(k for k, left in enumerate(lefts) if left <= text.x + _HAIR)
            if cell == 0:
                rows.append([""] * len(lefts))
            rows[-1][cell] = f"{rows[-1][cell]}\n{text.words}".strip("\n")
    return [row for row in rows if row[0].isdigit()]


def joined(cell: str) -> str:
    """A cell's lines as one text: lines were only broken for want of room."""
    return " ".join(cell.split("\n"))


def built(rows: list[list[str]], table: Table, rack: Rack) -> list[Built]:
    """What each row says, read with the rack at hand."""
    made = []
    for number, piece, holes, *ways, setting in (
        [cell.replace("−", "-") for cell in row] for row in rows
    ):
        way = "\n".join(ways)  # on a narrow page the count stands in the same cell
        found, name = _piece(joined(piece), rack)
        made.append(
            Built(
                number=int(number),
                piece=found,
                name=name,
                seats=_seats(holes, found, table),
                turn=_angle(r"turn ≈?(-?[0-9.]+)°", joined(way)),
                flipped="turned over" in joined(way),
                face=_face(joined(setting), table),
                slot=_one(_SLOT, joined(setting)),
                leaf=_angle(r"arm opened to ≈?(-?[0-9.]+)°", joined(setting)),
                reach=_one(r"reach " + _LENGTH, joined(setting)),
                lift=_stack(r"above the table on: ", joined(setting), rack),
                packing=_stack(r"from the piece out: ", joined(setting), rack),
                by_hand="clamped by hand" in setting.replace("\n", " "),
            )
        )
    return made


def _piece(cell: str, rack: Rack) -> tuple[Piece, str]:
    cell = re.sub(r" \(bin [^()]*\)$", "", cell)
    for piece in sorted(rack.pieces, key=lambda p: -len(p.full_name)):
        if cell.endswith(piece.full_name):
            return piece, cell.removesuffix(piece.full_name).strip()
    raise AssertionError(f"{cell} is not on the rack")


def _seats(cell: str, piece: Piece, table: Table) -> tuple[Seat, ...]:
    words = cell.split()
    if len(words) == 1:
        return (Seat(piece.mounts[0].id, find_hole(table, words[0])),)
    features = {mount.id.replace("-", " "): mount.id for mount in piece.mounts}
    names = "|".join(re.escape(name) for name in sorted(features, key=len, reverse=True))
    found = re.findall(rf"({names}) (\S+)(?: |$)", " ".join(words))
    assert " ".join(f"{name} {hole}" for name, hole in found) == " ".join(words)
    return tuple(Seat(features[name], find_hole(table, hole)) for name, hole in found)


def _angle(pattern: str, words: str) -> float | None:
    found = re.search(pattern, words)
    return None if found is None else parse_angle(found[1])


def _one(pattern: str, words: str) -> float | None:
    found = re.search(pattern, words)
    return None if found is None else length(found[1])


def _face(words: str, table: Table) -> tuple[float, Hole] | None:
    found = re.search(r"face (\S+(?: mm)?)(?: \([^)]*\))? from ([^\s,]+)", words)
    return None if found is None else (length(found[1]), find_hole(table, found[2]))


def _stack(lead: str, words: str, rack: Rack) -> tuple[str, ...]:
    """The loose pieces of a stack: 2 × Riser, 50 mm high, then 1 × Shim, 1 mm thick."""
    found = re.search(lead, words)
    if found is None:
        return ()
    rest = words[found.end() :]
    made: list[str] = []
    while (one := re.match(r"(?:, then )?([0-9]+) × ", rest)) is not None:
        rest = rest[one.end() :]
        piece = max(
            (p for p in rack.pieces if rest.startswith(p.full_name)),
            key=lambda p: len(p.full_name),
        )
        made += [piece.id] * int(one[1])
        rest = rest[len(piece.full_name) :]
        if not rest.startswith(", then "):
            break
    return tuple(made)


def placement_of(one: Built, table: Table, rack: Rack) -> Placement:
    """A placement as the row says; a slide is set so that the face stands where it should."""

    def placed(slide: float) -> PlacedPiece:
        return solve_placement(table, rack, with_slide(slide))

    def with_slide(slide: float) -> Placement:
        return Placement(
            id=f"no-{one.number}",
            piece=one.piece.id,
            seats=one.seats,
            flipped=one.flipped,
            turn=one.turn or 0.0,
            slide=slide,
            leaf=one.leaf or 0.0,
            reach=one.reach or 0.0,
            lift=one.lift,
            packing=one.packing,
            clamped_by_hand=one.by_hand,
            name=one.name,
        )

    slots = [m for m in one.piece.mounts if isinstance(m, StraightSlot)]
    if one.slot is not None:
        return with_slide(one.slot)
    if one.face is None or not slots:
        return with_slide(0.0)
    wanted, _hole = one.face

    def off(slide: float) -> float:
        found = face_from_hole(table, placed(slide))
        assert found is not None
        # The hole that the face is nearest to can change on the way; measure from the one named.
        face = placed(slide).faces[0]
        at = table.at(_hole)
        return (face.a[0] - at[0]) * face.normal[0] + (face.a[1] - at[1]) * face.normal[1] - wanted

    way = placed(0.0).way
    low, high = (way.slide_low, way.slide_high) if way is not None else (0.0, 0.0)
    at_low, at_high = off(low), off(high)
    if abs(at_high - at_low) < 1e-9:
        return with_slide(low)
    return with_slide(low + (high - low) * (0.0 - at_low) / (at_high - at_low))
