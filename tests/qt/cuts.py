"""Looks through a window for words that are cut off and for what is too small to press."""

from collections.abc import Iterator

from PySide6.QtCore import QRect, Qt
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractScrollArea,
    QCheckBox,
    QComboBox,
    QHeaderView,
    QLabel,
    QLineEdit,
    QMenu,
    QPlainTextEdit,
    QPushButton,
    QRadioButton,
    QScrollArea,
    QScrollBar,
    QSlider,
    QTabBar,
    QTextEdit,
    QToolButton,
    QWidget,
)

from gridjig.qt.widgets.labels import ElidedLabel, HeadRow


def seen(root: QWidget) -> Iterator[QWidget]:
    """The widgets in a window that are shown, with room of their own."""
    for one in root.findChildren(QWidget):
        if (
            one.isVisible()
            and one.width() > 0
            and one.height() > 0
            and one.window() is root.window()
        ):
            yield one


def words_of(one: QWidget) -> str:
    kind = type(one).__name__
    text = getattr(one, "text", None)
    told = text() if callable(text) else one.accessibleName()
    return f"{kind} “{str(told or one.accessibleName())[:60]}”"


def scroll_area_of(one: QWidget) -> QAbstractScrollArea | None:
    over = one.parentWidget()
    while over is not None:
        if isinstance(over, QAbstractScrollArea):
            return over
        over = over.parentWidget()
    return None


def cut_off(root: QWidget) -> list[str]:
    """What is cut in a window or page: words, fields, tabs, and what runs out of it sideways."""
    told: list[str] = []
    for one in seen(root):
        why = _cut(one)
        if why:
            told.append(f"{why}: {words_of(one)}")
        if _outside(one, root):
            told.append(f"outside: {words_of(one)}")
    return told


def _cut(one: QWidget) -> str:  # noqa: PLR0911 - one line for each kind of widget
    letters = one.fontMetrics()
    if isinstance(one, ElidedLabel):
        # A name in the status bar may be cut if the tip shows it whole.
        cut = one.words() and one.is_cut()
        return "elided" if cut and (one.words() not in one.toolTip() or not _in_bar(one)) else ""
    if isinstance(one, HeadRow):
        return "note cut" if one.height() < one.heightForWidth(one.width()) else ""
    if isinstance(one, QLabel) and one.text():
        room = one.contentsRect()
        if one.wordWrap():
            return "cut below" if one.heightForWidth(one.width()) > one.height() + 1 else ""
        return "cut" if letters.horizontalAdvance(one.text()) > room.width() + 1 else ""
    if isinstance(one, QToolButton):
        return "narrow" if one.text() and one.sizeHint().width() > one.width() + 1 else ""
    if isinstance(one, QCheckBox | QRadioButton):
        return "narrow" if one.sizeHint().width() > one.width() + 1 else ""
    if isinstance(one, QPushButton):
        lines = one.text().replace("&&", "&").split("\n")
        if any(line.endswith("…") and one.accessibleName().startswith("Select ") for line in lines):
            return "elided"
        wide = max(letters.horizontalAdvance(line) for line in lines)
        high = letters.height() * len(lines)
        return "narrow" if wide > one.width() or high > one.height() else ""
    if isinstance(one, QLineEdit):
        words = one.text() or one.placeholderText()
        wide = one.width() - one.textMargins().left() - one.textMargins().right() - 6
        over = letters.horizontalAdvance(words) > wide or letters.height() > one.height()
        whole = bool(words) and words in one.toolTip()
        return "cut" if over and not one.text() and not whole else ""
    if isinstance(one, QComboBox):
        shown = getattr(one, "shown_text", one.currentText)()
        return "elided" if shown != one.currentText() else ""
    if isinstance(one, QTabBar):
        last = one.tabRect(one.count() - 1)
        return "tabs cut" if one.count() and last.right() > one.width() + 1 else ""
    if isinstance(one, QAbstractScrollArea):
        return _cut_area(one)
    return ""


def _cut_area(one: QAbstractScrollArea) -> str:
    """What is cut of something that can be scrolled: it is wider than its room, or its headings are
    lower than their letters.
    """
    if isinstance(one, QHeaderView) and one.orientation() is Qt.Orientation.Horizontal:
        letters = one.fontMetrics()
        words = [one.model().headerData(k, one.orientation()) for k in range(one.count())]
        narrow = any(
            letters.horizontalAdvance(str(told or "")) + 4 > one.sectionSize(k)
            for k, told in enumerate(words)
        )
        return "cut" if narrow or one.height() < one.fontMetrics().height() else ""
    wide = isinstance(one, QAbstractItemView | QScrollArea | QTextEdit)
    return "sideways" if wide and one.horizontalScrollBar().maximum() > 0 else ""


def _in_bar(one: QWidget) -> bool:
    over = one.parentWidget()
    return over is not None and over.objectName() == "stripCell"


def _outside(one: QWidget, root: QWidget) -> bool:
    """True if part of a widget is outside the window, or outside its parent with no way to it."""
    if isinstance(one, QScrollBar) or scroll_area_of(one) is not None:
        return False
    place = QRect(one.mapTo(root, one.rect().topLeft()), one.size())
    return not root.rect().adjusted(-1, -1, 1, 1).contains(place)


def small_targets(root: QWidget, least: int, row: int) -> list[str]:
    """What is pressed in a window and smaller than `least` px in height or width.

    Lines of lists and headers may be as low as `row` px: a list has to show several at once.
    """
    told = []
    for one in seen(root):
        size = _pressed(one)
        enough = row if isinstance(one, QAbstractItemView | QHeaderView) else least
        for high, wide in size:
            if high < enough - 1 or wide < enough - 1:
                told.append(f"{wide} x {high}: {words_of(one)}")
    return told


def _pressed(one: QWidget) -> list[tuple[int, int]]:  # noqa: PLR0911 - one for each kind
    """The heights and widths of what is pressed in a widget."""
    if isinstance(one, QTabBar):
        rects = [one.tabRect(index) for index in range(one.count())]
        return [(rect.height(), rect.width()) for rect in rects]
    if isinstance(one, QHeaderView):
        pressed = one.sectionsClickable() and one.orientation() == Qt.Orientation.Horizontal
        return [(one.height(), 999)] if pressed else []
    if isinstance(one, QAbstractItemView):
        model = one.model()
        rows = range(min(model.rowCount(), 40)) if model is not None else range(0)
        able = [row for row in rows if model.index(row, 0).flags() & Qt.ItemFlag.ItemIsEnabled]
        return [(one.visualRect(model.index(row, 0)).height(), 999) for row in able]
    if isinstance(one, QToolButton) and isinstance(one.parentWidget(), QLineEdit):
        return []  # clears a field: Esc and the keys do the same
    if isinstance(one, QAbstractButton | QSlider):
        return [(one.height(), one.width())]
    if isinstance(one, QLineEdit) and isinstance(one.parentWidget(), QComboBox):
        return []  # its box counts
    if isinstance(one, QComboBox | QLineEdit | QPlainTextEdit):
        # A press anywhere on a cell goes to its field.
        cell = one.parentWidget()
        held = cell if cell is not None and cell.objectName() == "cell" else one
        return [(held.height(), held.width())]
    return []


def small_menus(menu: QMenu, least: int) -> list[str]:
    """The entries of a menu that are lower than `least` px."""
    return [
        one.text()
        for one in menu.actions()
        if not one.isSeparator() and menu.actionGeometry(one).height() < least - 1
    ]


def wide_menu(menu: QMenu) -> int:
    """The width of a menu with all its columns, px."""
    return menu.sizeHint().width()
