"""Display lists on a painter: the right dots, at every density, and kept pixels equal to fresh."""

import random

import pytest
from PySide6.QtCore import QRect
from PySide6.QtGui import QColor, QFont, QImage, QPainter
from PySide6.QtWidgets import QApplication

from gridjig.geometry.box_index import Box
from gridjig.geometry.display import (
    Arc,
    Circle,
    Dimension,
    DisplayList,
    HighlightBox,
    Polyline,
    Symbol,
    TextLabel,
)
from gridjig.qt.paint.painter import Plotter, box_of, joined
from gridjig.qt.paint.symbols import SIGNS, Signs
from gridjig.qt.paint.view import View
from gridjig.qt.style.theme import THEMES
from tests.qt.canvases import apart

SIDE = 200
BOX = ((40.0, 40.0), (160.0, 40.0), (160.0, 120.0), (40.0, 120.0))
VIEW = View(1.0, 0.0, float(SIDE))

pytestmark = pytest.mark.usefixtures("qapp")


def plotter(unit: float = 1.0, palette: str = "light") -> Plotter:
    font = QFont(QApplication.font())
    font.setPixelSize(12)
    return Plotter(THEMES[palette], 4.0 * unit, unit, font)  # type: ignore[index]


def painted(
    drawing: DisplayList, unit: float = 1.0, kept: int = 0, palette: str = "light"
) -> QImage:
    """The drawing in a square of 200 px; with `kept` drawn so often that its pixels are kept."""
    one = plotter(unit, palette)
    side = round(SIDE * unit)
    image = QImage(side, side, QImage.Format.Format_RGB32)
    plot = one.plot(drawing)
    for _ in range(kept + 1):
        image.fill(one.theme.colour("paper"))
        with QPainter(image) as painter:
            if kept:
                one.repair(painter, [plot], VIEW.times(unit))
            else:
                one.draw(painter, [plot], VIEW.times(unit))
    return image


def at(image: QImage, x: float, y: float, unit: float = 1.0) -> QColor:
    return image.pixelColor(round(x * unit), round((SIDE - y) * unit))


def inked(image: QImage, part: QRect | None = None, palette: str = "light") -> int:
    """How many dots are not paper."""
    paper = THEMES[palette].colour("paper")  # type: ignore[index]
    area = part or image.rect()
    return sum(
        image.pixelColor(x, y) != paper
        for x in range(area.left(), area.right() + 1)
        for y in range(area.top(), area.bottom() + 1)
    )


@pytest.mark.parametrize("unit", [1.0, 1.25, 1.5, 2.0])
@pytest.mark.expectation(84)
def test_a_wide_line_is_two_px_at_every_density_and_never_blurred(unit: float) -> None:
    image = painted((Polyline(BOX, "edge", closed=True, fill="part"),), unit)
    ink, part = THEMES["light"].colour("ink"), THEMES["light"].colour("part")
    assert at(image, 100, 80, unit) == part
    row = [image.pixelColor(x, round(120 * unit)) for x in range(round(60 * unit))]
    dark = sum(c == ink for c in row)
    assert dark == pytest.approx(2 * unit, abs=0.51)
    assert {c.name() for c in row} <= {ink.name(), part.name(), "#fbfaf5"}


@pytest.mark.expectation(78)
def test_hatches_are_told_apart_without_colour() -> None:
    pictures = []
    for hatch in ("work", "work2", "work3", "clash", "keep out"):
        image = painted((Polyline(BOX, "edge", closed=True, fill="work", hatch=hatch),))
        ground = THEMES["light"].colour("work")
        pictures.append(
            frozenset(
                (x, y)
                for x in range(60, 140)
                for y in range(100, 140)
                if image.pixelColor(x, y) != ground
            )
        )
    assert len(set(pictures)) == 5
    assert len(pictures[2]) > 1.6 * len(pictures[0])  # half the pitch
    assert len(pictures[3]) > 2.2 * len(pictures[0])  # both ways


def test_hatch_does_not_swim_when_the_part_moves() -> None:
    moved = tuple((x + 12.0, y) for x, y in BOX)
    one = painted((Polyline(BOX, "edge", closed=True, hatch="work"),))
    other = painted((Polyline(moved, "edge", closed=True, hatch="work"),))
    common = QRect(60, 90, 80, 60)
    assert one.copy(common) == other.copy(common)


def test_a_circle_stands_about_its_centre() -> None:
    image = painted((Circle((100.0, 100.0), 20.0, "held", fill="held"),))
    held = THEMES["light"].colour("held")
    assert image.pixelColor(100, 100) == held
    assert image.pixelColor(100 - 19, 100) == held
    assert image.pixelColor(100 + 19, 100) == held
    assert inked(image, QRect(0, 0, 75, SIDE)) == 0
    assert inked(painted((Circle((100.0, 100.0), 0.4, "edge"),))) == 0  # would be a smudge
    assert inked(painted((Circle((100.0, 100.0), 70.0, "edge"),))) > 300


def test_an_arc_runs_counter_clockwise_as_seen() -> None:
    image = painted((Arc((100.0, 100.0), 60.0, 0.0, 90.0, "edge"),))
    right_up, left_down = QRect(100, 0, 100, 100), QRect(0, 100, 100, 100)
    assert inked(image, right_up) > 100
    assert inked(image, left_down) < 10


@pytest.mark.parametrize("palette", ["light", "dark", "print"])
def test_every_sign_shows_and_differs_from_every_other(palette: str) -> None:
    seen = set()
    for mark in SIGNS:
        role = "check" if mark == "check" else "clash" if mark == "clash" else "thin"
        image = painted((Symbol((100.0, 100.0), mark, role),), palette=palette)  # type: ignore[arg-type]
        assert inked(image, palette=palette) > 8, mark
        grey = image.convertToFormat(QImage.Format.Format_Grayscale8)
        seen.add(bytes(grey.constBits()))
    assert len(seen) == len(SIGNS)


def test_a_sign_turns_with_its_direction_and_keeps_clear_of_its_pin() -> None:
    up = painted((Symbol((100.0, 100.0), "force", "force", turn=90.0),))
    assert inked(up, QRect(80, 101, 40, 20)) > 60  # the wedge lies below its point
    assert inked(up, QRect(80, 70, 40, 28)) == 0
    ring = painted((Symbol((100.0, 100.0), "turns", "reach", clear=22.0),))
    assert inked(ring, QRect(92, 92, 16, 16)) == 0


def test_the_pictures_of_signs_that_turn_are_kept_up_to_a_limit(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("gridjig.qt.paint.symbols.MOST_DOTS", 10_000)
    signs = Signs(THEMES["light"], 1.0)
    image = QImage(SIDE, SIDE, QImage.Format.Format_RGB32)
    kept = []
    with QPainter(image) as painter:
        for turn in range(40):
            signs.draw(painter, Symbol((100.0, 100.0), "force", "force", turn=float(turn)), VIEW)
            kept.append(signs.dots)
    assert kept[:3] == [38 * 38, 2 * 38 * 38, 3 * 38 * 38]
    assert max(kept) == 6 * 38 * 38  # the seventh would be beyond the limit
    assert kept[6] == 38 * 38


def test_the_widths_of_texts_are_kept_up_to_a_limit(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("gridjig.qt.paint.lettering.MOST_WIDTHS", 8)
    one = plotter()
    widths = [one.width(f"{number:03}") for number in range(50)]
    assert len(set(widths)) == 1  # figures are all equally wide
    assert widths[0] > 0
    assert 0 < one.kept_widths <= 8


@pytest.mark.expectation(15)
def test_a_frame_stands_off_by_screen_millimetres_with_full_corners() -> None:
    frame = HighlightBox((40.0, 40.0), (160.0, 120.0), "selected", margin=2.0, corners=True)
    image = painted((frame,))
    selected = THEMES["light"].colour("selected")
    for x, y in ((32, 128), (168, 128), (32, 32), (168, 32)):
        assert at(image, x, y) == selected
    assert inked(image, QRect(45, 85, 110, 70)) == 0


def test_a_dimension_writes_its_number_in_a_gap_of_its_line() -> None:
    image = painted((Dimension((20.0, 100.0), (180.0, 100.0), "160 mm"),))
    assert inked(image, QRect(0, 105, SIDE, 90)) == 0  # nothing on the side of the thing
    line = SIDE - 100 - 32
    assert inked(image, QRect(40, line - 1, 30, 3)) >= 25
    upright = painted((Dimension((100.0, 180.0), (100.0, 20.0), "160 mm"),))
    assert inked(upright, QRect(101, 0, 60, SIDE)) > 150


def test_a_short_dimension_points_from_outside_and_writes_beside() -> None:
    image = painted((Dimension((95.0, 100.0), (105.0, 100.0), "10 mm"),))
    assert inked(image, QRect(70, 60, 24, 20)) > 5
    assert inked(painted((Dimension((95.0, 100.0), (95.0, 100.0), "0"),))) == 0


def test_words_keep_their_size_and_stay_out_where_there_is_no_room() -> None:
    fits = painted((TextLabel((100.0, 100.0), "Stop", "thin", room=60.0),))
    assert inked(fits) > 20
    assert inked(painted((TextLabel((100.0, 100.0), "Stop", "thin", room=10.0),))) == 0
    for anchor, part in (
        ("left", QRect(100, 0, 100, SIDE)),
        ("right", QRect(0, 0, 100, SIDE)),
        ("above", QRect(0, 100, SIDE, 100)),
        ("below", QRect(0, 0, SIDE, 100)),
    ):
        image = painted((TextLabel((100.0, 100.0), "Stop", "thin", anchor=anchor),))  # type: ignore[arg-type]
        assert inked(image) > 20
        assert inked(image, part) == 0, anchor
    turned = painted((TextLabel((100.0, 100.0), "Stop", "thin", turn=90.0, cleared=True),))
    assert inked(turned, QRect(90, 80, 20, 40)) > 20


@pytest.mark.parametrize("unit", [1.0, 1.5])
def test_kept_pixels_are_those_of_a_fresh_drawing(unit: float) -> None:
    drawing = (
        Polyline(BOX, "edge", closed=True, fill="part", hatch="work"),
        Polyline(((50.0, 50.0), (150.0, 110.0)), "hidden"),
        Circle((100.0, 80.0), 12.0, "held", fill="held"),
        Arc((100.0, 80.0), 30.0, 10.0, 100.0, "reach"),
        Symbol((160.0, 120.0), "clash", "clash"),
    )
    fresh, kept = painted(drawing, unit), painted(drawing, unit, kept=3)
    worst = max(
        apart(fresh.pixelColor(x, y), kept.pixelColor(x, y))
        for x in range(fresh.width())
        for y in range(0, fresh.height(), 3)
    )
    # Soft edges over a transparent ground round otherwise by a step or two.
    assert worst <= 3


def test_boxes() -> None:
    assert box_of(TextLabel((5.0, 6.0), "a", "thin", room=10.0)) == (0.0, 6.0, 10.0, 6.0)
    assert box_of(TextLabel((5.0, 6.0), "a", "thin", room=10.0, turn=90.0)) == (5.0, 1.0, 5.0, 11.0)
    upright = painted((TextLabel((100.0, 100.0), "Upright", "thin", room=60.0, turn=90.0),))
    assert inked(upright) > 0
    assert joined([]) is None
    assert joined(iter(())) is None  # as where a dimension has no room for its number
    assert joined([(0, 0, 1, 1), (2, -1, 3, 0)]) == (0, -1, 3, 1)


@pytest.mark.parametrize("unit", [1.0, 2.0])
def test_an_opening_shows_what_is_behind_it(unit: float) -> None:
    opening = ((80.0, 60.0), (120.0, 60.0), (120.0, 100.0), (80.0, 100.0))
    plate = Polyline(BOX, "work", True, "work", "work", (opening,))
    behind = Circle((100.0, 80.0), 6.0, "held", "held")
    image = painted((behind, plate), unit)
    bare = painted((behind,), unit)
    for x, y in ((100.0, 80.0), (90.0, 70.0), (84.0, 64.0), (116.0, 96.0)):
        assert at(image, x, y, unit) == at(bare, x, y, unit)
    paper = at(bare, 50.0, 50.0, unit)
    inside = QRect(round(82 * unit), round(102 * unit), round(36 * unit), round(36 * unit))
    assert inked(image, inside) == inked(bare, inside)
    assert at(image, 80.0, 80.0, unit) != paper  # its edge is drawn
    filled = painted((Polyline(BOX, "work", True, "work", "none", (opening,)),), unit)
    assert at(filled, 60.0, 80.0, unit) != paper
    assert at(filled, 100.0, 80.0, unit) == paper


SIGN_MARKS = tuple(SIGNS)


def scattered(chance: random.Random) -> DisplayList:
    """Words of every kind and signs, at random within 400 mm."""
    words = ("Rail", "Åg", "Long upright", "corner of the back rail")

    def place() -> tuple[float, float]:
        return (chance.uniform(0, 400), chance.uniform(0, 400))

    return tuple(
        TextLabel(
            place(),
            chance.choice(words),
            "edge",
            anchor=chance.choice(("centre", "left", "right", "above", "below")),
            turn=chance.choice((0.0, 0.0, 90.0, -90.0, 37.0)),
            size=chance.choice(("small", "normal", "large")),
            cleared=chance.random() < 0.5,
        )
        if chance.random() < 0.7
        else Symbol(
            place(),
            chance.choice(SIGN_MARKS),
            "edge",
            turn=chance.choice((0.0, 30.0)),
            clear=chance.choice((0.0, 8.0, 30.0)),
        )
        for _ in range(120)
    )


@pytest.mark.parametrize("unit", [1.0, 1.5])
def test_what_is_left_out_because_it_is_outside_would_not_be_seen(unit: float) -> None:
    chance = random.Random(7)
    one = plotter(unit)
    side = round(400 * unit)
    plot = one.plot(scattered(chance))

    def drawn(clip: QRect, within: Box | None) -> QImage:
        image = QImage(side, side, QImage.Format.Format_RGB32)
        image.fill(one.theme.colour("paper"))
        with QPainter(image) as painter:
            painter.setClipRect(clip)
            one.draw(painter, [plot], View(1.0, 0.0, 400.0).times(unit), within)
        return image

    everywhere = QRect(0, 0, side, side)
    whole = drawn(everywhere, None)
    for _ in range(60):
        place = QRect(chance.randrange(side), chance.randrange(side), 60, 40)
        within = (place.left(), place.top(), place.right() + 1, place.bottom() + 1)
        assert drawn(place, within) == drawn(place, None)
        assert drawn(everywhere, within) != whole  # something is left out
