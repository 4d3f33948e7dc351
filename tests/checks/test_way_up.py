"""The check finds what no substitution of risers can hold up, in plain words."""

import pytest
from msgspec import structs

from gridjig.checks.findings import findings
from gridjig.checks.way_up import too_high
from gridjig.edits.weldment import flip, middle
from gridjig.model import Job
from gridjig.solve.placed.cache import PlacedPieces
from tests.trials.keyed import KEYED
from tests.workshop import EMPTY, laid, plate

HAND = "trial weldments, reckoned by hand: 18.5 in of risers needed, 15.5 in on the rack"


def with_risers(job: Job, owned: int) -> Job:
    pieces = tuple(
        structs.replace(p, owned=owned) if p.kind == "riser" else p for p in job.rack.pieces
    )
    return structs.replace(job, rack=structs.replace(job.rack, pieces=pieces))


@pytest.mark.source("method", HAND)
@pytest.mark.expectation(85, 98)
def test_the_machine_base_the_right_way_up_is_found() -> None:
    job = KEYED["T10"]()
    (found,) = [f for f in findings(job, PlacedPieces().of(job)) if f.id == "way up"]
    assert found.level == "look"
    assert found.what == (
        'As placed, the weldment needs 18-1/2" of risers and the rack has 15-1/2": R1 rail and'
        " R2 rail and 3 more cannot all be supported."
    )
    assert found.do == "Turn it face down (Work, Way up): it then needs no risers."
    assert len(found.ids) == 5


@pytest.mark.source("method", HAND)
def test_face_down_all_is_well() -> None:
    job = KEYED["T10"]()
    x, y = middle(job)
    assert too_high(flip(job, (x, y), (x, y + 1.0))) is None


def test_flat_weldments_and_enough_risers_are_no_matter() -> None:
    assert too_high(EMPTY) is None
    assert too_high(KEYED["T01"]()) is None
    assert too_high(KEYED["T04"]()) is None
    assert too_high(with_risers(KEYED["T10"](), 40)) is None


def test_where_the_other_way_up_is_no_better_it_is_not_offered() -> None:
    job = with_risers(KEYED["T04"](), 0)
    found = too_high(job)
    assert found is not None
    assert found.do == "Lower the parts, or add risers to the rack."
    assert found.what.endswith("K brace cannot be supported.")


def test_a_way_up_that_the_rack_can_hold_is_offered() -> None:
    """A strut raised a quarter inch under a plate; face down, the rack has the risers."""
    job = KEYED["T06"]()
    x, y = middle(job)
    over = flip(job, (x, y), (x, y + 1.0))
    pieces = tuple(
        structs.replace(p, owned=2 if p.thickness == 6.35 else 0) if p.kind == "riser" else p
        for p in over.rack.pieces
    )
    found = too_high(structs.replace(over, rack=structs.replace(over.rack, pieces=pieces)))
    assert found is not None
    assert found.do.endswith("the rack has enough risers for that.")


@pytest.mark.parametrize(
    ("many", "says"),
    [
        (1, ": bar 1 cannot be supported."),
        (2, ": bar 1 and bar 2 cannot all be supported."),
        (3, ": bar 1 and bar 2 and 1 more cannot all be supported."),
    ],
)
def test_those_that_cannot_be_held_up_are_named(many: int, says: str) -> None:
    """Bars in the air beside one on the table, and a rack without risers."""
    raised = [plate(f"bar {k + 1}", 100 + 200 * k, 400) for k in range(many)]
    up = [structs.replace(part, z_low=40.0, z_high=50.0) for part in raised]
    job = with_risers(laid(plate("base", 100, 100), *up), 0)
    found = too_high(job)
    assert found is not None
    assert found.what.endswith(says)
    assert found.ids == tuple(part.id for part in up)
    assert found.where == (100.0, 400.0)
    assert too_high(with_risers(laid(*raised), 0)) is None
