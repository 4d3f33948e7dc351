"""What `gridjig pull --json` prints."""

from gridjig.rack import PieceKind
from gridjig.sheets.lists.pull_list import PullLine, PullList

from .base import Output


class PulledPiece(Output, frozen=True):
    """One kind of piece: how many to fetch, their mass in all, and where they go."""

    piece: str
    name: str
    size: str
    kind: PieceKind
    needed: int
    owned: int
    short: int
    mass_kg: float
    placements: tuple[str, ...]
    holes: tuple[str, ...]


class PulledBin(Output, frozen=True):
    """The pieces of one bin; its name is empty for pieces that hang nowhere known."""

    bin: str
    pieces: tuple[PulledPiece, ...]


class PullOutput(Output, frozen=True):
    """The pull list of a job, bin by bin in walking order."""

    job: str
    rack: str
    needed: int
    short: int
    mass_kg: float
    bins: tuple[PulledBin, ...]


def pull_output(pulled: PullList) -> PullOutput:
    """The list as it is printed."""
    return PullOutput(
        job=pulled.job,
        rack=pulled.rack,
        needed=pulled.needed,
        short=pulled.short,
        mass_kg=round(pulled.mass, 3),
        bins=tuple(
            PulledBin(group.bin, tuple(_piece(line) for line in group.lines))
            for group in pulled.groups
        ),
    )


def _piece(line: PullLine) -> PulledPiece:
    return PulledPiece(
        piece=line.piece,
        name=line.name,
        size=line.size,
        kind=line.kind,
        needed=line.needed,
        owned=line.owned,
        short=line.short,
        mass_kg=round(line.mass, 3),
        placements=line.placements,
        holes=line.holes,
    )
