"""The cautions that are shown where they matter; all of them stand under Help, Cautions."""

from gridjig.model import Job
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units import Display, format_mass

TWO_PEOPLE_KG = 23.0
"""From this mass on it takes two people or a hoist: 51 lb, the reference mass of ISO 11228-1 and of
the lifting equation that is usual in the US; from memory."""

ON_A_SHEET = (
    "Planning aid; strength is not checked. Follow the drawing, the shop's procedures, the maker's"
    " instructions and the law that applies.",
    "Before the first tack: helmet, dry gloves, extraction, fire watch, cylinders chained. Fingers"
    " clear of clamps; nobody below a raised part.",
)
CLAMP = "Closing clamps pinch: keep fingers clear."
STACK = "A stack can kick out under load: keep it low, and clamp over it."
RAISED = "A raised part can fall: hold it by something else until its last clamp is closed."


def piece_cautions(job: Job, there: PlacedPiece) -> str:
    """Return the cautions for a placed piece, one to a line; empty for most."""
    piece = job.rack.piece(there.placement.piece)
    said = []
    if piece.tip is not None:
        said.append(CLAMP)
    if len(there.placement.lift) > 1:
        said.append(STACK)
    if piece.rests:
        said.append(RAISED)
    return "\n".join(said)


def turning_caution(mass_kg: float, display: Display) -> str:
    """Return the caution for turning the work over, with its mass."""
    mass = format_mass(mass_kg, display)
    hands = (
        f"It weighs {mass}: two people or a hoist."
        if mass_kg >= TWO_PEOPLE_KG
        else f"It weighs {mass}."
    )
    return f"{hands} Open the far clamps first; it may spring. A tack is not a lifting point."
