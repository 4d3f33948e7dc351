"""Makes pens and brushes from a palette: ink on paper, square, flat, two line widths.

The one place where a role of the display list becomes a colour, a width and a dash.  It knows what
lines mean, not what is drawn.
"""

from functools import cached_property
from typing import Literal

from msgspec import Struct
from PySide6.QtCore import Qt
from PySide6.QtGui import QBrush, QColor, QGuiApplication, QPen

from gridjig.geometry.display import DrawingRole, Fill, Hatch

from .palette import PALETTES, Palette, ThemeName

Setting = Literal["system", "light", "dark", "print"]

WIDE = 2.0
NARROW = 1.0
EXTRA = 3.0

CHAIN = (16.0, 3.0, 2.0, 3.0)
DASHED = (6.0, 2.0)
SHORT = (3.0, 2.0)
DOUBLE_DOT = (10.0, 3.0, 1.5, 3.0, 1.5, 3.0)


class Stroke(Struct, frozen=True):
    """A line: the name of its colour in the palette, its width and its dashes in screen px."""

    colour: str
    width: float = NARROW
    dash: tuple[float, ...] = ()


class Hatching(Struct, frozen=True):
    """Hatch lines: angles in degrees, pitch in screen mm, colour name, dashed or not."""

    angles: tuple[float, ...]
    pitch: float
    colour: str
    dashed: bool = False


STROKES: dict[DrawingRole, Stroke] = {
    "edge": Stroke("ink", WIDE),
    "work": Stroke("ink", WIDE),
    "thin": Stroke("ink"),
    "hole": Stroke("ring"),
    "blocked": Stroke("ink"),
    "graphite": Stroke("graphite"),
    "centre": Stroke("graphite", NARROW, CHAIN),
    "hidden": Stroke("graphite", NARROW, DASHED),
    "ghost": Stroke("selected", NARROW, SHORT),
    "reach": Stroke("reach", WIDE, DOUBLE_DOT),
    "held": Stroke("held", WIDE),
    "clash": Stroke("clash", EXTRA),
    "check": Stroke("ink", WIDE),
    "selected": Stroke("selected", WIDE),
    "face": Stroke("ink", 4.0),
    "contact": Stroke("ink", 7.0),
    "force": Stroke("ink"),
}

TEXTS: dict[DrawingRole, str] = {
    "graphite": "graphite",
    "hole": "graphite",
    "centre": "graphite",
    "hidden": "graphite",
    "held": "held_text",
    "clash": "clash_text",
    "check": "check_text",
    "selected": "selected_text",
    "ghost": "selected_text",
    "reach": "reach_text",
}

FILLS: dict[Fill, str] = {
    "part": "part",
    "raised": "raised",
    "work": "work",
    "ink": "ink",
    "held": "held",
    "clash": "clash",
    "check": "check",
    "paper": "paper",
    "pin": "ink",
    "selected": "selected",
    "reach": "reach",
}

HATCHES: dict[Hatch, Hatching] = {
    "work": Hatching((45.0,), 3.0, "graphite"),
    "work2": Hatching((135.0,), 3.0, "graphite"),
    "work3": Hatching((45.0,), 1.5, "graphite"),
    "clash": Hatching((45.0, 135.0), 2.0, "clash"),
    "keep out": Hatching((135.0,), 3.0, "graphite", dashed=True),
    "blocked": Hatching((45.0,), 1.0, "ink"),
}


class Theme(Struct, frozen=True, dict=True):
    """One palette, made into pens and brushes.  Made once, shared, never changed."""

    palette: Palette

    @cached_property
    def _pens(self) -> dict[tuple[DrawingRole, float], QPen]:
        return {}

    @cached_property
    def _hatch_pens(self) -> dict[tuple[Hatch, float], QPen]:
        return {}

    @cached_property
    def _brushes(self) -> dict[Fill, QBrush]:
        solid = {fill: QBrush(self.colour(name)) for fill, name in FILLS.items()}
        return {"none": QBrush(Qt.BrushStyle.NoBrush), **solid}

    @cached_property
    def _colours(self) -> dict[str, QColor]:
        return {name: QColor(value) for name, value in self.palette.colours().items()}

    def colour(self, name: str) -> QColor:
        """Return a colour of the palette by name.  Raise KeyError if there is none."""
        return self._colours[name]

    def pen(self, role: DrawingRole, unit: float = 1.0) -> QPen:
        """Return the pen for a role, the same width at every zoom; `unit` is dots per
        logical px.
        """
        pen = self._pens.get((role, unit))
        if pen is None:
            pen = self._pens[role, unit] = self.make_pen(STROKES[role], unit)
        return pen

    def text(self, role: DrawingRole) -> QColor:
        """Return the text colour for a role."""
        return self.colour(TEXTS.get(role, "ink"))

    def brush(self, fill: Fill) -> QBrush:
        """Return the brush for a fill, always the same one; that of "none" fills nothing."""
        return self._brushes[fill]

    @cached_property
    def _grounds(self) -> dict[str, QBrush]:
        return {name: QBrush(colour) for name, colour in self._colours.items()}

    def brush_of(self, name: str) -> QBrush:
        """Return a solid brush in a colour of the palette.  Raise KeyError if there is none."""
        return self._grounds[name]

    def hatch_pen(self, hatch: Hatch, unit: float = 1.0) -> QPen:
        """Return the pen for a hatch's lines."""
        pen = self._hatch_pens.get((hatch, unit))
        if pen is None:
            style = HATCHES[hatch]
            stroke = Stroke(style.colour, NARROW, DASHED if style.dashed else ())
            pen = self._hatch_pens[hatch, unit] = self.make_pen(stroke, unit)
        return pen

    def make_pen(self, stroke: Stroke, unit: float = 1.0) -> QPen:
        """Return a cosmetic pen for a stroke, at `unit` dots per px."""
        pen = QPen(self.colour(stroke.colour), stroke.width * unit)
        pen.setCosmetic(True)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        if stroke.dash:
            # Qt measures dashes in pen widths; ours are in px.
            pen.setDashPattern([d / stroke.width for d in stroke.dash])
        return pen


THEMES: dict[ThemeName, Theme] = {name: Theme(palette) for name, palette in PALETTES.items()}


def choose(setting: Setting) -> Theme:
    """Return the theme for a setting; "system" follows the system's dark mode and contrast
    settings.
    """
    if setting != "system":
        return THEMES[setting]
    hints = QGuiApplication.styleHints()
    if hints.colorScheme() == Qt.ColorScheme.Dark:
        return THEMES["dark"]
    wish = hints.accessibility().contrastPreference()
    return THEMES["print" if wish == Qt.ContrastPreference.HighContrast else "light"]
