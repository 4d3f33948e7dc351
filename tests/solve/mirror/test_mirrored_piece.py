"""The opposite hand of a piece: an exact mirror image is one, and anything else is not."""

from collections.abc import Callable

import pytest
from msgspec import structs

from gridjig.rack import (
    ArcSlot,
    ClampTip,
    Face,
    Piece,
    Pivot,
    Rack,
    Rest,
    Round,
    RoundHole,
    Shank,
    Solid,
    StraightSlot,
)
from gridjig.solve.mirror.mirrored_piece import mirrored_piece

TIP = ClampTip(
    at=(10, 20),
    direction=30,
    push="down",
    reach_min=40,
    reach_max=90,
    z_low=0,
    z_high=60,
    pad_radius=8,
    bar_width=20,
    bar_z_low=60,
    bar_z_high=80,
    handle_radius=100,
    handle_start=120,
    handle_end=170,
)
LEFT = Piece(
    id="left",
    name="left clamp",
    kind="clamp",
    solids=(Solid(((-20, -20), (90, -20), (90, 40), (-20, 15)), 0, 50),),
    mounts=(
        RoundHole("hole", (0, 0), 16),
        Shank("shank", (50, 10), 15.9),
        StraightSlot("slot", (20, 5), (80, 25), 16),
    ),
    faces=(Face("side", (-20, -20), (90, -20), 0, 50), Face("end", (90, -20), (90, 40), 5, 45)),
    rounds=(Round("nose", (70, 30), 9, 0, 40),),
    rests=(Rest((40, 12), 10, 50),),
    tip=TIP,
)


def y(p: tuple[float, float]) -> tuple[float, float]:
    return (p[0] + 7, 3 - p[1])  # drawn elsewhere in its own frame


RIGHT = structs.replace(
    LEFT,
    id="right",
    solids=tuple(structs.replace(s, outline=tuple(map(y, s.outline[::-1]))) for s in LEFT.solids),
    mounts=(
        StraightSlot("long", y((20, 5)), y((80, 25)), 16),
        RoundHole("bore", y((0, 0)), 16),
        Shank("foot", y((50, 10)), 15.9),
    ),
    faces=tuple(structs.replace(f, a=y(f.b), b=y(f.a)) for f in LEFT.faces[::-1]),
    rounds=tuple(structs.replace(r, centre=y(r.centre)) for r in LEFT.rounds),
    rests=tuple(structs.replace(r, centre=y(r.centre)) for r in LEFT.rests),
    tip=structs.replace(TIP, at=y(TIP.at), direction=-30, handle_start=190, handle_end=240),
)


def rack(*pieces: Piece) -> Rack:
    return Rack(name="r", pieces=pieces)


def test_the_mirror_image_is_the_piece_of_the_other_hand() -> None:
    for one, other in ((LEFT, RIGHT), (RIGHT, LEFT)):
        twin = mirrored_piece(rack(one, other), one)
        assert twin is not None
        assert (twin.piece, twin.over) == (other.id, False)
        assert dict(twin.mounts)["hole" if one is LEFT else "bore"] in ("hole", "bore")
    twin = mirrored_piece(rack(LEFT, RIGHT), LEFT)
    assert twin is not None
    assert dict(twin.mounts) == {"hole": "bore", "shank": "foot", "slot": "long"}
    assert mirrored_piece(rack(LEFT), LEFT) is None
    assert mirrored_piece(rack(LEFT, structs.replace(LEFT, id="same")), LEFT) is None


def changed(part: str, index: int, **values: object) -> Callable[[], Piece]:
    def make() -> Piece:
        parts = list(getattr(RIGHT, part))
        parts[index] = structs.replace(parts[index], **values)
        return structs.replace(RIGHT, **{part: tuple(parts)})

    return make


def tipped(**values: object) -> Callable[[], Piece]:
    assert RIGHT.tip is not None
    tip = structs.replace(RIGHT.tip, **values)
    return lambda: structs.replace(RIGHT, tip=tip)


@pytest.mark.parametrize(
    "make",
    [
        changed("mounts", 0, width=17),
        changed("mounts", 0, a=y((21, 5))),
        changed("mounts", 0, b=y((80, 24))),
        changed("mounts", 0, a=y((80, 25)), b=y((20, 5))),
        changed("mounts", 1, diameter=17),
        changed("mounts", 1, at=y((1, 0))),
        changed("mounts", 2, diameter=15),
        changed("mounts", 2, at=y((50, 11))),
        changed("faces", 0, z_low=6),
        changed("faces", 0, z_high=44),
        changed("faces", 0, a=y((90, 38))),
        changed("faces", 1, b=y((-19, -20))),
        changed("rounds", 0, radius=10),
        changed("rounds", 0, centre=y((70, 31))),
        changed("rounds", 0, z_high=41),
        changed("rests", 0, z=49),
        changed("rests", 0, radius=11),
        changed("rests", 0, centre=y((41, 12))),
        changed("solids", 0, z_high=51),
        changed("solids", 0, outline=tuple(map(y, LEFT.solids[0].outline[:3]))),
        tipped(direction=-31),
        tipped(at=y((10, 21))),
        tipped(handle_radius=101),
        tipped(handle_start=191),
        tipped(handle_end=241),
        tipped(push="along"),
        tipped(reach_min=41),
        tipped(reach_max=91),
        tipped(z_low=1),
        tipped(z_high=61),
        tipped(pad_radius=9),
        tipped(bar_width=21),
        tipped(bar_z_low=61),
        tipped(bar_z_high=81),
        lambda: structs.replace(RIGHT, tip=None),
        lambda: structs.replace(RIGHT, kind="other"),
        lambda: structs.replace(RIGHT, mounts=RIGHT.mounts[1:]),
        lambda: structs.replace(RIGHT, faces=RIGHT.faces[1:]),
        lambda: structs.replace(RIGHT, pivot=Pivot((0, 0), 0, 90, 1)),
        lambda: structs.replace(
            RIGHT, mounts=(RIGHT.mounts[0], Shank("bore", y((0, 0)), 16), RIGHT.mounts[2])
        ),
        lambda: structs.replace(
            RIGHT, mounts=(ArcSlot("long", y((50, 15)), 30, 0, 90, 16), *RIGHT.mounts[1:])
        ),
    ],
)
def test_whatever_differs_is_no_mirror_image(make: Callable[[], Piece]) -> None:
    assert mirrored_piece(rack(LEFT, make()), LEFT) is None


def test_a_piece_that_works_turned_over_is_its_own() -> None:
    both = structs.replace(LEFT, flips=True)
    twin = mirrored_piece(rack(both), both)
    assert twin is not None
    assert (twin.piece, twin.over) == ("left", True)
    assert twin.mounts == (("hole", "hole"), ("shank", "shank"), ("slot", "slot"))
    other = mirrored_piece(
        rack(both, RIGHT), both
    )  # staying the same way up is better than turning over
    assert other is not None
    assert (other.piece, other.over) == ("right", False)
