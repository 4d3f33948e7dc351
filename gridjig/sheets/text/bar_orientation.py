"""How a bar lies, in shop words: flat or on edge, heel on the right, web down."""

from gridjig.model import Display, Section, WayUp
from gridjig.units import format_length

_CLOCKWISE: tuple[tuple[str, str], ...] = (
    ("below", "right"),
    ("below", "left"),
    ("above", "left"),
    ("above", "right"),
)
"""Where an angle's heel is for each way up, as seen from the start."""


def ways_up(section: Section) -> tuple[WayUp, ...]:
    """Return the ways up that differ for a section."""
    if section.handed:
        return (0, 90, 180, 270)
    return (0,) if section.width == section.height else (0, 90)


def listed_way(section: Section, way_up: WayUp) -> WayUp:
    """Return the one of `ways_up` that is the same for the section as this way up."""
    ways = ways_up(section)
    if way_up in ways:
        return way_up
    return 90 if way_up == 270 and 90 in ways else 0


def lying_in_words(
    section: Section, way_up: WayUp, mirrored: bool = False, display: Display | None = None
) -> str:
    """Return how it lies, looking along it from its start; left and right are the bar's own."""
    turned = way_up in (90, 270)
    lies, stands = section.width, section.height
    if turned:
        lies, stands = stands, lies
    height, side = _CLOCKWISE[way_up // 90]
    if mirrored:
        side = "left" if side == "right" else "right"
    match section.kind:
        case "angle":
            leg = "leg" if lies == stands else f"{format_length(lies, display or Display())} leg"
            return f"{leg} {height}, heel on the {side}"
        case "channel":
            if not turned:
                return f"web upright on the {side}"
            return "on its web, toes up" if height == "below" else "on its toes, web up"
        case _ if lies == stands:
            return "any way up"
        case "flat":
            return "flat" if lies > stands else "on edge"
        case _:
            return "wide face down" if lies > stands else "on its narrow face"
