"""Results that are kept by name as long as they follow from the very same objects."""

import pytest

from gridjig.rack.kept import KeptResults


def asking() -> tuple[KeptResults[int], list[str]]:
    return KeptResults(), []


def test_the_same_objects_give_what_was_made_before_and_others_do_not() -> None:
    kept, made = asking()

    def make(word: str, number: int) -> int:
        made.append(word)
        return number

    one, other = [1], [1]
    with kept.round():
        assert kept.of("a", (one,), make, "a", 7) == 7
        assert kept.of("b", (one, other), make, "b", 8) == 8
    with kept.round():
        assert kept.of("a", (one,), make, "a again", 9) == 7, "the same object"
        assert kept.of("b", (one, one), make, "b again", 9) == 9, "equal, but not the same"
    assert made == ["a", "b", "b again"]


def test_more_or_fewer_objects_are_not_the_same() -> None:
    kept, thing = KeptResults[int](), object()
    with kept.round():
        kept.of("a", (thing,), lambda: 1)
    with kept.round():
        assert kept.of("a", (thing, thing), lambda: 2) == 2
    with kept.round():
        assert kept.of("a", (thing,), lambda: 3) == 3


def test_what_is_not_asked_for_in_a_round_is_forgotten() -> None:
    kept, thing = KeptResults[int](), object()
    with kept.round():
        kept.of("a", (thing,), lambda: 1)
        kept.of("b", (thing,), lambda: 1)
    with kept.round():
        kept.of("a", (thing,), lambda: 2)
    with kept.round():
        assert kept.of("a", (thing,), lambda: 3) == 1
        assert kept.of("b", (thing,), lambda: 3) == 3


def test_another_basis_lets_nothing_be_used() -> None:
    kept, thing, basis = KeptResults[int](), object(), [0]
    with kept.round(basis):
        kept.of("a", (thing,), lambda: 1)
    with kept.round(basis):
        assert kept.of("a", (thing,), lambda: 2) == 1
    with kept.round([0]):
        assert kept.of("a", (thing,), lambda: 3) == 3


def test_a_round_that_breaks_off_keeps_what_the_last_whole_one_kept() -> None:
    kept, thing = KeptResults[int](), object()
    with kept.round():
        kept.of("a", (thing,), lambda: 1)
    with pytest.raises(ZeroDivisionError), kept.round():
        kept.of("b", (thing,), lambda: 1 // 0)
    with kept.round():
        assert kept.of("a", (thing,), lambda: 2) == 1


def test_a_round_that_breaks_off_with_another_basis_keeps_nothing_of_the_old_one() -> None:
    kept, thing, basis = KeptResults[int](), object(), [0]
    with kept.round(basis):
        kept.of("a", (thing,), lambda: 1)
    with pytest.raises(ZeroDivisionError), kept.round([0]):
        kept.of("b", (thing,), lambda: 1 // 0)
    with kept.round(basis):
        assert kept.of("a", (thing,), lambda: 2) == 2
