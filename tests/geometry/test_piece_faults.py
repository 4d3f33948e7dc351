import pytest
from msgspec import structs

from gridjig.geometry.piece_faults import unsound
from gridjig.rack import ArcSlot, Face, Piece, Pivot, Round, RoundHole, Shank, Solid, StraightSlot
from tests.workshop import box, disc

PLATE = Piece(
    id="plate",
    name="Plate",
    kind="other",
    solids=(Solid(box(0, 0, 100, 50), 0, 10), Solid(box(90, 0, 140, 50), 0, 20)),
    mounts=(RoundHole("left", (20, 25), 16), StraightSlot("slot", (60, 25), (110, 25), 16)),
    faces=(Face("front", (0, 0), (100, 0), 0, 10),),
)


def test_a_sound_piece_has_no_fault() -> None:
    assert unsound(PLATE) is None


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        (
            {"solids": (Solid(((0, 0), (10, 10), (10, 0), (0, 10)), 0, 5),)},
            "The outline would cross itself; choose a size nearer to the one it has.",
        ),
        (
            {"solids": (Solid(((0, 0), (10, 0), (20, 0)), 0, 5),)},
            "The outline would cross itself; choose a size nearer to the one it has.",
        ),
        (
            {"mounts": (RoundHole("left", (8, 25), 16),)},
            "There would be no steel left at the edge of hole left.",
        ),
        (
            {"mounts": (StraightSlot("slot", (60, 25), (140, 25), 16),)},
            "There would be no steel left at the edge of the slot.",
        ),
        (
            {"mounts": (ArcSlot("arc", (50, 25), 8, 0, 90, 16),)},
            "The radius of slot arc would be less than half its width.",
        ),
        (
            {"mounts": (Shank("post", (200, 25), 16),)},
            "Shank post would not be under the body.",
        ),
        (
            {"faces": (Face("front", (0, 1), (100, 1), 0, 10),)},
            "Face front would not lie on the edge of the piece.",
        ),
        (
            {"rounds": (Round("nose", (0, 0), 20, 0, 10),)},
            "The round body nose would stick out of its own outline.",
        ),
        (
            {
                "mounts": (RoundHole("leaf", (0, 0), 16, 1),),
                "pivot": Pivot((0, 0), 0, 90, 0.5),
            },
            "There is no steel around hole leaf.",
        ),
        (
            {
                "rounds": (Round("nose", (0, 0), 20, 0, 10, 1),),
                "pivot": Pivot((0, 0), 0, 90, 0.5),
            },
            "The round body nose would stick out of its own outline.",
        ),
    ],
)
def test_what_could_not_be_made_gets_a_sentence(changes: dict[str, object], why: str) -> None:
    assert unsound(structs.replace(PLATE, **changes)) == why


def test_a_shank_under_its_body_and_a_round_in_its_outline_are_sound() -> None:
    pin = Piece(
        id="pin",
        name="Pin",
        kind="pin",
        solids=(Solid(disc(15), 0, 40),),
        mounts=(Shank("shank", (0, 0), 16),),
        rounds=(Round("body", (0, 0), 13.5, 0, 40),),
    )
    assert unsound(pin) is None
