from gridjig.rack.same import Same


def test_only_the_very_same_value_is_the_same() -> None:
    one, other = [1, 2], [1, 2]
    assert Same(one) == Same(one)
    assert hash(Same(one)) == hash(Same(one))
    assert Same(one) != Same(other)
    assert Same(one) != one
