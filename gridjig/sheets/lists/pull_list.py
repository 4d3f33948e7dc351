"""The pull list: what to fetch from the rack for a job, bin by bin in walking order.

Plain values, and from them a table for the clipboard and CSV.  Draws nothing.
"""

from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct

from gridjig.checks.needs import needs, short_by
from gridjig.model import Job
from gridjig.rack import PieceKind
from gridjig.sheets.lists.csv_text import csv_text, harmless
from gridjig.sheets.lists.piece_settings import PieceSetting, piece_settings, setting_words
from gridjig.sheets.text.placed_text import place_words
from gridjig.sheets.text.sorting import natural
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units import Display, data_number, format_mass, mass_words

NO_BIN = ""
HEADINGS = ("Bin", "Piece", "Size", "Needed", "On hand", "Short by", "Mass", "Goes in", "Set to")


class PullLine(Struct, frozen=True):
    """One kind of piece: how many to fetch, and for which placements.

    `mass` is that of all that are needed, kg; `holes` is where they go, as painted on the table.
    `settings` are for the pieces themselves, not for the pins, risers and shims that go with them.
    """

    piece: str
    name: str
    size: str
    kind: PieceKind
    needed: int
    owned: int
    short: int
    bin: str
    mass: float
    placements: tuple[str, ...]
    holes: tuple[str, ...]
    settings: tuple[PieceSetting, ...]


class PullGroup(Struct, frozen=True):
    """The lines of one bin.  `bin` is empty for pieces without a known bin."""

    bin: str
    lines: tuple[PullLine, ...]


class PullList(Struct, frozen=True):
    """All groups in walking order, with the job's name and the way lengths and masses are shown."""

    job: str
    rack: str
    display: Display
    groups: tuple[PullGroup, ...]

    @property
    def lines(self) -> tuple[PullLine, ...]:
        """All lines, in walking order."""
        return tuple(line for group in self.groups for line in group.lines)

    @property
    def needed(self) -> int:
        """The total number of things to fetch."""
        return sum(line.needed for line in self.lines)

    @property
    def short(self) -> int:
        """The total number of things missing."""
        return sum(line.short for line in self.lines)

    @property
    def mass(self) -> float:
        """The total mass to fetch, kg."""
        return sum(line.mass for line in self.lines)


def pull_list(job: Job, placed_pieces: Mapping[str, PlacedPiece] | None = None) -> PullList:
    """Return what to pull for a job, with its pins, risers and shims, and how each piece is set.

    `placed_pieces` are the solved placements, if already known.
    """
    stood = PlacedPieces().of(job) if placed_pieces is None else placed_pieces
    of_piece: dict[str, list[PieceSetting]] = {}
    for setting in piece_settings(job, stood):
        of_piece.setdefault(stood[setting.placement].placement.piece, []).append(setting)
    where = {p.id: place_words(job.table, p) for p in job.placements}
    by_bin: dict[str, list[PullLine]] = {}
    for piece_id, need in needs(job).items():
        piece = job.rack.find(piece_id)
        line = PullLine(
            piece=piece_id,
            name=piece.name if piece else piece_id,
            size=piece.size if piece else "",
            kind=piece.kind if piece else "other",
            needed=need.count,
            owned=piece.owned if piece else 0,
            short=short_by(piece, need),
            bin=piece.bin if piece else NO_BIN,
            mass=(piece.mass if piece else 0.0) * need.count,
            placements=need.placements,
            holes=tuple(where[i] for i in need.placements),
            settings=tuple(of_piece.get(piece_id, ())),
        )
        by_bin.setdefault(line.bin, []).append(line)
    order = walking_order(by_bin, job.rack.walk)
    groups = tuple(PullGroup(place, tuple(by_bin[place])) for place in order)
    return PullList(job.name, job.rack.name, job.display, groups)


def walking_order(bins: Iterable[str], walk: tuple[str, ...]) -> tuple[str, ...]:
    """Return bins in the order of `walk`, then the others, A2 before A10, then what has no bin."""
    place = {name: index for index, name in enumerate(walk)}
    last = len(walk)
    return tuple(
        sorted(bins, key=lambda name: (name == NO_BIN, place.get(name, last), natural(name)))
    )


def _cells(line: PullLine, display: Display) -> tuple[str, ...]:
    return (
        line.bin,
        line.name,
        line.size,
        str(line.needed),
        str(line.owned),
        str(line.short) if line.short else "",
        format_mass(line.mass, display),
        ", ".join(line.holes),
        "; ".join(
            f"{one.holes}: {words}"
            for one in line.settings
            if (words := setting_words(one, display))
        ),
    )


def to_text(pulled: PullList) -> str:
    """Return a tab-separated table, as spreadsheets paste it from the clipboard."""
    heads = [mass_words(h, pulled.display) for h in HEADINGS]
    rows = [heads, *(_cells(line, pulled.display) for line in pulled.lines)]
    return "".join("\t".join(map(_flat, row)) + "\n" for row in rows)


def _flat(text: str) -> str:
    """A cell without tabs and line ends, which would break the table."""
    return harmless(" ".join(text.split()))


def to_csv(pulled: PullList) -> str:
    """Return the same table as comma-separated values (RFC 4180), with masses in kg as numbers."""
    *first, set_to = HEADINGS
    heads = (h if h != "Mass" else "Mass kg" for h in first)
    rows: list[Sequence[str]] = [[*heads, "Piece id", "Weight", set_to]]
    for line in pulled.lines:
        *cells, weight, holes, settings = _cells(line, pulled.display)
        mass = data_number(line.mass, 3)
        rows.append([*cells, mass, holes, line.piece, weight, settings])
    return csv_text(rows)
