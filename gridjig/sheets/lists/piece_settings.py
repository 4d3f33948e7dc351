"""How each placed piece is set: what you need to know at the table to set it without the plan.

Plain values and their words.  A face is measured, as always, from the hole nearest to it.
"""

from collections.abc import Mapping

from msgspec import Struct

from gridjig.model import Job
from gridjig.model.labels import address
from gridjig.model.titles import title
from gridjig.sheets.text.placed_text import place_words
from gridjig.solve.placed.face_distance import face_from_hole
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units import Display, format_angle, format_force, format_length, format_measure


class PieceSetting(Struct, frozen=True):
    """One placed piece as it is set; lengths in mm, angles in degrees.

    `face` is how far its first face is from the hole `face_hole`, including packing in front of
    it; None without a face, or if the face is on an arm's leaf.  `leaf` and `reach` are None for
    pieces that have none.  `lift` are the names of what is under it, from the table up, `packing`
    of what is in front of its face, from the piece out.
    """

    placement: str
    name: str
    holes: str
    turn: float
    flipped: bool
    clamped_by_hand: bool
    accepted_gap: float
    force: float
    face: float | None
    face_hole: str
    leaf: float | None
    reach: float | None
    lift: tuple[str, ...]
    packing: tuple[str, ...]


def piece_settings(job: Job, placed_pieces: Mapping[str, PlacedPiece]) -> tuple[PieceSetting, ...]:
    """Return the settings of all pieces that can stand, in the order of the job."""
    return tuple(
        _setting(job, placed)
        for p in job.placements
        if (placed := placed_pieces[p.id]).fault is None and placed.piece is not None
    )


def _setting(job: Job, placed: PlacedPiece) -> PieceSetting:
    placement, piece = placed.placement, placed.piece
    assert piece is not None
    face = None if piece.pivot is not None else face_from_hole(job.table, placed)
    return PieceSetting(
        placement=placement.id,
        name=title(job, placement.id),
        holes=place_words(job.table, placement),
        turn=placed.turn,
        flipped=placement.flipped,
        clamped_by_hand=placement.clamped_by_hand,
        accepted_gap=placement.accepted_gap,
        force=placement.force if piece.tip is not None else 0.0,
        face=None if face is None else face.distance,
        face_hole="" if face is None else address(job.table, face.hole),
        leaf=None if piece.pivot is None else placed.leaf,
        reach=None if piece.tip is None else placed.reach,
        lift=tuple(_named(job, one) for one in placement.lift),
        packing=tuple(_named(job, one) for one in placement.packing),
    )


def _named(job: Job, piece_id: str) -> str:
    piece = job.rack.find(piece_id)
    return f"{piece.name} {piece.size}".strip() if piece is not None else piece_id


def setting_words(setting: PieceSetting, display: Display) -> str:
    """Return a setting in one line: `face 1-1/2" from F6 over its packing (packing 1"), turn 90°`.

    Empty for what needs no setting, such as a pin or a riser on the table.
    """
    told = []
    front = ", then ".join(setting.packing)
    if setting.face is not None:
        away = format_length(setting.face, display)
        over = f" over its packing ({front})" if front else ""
        told.append(f"face {away} from {setting.face_hole}{over}")
    elif front:
        told.append(f"with {front} in front of it")
    # Packing lies on one side of a round pin, so that its turn matters too.
    turned = (setting.face, setting.leaf, setting.reach, front or None)
    if any(one is not None for one in turned):
        told.append(f"turn {format_angle(setting.turn)}")
    if setting.flipped:
        told.append("turned over")
    if setting.leaf is not None:
        told.append(f"arm opened to {format_angle(setting.leaf)}")
    if setting.reach is not None:
        told.append(f"reach {format_length(setting.reach, display)}")
    if setting.force:
        told.append(f"presses with {format_force(setting.force, display)}")
    if setting.clamped_by_hand:
        told.append("clamped by hand")
    if setting.accepted_gap:
        told.append(f"gap of {format_measure(setting.accepted_gap, display)} accepted")
    if setting.lift:
        told.append(f"on {', then '.join(setting.lift)}")
    return ", ".join(told)
