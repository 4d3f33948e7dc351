"""The sentence of a refusal."""

import pickle

import pytest

from gridjig.units import ParseError


@pytest.mark.expectation(30)
def test_the_sentence_names_text_place_and_way_on() -> None:
    assert str(ParseError("5,3", 1, "write a point")) == (
        "“5,3” is not understood at character 2: write a point."
    )
    assert (
        str(ParseError("5,3", None, "write a point")) == "“5,3” is not understood: write a point."
    )
    assert str(ParseError("  ", None, "type a hole")) == "Nothing was typed: type a hole."


def test_a_long_text_is_cut_in_the_sentence_only() -> None:
    parse_error = ParseError("x" * 500, None, "type a hole")
    assert len(str(parse_error)) < 120
    assert parse_error.text == "x" * 500


def test_it_survives_the_way_to_another_process() -> None:
    back = pickle.loads(pickle.dumps(ParseError("a", 3, "b")))
    assert (back.text, back.at, back.why) == ("a", 3, "b")
