"""The rack as the rack pane lists it: by kind, filtered, each piece with how many are left."""

from collections.abc import Callable, Mapping, Sequence
from typing import Literal, get_args

from msgspec import Struct

from gridjig.checks.needs import left_of, needs
from gridjig.model import Job
from gridjig.rack import Piece, PieceKind
from gridjig.sheets.text.sorting import measured, natural

PieceOrder = Literal["name", "used", "owned", "bin"]

HEADINGS: Mapping[PieceKind, str] = {
    "pin": "Pins",
    "fixed stop": "Fixed stops",
    "adjustable stop": "Adjustable stops",
    "square": "Squares",
    "bevel": "Angle blocks",
    "arm": "Variable-angle arms",
    "V-block": "V-blocks",
    "clamp": "Clamps",
    "riser": "Risers",
    "shim": "Shims and packing",
    "locking pin": "Locking pins",
    "other": "Other pieces",
}


class DrawerLine(Struct, frozen=True):
    """A heading (no piece) or a piece with its count."""

    heading: str
    piece: Piece | None = None
    left: int = 0

    @property
    def piece_id(self) -> str:
        """Id of the piece; empty for a heading."""
        return self.piece.id if self.piece else ""

    @property
    def name(self) -> str:
        """Name of the piece."""
        return self.piece.name if self.piece else self.heading

    @property
    def short_name(self) -> str:
        """The name without what the heading already says: under arms, `Leaf and scale`."""
        own = self.name.removeprefix(f"{self.heading.removesuffix('s')}, ")
        return own[:1].upper() + own[1:]

    @property
    def size(self) -> str:
        """The size of the piece in the maker's own words."""
        return self.piece.size if self.piece else ""

    @property
    def can_place(self) -> bool:
        """True if the piece stands in holes of its own."""
        return self.piece is not None and self.piece.is_placed

    @property
    def short(self) -> bool:
        """True if more stand on the table than the rack has."""
        return self.left < 0

    @property
    def count_words(self) -> str:
        """How many are left, or how many are missing, in words."""
        if self.piece is None:
            return ""
        if self.short:
            return f"▲ short by {-self.left}"
        bin_words = f" · bin {self.piece.bin}" if self.piece.bin else ""
        return f"{self.left} of {self.piece.owned} left{bin_words}"

    @property
    def spoken(self) -> str:
        """The line as one string."""
        if self.piece is None:
            return self.heading
        return ", ".join(t for t in (self.name, self.size, self.count_words) if t)

    @property
    def help(self) -> str:
        """What can be done with the piece."""
        if self.piece is None:
            return ""
        if self.can_place:
            return f"{self.spoken}\nDrag it to a hole, or click it and then a hole."
        if self.piece.kind == "locking pin":
            return f"{self.name}: is placed with the piece it pins; place that piece."
        return f"{self.name}: add it under or in front of a piece, in that piece's form."


def drawer_lines(job: Job, search: str = "") -> tuple[DrawerLine, ...]:
    """Return headings and pieces of the rack with all words of `search` in name, size or kind."""
    words = search.lower().split()
    needed = needs(job)
    lines: list[DrawerLine] = []
    for kind in get_args(PieceKind):
        of_kind = [p for p in job.rack.pieces if p.kind == kind and _has(p, words)]
        if of_kind:
            lines.append(DrawerLine(HEADINGS[kind]))
        for piece in of_kind:
            left = left_of(piece, needed.get(piece.id))
            lines.append(DrawerLine(HEADINGS[kind], piece, left))
    return tuple(lines)


def sorted_pieces(
    lines: Sequence[DrawerLine], by: PieceOrder, down: bool = False
) -> tuple[DrawerLine, ...]:
    """Return the lines without headings, in order of name and size, number or bin.

    Pieces that compare equal stay as the lines have them.
    """
    keys: Mapping[PieceOrder, Callable[[Piece, DrawerLine], object]] = {
        "name": lambda piece, _: (natural(piece.name), measured(piece.size)),
        "used": lambda piece, line: piece.owned - line.left,
        "owned": lambda piece, _: piece.owned,
        "bin": lambda piece, _: natural(piece.bin),
    }
    pairs = [(line.piece, line) for line in lines if line.piece is not None]
    pairs.sort(key=lambda pair: keys[by](*pair), reverse=down)  # type: ignore[arg-type,return-value]
    return tuple(line for _, line in pairs)


def _has(piece: Piece, words: list[str]) -> bool:
    text = f"{piece.name} {piece.size} {piece.kind} {HEADINGS[piece.kind]} {piece.bin}".lower()
    return all(word in text for word in words)
