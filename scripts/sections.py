"""Writes assets/sections.json: common stock sizes, computed from short lists of sizes.

Run it after changing a size; a test compares the file with what this would write.  Areas and masses
are not in it: they follow from the sizes.
"""

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

from gridjig.files.format.file_format import write
from gridjig.files.library.sections import FORMAT, Group, ListedSection, SectionList
from gridjig.model import Section, SectionKind
from gridjig.model.stock import corner_radii

FILE = Path(__file__).resolve().parent.parent / "assets" / "sections.json"
IN = 25.4

EN_TUBE = "EN 10219-2: sizes from memory, corner radii 2T and 1T, over 6 mm 2.5T and 1.5T"
EN_ROUND = "EN 10219-2 and EN 10255 outside diameters, from memory"
EN_ANGLE = "EN 10056-1, root radius from memory, toe radius half of it"
EN_CHANNEL = "parallel flanges, EN 10365 sizes from memory"
COMMON = "common merchant size, no standard"
US_TUBE = "ASTM A500 sizes from memory, corner radii 2T and 1T as published masses are reckoned"
US_SHEET = "ASTM A513 sizes from memory, sheet gauge wall, corner radii 2T and 1T taken"
US_PIPE = "schedule 40 pipe, ASME B36.10M sizes from memory"
US_ANGLE = "ASTM A36 angle sizes from memory, fillets left out as in the published areas"
US_CHANNEL = "ASTM A6 C shapes from memory, flange thickness at its middle, fillets left out"

SQUARE = {
    20: "2", 25: "2 2.5 3", 30: "2 2.5 3", 40: "2 2.5 3 4", 50: "2 2.5 3 4 5", 60: "2 2.5 3 4 5",
    70: "3 4 5", 80: "3 4 5 6", 90: "3 4 5 6", 100: "3 4 5 6 8", 120: "4 5 6 8", 150: "5 6 8 10",
}  # fmt: skip
RECTANGULAR = {
    "40x20": "2 2.5 3", "40x30": "2", "50x25": "2 2.5 3", "50x30": "2 2.5 3 4", "60x30": "2 3 4",
    "60x40": "2 2.5 3 4 5", "80x40": "2 3 4 5 6", "80x60": "3 4 5", "90x50": "3 4 5",
    "100x40": "3 4", "100x50": "3 4 5 6", "100x60": "3 4 5 6", "120x60": "3 4 5 6 8",
    "120x80": "4 5 6 8", "150x100": "4 5 6 8",
}  # fmt: skip
ROUND = {
    21.3: "2.6 3.2", 26.9: "2.6 3.2", 33.7: "2.6 3.2 4", 42.4: "2.6 3.2 4", 48.3: "2.6 3.2 4 5",
    60.3: "2.9 3.2 3.6 4 5", 76.1: "3.2 3.6 4 5", 88.9: "3.2 4 5", 114.3: "3.6 4 5 6.3",
}  # fmt: skip
ANGLES = {
    "20x20": ("3", 3.5), "25x25": ("3 4", 3.5), "30x30": ("3 4", 5), "35x35": ("4", 5),
    "40x40": ("4 5", 6), "45x45": ("4.5", 7), "50x50": ("4 5 6", 7), "60x60": ("5 6 8", 8),
    "65x65": ("7", 9), "70x70": ("6 7", 9), "75x75": ("6 8", 9), "80x80": ("8 10", 10),
    "90x90": ("7 8 9 10", 11), "100x100": ("8 10 12", 12), "120x120": ("10 12", 13),
    "30x20": ("3 4", 4), "40x20": ("4", 4), "40x25": ("4", 4), "45x30": ("4", 4.5),
    "50x30": ("5", 5), "60x30": ("5", 5), "60x40": ("5 6", 6), "65x50": ("5", 6),
    "70x50": ("6", 7), "75x50": ("6 8", 7), "80x40": ("6 8", 7), "80x60": ("7", 8),
    "100x50": ("6 8", 8), "100x65": ("7 8", 10), "100x75": ("8 10", 10),
}  # fmt: skip
CHANNELS = (  # height, flange, web, flange thickness, root radius
    (80, 50, 4, 7, 10), (100, 55, 4.5, 7.5, 10), (120, 60, 5, 8, 12), (140, 65, 5, 9, 12),
    (160, 70, 5.5, 9.5, 12), (180, 75, 5.5, 10.5, 12), (200, 80, 6, 11, 13),
)  # fmt: skip
FLATS = {
    20: "3 4 5 6 8 10", 25: "3 4 5 6 8 10 12", 30: "3 4 5 6 8 10 12 15", 40: "3 4 5 6 8 10 12 15",
    50: "3 4 5 6 8 10 12 15 20", 60: "5 6 8 10 12 15 20", 80: "5 6 8 10 12 15 20",
    100: "5 6 8 10 12 15 20", 120: "6 8 10 12 15 20", 150: "6 8 10 12 15 20",
}  # fmt: skip
BARS = (6, 8, 10, 12, 14, 16, 18, 20, 22, 25, 30, 35, 40, 45, 50)

US_SQUARE = {
    "1": "1/8", "1-1/4": "1/8 3/16", "1-1/2": "1/8 3/16", "1-3/4": "1/8", "2": "1/8 3/16 1/4",
    "2-1/2": "1/8 3/16 1/4", "3": "1/8 3/16 1/4", "3-1/2": "3/16 1/4", "4": "1/8 3/16 1/4 3/8",
    "5": "3/16 1/4 3/8", "6": "3/16 1/4 3/8",
}  # fmt: skip
US_RECTANGULAR = {
    "2x1": "1/8 3/16", "2-1/2x1-1/2": "1/8 3/16", "3x1": "1/8", "3x1-1/2": "1/8 3/16",
    "3x2": "1/8 3/16 1/4", "4x2": "1/8 3/16 1/4", "4x3": "1/8 3/16 1/4", "5x2": "1/8 3/16 1/4",
    "5x3": "1/8 3/16 1/4", "6x2": "1/8 3/16 1/4", "6x3": "3/16 1/4", "6x4": "1/8 3/16 1/4 3/8",
}  # fmt: skip
GAUGES = {"16 ga": 0.065, "14 ga": 0.083, "11 ga": 0.120}
US_GAUGE_SQUARE = ("3/4", "1", "1-1/4", "1-1/2", "2")
US_GAUGE_RECTANGULAR = ("1-1/2x3/4", "1-1/2x1", "2x1", "3x1-1/2", "3x2")
US_OD = {
    "3/4": "16 ga", "1": "16 ga,14 ga,11 ga", "1-1/4": "16 ga,14 ga,11 ga",
    "1-1/2": "16 ga,14 ga,11 ga", "1-3/4": "14 ga,11 ga", "2": "16 ga,14 ga,11 ga",
}  # fmt: skip
PIPES = {
    "1/2": (0.84, 0.109), "3/4": (1.05, 0.113), "1": (1.315, 0.133), "1-1/4": (1.66, 0.14),
    "1-1/2": (1.9, 0.145), "2": (2.375, 0.154), "2-1/2": (2.875, 0.203), "3": (3.5, 0.216),
    "4": (4.5, 0.237),
}  # fmt: skip
US_ANGLES = {
    "3/4x3/4": "1/8", "1x1": "1/8 3/16", "1-1/4x1-1/4": "1/8 3/16 1/4",
    "1-1/2x1-1/2": "1/8 3/16 1/4", "2x2": "1/8 3/16 1/4 3/8", "2-1/2x2-1/2": "3/16 1/4 3/8",
    "3x3": "3/16 1/4 3/8 1/2", "4x4": "1/4 3/8 1/2", "2x1-1/2": "1/8 3/16 1/4",
    "2-1/2x2": "3/16 1/4", "3x2": "3/16 1/4 3/8", "4x3": "1/4 3/8",
}  # fmt: skip
US_CHANNELS = {  # height, flange, web, mean flange thickness
    "C3x4.1": (3, 1.41, 0.17, 0.273), "C3x5": (3, 1.498, 0.258, 0.273),
    "C4x5.4": (4, 1.584, 0.184, 0.296), "C4x7.25": (4, 1.721, 0.321, 0.296),
    "C5x6.7": (5, 1.75, 0.19, 0.32), "C6x8.2": (6, 1.92, 0.2, 0.343),
    "C8x11.5": (8, 2.26, 0.22, 0.39), "C10x15.3": (10, 2.6, 0.24, 0.436),
}  # fmt: skip
US_FLATS = {
    "1/2": "1/8 3/16 1/4", "3/4": "1/8 3/16 1/4 3/8", "1": "1/8 3/16 1/4 3/8 1/2",
    "1-1/4": "1/8 3/16 1/4 3/8 1/2", "1-1/2": "1/8 3/16 1/4 3/8 1/2",
    "2": "1/8 3/16 1/4 3/8 1/2 3/4", "2-1/2": "3/16 1/4 3/8 1/2", "3": "1/8 3/16 1/4 3/8 1/2 3/4 1",
    "4": "1/8 3/16 1/4 3/8 1/2 3/4 1", "5": "1/4 3/8 1/2", "6": "1/8 3/16 1/4 3/8 1/2 3/4 1",
}  # fmt: skip
US_BARS = ("1/4", "5/16", "3/8", "1/2", "5/8", "3/4", "7/8", "1", "1-1/4", "1-1/2", "2")


def inches(text: str) -> float:
    """Return inches such as `1-1/2` in mm."""
    return float(sum(map(Fraction, text.split("-")), Fraction(0))) * IN


def _pair(text: str, read: Callable[[str], float]) -> tuple[float, float]:
    first, second = text.split("x")
    return (read(first), read(second))


def _tube(
    group: Group, source: str, name: str, size: tuple[float, float], wall: float
) -> ListedSection:
    kind: SectionKind = "square tube" if size[0] == size[1] else "rectangular tube"
    outside, inside = corner_radii(wall, group)
    return ListedSection(
        group=group,
        source=source,
        section=Section(
            name=name,
            kind=kind,
            width=size[0],
            height=size[1],
            wall=wall,
            radius=outside,
            toe=inside,
        ),
    )


def _round(group: Group, source: str, name: str, across: float, wall: float = 0.0) -> ListedSection:
    kind: SectionKind = "round tube" if wall else "round bar"
    made = Section(name=name, kind=kind, width=across, height=across, wall=wall)
    return ListedSection(group=group, source=source, section=made)


def _angle(
    group: Group, source: str, name: str, legs: tuple[float, float], wall: float, root: float = 0.0
) -> ListedSection:
    made = Section(
        name=name,
        kind="angle",
        width=legs[0],
        height=legs[1],
        wall=wall,
        radius=root,
        toe=root / 2.0,
    )
    return ListedSection(group=group, source=source, section=made)


def _flat(group: Group, name: str, width: float, thick: float) -> ListedSection:
    made = Section(name=name, kind="flat", width=width, height=thick)
    return ListedSection(group=group, source=COMMON, section=made)


def metric() -> list[ListedSection]:
    """Return the EN sizes, tubes first."""
    squares = [
        _tube("EN", EN_TUBE, f"{side}x{side}x{wall}", (side, side), float(wall))
        for side, walls in SQUARE.items()
        for wall in walls.split()
    ]
    oblongs = [
        _tube("EN", EN_TUBE, f"{sides}x{wall}", _pair(sides, float), float(wall))
        for sides, walls in RECTANGULAR.items()
        for wall in walls.split()
    ]
    rounds = [
        _round("EN", EN_ROUND, f"Ø{across}x{wall}", across, float(wall))
        for across, walls in ROUND.items()
        for wall in walls.split()
    ]
    angles = [
        _angle("EN", EN_ANGLE, f"L{legs}x{wall}", _pair(legs, float), float(wall), root)
        for legs, (walls, root) in ANGLES.items()
        for wall in walls.split()
    ]
    channels = [
        ListedSection(
            group="EN",
            source=EN_CHANNEL,
            section=Section(
                name=f"U{high}x{wide}x{web}",
                kind="channel",
                width=wide,
                height=high,
                wall=web,
                flange=flange,
                radius=root,
            ),
        )
        for high, wide, web, flange, root in CHANNELS
    ]
    flats = [
        _flat("EN", f"{width}x{thick}", width, float(thick))
        for width, thicks in FLATS.items()
        for thick in thicks.split()
    ]
    bars = [_round("EN", COMMON, f"Ø{across}", across) for across in BARS]
    return [*squares, *oblongs, *rounds, *angles, *channels, *flats, *bars]


def us() -> list[ListedSection]:
    """Return the US sizes, made from exact inches."""
    squares = [
        _tube("US", US_TUBE, f"{side}x{side}x{wall}", (inches(side), inches(side)), inches(wall))
        for side, walls in US_SQUARE.items()
        for wall in walls.split()
    ]
    oblongs = [
        _tube("US", US_TUBE, f"{sides}x{wall}", _pair(sides, inches), inches(wall))
        for sides, walls in US_RECTANGULAR.items()
        for wall in walls.split()
    ]
    thin = [
        _tube("US", US_SHEET, f"{sides}x{gauge}", _pair(sides, inches), wall * IN)
        for sides in (*(f"{side}x{side}" for side in US_GAUGE_SQUARE), *US_GAUGE_RECTANGULAR)
        for gauge, wall in GAUGES.items()
    ]
    rounds = [
        _round("US", US_SHEET, f"{across} OD x {gauge}", inches(across), GAUGES[gauge] * IN)
        for across, gauges in US_OD.items()
        for gauge in gauges.split(",")
    ]
    pipes = [
        _round("US", US_PIPE, f"pipe {bore} sch 40", across * IN, wall * IN)
        for bore, (across, wall) in PIPES.items()
    ]
    angles = [
        _angle("US", US_ANGLE, f"L{legs}x{wall}", _pair(legs, inches), inches(wall))
        for legs, walls in US_ANGLES.items()
        for wall in walls.split()
    ]
    channels = [
        ListedSection(
            group="US",
            source=US_CHANNEL,
            section=Section(
                name=name,
                kind="channel",
                width=wide * IN,
                height=high * IN,
                wall=web * IN,
                flange=flange * IN,
            ),
        )
        for name, (high, wide, web, flange) in US_CHANNELS.items()
    ]
    flats = [
        _flat("US", f"{width}x{thick}", inches(width), inches(thick))
        for width, thicks in US_FLATS.items()
        for thick in thicks.split()
    ]
    bars = [_round("US", COMMON, f"{across} dia", inches(across)) for across in US_BARS]
    return [*squares, *oblongs, *thin, *rounds, *pipes, *angles, *channels, *flats, *bars]


def main() -> None:
    """Write the file."""
    FILE.write_bytes(encoded())


def encoded() -> bytes:
    """Return the bytes of the file."""
    return write(FORMAT, SectionList(sections=(*metric(), *us())))


if __name__ == "__main__":
    main()
