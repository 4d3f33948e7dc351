"""The legend explains every sign, every state of a hole and every kind of line."""

from itertools import combinations
from pathlib import Path
from typing import get_args

import pytest

from gridjig.geometry.display import Symbol, SymbolKind
from gridjig.model import HoleState
from gridjig.sheets.drawings.hole_marks import hole_mark_at
from gridjig.sheets.lists.legend import HIGH, WIDE, LegendLine, legend

ROOT = Path(__file__).parents[3]
UNUSED = {"pin", "riser"}
"""Signs that painters know but no drawing uses."""


def lines() -> list[LegendLine]:
    return [line for group in legend() for line in group.lines]


@pytest.mark.expectation(79)
def test_every_sign_is_explained() -> None:
    signs = {s.mark for line in lines() for s in line.sample if isinstance(s, Symbol)}
    assert signs == set(get_args(SymbolKind)) - UNUSED


def test_no_drawing_uses_a_sign_that_is_not_explained() -> None:
    sources = [
        path.read_text("utf-8")
        for room in ("sheets/drawings", "tools", "contact")
        for path in (ROOT / "gridjig" / room).rglob("*.py")
    ]
    assert len(sources) > 50
    for mark in UNUSED:
        assert not [1 for text in sources if f'Symbol(at, "{mark}"' in text]


def test_every_state_of_a_hole_is_explained() -> None:
    samples = {line.sample for line in lines()}
    middle = (WIDE / 2, HIGH / 2)
    states = get_args(HoleState)
    assert len(states) == 5
    for state in states:
        assert hole_mark_at(middle, 8.0, state, 20.8) in samples, state


def test_no_two_signs_have_the_same_sample_or_the_same_words() -> None:
    every = lines()
    assert len(every) > 25
    for one, two in combinations(every, 2):
        assert one.words != two.words
        assert one.sample != two.sample
