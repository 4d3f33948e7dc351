"""The window's style sheet: forms, strips and lists drawn like the border of a drawing.

Flat, square, two line widths; sizes come from the metrics, so that a finger or a glove can hit
them.
"""

from pathlib import Path
from string import Template

from .metrics import Metrics
from .palette import Palette

_SHEET = Template("""
* { outline: 0; }
QDialog, QStackedWidget { background: $panel; color: $ink; }
QLabel[role="second"] { color: $graphite; }
QLabel[role="title"] { font-weight: bold; }
QLabel[role="clash"] { color: $clash_text; }
QLabel[role="held"] { color: $held_text; }
QLabel[role="check"] { color: $check_text; }

QMenuBar { background: $panel; color: $ink; border-bottom: 1px solid $graphite; }
QMenuBar::item { padding: ${pad}px ${wide}px; background: transparent; }
QMenuBar::item:selected, QMenu::item:selected { background: $selected_text; color: $on_selected; }
QMenu { background: $paper; color: $ink; border: 1px solid $ink; padding: 2px;
  menu-scrollable: ${scrolls}; icon-size: ${icon}px; }
QMenu::right-arrow { width: ${arrow}px; height: ${arrow}px; }
QMenu::scroller { height: ${row}px; }
QMenu::item { padding: ${pad}px ${far}px ${pad}px ${wide}px; min-height: ${entry}px; }
QMenu::item:disabled { color: $ring; background: transparent; }
QMenu::separator { height: 1px; background: $graphite; margin: 3px ${wide}px; }
QMenu::icon { padding-left: ${pad}px; }
QMenu::indicator { width: 0; height: 0; }
QMenu[ticked="true"]::item { padding-left: ${ticked}px; }
QMenu[ticked="true"]::icon { left: ${after}px; }

QToolButton { background: transparent; color: $ink; border: 2px solid transparent;
  border-radius: 0; min-width: ${target}px; min-height: ${target}px; padding: 0; }
QToolButton:hover { border: 2px solid $graphite; }
QToolButton:pressed { background: $desk; }
QToolButton:checked { background: $paper; border: 2px solid $ink; }
QToolButton:focus { border: 2px solid $selected; }
QToolButton:disabled { color: $ring; }
QToolButton::menu-indicator { image: none; }

QPushButton { background: $paper; color: $ink; border: 1px solid $ink; border-radius: 0;
  padding: 0 ${wide}px; min-height: ${height}px; min-width: ${target}px; margin: 1px; }
QPushButton:hover { background: $desk; }
QPushButton:pressed { background: $ink; color: $paper; }
QPushButton:checked { background: $ink; color: $paper; }
QPushButton:default { border: 2px solid $ink; margin: 0; }
QPushButton:focus { border: 2px solid $selected; margin: 0; }
QPushButton:disabled { color: $ring; border: 1px dashed $ring; background: $panel; }

QLineEdit, QPlainTextEdit, QTextEdit, QAbstractSpinBox, QComboBox {
  background: $paper; color: $ink; border: 1px solid $graphite; border-radius: 0;
  padding: 1px ${pad}px; margin: 1px;
  selection-background-color: $selected_text; selection-color: $on_selected; }
QLineEdit, QPlainTextEdit, QTextEdit { placeholder-text-color: $graphite; }
QLineEdit, QAbstractSpinBox, QComboBox { min-height: ${field}px; }
QLineEdit:focus, QPlainTextEdit:focus, QTextEdit:focus, QAbstractSpinBox:focus, QComboBox:focus {
  border: 2px solid $selected; margin: 0; }
QLineEdit[wrong="true"], QFrame#entryRow QComboBox[wrong="true"] { border: 2px solid $clash;
  margin: 0; }
QLineEdit:read-only { background: $panel; }
QLineEdit:disabled, QPlainTextEdit:disabled, QTextEdit:disabled, QComboBox:disabled,
QAbstractSpinBox:disabled { color: $ring; background: $panel; border: 1px dashed $ring;
  margin: 1px; }
QComboBox::drop-down { border: 0; border-left: 1px solid $graphite; width: ${drop}px; }
QComboBox::down-arrow { image: url("$marks/down.svg"); width: ${arrow}px; height: ${arrow}px; }
QComboBox::drop-down:disabled { border-left: 1px dashed $ring; }
QComboBox::down-arrow:disabled { image: url("$marks/down-off.svg"); }
QComboBox QAbstractItemView, QComboBox QAbstractItemView:focus {
  background: $paper; color: $ink; border: 1px solid $ink;
  selection-background-color: $selected_text; selection-color: $on_selected; }
QAbstractSpinBox::up-button, QAbstractSpinBox::down-button { border: 0;
  border-left: 1px solid $graphite; width: ${field}px; background: $paper; }
QAbstractSpinBox::up-arrow { image: url("$marks/up.svg"); }
QAbstractSpinBox::down-arrow { image: url("$marks/down.svg"); }
QAbstractSpinBox::up-arrow:disabled { image: url("$marks/up-off.svg"); }
QAbstractSpinBox::down-arrow:disabled { image: url("$marks/down-off.svg"); }
QAbstractSpinBox::up-arrow, QAbstractSpinBox::down-arrow { width: ${arrow}px; height: ${arrow}px; }

QCheckBox, QRadioButton { color: $ink; spacing: ${pad}px; min-height: ${target}px; }
QCheckBox::indicator, QRadioButton::indicator, QListView::indicator, QTreeView::indicator {
  width: ${mark}px; height: ${mark}px;
  border: 2px solid $ink; background: $paper; }
QRadioButton::indicator { border-radius: ${round}px; }
QCheckBox::indicator:checked, QListView::indicator:checked, QTreeView::indicator:checked {
  image: url("$marks/tick.svg"); }
QRadioButton::indicator:checked { image: url("$marks/dot.svg"); }
QCheckBox:disabled, QRadioButton:disabled { color: $ring; }
QCheckBox:focus, QRadioButton:focus { color: $selected_text; }
QCheckBox::indicator:focus, QRadioButton::indicator:focus { border: 2px solid $selected; }
QCheckBox::indicator:disabled, QRadioButton::indicator:disabled { border: 1px dashed $ring;
  background: $panel; }
QCheckBox::indicator:checked:disabled { image: url("$marks/tick-off.svg"); }
QRadioButton::indicator:checked:disabled { image: url("$marks/dot-off.svg"); }
QTabBar::tab:disabled { color: $ring; border: 1px dashed $ring; }

QTreeView, QListView, QTableView { background: $paper; alternate-background-color: $panel;
  color: $ink; border: 1px solid $graphite; gridline-color: $desk;
  selection-background-color: $selected_text; selection-color: $on_selected; }
QTreeView:focus, QListView:focus, QTableView:focus { border: 2px solid $selected; }
QTreeView::item, QListView::item { min-height: ${target}px; border: 0; }
QTreeView::item:selected, QListView::item:selected, QTableView::item:selected {
  background: $selected_text; color: $on_selected; }
QTreeView::item:hover:!selected, QListView::item:hover:!selected { background: $panel; }
QHeaderView { background: $panel; border: 0; }
QHeaderView::section { background: $panel; color: $ink; border: 0;
  border-bottom: 2px solid $ink; border-right: 1px solid $graphite; padding: ${pad}px;
  min-height: ${titles}px; }
QTableCornerButton::section { background: $panel; border: 0; border-bottom: 2px solid $ink; }

QGroupBox { border: 0; border-top: 1px solid $graphite; margin-top: ${head}px; padding-top: 4px; }
QGroupBox::title { subcontrol-origin: margin; subcontrol-position: top left; padding: 0; }
QTabWidget::pane { border: 0; border-top: 2px solid $ink; }
QTabBar::tab { background: $panel; color: $graphite; border: 1px solid $graphite;
  border-bottom: 0; padding: ${pad}px ${wide}px; min-height: ${field}px; min-width: ${tab}px;
  margin-right: 2px; }
QTabBar::tab:selected { background: $paper; color: $ink; border: 2px solid $ink;
  border-bottom: 0; }
QTabBar::tab:focus { border: 2px solid $selected; border-bottom: 0; }
QSplitter::handle { $divided }
QSplitter::handle:horizontal { width: ${divider}px; }
QSplitter::handle:vertical { height: ${divider}px; }
QScrollArea { border: 0; background: $panel; }
QScrollBar { background: $panel; border: 0; margin: 0; }
QScrollBar:vertical { width: ${bar}px; border-left: 1px solid $desk; }
QScrollBar:horizontal { height: ${bar}px; border-top: 1px solid $desk; }
QScrollBar::handle { background: $ring; border: 3px solid $panel; }
QScrollBar::handle:hover { background: $graphite; }
QScrollBar::handle:vertical { min-height: ${target}px; }
QScrollBar::handle:horizontal { min-width: ${target}px; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0; height: 0; }
QScrollBar::add-page, QScrollBar::sub-page { background: transparent; }
QProgressBar { border: 1px solid $ink; background: $paper; color: $ink; text-align: center; }
QProgressBar::chunk { background: $desk; border-right: 2px solid $ink; }
QToolTip { background: $paper; color: $ink; border: 1px solid $ink; padding: 3px; }
QFrame[frameShape="4"], QFrame[frameShape="5"] { color: $graphite; }
""")


def style_sheet(palette: Palette, metrics: Metrics, marks: Path) -> str:
    """Return the style sheet; `marks` is the folder with the images of arrows and ticks."""
    mark, pad = metrics.grown(3.7), metrics.grown(1)
    sizes = {
        "target": metrics.target,
        "height": metrics.height,
        # With padding, border and margin a field is as high as a target.
        "field": metrics.target if metrics.glove else max(24, metrics.height - 6),
        "tab": metrics.target if metrics.glove else 0,
        "drop": metrics.grown(6),
        "row": metrics.row,
        # Of large letters, which are high by themselves, the padding is part of the row.
        "entry": metrics.row - (0 if metrics.glove or metrics.letters <= 1 else 2 * pad),
        "titles": metrics.target if metrics.glove else metrics.row,  # 0 would cut the letters
        "pad": pad,
        "mark": mark,
        "icon": metrics.grown(4.2),
        "round": mark // 2 + 2,
        "arrow": metrics.grown(3.2),
        "after": mark + metrics.grown(1),
        "ticked": mark + metrics.grown(4),
        "wide": metrics.grown(3),
        "far": metrics.grown(6),
        "head": metrics.grown(5),
        "bar": metrics.whole(10) if metrics.glove else metrics.grown(4),
        "divider": metrics.divider,
        "scrolls": int(not metrics.glove),  # high lines would hide half of a menu: it has columns
    }
    # Quoted: otherwise a bracket or an apostrophe in the folder's name would end the URL and make
    # the whole sheet invalid.
    quoted = marks.as_posix().replace('"', r"\"")
    colours = palette.colours()
    divided = f"background: {colours['graphite']};"
    if metrics.glove:
        divided = (
            f"background: {colours['desk']}; border: 1px solid {colours['graphite']};"
            f' image: url("{quoted}/dot.svg");'
        )
    return _SHEET.substitute(colours, **sizes, marks=quoted, divided=divided)
