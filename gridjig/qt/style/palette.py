"""The colours of the plan as data: paper and ink, and one colour for each state.

Parts are ink; colour only shows a state, and never alone.  Independent of widgets and painters.
"""

from typing import Literal

from msgspec import Struct, structs

ThemeName = Literal["light", "dark", "print"]


class Palette(Struct, frozen=True):
    """Colours as #RRGGBB.  `*_text` is the same state's colour, strong enough for text."""

    name: ThemeName
    paper: str  # background of the drawing
    panel: str  # background of forms and strips
    desk: str  # around the plan
    part: str  # fill of a piece
    raised: str  # fill of the higher areas of a piece
    work: str  # fill of the weldment, under its hatch
    ink: str  # outlines, text
    graphite: str  # secondary text, hatch, centre lines
    ring: str  # holes of the table
    held: str
    held_text: str
    clash: str
    clash_text: str
    check: str
    check_text: str
    selected: str
    selected_text: str
    on_selected: str  # text on a background of selected_text
    reach: str
    reach_text: str

    def colours(self) -> dict[str, str]:
        """Return every colour by its name."""
        return {f.name: getattr(self, f.name) for f in structs.fields(self) if f.name != "name"}


PALETTES: dict[ThemeName, Palette] = {
    "light": Palette(
        name="light",
        paper="#FBFAF5",
        panel="#F1EEE6",
        desk="#E3DFD3",
        part="#F1EEE6",
        raised="#FBFAF5",
        work="#E3DFD3",
        ink="#1A1A18",
        graphite="#474642",
        ring="#77746B",
        held="#0E6652",
        held_text="#0B5040",
        clash="#BF4F00",
        clash_text="#793000",
        check="#E69F00",
        check_text="#5F4100",
        selected="#0079B8",
        selected_text="#004A75",
        on_selected="#FFFFFF",
        reach="#742C76",
        reach_text="#6E2A70",
    ),
    "dark": Palette(
        name="dark",
        paper="#16232B",
        panel="#1F2F38",
        desk="#0D161B",
        part="#1F2F38",
        raised="#16232B",
        work="#2B3D47",
        ink="#F2EFE6",
        graphite="#CACDC9",
        ring="#8A9598",
        held="#3DA17F",
        held_text="#90DBC1",
        clash="#E86B30",
        clash_text="#FFBE9C",
        check="#FCCD3A",
        check_text="#FCCD3A",
        selected="#78DFFF",
        selected_text="#78DFFF",
        on_selected="#0D161B",
        reach="#B97ABA",
        reach_text="#E5C1E6",
    ),
    "print": Palette(
        name="print",
        paper="#FFFFFF",
        panel="#FFFFFF",
        desk="#FFFFFF",
        part="#FFFFFF",
        raised="#FFFFFF",
        work="#F0F0F0",
        ink="#000000",
        graphite="#303030",
        ring="#555555",
        held="#000000",
        held_text="#000000",
        clash="#000000",
        clash_text="#000000",
        check="#FFFFFF",
        check_text="#000000",
        selected="#000000",
        selected_text="#000000",
        on_selected="#FFFFFF",
        reach="#000000",
        reach_text="#000000",
    ),
}


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two #RRGGBB colours, 1 to 21, by the formula of WCAG 2.2."""
    bright, dim = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (bright + 0.05) / (dim + 0.05)


def _luminance(colour: str) -> float:
    parts = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b
