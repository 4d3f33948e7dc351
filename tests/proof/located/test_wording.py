"""Several names in one sentence."""

import pytest
from msgspec import structs

from gridjig.proof.located.wording import names
from tests.workshop import EMPTY, laid, pin, stop

JOB = laid(stop("a", 3, 3), stop("b", 6, 3), pin("c", 10, 10), pin("d", 12, 10))


def called(*said: str) -> str:
    """What those names are in a sentence when the things are called so."""
    placements = tuple(
        structs.replace(one, name=name) for one, name in zip(JOB.placements, said, strict=False)
    )
    job = structs.replace(JOB, placements=placements)
    return names(job, [one.id for one in placements])


@pytest.mark.source(
    "practice", "English: commas between the items of a list, semicolons if an item has a comma"
)
@pytest.mark.parametrize(
    ("said", "told"),
    [
        (("Long stop",), "Long stop"),
        (("Long stop", "Angle block, 45 degrees"), "Long stop and Angle block, 45 degrees"),
        (("Long stop", "Short stop", "Pin"), "Long stop, Short stop and Pin"),
        (
            ("Long stop", "Short stop", "Angle block, 45 degrees"),
            "Long stop; Short stop; and Angle block, 45 degrees",
        ),
        (("A", "B", "C", "D"), "A, B and 2 more"),
    ],
)
def test_names_are_joined_as_in_print(said: tuple[str, ...], told: str) -> None:
    assert called(*said) == told


def test_no_name_is_no_text() -> None:
    assert names(EMPTY, []) == ""
