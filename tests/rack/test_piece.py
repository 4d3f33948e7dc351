"""What a piece's values refuse: sizes that no steel has, numbers that no file can carry."""

import math
import re
from collections.abc import Callable

import pytest
from msgspec import structs

from gridjig.rack import (
    ArcSlot,
    ClampTip,
    Face,
    Piece,
    Pivot,
    Rest,
    Round,
    RoundHole,
    Shank,
    Solid,
    StraightSlot,
)

HOLE = RoundHole("h", (0, 0), 16)
SHANK = Shank("s", (0, 0), 16)
SLOT = StraightSlot("t", (0, 0), (50, 0), 16)
ARC = ArcSlot("c", (0, 0), 100, 0, 90, 16)
SOLID = Solid(((0, 0), (9, 0), (9, 9)), 0, 10)
FACE = Face("f", (0, 0), (50, 0), 0, 10)
ROUND = Round("r", (0, 0), 12, 0, 10)
TIP = ClampTip((0, 0), 0, "down", 20, 80, 0, 60, 5, 20, 40, 60, 90)
REST = Rest((0, 0), 12, 25)
PIVOT = Pivot((0, 0), 0, 90, 0.5)
GOOD = (HOLE, SHANK, SLOT, ARC, SOLID, FACE, ROUND, TIP, REST, PIVOT)


@pytest.mark.parametrize(
    ("value", "changed", "says"),
    [
        (HOLE, {"diameter": 0}, "roundhole h: the diameter is 0 mm; it must be from 0.001 mm"),
        (SHANK, {"diameter": 0}, "shank s: the diameter is 0 mm; it must be from 0.001 mm"),
        (SLOT, {"width": 0}, "the width is 0 mm; it must be from 0.001 mm"),
        (SLOT, {"b": (0, 0)}, "slot t: it needs two different ends"),
        (ARC, {"radius": 0}, "the radius is 0 mm; it must be from 0.001 mm"),
        (ARC, {"width": 0}, "the width is 0 mm; it must be from 0.001 mm"),
        (ARC, {"end": 0}, "it must span more than 0° and at most 360°"),
        (ARC, {"end": 361}, "it must span more than 0° and at most 360°"),
        (SOLID, {"outline": ((0, 0), (9, 0))}, "an outline needs at least three corners"),
        (SOLID, {"z_high": 0}, "its top must be higher than its underside"),
        (FACE, {"b": (0, 0)}, "face f: it needs a length and a height"),
        (FACE, {"z_high": 0}, "face f: it needs a length and a height"),
        (ROUND, {"radius": 0}, "round r: the radius is 0 mm; it must be"),
        (ROUND, {"z_high": 0}, "round r: it needs a height"),
        (TIP, {"reach_min": -1}, "the minimum reach is −1 mm"),
        (TIP, {"reach_min": 81}, "minimum reach must not be more than its maximum"),
        (TIP, {"z_high": -1}, "upper heights must be above its lower ones"),
        (TIP, {"bar_z_high": 40}, "upper heights must be above its lower ones"),
        (TIP, {"pad_radius": 0}, "the pad radius is 0 mm"),
        (TIP, {"bar_width": 0}, "the bar width is 0 mm"),
        (TIP, {"handle_radius": -1}, "the handle radius is −1 mm"),
        (REST, {"radius": 0}, "the radius is 0 mm"),
        (REST, {"z": 0}, "the height is 0 mm"),
        (PIVOT, {"high": 0}, "the pivot's range must be more than 0° and at most 360°"),
        (PIVOT, {"high": 361}, "the pivot's range must be more than 0° and at most 360°"),
        (PIVOT, {"accuracy": -1}, "the accuracy is −1°; it must be from 0° to 360°"),
    ],
)
def test_sizes_that_no_steel_has_are_refused(
    value: RoundHole, changed: dict[str, object], says: str
) -> None:
    with pytest.raises(ValueError, match=re.escape(says)):
        structs.replace(value, **changed)


def test_the_ends_of_what_is_allowed_are_allowed() -> None:
    assert structs.replace(ARC, start=-180, end=180).end == 180
    assert structs.replace(PIVOT, low=-180, high=180, accuracy=0).accuracy == 0
    fixed = structs.replace(TIP, reach_min=0, reach_max=0, z_low=60, handle_radius=0)
    assert (fixed.reach_max, fixed.z_low) == (0, 60)


@pytest.mark.parametrize("value", GOOD)
@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
def test_no_number_is_other_than_finite(value: RoundHole, bad: float) -> None:
    other = ("id", "body", "push", "openings")
    fields = [f for f in structs.fields(value) if f.name not in other]
    assert len(fields) >= 2
    for field in fields:
        old = getattr(value, field.name)
        changed: object = bad
        if isinstance(old, tuple):
            changed = (*old[:-1], (0, bad) if isinstance(old[-1], tuple) else bad)
        with pytest.raises(ValueError, match="is not a finite number"):
            structs.replace(value, **{field.name: changed})


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, 10_001.0])
def test_no_corner_of_an_opening_is_out_of_this_world(bad: float) -> None:
    with pytest.raises(ValueError, match=r"the openings? "):
        structs.replace(SOLID, openings=(((0, 0), (1, 0), (1, bad)),))
    with pytest.raises(ValueError, match="an outline needs at least three corners"):
        structs.replace(SOLID, openings=(((0, 0), (1, 0)),))


def piece(**more: object) -> Piece:
    return Piece(**{"id": "p", "name": "Piece", "kind": "other", **more})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: piece(mounts=(HOLE, structs.replace(SLOT, id="h"))), "have the same id"),
        (lambda: piece(faces=(structs.replace(FACE, body=1),)), "there is no pivot"),
        (lambda: piece(solids=(structs.replace(SOLID, body=1),)), "there is no pivot"),
        (lambda: piece(mounts=(structs.replace(HOLE, body=1),)), "there is no pivot"),
        (lambda: piece(rounds=(structs.replace(ROUND, body=1),)), "there is no pivot"),
        (lambda: piece(kind="shim"), "a shim needs a thickness"),
        (lambda: piece(kind="riser"), "a riser needs a thickness"),
        (lambda: piece(kind="locking pin"), "a locking pin needs a pin diameter"),
        (lambda: piece(thickness=math.nan), "the thickness is not a finite number"),
        (lambda: piece(pin_diameter=math.inf), "the pin diameter is not a finite"),
        (lambda: piece(mass=math.inf), "the mass is not a finite number"),
    ],
)
def test_a_piece_that_does_not_hang_together_is_refused(
    make: Callable[[], Piece], says: str
) -> None:
    with pytest.raises(ValueError, match=says):
        make()


def test_what_a_piece_says_of_itself() -> None:
    arm = piece(mounts=(HOLE, SLOT), pivot=PIVOT, faces=(structs.replace(FACE, body=1),))
    assert arm.mount("t") is SLOT
    with pytest.raises(KeyError):
        arm.mount("x")
    assert arm.is_placed
    shim = piece(kind="shim", thickness=3)
    assert not shim.is_placed
    assert shim.height == 3
    stacked = (SOLID, structs.replace(SOLID, z_low=10, z_high=25), SOLID)
    assert piece(solids=stacked, thickness=3).height == 25
