"""The program's appearance: Qt's own style, its colours, and the style sheets.

Adds the window's own parts to the style sheet: title block cells, strips, drawers, cards.
"""

from pathlib import Path
from string import Template

from msgspec import Struct
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QApplication

from .font_size import use_letters
from .metrics import Metrics
from .style_sheet import style_sheet
from .theme import Theme

_SHEET = Template("""
QFrame#cell { border: 1px solid $graphite; background: $paper; margin: 1px; }
QFrame#cell[focus="true"] { border: 2px solid $selected; margin: 0; }
QFrame#cell[wrong="true"] { border: 2px dashed $clash; margin: 0; }
QFrame#cell[locked="true"] { background: $panel; }
QFrame#cell:disabled { border: 1px dashed $ring; background: $panel; margin: 1px; }
QFrame#cell QLabel:disabled, QFrame#cell QLineEdit:disabled, QFrame#cell QComboBox:disabled {
  color: $ring; }
QFrame#cell QLabel { background: transparent; }
QFrame#cell QLineEdit, QFrame#cell QPlainTextEdit, QFrame#cell QComboBox {
  border: 0; margin: 0; padding: 0; background: transparent; min-height: ${line}px; }
QFrame#cell QComboBox { padding: 1px 0; min-height: ${choice}px; }
QFrame#cell QComboBox::drop-down { border: 0; width: ${drop}px; }
QFrame#cell QLineEdit:read-only { color: $graphite; }
QLabel#cellName, QLabel#note, QLabel#stripName, QLabel#small { color: $graphite;
  font-size: ${small}pt; }
QLabel#complaint { color: $clash_text; font-size: ${small}pt; font-weight: bold; }
QLabel#stripName { margin: 0; padding: 0; }
QLabel#heading { font-weight: bold; border: 0; border-bottom: 2px solid $ink;
  padding: ${pad}px 0 1px 0; }
QLabel#bigTitle { font-size: ${big}pt; font-weight: bold; }
QLabel#floorHoles { font-size: ${huge}pt; font-weight: bold; }
QLabel#floorLines { font-size: ${large}pt; }
QLabel#freedom { border: 0; border-left: 4px solid $ink; padding: 2px 6px; }
QFrame#strip { background: $panel; border-top: 2px solid $ink; }
QFrame#stripCell { border: 0; border-right: 1px solid $graphite; }
QFrame#lastCell { border: 0; }
QFrame#entryRow { background: $panel; border-bottom: 1px solid $graphite; }
QFrame#toolRow { background: $panel; border-bottom: 1px solid $graphite; }
QFrame#toolRow QToolButton { min-width: ${tool}px; padding: 1px 3px; font-size: ${small}pt; }
QFrame#rowLine { background: $graphite; border: 0; }
QFrame#guide { background: $paper; border-top: 2px solid $ink; }
QLabel#guideTitle { font-weight: bold; }
QFrame#banner { background: $check; border-bottom: 2px solid $ink; }
QFrame#banner QLabel { color: $on_check; background: transparent; }
QFrame#card { background: $paper; border: 2px solid $ink; }
QFrame#cardPart { background: transparent; border: 0; border-left: 1px solid $graphite; }
QFrame#cardFirst { background: transparent; border: 0; }
QFrame#card QLabel { background: transparent; }
QFrame#card QPushButton { text-align: left; }
QPushButton#losing { border: 3px double $clash_text; color: $clash_text; margin: 0; }
QPushButton#losing:focus { border: 2px solid $selected; }
QTabBar#lists::tab { padding-left: ${tab}px; padding-right: ${tab}px; }
QTreeView#lines, QListView#lines { border: 2px solid $paper; }
QTreeView#lines:focus, QListView#lines:focus { border: 2px solid $selected; }
QListWidget#lines::item { padding: ${pad}px 0; border-bottom: 1px solid $desk; }
QSlider::groove:horizontal { height: 2px; background: $ink; }
QSlider::handle:horizontal { width: ${line}px; margin: -${half}px 0; background: $paper;
  border: 2px solid $ink; }
QSlider::handle:horizontal:focus { border: 2px solid $selected; }
QMenu::item { min-width: ${menu}px; }
QSlider { min-height: ${button}px; }
QWidget#side, QWidget#drawer { background: $panel; }
QPushButton#lamp { background: $panel; margin: 0; min-height: 0;
  border: 0; border-left: 1px solid $graphite; padding: 0 ${wide}px;
  font-weight: bold; }
QPushButton#lamp:focus { border: 2px solid $selected; }
QPushButton#lamp[level="stop"] { color: $clash_text; }
QPushButton#lamp[level="look"] { color: $check_text; }
QPushButton#lamp[level="fine"] { color: $held_text; }
QPushButton#plain, QPushButton#page { border: 1px solid $graphite; min-height: ${button}px; }
QPushButton#page { padding: 0 ${close}px; font-size: ${small}pt; }
QPushButton#plain:disabled, QPushButton#page:disabled { border: 1px dashed $ring; }
QPushButton#plain:focus, QPushButton#page:focus { border: 2px solid $selected; }
QPushButton#plain:checked, QPushButton#page:checked { background: $ink; color: $paper; }
""")


class Appearance(Struct, frozen=True):
    """The colours and sizes that every self-painting widget needs."""

    theme: Theme
    metrics: Metrics


def prepare(app: QApplication, appearance: Appearance, system_points: float) -> None:
    """Give the program its letters, style and colours, and no style sheet as yet.

    With a style sheet, every part that goes into another is styled again, with all that is in it;
    so parts are put together first, and then dressed.
    """
    # Never replace one style sheet by another: Qt would then visit every widget that it has rules
    # for, and its list may hold widgets that are gone: those measured before they were first shown
    # that outlived an earlier style sheet (crashes in Qt 6.11.3 and 6.12.0).
    app.setStyleSheet("")
    use_letters(app, system_points * appearance.metrics.letters)
    app.setStyle("Fusion")
    app.setPalette(window_palette(appearance.theme))


def dress(app: QApplication, appearance: Appearance, system_points: float) -> None:
    """Give the program the style sheet."""
    palette = appearance.theme.palette
    marks = Path(__file__).with_name("marks") / palette.name
    more = _SHEET.substitute(palette.colours(), **_sizes(appearance, system_points))
    app.setStyleSheet(style_sheet(palette, appearance.metrics, marks) + more)


def apply(app: QApplication, appearance: Appearance, system_points: float) -> None:
    """Give the whole program this appearance; `system_points` is the system's font size."""
    prepare(app, appearance, system_points)
    dress(app, appearance, system_points)


def _sizes(appearance: Appearance, system_points: float) -> dict[str, float | str]:
    """Return what the style sheet leaves open."""
    metrics, palette = appearance.metrics, appearance.theme.palette
    points = system_points * metrics.letters
    line = metrics.target if metrics.glove else max(18, round(points * 2.0))
    return {
        "line": line,
        # Without its padding Qt opens a combo box too low for its lines, and cuts off the last.
        "choice": line if metrics.glove else line - 2,
        "drop": metrics.grown(6),
        "small": f"{points * 0.85:.1f}",
        # With its padding: a menu wider than its lines would take no click beside them.
        "menu": metrics.grown(40) - metrics.grown(3) - metrics.grown(6),
        "half": max(9, metrics.target // 3),
        "big": f"{points * 1.7:.1f}",
        # Of letters that are large already, less: a place such as "front E2" fits on a line.
        "huge": f"{points * (1.0 + 2.4 / metrics.letters):.1f}",
        "large": f"{points * 1.4:.1f}",
        "pad": metrics.grown(1),
        "close": metrics.grown(0.7),
        "wide": metrics.grown(3),
        "tool": metrics.target,
        "tab": metrics.whole(3) if metrics.glove else 3,
        "button": metrics.height,
        "on_check": "#1A1A18" if palette.name != "print" else palette.ink,
    }


def window_palette(theme: Theme) -> QPalette:
    """Return the theme as a Qt palette, for what no style sheet reaches."""
    role = QPalette.ColorRole
    table = {
        role.Window: "panel",
        role.WindowText: "ink",
        role.Base: "paper",
        role.AlternateBase: "panel",
        role.Text: "ink",
        role.Button: "panel",
        role.ButtonText: "ink",
        role.BrightText: "clash_text",
        role.Light: "paper",
        role.Midlight: "paper",
        role.Mid: "desk",
        role.Dark: "graphite",
        role.Shadow: "ink",
        role.Highlight: "selected_text",
        role.HighlightedText: "on_selected",
        role.Link: "selected_text",
        role.LinkVisited: "reach_text",
        role.ToolTipBase: "paper",
        role.ToolTipText: "ink",
        role.PlaceholderText: "graphite",
        role.Accent: "selected_text",
    }
    palette = QPalette()
    for which, name in table.items():
        palette.setColor(which, theme.colour(name))
    off = QPalette.ColorGroup.Disabled
    for which in (role.WindowText, role.Text, role.ButtonText):
        palette.setColor(off, which, theme.colour("ring"))
    palette.setColor(off, role.Highlight, theme.colour("desk"))
    palette.setColor(off, role.HighlightedText, theme.colour("graphite"))
    return palette
