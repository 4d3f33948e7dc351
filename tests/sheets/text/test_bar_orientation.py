"""How a bar lies, in words, against where its steel is."""

import pytest

from gridjig.geometry.part_mass import load
from gridjig.model import Display, Section, WayUp
from gridjig.sheets.text.bar_orientation import listed_way, lying_in_words, ways_up
from tests.stock import ANGLE, BAR, CHANNEL, EVEN_ANGLE, EVERY, FLAT, OBLONG, ROUND, SQUARE, bar

MM = Display(unit="millimetres")
WAYS: tuple[WayUp, ...] = (0, 90, 180, 270)


def test_only_ways_that_differ_are_offered() -> None:
    assert [len(ways_up(s)) for s in (SQUARE, ROUND, BAR)] == [1, 1, 1]
    assert ways_up(OBLONG) == ways_up(FLAT) == (0, 90)
    assert ways_up(ANGLE) == ways_up(CHANNEL) == WAYS


@pytest.mark.parametrize("section", [ANGLE, EVEN_ANGLE], ids=lambda s: s.name)
def test_the_heel_of_an_angle_is_where_its_weight_is(section: Section) -> None:
    for way in WAYS:
        for mirrored in (False, True):
            made = bar(section, way_up=way, mirrored=mirrored)
            found = load(made)
            height = "below" if found.z < made.depth / 2 else "above"
            side = "left" if found.y > 0 else "right"
            words = lying_in_words(section, way, mirrored, MM)
            assert words.endswith(f"leg {height}, heel on the {side}")
            if section is ANGLE:
                assert words.startswith(f"{made.width:g} mm leg")


def test_the_web_of_a_channel_is_where_its_weight_is() -> None:
    for way in WAYS:
        made = bar(CHANNEL, way_up=way)
        found = load(made)
        words = lying_in_words(CHANNEL, way)
        if way in (0, 180):
            assert words == f"web upright on the {'left' if found.y > 0 else 'right'}"
        else:
            assert words.startswith("on its web") is (found.z < made.depth / 2)


def test_flats_and_tubes() -> None:
    assert [lying_in_words(FLAT, w) for w in (0, 90)] == ["flat", "on edge"]
    assert [lying_in_words(OBLONG, w) for w in (0, 90)] == ["wide face down", "on its narrow face"]
    assert lying_in_words(SQUARE, 0) == lying_in_words(ROUND, 90) == "any way up"


def test_every_way_on_offer_has_words_of_its_own() -> None:
    for section in EVERY:
        words = [lying_in_words(section, way, display=MM) for way in ways_up(section)]
        assert len(set(words)) == len(words)


def test_a_way_up_that_is_not_offered_lies_as_one_that_is() -> None:
    for section in EVERY:
        for way in WAYS:
            listed = listed_way(section, way)
            assert listed in ways_up(section)
            assert lying_in_words(section, listed) == lying_in_words(section, way)
