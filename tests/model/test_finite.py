"""No number in a job can be outside its limits, in whatever value it is."""

import math
from collections.abc import Iterator
from typing import Any

import msgspec
import pytest
from msgspec import inspect, structs

from gridjig.model import (
    CutOut,
    Drilled,
    EndCut,
    Hole,
    HoleMark,
    Job,
    Placement,
    Seat,
    Slotted,
    Weld,
)
from gridjig.rack import (
    ArcSlot,
    ClampTip,
    Face,
    Pivot,
    Rest,
    Round,
    RoundHole,
    Shank,
    Solid,
    StraightSlot,
)
from gridjig.units.limits import LimitError
from tests.stock import ANGLE, CHANNEL, SQUARE, bar
from tests.workshop import TABLE, pin, plate

TIP = ClampTip((0, 0), 0.0, "down", 10.0, 50.0, 0.0, 90.0, 8.0, 12.0, 100.0, 120.0, 30.0, 0.0, 90.0)
VALUES: tuple[msgspec.Struct, ...] = (
    bar(),
    SQUARE,
    ANGLE,
    CHANNEL,
    TABLE,
    plate("p", 0, 0),
    Drilled((10, 10), 8.0),
    Slotted((0, 0), (10, 0), 8.0),
    CutOut(((1, 1), (9, 1), (9, 9))),
    pin("a", 1, 1),
    Weld(a="a", b="b", leg=5.0),
    EndCut("mitre", 20.0),
    EndCut("notch", 0.0, 0.0, 40.0, 3.0, "left"),
    EndCut("cope", 0.0, 60.3),
    HoleMark(Hole(0, 0), "shallow", 5.0),
    Placement(id="p", piece="p", seats=(Seat("f", Hole(0, 0)),)),
    RoundHole("h", (0, 0), 16.0),
    Shank("h", (0, 0), 16.0),
    StraightSlot("s", (0, 0), (50, 0), 16.0),
    ArcSlot("s", (0, 0), 100.0, 0.0, 90.0, 16.0),
    Solid(((0, 0), (1, 0), (0, 1)), 0.0, 10.0),
    Face("f", (0, 0), (50, 0), 0.0, 10.0),
    Round("r", (0, 0), 8.0, 0.0, 10.0),
    Rest((0, 0), 8.0, 10.0),
    Pivot((0, 0), 0.0, 180.0, 0.5),
    TIP,
)


def bounds(node: Any, value: object) -> Iterator[tuple[Any, Any]]:
    """Each number in a field: its type with its limits, and how to put another in its place."""
    if isinstance(node, inspect.Metadata):
        yield from bounds(node.type, value)
    elif isinstance(node, inspect.FloatType):
        yield node, lambda bad: bad
    elif isinstance(node, inspect.TupleType) and isinstance(value, tuple):
        for at, inner in enumerate(node.item_types):
            for found, put in bounds(inner, value[at]):
                yield found, lambda bad, at=at, put=put: (*value[:at], put(bad), *value[at + 1 :])
    elif isinstance(node, inspect.VarTupleType) and isinstance(value, tuple) and value:
        for found, put in bounds(node.item_type, value[0]):
            yield found, lambda bad, put=put: (put(bad), *value[1:])


def numbers(value: msgspec.Struct) -> Iterator[tuple[str, Any, Any]]:
    info = inspect.type_info(type(value))
    assert isinstance(info, inspect.StructType)
    for field in info.fields:
        for found, put in bounds(field.type, getattr(value, field.name)):
            yield field.name, found, put


@pytest.mark.parametrize("value", VALUES, ids=lambda v: type(v).__name__)
def test_no_number_of_any_value_is_taken_beyond_its_limits(value: msgspec.Struct) -> None:
    tried = 0
    for name, found, put in numbers(value):
        beyond = (math.nextafter(found.ge, -math.inf), math.nextafter(found.le, math.inf))
        for bad in (math.nan, math.inf, -math.inf, *beyond):
            tried += 1
            with pytest.raises(LimitError, match=r"finite|it can be from"):
                structs.replace(value, **{name: put(bad)})
    assert tried >= 5


def test_every_number_text_and_list_of_a_job_has_limits() -> None:
    """The types are walked from the job down, so that fields added later are tested too."""
    seen: set[type] = set()
    counted = []

    def walk(node: Any, where: str) -> None:
        if isinstance(node, inspect.Metadata):
            walk(node.type, where)
        elif isinstance(node, inspect.FloatType | inspect.IntType):
            counted.append(where)
            assert node.ge is not None, where
            assert node.le is not None, where
        elif isinstance(node, inspect.StrType):
            counted.append(where)
            assert node.max_length is not None, where
        elif isinstance(node, inspect.VarTupleType):
            counted.append(where)
            assert node.max_length is not None, where
            walk(node.item_type, where)
        elif isinstance(node, inspect.TupleType):
            for inner in node.item_types:
                walk(inner, where)
        elif isinstance(node, inspect.UnionType):
            for inner in node.types:
                walk(inner, where)
        elif isinstance(node, inspect.StructType | inspect.NamedTupleType):
            if node.cls not in seen:
                seen.add(node.cls)
                for field in node.fields:
                    walk(field.type, f"{node.cls.__name__}.{field.name}")
        else:
            assert isinstance(node, inspect.LiteralType | inspect.BoolType | inspect.NoneType), (
                where
            )

    walk(inspect.type_info(Job), "Job")
    assert len(counted) > 100
