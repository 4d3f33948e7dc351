"""Drawn things follow the desk: only what changed is drawn anew, and what went is taken away."""

import pytest
from msgspec import structs
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QApplication

from gridjig.edits.selection import shift
from gridjig.geometry.display import Words
from gridjig.qt.items import Items
from gridjig.qt.painter import Plotter
from gridjig.qt.theme import THEMES
from gridjig.rack import Point
from gridjig.session.desk import Desk
from tests.workshop import EMPTY, laid, plate, put, seat, stop

pytestmark = pytest.mark.usefixtures("qapp")

EVERYWHERE = (-1e5, -1e5, 1e5, 1e5)


def items() -> Items:
    return Items(Plotter(THEMES["light"], 4.0, 1.0, QFont(QApplication.font())))


def test_only_what_changed_is_drawn_anew() -> None:
    desk, drawn = Desk(laid(stop("a", 2, 2), stop("b", 6, 6), plate("o", 600, 100))), items()
    assert len(drawn.sync(desk)) == 3
    assert drawn.sync(desk) == []
    before = dict(drawn.items)
    desk.do(shift(desk.job, frozenset(["b"]), 1, 0), "Move")
    damage = drawn.sync(desk)
    assert len(damage) == 2  # where it was and where it is
    assert drawn.items["a"] is before["a"]
    assert drawn.items["o"] is before["o"]
    assert drawn.items["b"] is not before["b"]
    desk.undo()
    drawn.sync(desk)
    assert drawn.items["a"] is before["a"]
    assert drawn.items["b"].box == before["b"].box


def test_what_is_gone_is_taken_away_and_what_comes_is_added() -> None:
    desk, drawn = Desk(laid(stop("a", 2, 2), plate("o", 600, 100), plate("p", 600, 300))), items()
    drawn.sync(desk)
    second = drawn.items["p"]
    desk.do(laid(stop("c", 4, 9), plate("p", 600, 300)), "Change all")
    drawn.sync(desk)
    assert set(drawn.items) == {"c", "p"}
    assert drawn.items["p"] is not second  # it is the first outline now, with the first hatch
    desk.do(EMPTY, "Clear")
    assert len(drawn.sync(desk)) == 2
    assert drawn.within(EVERYWHERE, 1.0) == []


def test_another_table_or_rack_draws_all_anew() -> None:
    desk, drawn = Desk(laid(stop("a", 2, 2), stop("b", 6, 6))), items()
    drawn.sync(desk)
    before = dict(drawn.items)
    assert before.keys() == {"a", "b"}
    thick = structs.replace(desk.job.table, thickness=20.0)
    desk.do(structs.replace(desk.job, table=thick), "Change the table")
    drawn.sync(desk)
    assert all(drawn.items[i] is not before[i] for i in before)


def test_selection_and_findings_draw_only_those_they_name() -> None:
    desk, drawn = Desk(laid(stop("a", 2, 2), stop("b", 6, 6))), items()
    drawn.sync(desk)
    before = dict(drawn.items)
    desk.select(["a"])
    drawn.sync(desk)
    assert drawn.items["b"] is before["b"]
    assert drawn.items["a"] is not before["a"]
    drawn.sync(desk, frozenset(["b"]), frozenset(["gone"]))
    assert drawn.items["b"] is not before["b"]


def test_neighbours_of_a_place_are_found_low_ones_first() -> None:
    low, high = plate("low", 100, 100), stop("high", 3, 3)
    desk, drawn = Desk(laid(high, low, stop("far", 15, 15))), items()
    drawn.sync(desk)
    found = drawn.within((100.0, 100.0, 220.0, 220.0), 0.1)
    assert found == [drawn.items["low"].plot, drawn.items["high"].plot]
    assert len(drawn.within(EVERYWHERE, 1.0)) == 3
    # A sign of fixed size reaches the farther the more table a dot shows.
    assert len(drawn.within((300.0, 100.0, 310.0, 110.0), 10.0)) > 1


def test_what_lies_below_something_higher_is_known() -> None:
    over = structs.replace(plate("over", 90, 90), z_low=50, z_high=100)
    desk, drawn = Desk(laid(stop("below", 1, 1), over, stop("beside", 12, 12))), items()
    drawn.sync(desk)
    assert drawn.covered(["below", "beside", "over", "gone"]) == ["below"]


def name_at(drawn: Items, thing_id: str) -> Point:
    (words,) = (w for w in drawn.items[thing_id].plot.fixed if isinstance(w, Words))
    return words.at


def test_a_name_makes_room_for_the_pad_of_a_clamp_and_comes_back() -> None:
    away = plate("far", 900, 900)
    clamp = put("c", "clamp", seat("p", 6, 6), reach=100)
    desk, drawn = Desk(laid(plate("o", 200, 200, 500, 300), away, clamp)), items()
    drawn.sync(desk)
    tip = desk.stands["c"].tip
    assert tip is not None
    (x, y), far = name_at(drawn, "o"), drawn.items["far"]
    under = plate("o", 200 + tip.at[0] - x, 200 + tip.at[1] - y, 500, 300)
    desk.do(laid(under, away, clamp), "Move it under the pad")
    drawn.sync(desk)
    assert abs(name_at(drawn, "o")[0] - tip.at[0]) > tip.pad_radius
    desk.do(laid(under, away), "Take the clamp away")
    drawn.sync(desk)
    assert name_at(drawn, "o") == pytest.approx(tip.at)
    desk.do(laid(under, away, clamp), "Put it back")
    drawn.sync(desk)
    assert abs(name_at(drawn, "o")[0] - tip.at[0]) > tip.pad_radius
    assert drawn.items["far"] is far
