"""The shop's own values: each is an edit with its words, and within its limits."""

import pytest
from msgspec import structs

from gridjig.edits.shop_values import SHOP_VALUES, set_shop_limit
from gridjig.model import Display, Shop
from gridjig.sheets.text.pair_words import Between
from gridjig.sheets.text.shop_text import shop_changes
from gridjig.units.limits import LimitError
from tests.workshop import EMPTY


def test_every_value_of_a_shop_has_its_name() -> None:
    assert list(SHOP_VALUES) == list(Shop.__struct_fields__)


@pytest.mark.parametrize("name", SHOP_VALUES)
def test_each_is_set_and_said(name: str) -> None:
    after = set_shop_limit(EMPTY, name, 12.5)
    assert getattr(after.shop, name) == 12.5
    assert set_shop_limit(after, name, 12.5) is after
    metric = structs.replace(EMPTY, display=Display(unit="millimetres"))
    said = shop_changes(Between(metric, after), metric, after)
    assert said.startswith(SHOP_VALUES[name][0])
    assert "12.5" in said


def test_what_no_torch_has_is_refused() -> None:
    with pytest.raises(LimitError):
        set_shop_limit(EMPTY, "torch_lean", 95.0)
    with pytest.raises(LimitError):
        set_shop_limit(EMPTY, "torch_radius", -1.0)
