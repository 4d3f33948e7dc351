"""Why a piece cannot be placed or set as asked, in a sentence."""

from typing import assert_never

from gridjig.model import Table
from gridjig.model.labels import address
from gridjig.solve.grid.hole_faults import ClosedHole, OffTable
from gridjig.solve.mounting.faults import (
    FeatureFault,
    HoleFromPivot,
    HolesApart,
    HolesDisagree,
    HoleUsedTwice,
    PieceFault,
    TooThickForFeature,
    TooThickForHole,
)
from gridjig.solve.mounting.track import EPS
from gridjig.solve.placed.faults import NotOnRack, SettingFault
from gridjig.solve.poses.faults import (
    HoleTaken,
    NearestOnly,
    NoSecondHole,
    PlacingFault,
    PoseFault,
)
from gridjig.units import Display, format_angle, format_length, unmarked

_OF_A_PIECE = {
    "never turned over": "{} does not work turned over.",
    "base in no hole": "The base of {} is in no hole; pin it first.",
    "no locking pin": "{} needs a locking pin; the rack has none that it takes.",
    "no second body": "{} has no leaf to set.",
    "outside its scale": "A pin there would hold {} outside its scale.",
    "no face to pack": "{} has no face to put packing against.",
    "base not fixed": "Pin the base of {} in two holes before locking its arm.",
    "nothing to mount by": "{} has no hole or pin to mount it by.",
    "no hole at its pitch": "{} does not suit the pitch of this table: no second hole lines up.",
    "cannot turn here": "This piece cannot be turned in these holes; try another hole.",
    "no other hole": "No other hole can be used here; the angle stays as it is.",
    "does not slide": "This piece is held by its pins; it does not slide.",
    "no arm": "{} has no arm to set.",
    "no lock hole": "No hole can lock the arm here; the angle stays as it is.",
}
_OF_A_FEATURE = {
    "unknown": "{piece} has no hole or slot called {feature}.",
    "used twice": "{feature} of {piece} is used twice; it takes one pin.",
    "in no hole": "{feature} of {piece} is in no hole; each of its pins must be in one.",
}


def placing_text(fault: PlacingFault, table: Table, display: Display) -> str:
    """Return why a piece cannot be placed or set as asked, in a sentence."""
    match fault:
        case OffTable() | ClosedHole() | HoleTaken() | HoleUsedTwice() | NoSecondHole():
            text = _hole_text(fault, table)
        case TooThickForHole() | TooThickForFeature() | HolesApart() | HoleFromPivot():
            text = _fit_text(fault, table, display)
        case NearestOnly():
            wanted, nearest = (
                format_angle(value) if fault.unit == "deg" else format_length(value, display)
                for value in (fault.wanted, fault.nearest)
            )
            text = f"{wanted} is not possible here; the nearest is {nearest}."
        case HolesDisagree():
            text = f"The piece does not fit these {fault.count} holes all at once; leave one out."
        case NotOnRack():
            text = f"Piece {fault.piece} is not on the rack."
        case FeatureFault():
            text = _OF_A_FEATURE[fault.what].format(piece=fault.piece, feature=fault.feature)
        case PieceFault() | SettingFault() | PoseFault():
            text = _OF_A_PIECE[fault.what].format(fault.piece)
        case _:
            assert_never(fault)
    return text


def _hole_text(
    fault: OffTable | ClosedHole | HoleTaken | HoleUsedTwice | NoSecondHole, table: Table
) -> str:
    """Why a hole, or the one beside it, cannot be used."""
    match fault:
        case OffTable():
            past = " and ".join(
                f"{n} {'hole' if n == 1 else 'holes'} past its {edge} edge"
                for n, edge in fault.past
            )
            return f"A pin would be off the table, {past}."
        case ClosedHole():
            return f"Hole {address(table, fault.hole)} is {fault.state}."
        case HoleTaken():
            return f"Hole {address(table, fault.hole)} is taken."
        case HoleUsedTwice():
            return f"Hole {address(table, fault.hole)} is used twice; give each pin its own hole."
        case NoSecondHole():
            why = ", ".join(f"{address(table, hole)} is {why}" for hole, why in fault.others)
            at = address(table, fault.hole)
            return (
                f"There is no second hole for {fault.piece} at {at}:"
                f" {why or 'all would be off the table'}."
            )


def _fit_text(
    fault: TooThickForHole | TooThickForFeature | HolesApart | HoleFromPivot,
    table: Table,
    display: Display,
) -> str:
    """Why a pin does not go in, with what it measures and what it needs."""
    if isinstance(fault, TooThickForHole | TooThickForFeature):
        pin = format_length(fault.diameter, display)
        if isinstance(fault, TooThickForHole):
            at, bore = address(table, fault.hole), format_length(fault.bore, display)
            return f"A {pin} {fault.kind} does not fit hole {at}, which is {bore} across."
        width = format_length(fault.width, display)
        return f"A {pin} pin does not fit {fault.feature} of {fault.piece}, which is {width} wide."
    have = format_length(fault.distance, display)
    need = _range(fault.least, fault.most, display)
    # If the two lengths read the same, the sentence has to say more.
    end = ", and play does not make up the rest." if unmarked(have) == unmarked(need) else "."
    if isinstance(fault, HolesApart):
        a, b = (address(table, hole) for hole in fault.holes)
        return f"Holes {a} and {b} are {have} apart; this piece needs {need}{end}"
    return f"Hole {address(table, fault.hole)} is {have} from the pivot; the arm needs {need}{end}"


def _range(low: float, high: float, display: Display) -> str:
    """A distance, or a range of distances, in words."""
    least, most = format_length(low, display), format_length(high, display)
    if least == most:
        return least
    return f"{most} or less" if low <= EPS else f"{least} to {most}"
