"""What is reported about an imported drawing: its size in each unit, what was used or not."""

from collections.abc import Sequence

from gridjig.units import Display, format_count, format_extent, format_figures, format_millimetres
from gridjig.units.spelling import spelled

from .drawing import REACH, TOLERANCE, UNITS, Count, Drawing
from .parts import ImportedParts, LayerUse, layers_of

LEAST_MM, MOST_MM = 5.0, 20_000.0
"""Sizes beyond which a drawing's unit is asked for, although it states one: a washer, a trailer.
Common practice, no source."""
UNIT_NAMES = {"mm": "mm", "cm": "cm", "m": spelled("metres"), "in": "inches", "ft": "feet"}


def size_words(drawing: Drawing, unit: str, display: Display) -> str:
    """Return how large it is if drawn in that unit, in the unit that lengths are shown in."""
    return format_extent(*drawing.size(unit), display)


def sizes_words(drawing: Drawing, display: Display) -> str:
    """Return how large it is in each unit."""
    sizes = (f"{size_words(drawing, unit, display)} if {unit}" for unit in UNITS)
    return ", ".join(sizes)


def used_words(drawing: Drawing, brought: ImportedParts) -> str:
    """Return what was imported."""
    counts = (
        Count(brought.plates, "plate", "plates"),
        Count(brought.members, "member", "members"),
    )
    made = " and ".join(str(count) for count in counts if count.number)
    if brought.holes:
        made += f" with {Count(brought.holes, 'hole', 'holes')}"
    loose = (
        f", {Count(drawing.joined, 'loose line', 'loose lines')} joined" if drawing.joined else ""
    )
    between = f", {format_count(brought.between)} open lines as edges" if brought.between else ""
    return f"{made or 'nothing'}{loose}{between}"


def accuracy_words(drawing: Drawing) -> str:
    """Return how close the outlines are to what was drawn."""
    if drawing.unit is None:
        return "Choose the unit to see how closely curves are followed."
    curves = f"Curves are flattened to within {format_millimetres(TOLERANCE)}"
    return f"{curves}; ends up to {format_millimetres(REACH)} apart are joined."


def unused_words(
    drawing: Drawing,
    uses: Sequence[LayerUse],
    brought: ImportedParts | None,
    border: bool = False,
) -> tuple[str, ...]:
    """Return what was not used and why, one item per line."""
    lines = [str(count) for count in drawing.unused]
    used = layers_of(drawing, uses)
    if drawing.aside and not border:
        lines.append(border_words(drawing))
    between = 0 if brought is None else brought.between
    lines += _some(
        sum(len(layer.paths) for layer in used) - between,
        "line that is not part of a closed outline",
        "lines that are not part of a closed outline",
    )
    if any(use.section is not None for use in uses):
        lines += _some(
            sum(layer.uncompared for layer in used),
            "line of too many to be compared in pairs",
            "lines too many to be compared in pairs",
        )
    others = [layer for layer in drawing.layers if layer not in used]
    idle = sum(len((*one.outlines, *one.openings, *one.paths)) for one in others)
    lines += _some(idle, "shape on a layer not chosen", "shapes on layers not chosen")
    lines += _some(drawing.doubled, "line drawn twice", "lines drawn twice")
    lines += _crossings(drawing)
    if brought is not None:
        lines += _some(
            brought.spaces,
            "closed loop that is only the edges of members",
            "closed loops that are only the edges of members",
        )
        lines += _some(brought.lost, "outline too small", "outlines too small")
        lines += _some(
            brought.uncut,
            "hole in a member, or too near to an edge",
            "holes in members, or too near to an edge",
        )
    return tuple(lines)


def border_words(drawing: Drawing) -> str:
    """Return what was taken for the border and the title block."""
    if len(drawing.aside) == 1:
        return "the drawing's border"
    return f"the drawing's border and title block ({Count(len(drawing.aside), 'shape', 'shapes')})"


def unit_words(drawing: Drawing) -> str:
    """Return a sentence about a unit that is none; "" for any other."""
    if not drawing.name.casefold().endswith(".svg"):
        return ""
    if drawing.sketch.unit is None:
        return "The SVG is drawn in user units, which have no length of their own."
    if drawing.sketch.unit == "px":
        return "The SVG is drawn in user units; as CSS has it, 96 of them are an inch."
    return ""


def doubt_words(drawing: Drawing, display: Display) -> str:
    """Return a question if the unit that the file states gives a size that no weldment has."""
    unit = drawing.sketch.unit
    if unit is None:
        return ""
    longest = max(drawing.size(unit))
    if LEAST_MM <= longest <= MOST_MM:
        return ""
    name = UNIT_NAMES.get(unit, unit)
    return f"The drawing would be {size_words(drawing, unit, display)}: is it really in {name}?"


def _some(number: int, one: str, many: str) -> list[str]:
    return [str(Count(number, one, many))] if number else []


def _crossings(drawing: Drawing) -> list[str]:
    if not drawing.crossings:
        return []
    count = Count(
        len(drawing.crossings), "outline that crosses itself", "outlines that cross themselves"
    )
    first = drawing.crossings[0]
    spots = f"at x {format_figures(first.at[0])}, y {format_figures(first.at[1])} of the drawing"
    return [f"{count}, {'the first ' if count.number > 1 else ''}{spots}"]
