"""Colours that can be read and told apart, and roles that each have a line of their own."""

import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import combinations
from pathlib import Path
from typing import get_args

import pytest
from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QCheckBox, QLineEdit
from pytestqt.qtbot import QtBot

import gridjig.qt
from gridjig.geometry.display import DrawingRole, Fill, Hatch
from gridjig.qt.style import appearance, theme
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.style.metrics import Metrics
from gridjig.qt.style.palette import PALETTES, Palette, contrast
from gridjig.qt.style.style_sheet import style_sheet
from gridjig.qt.style.theme import HATCHES, STROKES, THEMES
from tests.qt.colours import DEFECTS, ciede2000, lab, seen

ALL = pytest.mark.parametrize("palette", PALETTES.values(), ids=list(PALETTES))
COLOURED = pytest.mark.parametrize(
    "palette", [PALETTES["light"], PALETTES["dark"]], ids=["light", "dark"]
)
Lab = tuple[float, float, float]
STATES = ("ink", "held", "clash", "check", "selected", "reach")


@contextmanager
def dressed(app: QApplication, look: Appearance, points: float = 10.0) -> Iterator[None]:
    """Give the program a look for a while."""
    palette, font = app.palette(), app.font()
    appearance.apply(app, look, points)
    try:
        yield
    finally:
        app.setStyleSheet("")
        app.setPalette(palette)
        app.setFont(font)


def grounds(palette: Palette) -> dict[str, str]:
    """What text and lines lie on."""
    names = ("paper", "panel", "desk", "part", "raised", "work")
    return {name: palette.colours()[name] for name in names}


@pytest.mark.source(
    "published",
    "WCAG 2.2",
    "contrast ratio: black 21 and #767676 4.54 on white, yellow 1.07, as a library's manual has it",
)
def test_the_formula_of_contrast() -> None:
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.005)
    assert contrast("#FFFF00", "#FFFFFF") == pytest.approx(1.07, abs=0.005)


@pytest.mark.source("published", "Math for Web Design", "section 7.4, contrast of blue")
def test_the_contrast_of_blue() -> None:
    assert contrast("#0000FF", "#FFFFFF") == pytest.approx(8.59, abs=0.005)
    assert contrast("#0000FF", "#FF0000") == pytest.approx(2.15, abs=0.005)


BLUE = (50.0, 0.0, -82.7485)


@pytest.mark.source(
    "published",
    "Sharma, Wu, Dalal 2005, Color Research and Application 30(1)",
    "table 1, pairs 1 to 6",
)
@pytest.mark.parametrize(
    ("a", "b", "difference"),
    [
        (2.6772, -79.7751, 2.0425),
        (3.1571, -77.2803, 2.8615),
        (2.8361, -74.0200, 3.4412),
        (-1.3802, -84.2814, 1.0000),
        (-1.1848, -84.8006, 1.0000),
        (-0.9009, -85.5211, 1.0000),
    ],
)
def test_the_formula_of_colour_difference(a: float, b: float, difference: float) -> None:
    assert ciede2000((50.0, a, b), BLUE) == pytest.approx(difference, abs=1e-4)


@pytest.mark.source(
    "published", "ICC HDR working group, summer 2020", "CIEDE2000 reference data, L* 50 and 84.25"
)
@pytest.mark.parametrize(
    ("one", "two", "difference"),
    [
        ((50.0, 2.5, 0.0), (73.0, 25.0, -18.0), 27.1492),
        ((50.0, 2.5, 0.0), (61.0, -5.0, 29.0), 22.8977),
        ((50.0, 2.5, 0.0), (56.0, -27.0, -3.0), 31.9030),
        ((50.0, 2.5, 0.0), (58.0, 24.0, 15.0), 19.4535),
        ((84.25, 5.74, 96.0), (84.46, 8.88, 96.49), 1.6743),
        ((84.25, 5.74, 96.0), (84.37, 5.86, 99.42), 0.6395),
    ],
)
def test_the_difference_of_colours_farther_apart(one: Lab, two: Lab, difference: float) -> None:
    assert ciede2000(one, two) == pytest.approx(difference, abs=1e-4)


@pytest.mark.source(
    "published",
    "Machado, Oliveira, Fernandes 2009",
    "matrix of full deuteranomaly, as published shader code gives it",
)
def test_green_as_a_colour_blind_eye_sees_it() -> None:
    """The middle column: what linear green becomes; the last, blue, goes below 0 in red."""
    assert seen("#00FF00", "deutan") == pytest.approx((0.860646, 0.672501, 0.042940))
    assert seen("#0000FF", "deutan") == pytest.approx((0.0, 0.047413, 0.968881))
    assert seen("#FF0000", "deutan") == pytest.approx((0.367322, 0.280085, 0.0))


@ALL
@pytest.mark.source("published", "WCAG 2.2", "success criterion 1.4.6: contrast 7")
@pytest.mark.expectation(76)
def test_text_can_be_read_on_every_ground(palette: Palette) -> None:
    texts = ("ink", "graphite", *(name for name in palette.colours() if name.endswith("_text")))
    assert len(texts) == 7
    for text in texts:
        for name, ground in grounds(palette).items():
            assert contrast(palette.colours()[text], ground) >= 7, f"{text} on {name}"
    assert contrast(palette.on_selected, palette.selected_text) >= 7


def rules(palette: Palette) -> list[tuple[str, dict[str, str]]]:
    """Every rule of the program's style sheets: its selector and what it sets."""
    app = QApplication.instance()
    assert isinstance(app, QApplication)
    with dressed(app, Appearance(THEMES[palette.name], Metrics(4.0))):
        sheet = app.styleSheet()
    found = []
    for selector, body in re.findall(r"([^{}]+)\{([^{}]*)\}", sheet):
        pairs = (one.split(":", 1) for one in body.split(";") if ":" in one)
        found.append((selector.strip(), {name.strip(): value.strip() for name, value in pairs}))
    return found


@ALL
@pytest.mark.source("published", "WCAG 2.2", "success criterion 1.4.6: contrast 7")
@pytest.mark.expectation(76)
def test_every_rule_of_the_style_sheets_gives_text_that_can_be_read(
    qapp: QApplication, palette: Palette
) -> None:
    """On its own ground, or on every ground if it sets none; what is disabled is seen by 3.5."""
    text_rules = placeholders = 0
    every = rules(palette)
    filled = {selector: sets.get("background", "") for selector, sets in every}
    for selector, sets in every:
        own = sets.get("background", "")
        if not own.startswith("#"):  # then that of what it lies in, if a rule says so
            own = filled.get(selector.rpartition(" ")[0], "")
        on = [own] if own.startswith("#") else list(grounds(palette).values())
        least = 3.5 if "disabled" in selector else 7
        for key in ("color", "selection-color", "placeholder-text-color"):
            if key not in sets or "frameShape" in selector:  # a frame's colour is that of a line
                continue
            ground = [sets["selection-background-color"]] if key == "selection-color" else on
            for one in ground:
                assert contrast(sets[key], one) >= least, (selector, key, one)
            text_rules += 1
            placeholders += key == "placeholder-text-color"
    assert text_rules > 40
    assert placeholders == 1


@COLOURED
@pytest.mark.expectation(76)
def test_the_words_of_an_empty_field_are_painted_so_that_they_can_be_read(
    qtbot: QtBot, qapp: QApplication, palette: Palette
) -> None:
    with dressed(qapp, Appearance(THEMES[palette.name], Metrics(4.0)), 16.0):
        field = QLineEdit()
        field.setPlaceholderText("HHHH find in the rack")
        qtbot.addWidget(field)
        field.resize(300, 40)
        image = field.grab(QRect(8, 8, 280, 24)).toImage()
    dots = {
        image.pixelColor(x, y).name() for x in range(image.width()) for y in range(image.height())
    }
    assert len(dots) > 3
    assert max(contrast(dot, palette.paper) for dot in dots) >= 7


@ALL
@pytest.mark.expectation(76)
def test_words_on_the_plan_can_be_read_whatever_they_lie_on(palette: Palette) -> None:
    theme_ = THEMES[palette.name]
    assert len(get_args(DrawingRole)) > 10
    for role in get_args(DrawingRole):
        for name, ground in grounds(palette).items():
            assert contrast(theme_.text(role).name(), ground) >= 7, f"{role} on {name}"


@ALL
@pytest.mark.source(
    "published", "WCAG 2.2", "success criterion 1.4.11: contrast 3 of graphics; here 3.5"
)
@pytest.mark.expectation(77, 81)
def test_lines_that_mean_something_stand_out_from_their_grounds(palette: Palette) -> None:
    for name in ("ink", "graphite", "ring", "held", "clash", "selected", "reach"):
        for ground, colour in grounds(palette).items():
            assert contrast(palette.colours()[name], colour) >= 3.5, f"{name} on {ground}"
    # The fill of "check" may be pale: it never stands without its ink outline.
    assert STROKES["check"].colour == "ink"
    assert contrast(palette.ink if palette.name != "dark" else palette.desk, palette.check) >= 3


@COLOURED
@pytest.mark.parametrize("defect", DEFECTS)
@pytest.mark.expectation(80, 81)
def test_states_keep_apart_for_colour_blind_eyes(palette: Palette, defect: str) -> None:
    for one, two in combinations(STATES, 2):
        a, b = palette.colours()[one], palette.colours()[two]
        assert ciede2000(lab(seen(a, defect)), lab(seen(b, defect))) >= 12, f"{one} and {two}"


@pytest.mark.expectation(82)
def test_the_print_theme_is_black_and_white() -> None:
    colours = PALETTES["print"].colours()
    assert colours.keys() == PALETTES["light"].colours().keys()
    assert len(colours) >= 20
    for name, colour in colours.items():
        assert colour[1:3] == colour[3:5] == colour[5:7], name


def test_every_role_fill_and_hatch_has_its_look() -> None:
    assert set(STROKES) == set(get_args(DrawingRole))
    assert set(HATCHES) == set(get_args(Hatch)) - {"none"}
    for one in THEMES.values():
        for fill in get_args(Fill):
            assert one.brush(fill).style() == (
                Qt.BrushStyle.NoBrush if fill == "none" else Qt.BrushStyle.SolidPattern
            )
            assert one.brush(fill) is one.brush(fill), "stamps of circles are kept by it"


@pytest.mark.expectation(78)
def test_states_differ_in_line_and_not_only_in_colour() -> None:
    looks = {
        role: (STROKES[role].width, STROKES[role].dash)
        for role in ("edge", "hidden", "reach", "clash", "ghost", "centre")
    }
    assert len(set(looks.values())) == len(looks)


def test_pens_keep_their_width_and_dashes_at_every_density() -> None:
    one = THEMES["light"]
    for unit in (1.0, 1.25, 2.0):
        pen = one.pen("reach", unit)
        assert pen.isCosmetic()
        assert pen.widthF() == 2.0 * unit
        assert [d * 2.0 for d in pen.dashPattern()] == [10, 3, 1.5, 3, 1.5, 3]
    assert one.pen("edge", 1.0) is one.pen("edge", 1.0)


@pytest.mark.expectation(81, 83)
def test_the_system_s_wishes_for_dark_and_for_contrast_are_followed(
    qapp: QApplication, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Hints:
        def __init__(self, scheme: Qt.ColorScheme, contrast: Qt.ContrastPreference) -> None:
            self.scheme, self.contrast = scheme, contrast

        def colorScheme(self) -> Qt.ColorScheme:
            return self.scheme

        def accessibility(self) -> "Hints":
            return self

        def contrastPreference(self) -> Qt.ContrastPreference:
            return self.contrast

    plain, high = Qt.ContrastPreference.NoPreference, Qt.ContrastPreference.HighContrast
    for scheme, wish, name in (
        (Qt.ColorScheme.Dark, plain, "dark"),
        (Qt.ColorScheme.Dark, high, "dark"),
        (Qt.ColorScheme.Light, plain, "light"),
        (Qt.ColorScheme.Light, high, "print"),
        (Qt.ColorScheme.Unknown, plain, "light"),
    ):
        hints = Hints(scheme, wish)
        monkeypatch.setattr(QGuiApplication, "styleHints", lambda hints=hints: hints)
        assert theme.choose("system").palette.name == name
    assert theme.choose("dark") is THEMES["dark"]


@pytest.mark.parametrize("name", PALETTES)
def test_the_look_can_be_put_on_a_program(qtbot: QtBot, qapp: QApplication, name: str) -> None:
    look = THEMES[name]  # type: ignore[index]
    with dressed(qapp, Appearance(look, Metrics(glove=True))):
        assert qapp.palette().window().color() == look.colour("panel")
        assert "$" not in qapp.styleSheet()


@pytest.mark.parametrize("folder", ["Müller's jigs", "Program Files (x86)", 'the "new" one'])
def test_the_look_holds_in_a_folder_of_any_name(qtbot: QtBot, tmp_path: Path, folder: str) -> None:
    marks = Path(theme.__file__).with_name("marks") / "light"
    shutil.copytree(marks, tmp_path / folder)
    shown = []
    for place in (marks, tmp_path / folder):
        box = QCheckBox("Ticked")
        qtbot.addWidget(box)
        box.setChecked(True)
        box.setStyleSheet(style_sheet(PALETTES["light"], Metrics(4.0), place))
        shown.append(box.grab().toImage())
    assert shown[0] == shown[1]


@pytest.mark.expectation(72)
@pytest.mark.parametrize("glove", [False, True])
def test_the_line_between_two_panes_is_a_bar_for_gloves(glove: bool) -> None:
    metrics = Metrics(4.0, glove=glove)
    marks = Path(theme.__file__).with_name("marks") / "dark"
    wide = 24 if glove else 1
    assert metrics.divider == wide
    made = style_sheet(PALETTES["dark"], metrics, marks)
    assert f"QSplitter::handle:horizontal {{ width: {wide}px; }}" in made
    assert f"QSplitter::handle:vertical {{ height: {wide}px; }}" in made
    assert (marks / "dot.svg").is_file()
    package = Path(gridjig.qt.__file__).parent
    fixed = [p.name for p in package.rglob("*.py") if "setHandleWidth" in p.read_text("utf-8")]
    assert fixed == []  # it would count instead


@pytest.mark.expectation(83)
def test_nothing_moves_by_itself() -> None:
    """A wish for less motion is met by there being none."""
    package = Path(gridjig.qt.__file__).parent
    moving = re.compile(r"Q(Property|Variant|Abstract|Sequential)?Animation|QTimeLine|QMovie")
    files = list(package.rglob("*.py"))
    assert len(files) >= 100
    assert [p.name for p in files if moving.search(p.read_text("utf-8"))] == []
