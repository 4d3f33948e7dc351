"""What can be seen of a text."""

import pytest

from gridjig.units.seen import seen


@pytest.mark.parametrize(
    ("words", "shown"),
    [
        ("Left stile", "Left stile"),
        ("<img src=x> & <b>", "<img src=x> & <b>"),
        ("a\x07b\x1b[31mc\x85", "ab[31mc"),
        ("rail\u202e", "rail"),
        ("\u2066a\u2069\u200f\u2028b", "a b"),
        ("one\ntwo\tthree", "one two three"),
        ("1\u00a0000", "1\u00a0000"),
        ("שלום 漢 é", "שלום 漢 é"),
        ("\u0645\u200c\u0646", "\u0645\u200c\u0646"),
        ("\u202e", ""),
    ],
)
def test_only_what_cannot_be_seen_is_left_out(words: str, shown: str) -> None:
    assert seen(words) == shown
