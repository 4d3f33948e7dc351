"""The sentence of a refusal."""

import pickle

import pytest

from gridjig.units import Misread


@pytest.mark.expectation(30)
def test_the_sentence_names_text_place_and_way_on() -> None:
    assert str(Misread("5,3", 1, "write a point")) == (
        "“5,3” is not understood at character 2: write a point."
    )
    assert str(Misread("5,3", None, "write a point")) == "“5,3” is not understood: write a point."
    assert str(Misread("  ", None, "type a hole")) == "Nothing is typed: type a hole."


def test_a_long_text_is_cut_in_the_sentence_only() -> None:
    misread = Misread("x" * 500, None, "type a hole")
    assert len(str(misread)) < 120
    assert misread.text == "x" * 500


def test_it_survives_the_way_to_another_process() -> None:
    back = pickle.loads(pickle.dumps(Misread("a", 3, "b")))
    assert (back.text, back.at, back.why) == ("a", 3, "b")
