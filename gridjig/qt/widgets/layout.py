"""Where parts stand in rows and columns: the one place that knows margins and gaps.

They are hairlines between cells drawn like a title block's, in logical px, and stay the same at
every size of letters; what grows with the letters or for a glove is the parts themselves, by the
style sheet.  `tests/qt/widgets/test_layout.py` finds margins set anywhere else.
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
    "first": (0, 0, 12, 0),
    "part": (12, 0, 12, 0),
    "left": (0, 0, 4, 0),
    "right": (4, 0, 0, 0),
    "flow": (4, 2, 4, 2),
}
"""Left, top, right and bottom margins, px."""

GAP = 3
"""Between the cells of a form, px."""

LayoutItem = QWidget | QLayout | int | tuple[QWidget | QLayout, int]
"""A widget, a layout, either with its stretch, or so many px; `REST` is the room left over."""
REST = -1

AnyLayout = TypeVar("AnyLayout", bound=QLayout)


def inset(layout: AnyLayout, margins: Inset, gap: int | None = None) -> AnyLayout:
    """Give a layout its margins, and its gap unless that is the style's own."""
    layout.setContentsMargins(*_INSETS[margins])
    if gap is not None:
        layout.setSpacing(gap)
    return layout


def indent(widget: QWidget, margins: Inset) -> None:
    """Keep the text of a widget off its edges."""
    widget.setContentsMargins(*_INSETS[margins])


def in_column(
    *parts: LayoutItem,
    over: QWidget | None = None,
    margins: Inset | None = None,
    gap: int | None = None,
) -> QVBoxLayout:
    """Parts below one another, in the widget that they lie `over`, if any."""
    return _filled(QVBoxLayout(), parts, over, margins, gap)


def in_row(
    *parts: LayoutItem,
    over: QWidget | None = None,
    margins: Inset | None = None,
    gap: int | None = None,
) -> QHBoxLayout:
    """Parts side by side."""
    return _filled(QHBoxLayout(), parts, over, margins, gap)


def holder(layout: QLayout) -> QWidget:
    """A widget that holds a layout."""
    made = QWidget()
    made.setLayout(layout)
    return made


def in_grid(*parts: QWidget, columns: int = 2, gap: int | None = None) -> QWidget:
    """Parts in rows of so many columns."""
    made = QGridLayout()
    for index, part in enumerate(parts):
        made.addWidget(part, index // columns, index % columns)
        made.setColumnStretch(index % columns, 1)
    return holder(inset(made, "none", gap))


def split(*parts: QWidget, grows: int) -> QSplitter:
    """Parts with a line between them that can be dragged; one takes the room that is added."""
    made = QSplitter(Qt.Orientation.Horizontal)
    for part in parts:
        made.addWidget(part)
    made.setChildrenCollapsible(False)
    made.setHandleWidth(1)
    made.setStretchFactor(grows, 1)
    return made


def grid(margins: Inset = "none", gap: int = GAP, columns: int = 2) -> QGridLayout:
    """An empty grid with columns of one width."""
    made = inset(QGridLayout(), margins, gap)
    for index in range(columns):
        made.setColumnStretch(index, 1)
    return made


AnyBox = TypeVar("AnyBox", bound=QBoxLayout)


def labelled_grid() -> QGridLayout:
    """An empty grid with a column of names and a wide one of what they name."""
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
