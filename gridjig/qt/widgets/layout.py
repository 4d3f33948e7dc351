"""Rows, columns and grids of widgets: the only module that sets margins and gaps.

Gaps are the thin lines between cells, as in a title block, in logical px, and are the same at every
font size.  It is the widgets that grow with the font or in glove mode, through the style sheet.
`tests/qt/widgets/test_layout.py` finds margins that are set anywhere else.
"""

from typing import Literal, TypeVar

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QBoxLayout,
    QGridLayout,
    QHBoxLayout,
    QLayout,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

Inset = Literal[
    "none", "cell", "form", "text", "line", "head", "foot", "page", "dialog", "strip", "banner",
    "card", "first", "part", "left", "right", "flow",
]  # fmt: skip
_INSETS: dict[Inset, tuple[int, int, int, int]] = {
    "none": (0, 0, 0, 0),
    "cell": (5, 2, 5, 2),
    "form": (6, 4, 6, 6),
    "text": (6, 2, 6, 2),
    "line": (6, 0, 6, 0),
    "head": (6, 4, 6, 0),
    "foot": (6, 2, 6, 4),
    "page": (0, 0, 0, 4),
    "dialog": (8, 8, 8, 8),
    "strip": (7, 1, 7, 2),
    "banner": (8, 3, 8, 3),
    "card": (18, 14, 18, 12),
    "first": (0, 0, 12, 8),
    "part": (12, 0, 12, 8),
    "left": (0, 0, 4, 0),
    "right": (4, 0, 0, 0),
    "flow": (4, 2, 4, 2),
}
"""Left, top, right and bottom margins, px."""

GAP = 3
"""The gap between the cells of a form, px."""

LayoutItem = QWidget | QLayout | int | tuple[QWidget | QLayout, int]
"""A widget, a layout, either with its stretch, or a space in px; `REST` is the remaining room."""
REST = -1

AnyLayout = TypeVar("AnyLayout", bound=QLayout)


def inset(layout: AnyLayout, margins: Inset, gap: int | None = None) -> AnyLayout:
    """Set a layout's margins, and its gap unless it is None; return the layout."""
    layout.setContentsMargins(*_INSETS[margins])
    if gap is not None:
        layout.setSpacing(gap)
    return layout


def margins_width(margins: Inset) -> int:
    """Return what margins take of a width, px."""
    left, _, right, _ = _INSETS[margins]
    return left + right


def indent(widget: QWidget, margins: Inset) -> None:
    """Set the margins between a widget's edges and its contents."""
    widget.setContentsMargins(*_INSETS[margins])


def in_column(
    *parts: LayoutItem,
    over: QWidget | None = None,
    margins: Inset | None = None,
    gap: int | None = None,
) -> QVBoxLayout:
    """Return a layout of parts in a column, set on the widget `over` if given."""
    return _filled(QVBoxLayout(), parts, over, margins, gap)


def in_row(
    *parts: LayoutItem,
    over: QWidget | None = None,
    margins: Inset | None = None,
    gap: int | None = None,
) -> QHBoxLayout:
    """Return a layout of parts side by side, set on the widget `over` if given."""
    return _filled(QHBoxLayout(), parts, over, margins, gap)


def holder(layout: QLayout) -> QWidget:
    """Return a widget that holds a layout."""
    made = QWidget()
    made.setLayout(layout)
    return made


def in_grid(*parts: QWidget, columns: int = 2, gap: int | None = None) -> QWidget:
    """Return a widget with parts in rows of this many columns."""
    made = QGridLayout()
    for index, part in enumerate(parts):
        made.addWidget(part, index // columns, index % columns)
        made.setColumnStretch(index % columns, 1)
    return holder(inset(made, "none", gap))


def split(*parts: QWidget, grows: int) -> QSplitter:
    """Return a splitter with a draggable line between parts; part `grows` takes added room."""
    made = QSplitter(Qt.Orientation.Horizontal)
    for part in parts:
        made.addWidget(part)
    made.setChildrenCollapsible(False)
    made.setStretchFactor(grows, 1)
    return made


def grid(margins: Inset = "none", gap: int = GAP, columns: int = 2) -> QGridLayout:
    """Return an empty grid with columns of equal width."""
    made = inset(QGridLayout(), margins, gap)
    for index in range(columns):
        made.setColumnStretch(index, 1)
    return made


AnyBox = TypeVar("AnyBox", bound=QBoxLayout)


def labelled_grid() -> QGridLayout:
    """Return an empty grid with a column for names and a wide one for what they name."""
    made = QGridLayout()
    made.setColumnStretch(1, 1)
    made.setVerticalSpacing(8)
    return made


def _filled(
    box: AnyBox,
    parts: tuple[LayoutItem, ...],
    over: QWidget | None,
    margins: Inset | None,
    gap: int | None,
) -> AnyBox:
    if over is not None:
        over.setLayout(box)
    if margins is not None:
        inset(box, margins)
    if gap is not None:
        box.setSpacing(gap)
    for part in parts:
        one, stretch = part if isinstance(part, tuple) else (part, 0)
        if isinstance(one, QWidget):
            box.addWidget(one, stretch)
        elif isinstance(one, QLayout):
            box.addLayout(one, stretch)
        elif one == REST:
            box.addStretch(1)
        else:
            box.addSpacing(one)
    return box
