"""Plain words for what the typed decoder says; the decoder itself makes the messages."""

import re
from typing import Annotated, Any, Literal, NamedTuple

import msgspec
import pytest
from msgspec import Meta, Struct

from gridjig.files.format.error_text import explain, split_place, unknown_field
from gridjig.files.format.json_places import parse_path

BANNED = re.compile(r"invalid|illegal|fatal|failed to|error|please|!|`|\be\.g\.|\bi\.e\.", re.I)


class Ring(Struct, tag="ring", forbid_unknown_fields=True):
    size: Annotated[float, Meta(gt=0, lt=10)] = 1.0


class Bar(Struct, tag="bar", forbid_unknown_fields=True):
    side: Literal["left", "right"] = "left"
    steps: Literal[1, 2, 4] = 1


class Peg(NamedTuple):
    col: int
    side: Literal["up", "down"]


class Shop(Struct, forbid_unknown_fields=True):
    things: tuple[Ring | Bar, ...] = ()
    pair: tuple[float, Literal["a", "b"]] = (0.0, "a")
    count: Annotated[int, Meta(ge=1, le=9)] = 1
    name: Annotated[str, Meta(min_length=1, max_length=3, pattern="^[a-z]*$")] = "a"
    at_least: Annotated[list[int], Meta(min_length=2)] = msgspec.field(
        default_factory=lambda: [1, 2]
    )
    of_all: Ring | None = None
    number: float = 0.0
    either: int | str = 0
    labels: dict[str, int] = {}
    peg: Peg = Peg(0, "up")

    def __post_init__(self) -> None:
        if self.count == 8:
            raise ValueError("count must not be 8.")


@pytest.mark.source("library", "msgspec 0.22", "its messages")
@pytest.mark.expectation(85, 86, 88)
@pytest.mark.parametrize(
    ("tree", "why"),
    [
        ({"things": [{"type": "ball"}]}, "one of ring, bar is expected"),
        ({"things": [{}]}, "the field 'type' is missing"),
        ({"things": [{"type": "bar", "side": "up"}]}, "one of left, right is expected"),
        ({"things": [{"type": "bar", "steps": 3}]}, "one of 1, 2, 4 is expected"),
        ({"things": [{"type": "ring", "size": 0}]}, "a number of more than 0 is expected"),
        ({"things": [{"type": "ring", "size": 10}]}, "a number of less than 10 is expected"),
        (
            {"things": [{"type": "ring", "site": 1}]},
            "there is no field 'site' here; the fields are size",
        ),
        ({"pair": [0, "c"]}, "one of a, b is expected"),
        ({"peg": [0, "left"]}, "one of down, up is expected"),
        ({"pair": [0]}, "a list of exactly 2 entries is expected"),
        ({"pair": [0, 3]}, "text is expected, but a whole number was found"),
        ({"count": 0}, "a number of at least 1 is expected"),
        ({"count": 10}, "a number of at most 9 is expected"),
        ({"count": 8}, "count must not be 8"),
        ({"count": 1.5}, "a whole number is expected, but a number with decimals was found"),
        ({"name": ""}, "text of at least 1 character is expected"),
        ({"name": "abcd"}, "text of at most 3 characters is expected"),
        ({"name": "A"}, "a short name of letters, digits and . _ / - is expected"),
        ({"at_least": [1]}, "a list of at least 2 entries is expected"),
        ({"of_all": {"type": "ring", "x": 1}}, "there is no field 'x' here; the fields are size"),
        ({"of_all": 3}, "a group of named fields or nothing (null) is expected"),
        ({"either": 1.5}, "a whole number or text is expected"),
        ({"labels": {"a": "b"}}, "a whole number is expected, but text was found"),
        ({"x" * 99: 1}, "there is no field '" + "x" * 39 + "…' here"),
        (3, "a group of named fields is expected, but a whole number was found"),
    ],
)
def test_what_the_decoder_finds_is_said_plainly(tree: Any, why: str) -> None:
    with pytest.raises(msgspec.ValidationError) as caught:
        msgspec.convert(tree, Shop)
    message, place = split_place(str(caught.value))
    said = explain(message, Shop, parse_path(place), tree)
    assert why in said
    assert not BANNED.search(said)


def test_places_that_lead_out_of_the_type() -> None:
    assert explain("Invalid enum value 1", Shop, ("nothing", 3), {}) == "this is not expected here"
    assert explain("Invalid value 1", Shop, ("pair", 7), {}) == "this is not expected here"
    assert explain("Invalid value 1", Shop, (), {}) == "this is not expected here"
    assert explain("Invalid value 1", Shop, ("things", 0, 99), {}) == "this is not expected here"
    assert explain("Invalid value 1", Shop, ("pair", "a"), {}) == "this is not expected here"
    assert explain("Invalid value 1", Shop, ("peg", 2), {}) == "this is not expected here"
    odd = explain("Object contains unknown field `a`", Shop, ("count",), {})
    assert odd == "there is no field 'a' here; it may come from another program"


def test_places_and_fields_named_in_a_message() -> None:
    assert split_place("Expected `int` - at `$.a[1]`") == ("Expected `int`", "$.a[1]")
    assert split_place("Expected `int`") == ("Expected `int`", "$")
    assert unknown_field("Object contains unknown field `a`b`") == "a`b"
    assert unknown_field("Expected `int`") is None
