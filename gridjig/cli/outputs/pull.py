"""What `gridjig pull --json` prints."""

from gridjig.rack import PieceKind
from gridjig.sheets.lists.piece_settings import PieceSetting, setting_words
from gridjig.sheets.lists.pull_list import PullLine, PullList
from gridjig.units import Display, format_mass

from .base import Output


class PulledSetting(Output, frozen=True):
    """How one placed piece is set; mm and degrees.

    `face_mm` is from the centre of `face_hole`, the hole nearest to the face; `lift` from the table
    up and `packing` from the piece out are names.  What a piece has not is null.
    """

    placement: str
    name: str
    holes: str
    turn_deg: float
    turned_over: bool
    clamped_by_hand: bool
    accepted_gap_mm: float
    face_mm: float | None
    face_hole: str | None
    leaf_deg: float | None
    reach_mm: float | None
    lift: tuple[str, ...]
    packing: tuple[str, ...]
    words: str


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
    weight: str
    settings: tuple[PulledSetting, ...]


class PulledBin(Output, frozen=True):
    """The pieces of one bin; its name is empty for pieces that hang nowhere known."""

    bin: str
    pieces: tuple[PulledPiece, ...]


class PullOutput(Output, frozen=True):
    """The pull list of a job, bin by bin in walking order; `weight` is in the unit of the job."""

    job: str
    rack: str
    needed: int
    short: int
    mass_kg: float
    bins: tuple[PulledBin, ...]
    weight: str


def pull_output(pulled: PullList) -> PullOutput:
    """The list as it is printed."""
    return PullOutput(
        job=pulled.job,
        rack=pulled.rack,
        needed=pulled.needed,
        short=pulled.short,
        mass_kg=round(pulled.mass, 3),
        bins=tuple(
            PulledBin(group.bin, tuple(_piece(line, pulled.display) for line in group.lines))
            for group in pulled.groups
        ),
        weight=format_mass(pulled.mass, pulled.display),
    )


def _piece(line: PullLine, display: Display) -> PulledPiece:
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
        weight=format_mass(line.mass, display),
        settings=tuple(_setting(one, display) for one in line.settings),
    )


def _setting(one: PieceSetting, display: Display) -> PulledSetting:
    return PulledSetting(
        placement=one.placement,
        name=one.name,
        holes=one.holes,
        turn_deg=_rounded(one.turn),
        turned_over=one.flipped,
        clamped_by_hand=one.clamped_by_hand,
        accepted_gap_mm=_rounded(one.accepted_gap),
        face_mm=None if one.face is None else _rounded(one.face),
        face_hole=one.face_hole or None,
        leaf_deg=None if one.leaf is None else _rounded(one.leaf),
        reach_mm=None if one.reach is None else _rounded(one.reach),
        lift=one.lift,
        packing=one.packing,
        words=setting_words(one, display),
    )


def _rounded(value: float) -> float:
    return round(value, 6) + 0.0
