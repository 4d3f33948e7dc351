"""No length and no angle of a job is other than finite, whatever value it stands in."""

import math
from typing import get_args, get_origin

import msgspec
import pytest
from msgspec import structs

from gridjig.model import EndCut, Hole, HoleMark, Weld
from tests.stock import ANGLE, CHANNEL, SQUARE, bar
from tests.workshop import TABLE, pin, plate

VALUES: tuple[msgspec.Struct, ...] = (
    bar(),
    SQUARE,
    ANGLE,
    CHANNEL,
    TABLE,
    plate("p", 0, 0),
    pin("a", 1, 1),
    Weld(a="a", b="b", leg=5.0),
    EndCut("mitre", 20.0),
    EndCut("notch", 0.0, 0.0, 40.0, 3.0, "left"),
    EndCut("cope", 0.0, 60.3),
    HoleMark(Hole(0, 0), "shallow", 5.0),
)


def spoiled(kind: object, value: object, bad: float) -> object:
    """The value with one of its numbers spoiled, or None if its type has no such number."""
    if kind is float:
        return bad
    if get_origin(kind) is tuple and get_args(kind)[0] is float and isinstance(value, tuple):
        return (bad, *value[1:]) if value else None
    return None


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
@pytest.mark.parametrize("value", VALUES, ids=lambda v: type(v).__name__)
def test_every_float_of_every_value_is_finite(value: msgspec.Struct, bad: float) -> None:
    tried = 0
    for field in structs.fields(value):
        changed = spoiled(field.type, getattr(value, field.name), bad)
        if changed is None:
            continue
        tried += 1
        with pytest.raises(ValueError, match=r"finite|greater|from|not"):
            structs.replace(value, **{field.name: changed})
    assert tried
