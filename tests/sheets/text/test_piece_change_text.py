"""How two pieces with one id differ: each difference is said, and only those there are."""

import pytest
from msgspec import structs

from gridjig.sheets.text.piece_change_text import count_words, differences
from gridjig.units import Display
from tests.workshop import CLAMP, PIN, RISER, STOP

MM = Display(unit="millimetres")
NOTCHED = tuple((x * 0.9 if x * y > 60 else x, y) for x, y in PIN.solids[0].outline)
"""The outline of a pin, cut back where it does not change how long and wide it is."""


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"name": "post"}, "name pin to post"),
        ({"size": "16 mm"}, "size in words none to 16 mm"),
        ({"owned": 31}, f"on hand {PIN.owned} to 31"),
        ({"bin": "C3"}, f"bin {PIN.bin or 'none'} to C3"),
        ({"kind": "clamp"}, "kind pin to clamp"),
        ({"takes": ("bolt",)}, "the pins it takes"),
        ({"flips": not PIN.flips}, "cannot be turned over" if PIN.flips else "can be turned over"),
        ({"pin_length": 25.0}, "pin length not known to 25 mm"),
        ({"mass": 1.5}, "mass 0.0 kg to 1.5 kg"),
        ({"solids": (structs.replace(PIN.solids[0], outline=NOTCHED),)}, "its shape"),
    ],
)
def test_each_difference_is_said(change: dict[str, object], words: str) -> None:
    old = structs.replace(PIN, name="pin", mass=0.0)
    new = structs.replace(old, **change)
    assert differences(old, new, MM) == words
    assert differences(old, old, MM) == ""


def test_which_sizes_were_typed_is_said_only_if_nothing_else_is() -> None:
    kept = structs.replace(STOP, typed=("length.0", "height"))
    assert differences(STOP, kept, MM) == (
        "sizes that stay as typed: overall, left to right, height"
    )
    assert differences(kept, STOP, MM) == "sizes that stay as typed: none"
    assert differences(STOP, structs.replace(kept, bin="Z9"), MM).endswith("to Z9")


def test_the_force_of_a_clamp_is_said() -> None:
    assert CLAMP.tip is not None
    strong = structs.replace(CLAMP, tip=structs.replace(CLAMP.tip, force=1500.0))
    assert differences(CLAMP, strong, MM) == "presses with not known to 1500 N"
    assert differences(strong, CLAMP, MM) == "presses with 1500 N to not known"


def test_a_size_is_said_instead_of_the_shape_that_follows_from_it() -> None:
    taller = structs.replace(
        RISER, thickness=60, rests=(structs.replace(RISER.rests[0], z=60),),
        solids=(structs.replace(RISER.solids[0], z_high=60),),
    )  # fmt: skip
    said = differences(RISER, taller, MM)
    assert "50 mm to 60 mm" in said
    assert "shape" not in said


def test_the_count_says_size_number_and_bin() -> None:
    stop = structs.replace(STOP, size="100 mm", owned=4, bin="B2")
    assert count_words(stop) == "100 mm, 4 on hand, bin B2"
    assert count_words(structs.replace(stop, size="", bin="")) == "4 on hand, no bin"
