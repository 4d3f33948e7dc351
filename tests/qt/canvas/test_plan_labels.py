"""Names on the plan cover nothing, what hangs over the edge and a tool's words are seen whole."""

import math

import pytest
from msgspec import structs
from PySide6.QtCore import QPoint, QRect
from PySide6.QtGui import QColor, QFont, QImage
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry import Polygon

from gridjig.edits.members import between
from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.geometry.box_index import Box, touch
from gridjig.geometry.display import Dimension, Symbol, TextLabel
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Job, Member, Part, Section, Weldment
from gridjig.qt.canvas.items import Items
from gridjig.qt.canvas.plan_labels import PlanLabels, boxes_at, guards_of
from gridjig.qt.paint.painter import Chosen, Plotter
from gridjig.qt.paint.view import View
from gridjig.qt.style.theme import THEMES
from gridjig.qt.tasks.warmup import before_thread
from gridjig.session.document import Document
from gridjig.sheets.drawings.plan import ShownState, draw_part, draw_part_dims, draw_placement
from tests.qt.canvases import METRICS, picture, shown
from tests.workshop import EMPTY, laid, plate, stop

pytestmark = pytest.mark.usefixtures("qapp")

FLAT = Section(name="50x6", kind="flat", width=50, height=6)
SCALES = (0.12, 0.25, 0.43, 0.8, 2.0)


class Drawn:
    """The things of a job, plotted and their labels placed at one scale."""

    def __init__(self, qapp_font: QFont, job: Job, scale: float, selected: tuple[str, ...] = ()):
        self.document = Document(job)
        self.document.select(selected)
        self.plotter = Plotter(THEMES["light"], METRICS.px_per_mm, 1.0, qapp_font)
        self.items = Items(self.plotter)
        self.items.sync(self.document)
        self.labels = PlanLabels(self.plotter)
        self.scale = scale
        for thing_id, item in self.items.items.items():
            self.labels.show("thing", thing_id, item.plot)
        self.labels.settle(scale)

    def names(self) -> dict[str, tuple[TextLabel, Chosen | None]]:
        return {
            thing_id: (shape, self.plotter.labels[id(shape)])
            for thing_id, item in self.items.items.items()
            for shape in item.plot.fixed
            if isinstance(shape, TextLabel)
        }

    def boxes(self) -> dict[str, list[Box]]:
        """What the words that are shown cover, dots."""
        found = {}
        for thing_id, (label, now) in self.names().items():
            if now is not None:
                wide = self.plotter.width(now.text, label.size)
                found[thing_id] = boxes_at(self.plotter, label, now.spot, wide, self.scale)
        return found

    def signs(self) -> list[Box]:
        """Pins, from the job alone, and all signs."""
        table, rack = self.document.job.table, self.document.job.rack
        found = []
        for placed in self.document.placed_pieces.values():
            assert placed.piece is not None
            far = (rack.pin_diameter(placed.piece) or table.hole_diameter) / 2 * self.scale
            for hole in placed.holes:
                x, y = (part * self.scale for part in table.at(hole))
                found.append((x - far, -y - far, x + far, -y + far))
        for item in self.items.items.values():
            only = structs.replace(item.plot, guards=[])
            found += guards_of(only, self.scale, self.plotter.unit)
        return found


@pytest.fixture(scope="module")
def font(qapp: QApplication) -> QFont:
    """The program's font at one size, whatever size a window before this one was made with."""
    font = qapp.font()
    font.setPointSizeF(9)
    return font


def test_no_name_covers_a_sign_a_pin_or_another_name(font: QFont) -> None:
    shown_names = hidden = moved = shortened = signs = 0
    for path in samples().values():
        job = load_job(path)
        flagged = [*(p.id for p in job.placements[:2]), job.parts[0].id]
        for scale in SCALES:
            drawn = Drawn(font, job, scale, tuple(flagged))
            boxes, guards = drawn.boxes(), drawn.signs()
            every = [(owner, box) for owner, own in boxes.items() for box in own]
            for n, (owner, box) in enumerate(every):
                assert not [1 for guard in guards if touch(box, guard, -0.01)], (owner, scale)
                others = [o for o, other in every[:n] if o != owner and touch(box, other, -0.01)]
                assert not others, (owner, scale)
            for label, now in drawn.names().values():
                hidden += now is None
                moved += now is not None and now.spot.at != label.at
                shortened += now is not None and now.text.endswith("…")
            shown_names += len(boxes)
            signs += len(guards)
    assert shown_names > 60
    assert signs > 300
    assert hidden > 20
    assert moved > 5
    assert shortened > 3


def test_a_name_that_is_cut_short_is_still_legible(font: QFont) -> None:
    cut = [
        (label.text, now.text)
        for path in samples().values()
        for scale in SCALES
        for label, now in Drawn(font, load_job(path), scale).names().values()
        if now is not None and now.text != label.text
    ]
    assert cut
    for whole, part in cut:
        assert part.endswith("…")
        assert len(part) >= 5
        assert whole.startswith(part[:-1].rstrip())


def test_of_two_names_that_want_one_place_the_selected_one_has_it(font: QFont) -> None:
    parts = (plate("left piece", 500, 500, 200, 30), plate("right piece", 504, 500, 200, 30))
    for chosen, other in (("left piece", "right piece"), ("right piece", "left piece")):
        names = Drawn(font, laid(*parts), 0.5, (chosen,)).names()
        first, second = names[chosen][1], names[other][1]
        assert first is not None
        assert first.text == names[chosen][0].text
        assert second is None or second.spot.at != names[other][0].at


def test_a_name_comes_back_when_what_was_in_its_way_is_gone(font: QFont) -> None:
    job = laid(plate("plate", 200, 200, 500, 300))
    drawn = Drawn(font, job, 0.5)
    label, now = drawn.names()["plate"]
    assert now is not None
    assert now.spot.at == label.at
    mark = drawn.plotter.plot((Symbol(label.at, "clash", "clash"),))
    drawn.labels.show("contact", "x", mark)
    assert drawn.labels.settle(0.5)
    aside = drawn.names()["plate"][1]
    assert aside is not None
    assert aside.spot.at != label.at
    drawn.labels.show("contact", "x", None)
    assert drawn.labels.settle(0.5)
    assert drawn.names()["plate"][1] == now
    assert drawn.labels.settle(0.5) == []


def test_the_number_of_a_dimension_slides_along_its_line_and_is_always_shown(
    font: QFont,
) -> None:
    part = plate("plate", 200, 200, 500, 300)
    drawn = Drawn(font, laid(part), 0.5)
    dims = draw_part_dims(part, EMPTY.display)
    wide = next(shape for shape in dims if isinstance(shape, Dimension))
    offset = wide.offset * METRICS.px_per_mm / 0.5
    middle = ((wide.a[0] + wide.b[0]) / 2, wide.a[1] + offset)
    drawn.labels.show("contact", "x", drawn.plotter.plot((Symbol(middle, "clash", "clash"),)))
    plot = drawn.plotter.plot(dims)
    drawn.labels.show("dims", "", plot)
    drawn.labels.settle(0.5)
    placed = [drawn.plotter.labels[id(s)] for s in plot.fixed if isinstance(s, Dimension)]
    assert len(placed) == 2
    assert all(one is not None for one in placed)
    assert placed[0].along != 0.5  # type: ignore[union-attr]
    everywhere = tuple(Symbol((x, middle[1]), "clash", "clash") for x in range(200, 701, 20))
    drawn.labels.show("contact", "x", drawn.plotter.plot(everywhere))
    drawn.labels.settle(0.5)
    assert drawn.plotter.labels[id(wide)].along == 0.5  # type: ignore[union-attr]


# -- several weldments -------------------------------------------------------------------------


def two_weldments(job: Job) -> Job:
    return structs.replace(job, weldments=(*job.weldments, Weldment(id="w2", name="Left gate")))


def test_a_name_stands_beside_a_plate_that_it_would_hide(font: QFont) -> None:
    job = laid(plate("foot", 500, 500, 120, 6))
    for scale, anchor in ((0.45, "above"), (4.0, "centre")):
        now = Drawn(font, job, scale).names()["foot"][1]
        assert now is not None
        assert (now.text, now.spot.anchor) == ("foot", anchor)


def test_with_several_weldments_a_name_says_of_which(font: QFont) -> None:
    one = laid(plate("top", 100, 100, 900, 60))
    assert Drawn(font, one, 0.8).names()["top"][1].text == "top"  # type: ignore[union-attr]
    end = structs.replace(plate("end", 100, 300, 900, 60), weldment="w2")
    job = structs.replace(two_weldments(one), parts=(*one.parts, end))
    names = Drawn(font, job, 0.8).names()
    assert names["end"][1].text == "Left gate: end"  # type: ignore[union-attr]
    assert names["top"][1].text == "Weldment 1: top"  # type: ignore[union-attr]
    assert Drawn(font, job, 0.06).names()["end"][1].text == "end"  # type: ignore[union-attr]


def test_names_follow_when_a_second_weldment_comes(font: QFont) -> None:
    drawn = Drawn(font, laid(plate("top", 100, 100, 900, 60)), 0.8)
    drawn.document.do(two_weldments(drawn.document.job), "Add a weldment")
    drawn.items.sync(drawn.document)
    assert drawn.items.replaced == {"top"}


# -- warnings ----------------------------------------------------------------------------------


@pytest.mark.source("method", "a ring of shapely: is the sign on the thing's own outline")
@pytest.mark.parametrize("turn", [0, 30, 45, 90, 137, 250])
@pytest.mark.parametrize("clash", [True, False])
def test_a_warning_stands_on_what_it_is_about(turn: int, clash: bool) -> None:
    state = ShownState(clash=clash, check=not clash)
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    part: Part = between("b", "b", FLAT, (500, 500), (500 + 400 * c, 500 + 400 * s))
    assert isinstance(part, Member)
    (sign,) = (s for s in draw_part(part, 0, state) if isinstance(s, Symbol))
    assert Polygon(part_ring(part)).distance(ShapelyPoint(sign.at)) < 1e-6
    document = Document(laid(stop("s", 5, 5)))
    placed = document.placed_pieces["s"]
    marks = [
        s
        for s in draw_placement(placed, document.job.table, 16.0, state)
        if isinstance(s, Symbol) and s.mark in ("clash", "check")
    ]
    assert [sign.mark, marks[0].mark] == ["clash" if clash else "check"] * 2
    rings = [Polygon(solid.points) for solid in placed.solids]
    assert min(ring.distance(ShapelyPoint(marks[0].at)) for ring in rings) < 1e-6


# -- beyond the edge of the table --------------------------------------------------------------


def share_of(image: QImage, area: QRect, colour: QColor) -> float:
    """The share of an area that has this colour."""
    dots = [
        image.pixelColor(x, y) == colour
        for x in range(area.left(), area.right() + 1)
        for y in range(area.top(), area.bottom() + 1)
    ]
    return sum(dots) / len(dots)


@pytest.mark.parametrize("side", ["left", "right", "top", "bottom"])
def test_what_hangs_over_the_table_is_seen_whole(qtbot: QtBot, side: str) -> None:
    table = EMPTY.table
    wide, deep = table.width, table.depth
    x, y = {
        "left": (-150.0, deep / 2),
        "right": (wide - 50.0, deep / 2),
        "top": (wide / 2, deep - 50.0),
        "bottom": (wide / 2, -150.0),
    }[side]
    over = structs.replace(plate("o", x, y, 200, 200), name="")
    canvas = shown(qtbot, laid(over))
    canvas.set_theme(THEMES["dark"])  # in which work and desk differ
    band = canvas._sheet._border.bands(canvas.view, canvas._sheet.size)[side]
    left, top = canvas.view.to_screen((x, y + 200))
    right, bottom = canvas.view.to_screen((x + 200, y))
    piece = QRect(
        QPoint(round(left) + 3, round(top) + 3), QPoint(round(right) - 3, round(bottom) - 3)
    )
    seen = band & piece
    assert seen.width() * seen.height() > 400
    work = THEMES["dark"].colour("work")
    assert share_of(picture(canvas), seen, work) > 0.5  # the rest is hatch
    far = QRect(band.left(), band.top(), 12, 12)
    assert share_of(picture(canvas), far, work) == 0


REASON = "It would hit the left upright by 12 mm; move it one hole to the left."


@pytest.mark.parametrize("at", [(5.0, 5.0), (1190.0, 5.0), (600.0, 990.0), (2.0, 500.0)])
@pytest.mark.parametrize("zoom", [1.0, 3.0])
def test_a_ghosts_reason_is_never_covered(
    qtbot: QtBot, at: tuple[float, float], zoom: float
) -> None:
    """Not by the addresses, whether they lie beside the plate or at the window's edge."""
    canvas = shown(qtbot)
    label = TextLabel(at, REASON, "clash", anchor="below", cleared=True)
    if zoom > 1:
        scale = canvas.view.scale * zoom
        x, y = at
        canvas.set_view(View(scale, 450 - x * scale, 350 + y * scale))
        canvas._settle()
    canvas.show_over((label,))
    image = picture(canvas)
    placed = canvas._sheet.plotter.over[id(canvas._over.fixed[0])]  # type: ignore[union-attr]
    plotter = canvas._sheet.plotter
    wide = plotter.width(REASON, label.size)
    (box,) = boxes_at(plotter, label, placed.spot, wide, canvas.view.scale)
    x1, y1 = box[0] + canvas.view.left, box[1] + canvas.view.top
    area = QRect(math.ceil(x1), math.ceil(y1), int(box[2] - box[0]), int(box[3] - box[1]))
    assert canvas.rect().contains(area)
    middle = shown(qtbot)
    middle.show_over((structs.replace(label, at=(EMPTY.table.width / 2, EMPTY.table.depth / 2)),))
    clear = picture(middle)
    paper = THEMES["light"].colour("paper")
    inner = (3, 3, -3, -3)
    lettered = 1.0 - share_of(image, area.adjusted(*inner), paper)
    x, y = middle.view.to_screen((EMPTY.table.width / 2, EMPTY.table.depth / 2))
    same = QRect(QPoint(0, 0), area.size())
    spot = middle._sheet.plotter.over[id(middle._over.fixed[0])].spot  # type: ignore[union-attr]
    (where,) = boxes_at(plotter, label, spot, wide, middle.view.scale)
    same.moveTo(math.ceil(where[0] + middle.view.left), math.ceil(where[1] + middle.view.top))
    assert lettered == pytest.approx(1.0 - share_of(clear, same.adjusted(*inner), paper), abs=0.02)


def test_words_of_a_tool_keep_off_pins_and_names_where_there_is_room(qtbot: QtBot) -> None:
    canvas = shown(qtbot, laid(stop("s", 8, 8)))
    canvas._settle()  # names are placed when a zoom ends
    table = canvas.document.job.table
    pinned = canvas.document.placed_pieces["s"].holes[0]
    x, y = table.at(pinned)
    canvas.show_over((TextLabel((x, y), "B4", "selected", cleared=True),))
    canvas.grab()
    plotter = canvas._sheet.plotter
    shape = canvas._over.fixed[0]  # type: ignore[union-attr]
    assert isinstance(shape, TextLabel)
    spot = plotter.over[id(shape)].spot
    assert spot.at != (x, y)
    (box,) = boxes_at(plotter, shape, spot, plotter.width("B4"), canvas.view.scale)
    assert canvas._sheet.labels.covered((box,)) == 0


def test_of_two_numbers_in_nearly_one_place_each_is_seen(qtbot: QtBot) -> None:
    """However many signs lie below them: two joints at the foot of a brace have two numbers."""
    canvas = shown(qtbot)
    canvas._settle()
    mm = 1.0 / canvas.view.scale
    at = (600.0, 500.0)
    signs = tuple(
        Symbol((at[0] + dx * mm, at[1] + dy * mm), "check", "check")
        for dx in range(-80, 81, 6)
        for dy in (-30, -25, -20, 20, 25, 30)
    )
    numbers = tuple(
        TextLabel((at[0] + k * mm, at[1]), str(k), "edge", anchor="right", cleared=True)
        for k in (1, 2)
    )
    canvas.show_over((*signs, *numbers))
    canvas.grab()
    plotter = canvas._sheet.plotter
    texts = [one for one in canvas._over.fixed if isinstance(one, TextLabel)]  # type: ignore[union-attr]
    assert [one.text for one in texts] == ["1", "2"]
    (one,), (other,) = (
        boxes_at(
            plotter, each, plotter.over[id(each)].spot, plotter.width(each.text), canvas.view.scale
        )
        for each in texts
    )
    assert not touch(one, other, -0.5)


def test_after_a_change_of_unit_names_still_keep_off_the_signs_of_contacts(qtbot: QtBot) -> None:
    before_thread()  # contacts are marked once the code that finds them is loaded
    job = load_job(next(iter(samples().values())))
    canvas = shown(qtbot, job)
    canvas._settle()
    sheet = canvas._sheet
    before = sum(1 for kind, _ in sheet.labels._plots if kind == "contact")
    document = canvas.document
    unit = structs.replace(document.job.display, unit="millimetres")
    document.do(structs.replace(document.job, display=unit), "Change the unit")
    after = sum(1 for kind, _ in sheet.labels._plots if kind == "contact")
    assert before == after == len(sheet.contacts) > 5
