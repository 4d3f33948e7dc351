"""The order of loading, and what clamps are reckoned with."""

import pytest
from msgspec import structs

from gridjig.edits.loading import (
    set_clamp_force,
    set_friction,
    set_loading_order,
)
from gridjig.edits.weldment_list import copy_weldment
from gridjig.model import Holding, Weldment
from gridjig.model.by_weldment import weldment_of
from gridjig.units.limits import LimitError
from tests.workshop import laid, plate

JOB = laid(plate("a", 0, 0), plate("b", 200, 0), plate("c", 400, 0))
HOME = JOB.weldments[0].id
PROPOSED = ("b", "a", "c")


def test_an_order_names_each_part_of_the_weldment_once() -> None:
    chosen = set_loading_order(JOB, HOME, ("c", "gone", "c", "a"))
    assert weldment_of(chosen, HOME).loading == ("c", "a")
    assert set_loading_order(chosen, HOME, ()) == JOB
    with pytest.raises(ValueError, match="names a part twice"):
        Weldment(id="w", loading=("a", "a"))


def test_a_copy_is_loaded_in_the_same_order() -> None:
    chosen = set_loading_order(JOB, HOME, PROPOSED)
    both, made, copies = copy_weldment(chosen, HOME, lambda part: part)
    assert weldment_of(both, made).loading == tuple(copies[part] for part in PROPOSED)
    assert weldment_of(both, HOME).loading == PROPOSED


def test_force_and_friction_are_shop_values_with_limits() -> None:
    assert JOB.holding == Holding(clamp_force=1000.0, friction=0.15)
    changed = set_friction(set_clamp_force(JOB, 2500.0), 0.0)
    assert changed.holding == Holding(clamp_force=2500.0, friction=0.0)
    assert structs.replace(changed, holding=Holding()) == JOB
    with pytest.raises(LimitError, match="clamp force"):
        set_clamp_force(JOB, -1.0)
    with pytest.raises(LimitError, match="friction"):
        set_friction(JOB, 1.5)
