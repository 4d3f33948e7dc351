"""What runs `untraced` is left out of the coverage, and what comes after it is not."""

import sys

import pytest
from coverage import Coverage

from tests.conftest import untraced


def test_nothing_is_traced_for_a_while() -> None:
    outer, inner = (Coverage(data_file=None, config_file=False) for _ in range(2))
    outer.start()
    inner.start()
    with untraced():
        assert Coverage.current() is None
        assert sys.gettrace() is None
    assert Coverage.current() is inner
    with pytest.raises(ZeroDivisionError), untraced():
        1 / 0  # noqa: B018
    assert Coverage.current() is inner  # a test that fails does not end the measuring
    inner.stop()
    assert Coverage.current() is outer
    outer.stop()
    assert Coverage.current() is not outer
