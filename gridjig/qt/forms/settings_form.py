"""The settings form: each choice takes effect at once, and says what it does."""

from collections.abc import Callable

from msgspec import structs
from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QComboBox,
    QSlider,
    QWidget,
)

from gridjig.files.storage.settings import Settings
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.style.metrics import CARD_WIDTH_MM, Metrics, calibrate
from gridjig.qt.style.theme import Theme
from gridjig.qt.widgets.buttons import make_button, narrow, scrolled
from gridjig.qt.widgets.combo_box import NoWheelComboBox
from gridjig.qt.widgets.layout import REST, holder, in_column, in_row, labelled_grid
from gridjig.qt.widgets.plain import Button, Label
from gridjig.qt.widgets.tick import Tick
from gridjig.units import format_millimetres
from gridjig.units.spelling import spelled

Changed = Callable[[Settings], None]

_THEMES = (
    ("light", "Paper: dark ink on light paper"),
    ("dark", "Slate: light ink on dark slate"),
    ("system", "Follow the system"),
    ("print", "High contrast: black on white"),
)
_WHEELS = (
    ("zoom", "Zooms; with Ctrl it zooms too"),
    ("pan", "Moves the plan; with Ctrl it zooms"),
)
_UNITS = (
    (("inch fractions", 8), "Inch fractions, to 1/8"),
    (("inch fractions", 16), "Inch fractions, to 1/16"),
    (("inch fractions", 32), "Inch fractions, to 1/32"),
    (("inch fractions", 64), "Inch fractions, to 1/64"),
    (("inch decimals", 16), "Inch decimals"),
    (("millimetres", 16), spelled("Millimetres")),
)
_SPELLINGS = (
    ("system", "As the system is set"),
    ("US", "US: center, miter, color"),
    ("UK", "UK: centre, mitre, colour"),
)
_TEXTS = tuple((percent, f"{percent} %") for percent in (100, 125, 150, 175, 200))
_SAVES = (
    (5, "5 seconds after a change"),
    (10, "10 seconds after a change"),
    (15, "15 seconds after a change"),
)


class CardGauge(QWidget):
    """A card drawn with a length in px: the scale is right when a real card covers it."""

    def __init__(self, theme: Theme, px: float) -> None:
        super().__init__()
        self._theme = theme
        self._px = px
        self.setAccessibleName("Drawn card")

    def set_theme(self, theme: Theme) -> None:
        """Paint it in other colours."""
        self._theme = theme
        self.update()

    def set_px(self, px: float) -> None:
        """Set the length of the card, px."""
        self._px = px
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Return room for the card."""
        return QSize(round(self._px) + 6, round(self._px * 0.32) + 6)

    def minimumSizeHint(self) -> QSize:
        """Return room for the card, so that it is never cut."""
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the upper part of the card, with its length."""
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), self._theme.colour("paper"))
            painter.setPen(self._theme.pen("edge"))
            box = QRectF(3, 3, self._px, self.height() - 4)
            painter.drawLine(box.topLeft(), box.topRight())
            painter.drawLine(box.topLeft(), box.bottomLeft())
            painter.drawLine(box.topRight(), box.bottomRight())
            painter.setPen(self._theme.colour("ink"))
            painter.drawText(
                box, int(Qt.AlignmentFlag.AlignCenter), format_millimetres(CARD_WIDTH_MM)
            )


class SettingsForm(FormDialog):
    """Shows the settings and reports every change."""

    topic = "settings"

    def __init__(
        self,
        settings: Settings,
        appearance: Appearance,
        changed: Changed,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Settings")
        self.settings = settings
        self._changed = changed
        self._grid = labelled_grid()
        px_per_mm = appearance.metrics.px_per_mm
        self._target = Metrics(px_per_mm).target
        s = settings
        self.unit = self._choice(
            "Unit of a new job",
            _UNITS,
            (s.unit, s.denominator),
            lambda v: {"unit": v[0], "denominator": v[1]},
            "A job keeps its own unit; this one starts the next new job.",
        )
        self.spelling = self._choice(
            "Spelling",
            _SPELLINGS,
            s.spelling,
            lambda v: {"spelling": v},
            "Of the program's own words, from the next start.",
        )
        self.theme = self._choice(spelled("Colours"), _THEMES, s.theme, lambda v: {"theme": v})
        self.text = self._choice("Text size", _TEXTS, s.text_percent, lambda v: {"text_percent": v})
        self.wheel = self._choice(
            "Mouse wheel",
            _WHEELS,
            s.wheel,
            lambda v: {"wheel": v},
            "Two fingers on a touchpad move the plan in either case.",
        )
        self.autosave = self._choice(
            "Autosave",
            _SAVES,
            s.autosave_s,
            lambda v: {"autosave_s": v},
            "The first changes after opening or saving are copied at once. The copy is in the"
            " program's own folder; your file is not touched.",
        )
        self.glove = Tick("Large targets, 20 mm, for gloved fingers", on=s.glove)
        self.glove.toggled.connect(lambda on: self._set(glove=on))
        self._row("Glove mode", self.glove)
        self.letters = Tick("Single-letter keys work while the plan has the focus", on=s.letters)
        self.letters.toggled.connect(lambda on: self._set(letters=on))
        self._row("Letter keys", self.letters)
        self._calibration(appearance.theme, px_per_mm)
        close = in_row(REST, make_button("Close", self.reject, plain=False))
        choices = holder(self._grid)
        area = scrolled(choices)
        in_column((area, 1), close, over=self)
        bar = area.verticalScrollBar().sizeHint().width()
        least = choices.minimumSizeHint().width() + 2 * bar
        self.size_for(80, 32, (max(620, least), 560))

    def set_appearance(self, appearance: Appearance) -> None:
        """Paint the card in other colours."""
        self.gauge.set_theme(appearance.theme)

    def _row(self, name: str, widget: QWidget, about: str = "") -> None:
        row = self._grid.rowCount()
        label = Label(name)
        label.setWordWrap(False)
        label.setBuddy(widget)
        widget.setAccessibleName(name)
        self._grid.addWidget(label, row, 0, Qt.AlignmentFlag.AlignTop)
        self._grid.addWidget(widget, row, 1)
        if about:
            widget.setAccessibleDescription(about)
            self._grid.addWidget(Label(about, "small"), row + 1, 1)

    def _choice(
        self,
        name: str,
        offers: tuple[tuple[object, str], ...],
        now: object,
        fields: Callable[..., dict[str, object]],
        about: str = "",
    ) -> QComboBox:
        box = NoWheelComboBox()
        narrow(box)
        box.setMinimumHeight(self._target)
        for value, words in offers:
            box.addItem(words, value)
        values = [value for value, _ in offers]
        box.setCurrentIndex(values.index(now) if now in values else 0)
        box.activated.connect(lambda index: self._set(**fields(values[index])))
        self._row(name, box, about)
        return box

    def _calibration(self, theme: Theme, px_per_mm: float) -> None:
        self.gauge = CardGauge(theme, px_per_mm * CARD_WIDTH_MM)
        self.slider = QSlider(Qt.Orientation.Horizontal)
        self.slider.setRange(150, 1500)
        self.slider.setMinimumHeight(self._target)
        self.slider.setValue(round(px_per_mm * CARD_WIDTH_MM))
        self.slider.valueChanged.connect(self._on_card)
        self.usual = Button("Use what the screen reports", "plain")
        self.usual.clicked.connect(lambda: self._set(px_per_mm=0.0))
        below = in_row(self.usual, REST)
        self._row(
            "Screen size",
            holder(in_column(self.gauge, self.slider, below, margins="none")),
            "Hold a bank card flat on the screen and move the slider until the drawn card "
            "is as wide. Full size (1:1) and button sizes are then true on this screen.",
        )
        self.slider.setAccessibleName("Width of the drawn card")

    def _on_card(self, px: int) -> None:
        self.gauge.set_px(px)
        self._set(px_per_mm=calibrate(px))

    def _set(self, **fields: object) -> None:
        self.settings = structs.replace(self.settings, **fields)
        self._changed(self.settings)
