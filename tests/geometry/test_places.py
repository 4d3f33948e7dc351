"""Places of labels: nothing covered, rank decides, and a change gives what a new start would."""

import random
from collections.abc import Iterator

import pytest

from gridjig.geometry.box_index import Box, touch
from gridjig.geometry.places import Choice, LabelChoices, LabelPlaces, WantedLabel

Spots = tuple[Box, ...]


def wanted(order: float, key: str, *boxes: Box) -> WantedLabel[int]:
    xs1, ys1, xs2, ys2 = zip(*boxes, strict=True)
    zone = (min(xs1), min(ys1), max(xs2), max(ys2))
    return WantedLabel(
        (order, key, 0), zone, LabelChoices(Choice(n, (box,)) for n, box in enumerate(boxes))
    )


def at(x: float, y: float, wide: float = 40.0, tall: float = 10.0) -> Box:
    return (x, y, x + wide, y + tall)


def chosen(places: LabelPlaces[str, int]) -> dict[str, int | None]:
    return {key: one.what if one is not None else None for key, one in places.chosen.items()}


def test_a_label_moves_aside_for_a_sign_and_gives_way_where_nothing_is_free() -> None:
    places: LabelPlaces[str, int] = LabelPlaces()
    places.want("name", wanted(1, "name", at(0, 0), at(0, 20)))
    places.settle()
    assert chosen(places) == {"name": 0}
    places.guard("pin", [at(10, 2, 5, 5)])
    places.settle()
    assert chosen(places) == {"name": 1}
    places.guard("sign", [at(10, 22, 5, 5)])
    places.settle()
    assert chosen(places) == {"name": None}
    places.guard("pin", [])
    places.settle()
    assert chosen(places) == {"name": 0}


def test_of_two_that_want_one_place_the_first_in_order_has_it_whoever_comes_first() -> None:
    for keys in (("a", "b"), ("b", "a")):
        places: LabelPlaces[str, int] = LabelPlaces()
        for key in keys:
            places.want(key, wanted(2 if key == "a" else 1, key, at(0, 0), at(0, 20)))
            places.settle()
        assert chosen(places) == {"b": 0, "a": 1}
        places.want("a", wanted(0, "a", at(0, 0), at(0, 20)))  # now it comes before
        places.settle()
        assert chosen(places) == {"a": 0, "b": 1}
        places.want("a", None)
        places.settle()
        assert chosen(places) == {"b": 0}


def test_a_label_that_falls_in_order_leaves_its_place() -> None:
    places: LabelPlaces[str, int] = LabelPlaces()
    places.want("a", wanted(0, "a", at(0, 0)))
    places.want("b", wanted(1, "b", at(20, 0)))
    places.settle()
    assert chosen(places) == {"a": 0, "b": None}
    places.want("a", wanted(2, "a", at(0, 0)))
    places.settle()
    assert chosen(places) == {"a": None, "b": 0}


def test_a_choice_is_made_when_it_is_tried_and_only_once() -> None:
    made: list[int] = []

    def choices() -> Iterator[Choice[int]]:
        for n, box in enumerate((at(0, 0), at(0, 20), at(0, 40))):
            made.append(n)
            yield Choice(n, (box,))

    places: LabelPlaces[str, int] = LabelPlaces()
    places.want("name", WantedLabel((1.0, "name", 0), at(0, 0, tall=50.0), LabelChoices(choices())))
    places.settle()
    assert (chosen(places), made) == ({"name": 0}, [0])
    places.guard("pin", [at(10, 2, 5, 5)])
    places.settle()
    assert (chosen(places), made) == ({"name": 1}, [0, 1])
    places.guard("pin", [])
    places.settle()
    places.guard("pin", [at(10, 2, 5, 30)])
    places.settle()
    assert (chosen(places), made) == ({"name": 2}, [0, 1, 2])


def test_what_has_to_be_shown_is_shown_and_the_others_keep_off() -> None:
    places: LabelPlaces[str, int] = LabelPlaces()
    places.guard("pin", [at(10, 2, 5, 5)])
    must = WantedLabel((0.0, "n", 0), at(0, 0), LabelChoices([Choice(7, (at(0, 0),), anyway=True)]))
    places.want("number", must)
    places.want("name", wanted(1, "name", at(30, 0)))
    places.settle()
    assert chosen(places) == {"number": 7, "name": None}
    assert places.covered([at(0, 0)]) == 2  # the pin and the number itself


@pytest.mark.source("method", "brute force: the same labels and guards placed from the beginning")
def test_after_random_changes_all_is_as_if_placed_at_once() -> None:
    chance = random.Random(20)
    places: LabelPlaces[str, int] = LabelPlaces()
    labels: dict[str, WantedLabel[int]] = {}
    guards: dict[str, list[Box]] = {}
    moved = hidden = 0
    for _ in range(400):
        key = f"k{chance.randrange(30)}"
        if chance.random() < 0.3:
            guards[key] = [
                at(chance.uniform(0, 300), chance.uniform(0, 200), 12, 12)
                for _ in range(chance.randrange(3))
            ]
            places.guard(key, guards[key])
        elif chance.random() < 0.2:
            labels.pop(key, None)
            places.want(key, None)
        else:
            x, y = chance.uniform(0, 300), chance.uniform(0, 200)
            spots = [at(x, y), at(x, y + 12), at(x, y - 12), at(x + 42, y)]
            labels[key] = wanted(chance.randrange(4), key, *spots[: chance.randrange(1, 5)])
            places.want(key, labels[key])
        places.settle()
        fresh: LabelPlaces[str, int] = LabelPlaces()
        for owner, boxes in guards.items():
            fresh.guard(owner, boxes)
        for name, one in labels.items():
            fresh.want(name, one)
        fresh.settle()
        assert chosen(places) == chosen(fresh)
        moved += sum(1 for one in chosen(fresh).values() if one)
        hidden += sum(1 for one in chosen(fresh).values() if one is None)
    assert moved > 100
    assert hidden > 100
    shown = [box for one in places.chosen.values() if one is not None for box in one.boxes]
    signs = [box for boxes in guards.values() for box in boxes]
    assert len(shown) > 5
    assert not [1 for box in shown for sign in signs if touch(box, sign)]
    assert not [1 for n, box in enumerate(shown) for other in shown[:n] if touch(box, other)]
