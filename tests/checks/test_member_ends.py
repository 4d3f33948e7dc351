"""Members that are cut too long or too short at a butted corner: the classic mistake, both ways."""

import math

import pytest
from msgspec import structs

from gridjig.checks.finding import Finding
from gridjig.checks.member_ends import short_ends
from gridjig.model import Job, Member
from gridjig.proof.report import prove
from gridjig.solve.placed.cache import PlacedPieces
from tests.proof.layouts import layout
from tests.trials.keyed import part_named
from tests.trials.layout import INCH
from tests.workshop import EMPTY


def cut_to(inches: float, shift: float) -> Job:
    """The butted frame with its left member, 20 between two of 24, at another length."""
    job = layout("T01")
    wanted = part_named(job, "C left")
    parts = []
    for part in job.parts:
        if part.id == wanted:
            assert isinstance(part, Member)
            turn = math.radians(part.turn)
            part = structs.replace(
                part,
                length=inches * INCH,
                x=part.x + math.cos(turn) * shift * INCH,
                y=part.y + math.sin(turn) * shift * INCH,
            )
        parts.append(part)
    return structs.replace(job, parts=tuple(parts))


def found(job: Job, prefix: str) -> list[Finding]:
    every = prove(job, PlacedPieces().of(job)).findings
    return [one for one in every if one.id.startswith(prefix)]


def test_as_drawn_every_end_meets() -> None:
    assert list(short_ends(layout("T01"))) == []
    assert list(short_ends(EMPTY)) == []
    assert found(layout("T01"), "parts/") == []


@pytest.mark.source("method", "arithmetic: 24 + 24 outside leaves 20 between two of 2")
def test_four_cut_to_the_outside_size_overlap_at_the_corners() -> None:
    every = found(cut_to(24.0, -2.0), "parts/")
    assert [one.level for one in every] == ["stop", "stop"]
    assert every[0].what == 'A bottom and C left overlap by 2".'
    assert every[0].do == (
        'Only one can run through that corner: cut C left 2" shorter there, to 22", or A bottom'
        " instead, or mitre both."
    )


@pytest.mark.source("method", "arithmetic: 18 between 20 leaves 1 at each end")
@pytest.mark.parametrize(("length", "shift", "short"), [(18.0, 1.0, "1.000"), (19.5, 0.25, ".250")])
def test_cut_to_the_inside_size_it_stops_short_at_both_ends(
    length: float, shift: float, short: str
) -> None:
    every = found(cut_to(length, shift), "apart/")
    assert [one.what for one in every] == [
        f'C left stops {short}" short of B top: they make no joint there.',
        f'C left stops {short}" short of A bottom: they make no joint there.',
    ]
    assert {(one.kind, one.level, one.unit) for one in every} == {("gap", "look", "mm")}
    assert every[0].do.endswith(f'cut C left {short}" longer, or move it.')
    assert all(one.value is not None and one.limit is not None for one in every)
    assert all(one.value > one.limit for one in every if one.value and one.limit)


def test_a_gap_that_still_makes_a_joint_or_one_far_off_is_not_told() -> None:
    assert found(cut_to(19.9, 0.05), "apart/") == []
    assert found(cut_to(15.0, 2.5), "apart/") == []


def test_at_another_height_or_of_another_weldment_nothing_is_meant() -> None:
    job = cut_to(19.5, 0.25)
    wanted = part_named(job, "C left")
    raised = tuple(
        structs.replace(part, z_low=part.z_low + 4.0 * INCH) if part.id == wanted else part
        for part in job.parts
    )
    assert list(short_ends(structs.replace(job, parts=raised))) == []
    other = structs.replace(job.weldments[0], id="weldment-2")
    apart = tuple(
        structs.replace(part, weldment="weldment-2") if part.id == wanted else part
        for part in job.parts
    )
    job = structs.replace(job, weldments=(*job.weldments, other), parts=apart)
    assert list(short_ends(job)) == []


@pytest.mark.source("method", "arithmetic: 24 + 1 is 12 1/2 pitches of 2")
def test_between_two_fixed_stops_an_even_size_does_not_come_out_on_the_grid() -> None:
    """The parity of the grid: without packing the far stops stand an inch off, or an inch in."""
    job = layout("T01")
    fixed = tuple(
        structs.replace(
            one,
            piece="stop-fixed",
            slide=0.0,
            seats=tuple(
                structs.replace(seat, feature=name)
                for seat, name in zip(one.seats, ("front", "back"), strict=True)
            ),
        )
        if one.piece == "stop-adjustable"
        else one
        for one in job.placements
    )
    every = found(structs.replace(job, placements=fixed), "gap/")
    assert len(every) == 3
    assert every[0].what == (
        'B far does not reach the work: gap 1.000" to B top, back face. One hole nearer it would'
        ' stand 1.000" inside the work: the grid alone does not fit.'
    )
    assert every[0].do.startswith('Put 1.000" of packing in front of it')
