"""Drawn things follow the document: only what changed is drawn again, what went is removed."""

import pytest
from msgspec import structs
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QApplication

from gridjig.edits.selection import shift
from gridjig.qt.canvas.items import Items
from gridjig.qt.paint.painter import Plotter
from gridjig.qt.style.theme import THEMES
from gridjig.session.document import Document
from tests.workshop import EMPTY, laid, pin, plate, stop

pytestmark = pytest.mark.usefixtures("qapp")

EVERYWHERE = (-1e5, -1e5, 1e5, 1e5)


def items() -> Items:
    return Items(Plotter(THEMES["light"], 4.0, 1.0, QFont(QApplication.font())))


def test_only_what_changed_is_drawn_anew() -> None:
    document, drawn = (
        Document(laid(stop("a", 2, 2), stop("b", 6, 6), plate("o", 600, 100))),
        items(),
    )
    assert len(drawn.sync(document)) == 3
    assert drawn.sync(document) == []
    before = dict(drawn.items)
    document.do(shift(document.job, frozenset(["b"]), 1, 0), "Move")
    damage = drawn.sync(document)
    assert len(damage) == 2  # where it was and where it is
    assert drawn.items["a"] is before["a"]
    assert drawn.items["o"] is before["o"]
    assert drawn.items["b"] is not before["b"]
    document.undo()
    drawn.sync(document)
    assert drawn.items["a"] is before["a"]
    assert drawn.items["b"].box == before["b"].box


def test_what_is_gone_is_taken_away_and_what_comes_is_added() -> None:
    document, drawn = (
        Document(laid(stop("a", 2, 2), plate("o", 600, 100), plate("p", 600, 300))),
        items(),
    )
    drawn.sync(document)
    second = drawn.items["p"]
    document.do(laid(stop("c", 4, 9), plate("p", 600, 300)), "Change all")
    drawn.sync(document)
    assert set(drawn.items) == {"c", "p"}
    assert drawn.items["p"] is not second  # it is the first outline now, with the first hatch
    document.do(EMPTY, "Clear")
    assert len(drawn.sync(document)) == 2
    assert drawn.within(EVERYWHERE, 1.0) == []


def test_another_table_or_rack_draws_all_anew() -> None:
    document, drawn = Document(laid(stop("a", 2, 2), stop("b", 6, 6))), items()
    drawn.sync(document)
    before = dict(drawn.items)
    assert before.keys() == {"a", "b"}
    thick = structs.replace(document.job.table, thickness=20.0)
    document.do(structs.replace(document.job, table=thick), "Change the table")
    drawn.sync(document)
    assert all(drawn.items[i] is not before[i] for i in before)


def test_selection_and_findings_draw_only_those_they_name() -> None:
    document, drawn = Document(laid(stop("a", 2, 2), stop("b", 6, 6))), items()
    drawn.sync(document)
    before = dict(drawn.items)
    document.select(["a"])
    drawn.sync(document)
    assert drawn.items["b"] is before["b"]
    assert drawn.items["a"] is not before["a"]
    drawn.sync(document, frozenset(["b"]), frozenset(["gone"]))
    assert drawn.items["b"] is not before["b"]


def test_neighbours_of_a_place_are_found_low_ones_first() -> None:
    low, high = plate("low", 100, 100), stop("high", 3, 3)
    document, drawn = Document(laid(high, low, stop("far", 15, 15))), items()
    drawn.sync(document)
    found = drawn.within((100.0, 100.0, 220.0, 220.0), 0.1)
    assert found == [drawn.items["low"].plot, drawn.items["high"].plot]
    assert len(drawn.within(EVERYWHERE, 1.0)) == 3
    # A sign of fixed size reaches the farther the more table a dot shows.
    assert len(drawn.within((300.0, 100.0, 310.0, 110.0), 10.0)) > 1


def test_what_lies_below_something_higher_is_known() -> None:
    over = structs.replace(plate("over", 90, 90), z_low=50, z_high=100)
    document, drawn = Document(laid(stop("below", 1, 1), over, stop("beside", 12, 12))), items()
    drawn.sync(document)
    assert drawn.covered(["below", "beside", "over", "gone"]) == ["below"]


def test_each_step_of_a_drag_may_look_new_and_few_looks_are_kept(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A piece that turns looks different at every step; those that look alike share a picture."""
    monkeypatch.setattr("gridjig.qt.canvas.items.MOST_LOOKS", 5)
    document, drawn = Document(laid(pin("a", 2, 2), pin("b", 6, 6), pin("c", 9, 9))), items()
    drawn.sync(document)
    kinds = [drawn.items[one].plot.kind for one in "abc"]
    assert all(kind is not None for kind in kinds)
    assert len({kind.picture for kind in kinds if kind is not None}) == 1
    pictures = set()
    for step in range(20):
        a, *others = document.job.placements
        turned = structs.replace(a, turn=step + 1.0)
        document.do(structs.replace(document.job, placements=(turned, *others)), "Turn")
        drawn.sync(document)
        kind = drawn.items["a"].plot.kind
        assert kind is not None
        pictures.add(kind.picture)
    assert len(pictures) == 20  # a number is never given twice, as plots keep theirs
    assert kinds[1] is not None
    assert kinds[1].picture not in pictures
    assert 0 < drawn.looks <= 5
