"""Bars as they are typed: read back the same, bought or on hand, of one section or any."""

from collections.abc import Callable
from typing import Any

import pytest

from gridjig.edits.details import set_sawing
from gridjig.edits.typed_bars import bars_words, read_bars
from gridjig.model import Display, Sawing, StockBar
from gridjig.model.cutting import MOST_BARS
from gridjig.units import MILLIMETRES, ParseError
from tests.workshop import EMPTY

INCHES = Display()


def test_lengths_are_bought_and_counted_ones_are_on_hand() -> None:
    text = "20'; 24' of 2x2x1/8; 3 on hand of 60 of 2x2x1/8"
    bars = read_bars(text, INCHES)
    assert bars == (
        StockBar(length=240 * 25.4),
        StockBar(length=288 * 25.4, section="2x2x1/8"),
        StockBar(length=60 * 25.4, section="2x2x1/8", have=3),
    )
    assert read_bars(bars_words(bars, INCHES), INCHES) == bars
    assert bars_words(bars, INCHES) == "240; 288 of 2x2x1/8; 3 on hand of 60 of 2x2x1/8"
    assert read_bars(" ; ", INCHES) == ()
    assert read_bars("6000; 7500", MILLIMETRES) == (StockBar(length=6000), StockBar(length=7500))


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("6000; six metres", "not understood at character 6"),
        ("0 on hand of 3000", "0 on hand is none"),
        ("; ".join(["6000"] * (MOST_BARS + 1)), "the most is 100"),
    ],
)
def test_what_is_not_understood_is_refused(text: str, why: str) -> None:
    with pytest.raises(ParseError, match=why):
        read_bars(text, MILLIMETRES)


@pytest.mark.parametrize("make", [lambda: StockBar(length=0.0), lambda: read_bars("-5", INCHES)])
def test_a_bar_has_a_length(make: Callable[[], Any]) -> None:
    with pytest.raises(ValueError, match="length"):
        make()


def test_the_same_bars_are_no_change() -> None:
    assert set_sawing(EMPTY, Sawing()) is EMPTY
    changed = set_sawing(EMPTY, Sawing(bars=(StockBar(length=6000),)))
    assert changed.sawing.bars[0].length == 6000
