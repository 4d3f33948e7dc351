"""Importing a rack into a job, line by line: what each line would do, and doing those taken.

A piece of the other rack is the same thing as one of this rack only if it has its id and is of its
kind, measure and hole (`rack.measure`).  Otherwise it comes in beside it, under an id of its own,
and pieces that take it as their pin take it under that id.
"""

import re
from collections.abc import Collection, Iterator
from typing import Literal

from msgspec import Struct, structs

from gridjig.model import Job
from gridjig.rack import Piece, Rack
from gridjig.rack.measure import is_same_thing, measure_of

from .rack import replace_rack, used_pieces

_OWN = re.compile(r"-(inch|metric|other)(-\d+)?$")  # of an id that was given here

ImportKind = Literal["added", "changed", "gone", "name", "walk"]


class ImportLine(Struct, frozen=True):
    """What one line of an import would do: to a piece, or to the rack's name or walking order.

    `before` is the piece as this rack has it, `after` as it would be; `beside` is the different
    piece that has the same id in this rack.
    """

    key: str
    does: ImportKind
    before: Piece | None = None
    after: Piece | None = None
    beside: Piece | None = None

    @property
    def piece(self) -> Piece | None:
        """The piece that it is about, if any."""
        return self.after or self.before


class RackComparison(Struct, frozen=True):
    """Every line that an import has, and how many pieces are the same."""

    other: Rack
    replace: bool
    lines: tuple[ImportLine, ...]
    same: int

    def usual(self, job: Job) -> frozenset[str]:
        """The keys of the lines that are taken unless someone says otherwise: all but those that
        would remove a piece that is in use.
        """
        used = used_pieces(job)
        return frozenset(
            line.key
            for line in self.lines
            if not (line.does == "gone" and line.before and line.before.id in used)
        )


def compare(rack: Rack, other: Rack, replace: bool = False) -> RackComparison:
    """What importing `other` would do to a rack: merged into it, or replacing it."""
    ids, found = _matched(rack, other)
    lines: list[ImportLine] = []
    same = 0
    for piece in other.pieces:
        after = _renamed(piece, ids)
        before = found.get(piece.id)
        if before is None:
            beside = rack.find(piece.id)
            lines.append(ImportLine(f"piece {after.id}", "added", None, after, beside))
        elif before.is_alike(after):
            same += 1
        else:
            lines.append(ImportLine(f"piece {after.id}", "changed", before, after))
    if replace:
        matched = {piece.id for piece in found.values()}
        gone = (piece for piece in rack.pieces if piece.id not in matched)
        lines += [ImportLine(f"piece {piece.id}", "gone", piece) for piece in gone]
        if other.name != rack.name:
            lines.append(ImportLine("name", "name"))
        if other.walk != rack.walk:
            lines.append(ImportLine("walk", "walk"))
    return RackComparison(other, replace, tuple(lines), same)


def imported(job: Job, compared: RackComparison, taken: Collection[str]) -> Job:
    """The job with its rack as the lines with these keys make it.

    Raises ValueError if a placed piece would be lost, or lose what it is mounted by.
    """
    rack, other = job.rack, compared.other
    pieces = {piece.id: piece for piece in rack.pieces}
    come: set[str] = set()
    for line in compared.lines:
        if line.key not in taken or line.piece is None:
            continue
        if line.after is None:
            del pieces[line.piece.id]
        else:
            pieces[line.after.id] = line.after
            come.add(line.after.bin)
    if compared.replace:
        name = other.name if "name" in taken else rack.name
        walk = other.walk if "walk" in taken else rack.walk
        pieces = _in_order(pieces, other, _matched(rack, other)[0])
    else:
        name, walk = rack.name, rack.walk
    walk = (*walk, *(place for place in other.walk if place in come and place not in walk))
    made = Rack(name=name, walk=walk, pieces=tuple(pieces.values()))
    return replace_rack(job, made)


def _matched(rack: Rack, other: Rack) -> tuple[dict[str, str], dict[str, Piece]]:
    """By the ids of the other rack: the id that each piece has or gets, and the piece of this rack
    that it is.
    """
    ids: dict[str, str] = {}
    found: dict[str, Piece] = {}
    taken = {piece.id for piece in (*rack.pieces, *other.pieces)}
    for piece in other.pieces:
        there = rack.find(piece.id)
        if there is not None and is_same_thing(there, piece):
            ids[piece.id], found[piece.id] = there.id, there
    for piece in other.pieces:
        if piece.id in ids:
            continue
        there = _namesake(rack, piece, ids.values())
        if there is not None:
            ids[piece.id], found[piece.id] = there.id, there
        elif rack.find(piece.id) is None:
            ids[piece.id] = piece.id
        else:
            ids[piece.id] = next(name for name in _names(piece) if name not in taken)
            taken.add(ids[piece.id])
    return ids, found


def _names(piece: Piece) -> Iterator[str]:
    """Ids for a piece whose own id is that of another thing."""
    stem = f"{piece.id[:40]}-{measure_of(piece) or 'other'}"
    yield stem
    yield from (f"{stem}-{number}" for number in range(2, 20_000))


def _namesake(rack: Rack, piece: Piece, claimed: Collection[str]) -> Piece | None:
    """The piece of the rack that an earlier import has put there for this one, or the reverse."""
    base = _OWN.sub("", piece.id)
    stem = next(_names(piece))
    for there in rack.pieces:
        alike = there.id in (base, stem) or there.id.startswith(f"{stem}-")
        if alike and there.id not in claimed and is_same_thing(there, piece):
            return there
    return None


def _renamed(piece: Piece, ids: dict[str, str]) -> Piece:
    takes = tuple(ids.get(pin, pin) for pin in piece.takes)
    return structs.replace(piece, id=ids[piece.id], takes=takes)


def _in_order(pieces: dict[str, Piece], other: Rack, ids: dict[str, str]) -> dict[str, Piece]:
    """The pieces in the order of the other rack, what it has not last."""
    first = [ids[piece.id] for piece in other.pieces if ids[piece.id] in pieces]
    return {key: pieces[key] for key in dict.fromkeys((*first, *pieces))}
