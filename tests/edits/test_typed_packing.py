"""Packing typed as a number: the thickest stack that is no thicker, from what the rack has left."""

import pytest
from msgspec import structs

from gridjig.edits.typed_packing import (
    add_packing,
    drop_packing,
    shared_packing,
    takes_packing,
    thickness,
    type_packing,
)
from gridjig.model import Display, Job
from gridjig.rack import Rack
from tests.contact.poses import PIECES, lay, shims, turned
from tests.workshop import put, seat

INCH = 25.4
SHIMS = shims(*(INCH / n for n in (64, 32, 16, 8, 4)))
RACK = Rack(name="inch", pieces=(*(p for p in PIECES if p.kind != "shim"), *SHIMS))


def job() -> Job:
    clamp = put("c", "clamp", seat("p", 2, 2))
    made = lay(turned("a", 9, 9, 0.0), turned("b", 11, 9, 0.0), clamp, rack=RACK)
    return structs.replace(made, display=Display(unit="inch fractions"))


@pytest.mark.source("method", "arithmetic: 3/8 = 1/4 + 1/8")
def test_three_eighths() -> None:
    typed = type_packing(job(), {"a"}, 3 * INCH / 8)
    assert typed.job is not None
    one = typed.job.placements[0]
    assert one.packing == ("s6.35", "s3.175")
    assert thickness(typed.job, one) == pytest.approx(3 * INCH / 8)
    assert typed.says == 'packing 1/4" + 1/8"'
    assert typed.job.placements[1].packing == ()


@pytest.mark.source("method", "arithmetic: .414 - (1/4 + 1/8 + 1/32) = .00775")
def test_it_is_rounded_down_and_says_what_stays_open() -> None:
    typed = type_packing(job(), {"a"}, 0.414 * INCH)
    assert typed.job is not None
    assert thickness(typed.job, typed.job.placements[0]) == pytest.approx(0.40625 * INCH)
    assert 'leaving a gap of .008"' in typed.says


def test_several_share_what_the_rack_has() -> None:
    """There are two shims of 1/4 in: the first piece takes both, the next makes do with thinner."""
    typed = type_packing(job(), {"a", "b", "c"}, INCH / 2)
    assert typed.job is not None
    a, b, c = typed.job.placements
    assert a.packing == ("s6.35", "s6.35")
    assert "s6.35" not in b.packing
    assert thickness(typed.job, b) < INCH / 2
    assert c.packing == ()
    assert "leaving a gap" in typed.says
    again = type_packing(typed.job, {"b"}, INCH / 2)
    assert again.job is not None
    assert again.job.placements[1].packing == b.packing


def test_what_takes_none_and_less_than_nothing_are_refused() -> None:
    assert [p.id for p in takes_packing(job(), ("a", "c"))] == ["a"]
    assert type_packing(job(), {"c"}, 3.0).job is None
    assert type_packing(job(), {"a"}, -1.0).job is None
    bare = type_packing(job(), {"a"}, 0.0)
    assert bare.job is not None
    assert bare.job.placements[0].packing == ()


def test_one_shim_more_or_less_before_each_of_several() -> None:
    job = lay(
        turned("a", 5, 5, 0.0), turned("b", 9, 5, 0.0), put("c", "clamp", seat("p", 13, 5)),
        rack=Rack(name="Shims", pieces=(*PIECES, *shims(5.0, 2.0))),
    )  # fmt: skip
    ids = {"a", "b", "c"}
    assert shared_packing(job, ids) == ()
    one = add_packing(add_packing(job, ids, "s5"), {"a"}, "s2")
    assert [p.packing for p in one.placements] == [("s5", "s2"), ("s5",), ()]
    assert shared_packing(one, ids) is None
    assert shared_packing(one, {"b", "c"}) == ("s5",)
    less = drop_packing(one, ids)
    assert [p.packing for p in less.placements] == [("s5",), (), ()]
    assert [p.packing for p in drop_packing(less, ids).placements] == [(), (), ()]
    assert shared_packing(job, {"c"}) is None
    with pytest.raises(KeyError):
        add_packing(job, ids, "no such shim")
