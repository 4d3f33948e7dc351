"""Welds in words: the sides of a seam, sizes by leg, throat or depth, and the estimated deposit."""

from collections.abc import Sequence

from gridjig.model import Display, WeldKind
from gridjig.solve.weldment.all_round import SeamSide
from gridjig.solve.weldment.deposit import DENSITY, leg_of, throat_of
from gridjig.solve.weldment.welding import WeldTotal
from gridjig.solve.weldment.welds import THROATED, Welded
from gridjig.units import format_length, format_measure
from gridjig.units.masses import format_density, format_small_mass
from gridjig.units.measures import format_volume

FORMULAS: dict[WeldKind, str] = {
    "fillet": "leg² / 2 × sin of the angle between the faces",
    "corner": "leg² / 2",
    "butt": "60° V, gap 2 mm, root face 2 mm: 2 s + tan 30° × (s - 2)², s in mm",
    "flare bevel": "(1 - π / 4) × depth²",
    "plug": "π / 4 × diameter² × thickness",
}
"""The area of each kind of weld, in words."""


def sides_in_words(sides: Sequence[SeamSide], display: Display) -> str:
    """Return each side with its length: top 2" from above, upright 2 x 6", underside 2" ..."""
    told: dict[tuple[str, str, str], int] = {}
    for side in sides:
        length = format_length(side.length, display)
        told[side.name, length, side.reach] = told.get((side.name, length, side.reach), 0) + 1
    words = []
    for (name, length, reach), count in told.items():
        times = f"{count} × " if count > 1 else ""
        how = f" ({reach})" if reach != name else ""
        words.append(f"{name} {times}{length}{how}")
    return ", ".join(words)


def size_in_words(one: Welded, display: Display) -> str:
    """Return a weld's size: leg 6 mm; throat 4 mm; depth 3 mm; hole 12 mm; "" without one."""
    if one.throat:
        return f"throat {format_length(one.throat, display)}"
    if not one.leg:
        return ""
    name = {"butt": "depth", "flare bevel": "depth", "plug": "hole"}.get(one.kind, "leg")
    return f"{name} {format_length(one.leg, display)}"


def size_words(one: Welded, display: Display) -> str:
    """Return a fillet's size by leg and by throat: leg 6 mm is a throat of 4.24 mm at 90°."""
    if one.kind not in THROATED or not one.sized:
        return ""
    leg, throat = one.leg or leg_of(one.throat), one.throat or throat_of(one.leg)
    shown = [f"leg {format_measure(leg, display)}", f"throat {format_measure(throat, display)}"]
    first, then = shown if one.leg else shown[::-1]
    return f"At 90°, {first} is {then}."


def deposit_words(totals: Sequence[WeldTotal], display: Display) -> str:
    """Return the estimated deposit of all welds with a size."""
    volume = format_volume(sum(total.volume for total in totals), display)
    mass = format_small_mass(sum(total.mass for total in totals), display)
    return f"about {mass} of deposit, {volume}"


def formula_words(totals: Sequence[WeldTotal]) -> str:
    """Return how the deposit was estimated, for the kinds of weld there are."""
    used = [f"{t.kind} {FORMULAS[t.kind]}" for t in totals if t.volume]
    if not used:
        return ""
    return (
        f"Deposit is an estimate: area × length at {format_density(DENSITY)}, without cap or"
        f" spatter. Area: {'; '.join(used)}."
    )
