"""Values compared by identity, and what is kept for them."""

from gridjig.rack.same import Same, kept_for


def test_only_the_very_same_value_is_the_same() -> None:
    one, other = [1, 2], [1, 2]
    assert Same(one) == Same(one)
    assert hash(Same(one)) == hash(Same(one))
    assert Same(one) != Same(other)
    assert Same(one) != one


def test_what_is_kept_is_the_same_for_the_same_value_until_there_are_too_many() -> None:
    asked = []

    @kept_for(2)
    def tail(value: list[int]) -> list[int]:
        asked.append(value)
        return value[1:]

    one, other, third = [1, 2], [1, 2], [3, 4]
    assert tail(one) is tail(one)
    assert tail(other) == [2]
    assert len(asked) == 2, "equal, but not the same"
    assert tail(third) == [4]  # the others are forgotten
    assert tail(third) == [4]
    assert len(asked) == 3
    assert tail(one) == [2]
    assert len(asked) == 4


def test_a_value_made_where_another_was_is_not_taken_for_it() -> None:
    @kept_for(1000)
    def first(value: list[int]) -> int:
        return value[0]

    assert [first([k]) for k in range(500)] == list(range(500))


def test_what_is_kept_can_be_forgotten() -> None:
    asked = []

    @kept_for(8)
    def longer(value: list[int], more: int) -> int:
        asked.append(value)
        return len(value) + more

    one = [1, 2]
    assert [longer(one, 5), longer(one, 5)] == [7, 7]
    assert len(asked) == 1
    vars(longer)["cache_clear"]()
    assert longer(one, 5) == 7
    assert len(asked) == 2
