"""The words for the states of a hole: one line for each state there is."""

from typing import get_args

from gridjig.model import HoleState
from gridjig.sheets.text.hole_states import HOLE_STATES


def test_every_state_has_words_and_free_comes_last() -> None:
    states = [state for state, _, _ in HOLE_STATES]
    assert states == [*get_args(HoleState), "free"]
    assert all(name and about for _, name, about in HOLE_STATES)
