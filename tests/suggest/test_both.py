"""Squares that do two things at once: what they touch, and that they are set where that pays."""

from collections.abc import Callable

import pytest
from msgspec import structs

from gridjig.edits.weldment import move
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Job
from gridjig.model.weldment import Weldment
from gridjig.sheets.text.suggestion_text import pieces_of_line, reason_lines
from gridjig.suggest.both import doubled
from gridjig.suggest.choosing import Option
from gridjig.suggest.demands import Demand, Demands, demands
from gridjig.suggest.lies import Lie
from gridjig.suggest.scene import scene_of, set_out
from gridjig.suggest.search import suggest
from gridjig.suggest.site import Site
from gridjig.suggest.values import Wishes
from gridjig.suggest.why import why
from gridjig.units.progress import SILENT
from tests.suggest.answers import PLENTY, made
from tests.suggest.test_pieces import A1, RACK, P, block, job_with
from tests.suggest.verifier import faults, rows_of

SQUARES = ("square-two-hole", "square-three-hole")


def apart(**owned: int) -> Job:
    """Two weldments, a block each, at right angles, so that a square stands against both."""
    x, y = A1 + 10 * P - 12.7, A1 + 8 * P - 12.7  # where the outside faces of a square meet
    below, beside = block(300.0, 100.0, x + 20.0, y - 100.0), block(100.0, 300.0, x - 100.0, y + 20)
    other = structs.replace(beside, id="beside", name="Beside", weldment="w2")
    job = job_with(below, other, **owned)
    return structs.replace(job, weldments=(*job.weldments, Weldment(id="w2")))


def mitred() -> Job:
    """A mitred frame; the inside of a square goes round its corner, over the welds."""
    frame = made("frame", {"width": 400.0, "depth": 300.0}, {"corners": "mitred"})
    x0, y0, *_ = bounds([p for part in frame.parts for p in part_ring(part)])
    frame = move(frame, A1 + 5 * P + 25.4 - x0, A1 + 5 * P + 25.4 - y0)
    return structs.replace(job_with(), parts=frame.parts, weldments=frame.weldments)


def cornered(**owned: int) -> Job:
    """A block whose corner the inside of a square goes round."""
    return job_with(block(300.0, 200.0, A1 + 5 * P + 25.4, A1 + 5 * P + 25.4), **owned)


def asked(job: Job) -> tuple[Site, Demands]:
    site = Site(job, Wishes())
    return site, doubled(site, demands(site, SILENT))


def given(found: Demands) -> list[tuple[Demand, Option]]:
    return [(group, one) for group in found.groups for one in group.options if one.needs]


@pytest.mark.source("method", "poses and contacts reckoned anew from the job")
@pytest.mark.parametrize("make", [apart, cornered])
def test_each_square_that_is_counted_twice_touches_two_sides(make: Callable[[], Job]) -> None:
    site, found = asked(make())
    numbers = {number for _, one in given(found) for number in one.needs}
    assert numbers
    for number in numbers:
        atom = found.atoms[number]
        assert atom.placement.piece in SQUARES
        placed = structs.replace(atom.placement, id="one")
        job = structs.replace(site.job, placements=(placed,))
        assert [one for one in faults(job) if "located" not in one] == []
        directions = {(round(nx, 6), round(ny, 6)) for nx, ny, _ in rows_of(job, placed)}
        assert len(directions) == 2


def between_parts(found: Demands) -> set[tuple[str, str]]:
    """The part that a square is set for, and the other one that it is for as well."""
    return {
        (found.atoms[number].part, group.part)
        for group, one in given(found)
        for number in one.needs
        if found.atoms[number].part != group.part
    }


def test_between_two_members_it_is_for_both() -> None:
    pairs = between_parts(asked(apart())[1])
    assert {("block", "beside"), ("beside", "block")} <= pairs


def test_over_a_weld_it_counts_for_nothing_more() -> None:
    """The bead would weld to it, and the torch has no room there."""
    site, found = asked(mitred())
    squares = [atom for atom in found.atoms if atom.placement.piece in SQUARES]
    assert squares
    assert all(site.from_seams(atom.here) < site.job.shop.weld_clear for atom in squares)
    assert given(found) == []


def test_round_a_corner_of_one_part_it_stops_the_end_too() -> None:
    _, found = asked(cornered())
    ends = [one for group, one in given(found) if group.kind == "end"]
    assert ends
    assert all(one.cost == 0.0 and not one.atoms for one in ends)
    longs = [one for group, one in given(found) if group.kind == "long face" and one.atoms]
    assert longs  # and the other way round, with a stop more at the long face


def test_the_last_option_is_still_to_leave_it_without() -> None:
    site, found = asked(cornered())
    plain = demands(site, SILENT)
    last = [[group.options[-1].lacks for group in one.groups] for one in (found, plain)]
    assert last[0] == last[1] == [2, 1, 1]
    many = [sum(len(group.options) for group in one.groups) for one in (found, plain)]
    assert many[0] - many[1] == len(given(found)) > 0


def test_pins_and_stops_change_nothing() -> None:
    none = {name.replace("-", "_"): 0 for name in SQUARES}
    site = Site(cornered(**none), Wishes())
    plain = demands(site, SILENT)
    assert doubled(site, plain) is plain


def test_what_it_does_besides_is_told_and_taken_with_either_part() -> None:
    none = {p.id.replace("-", "_"): 0 for p in RACK.pieces if p.kind in ("pin", "adjustable stop")}
    few = {p.id.replace("-", "_"): 1 for p in RACK.pieces if p.kind == "fixed stop"}
    job = cornered(**(none | few))
    found = suggest(job, Wishes(seconds=PLENTY, move=False, alternatives=3))
    assert found.alternatives, found.none_because
    twice = [
        (one, name)
        for one in found.alternatives
        for name in one.added
        if sum(w.placement == name for w in one.why) == 2
    ]
    assert twice
    one, name = twice[0]
    assert faults(one.job) == []
    first, second = [w for w in one.why if w.placement == name]
    assert second.words.startswith("It also ")
    assert one.job.rack.piece(next(p for p in one.job.placements if p.id == name).piece).faces
    lines = reason_lines(one)
    assert len({line.key for line in lines}) == len(lines)
    for part in (first.part, second.part):
        assert name in pieces_of_line(one, f"part {part}")
    assert sum(pieces_of_line(one, line.key) == {name} for line in lines) == 2


def test_it_is_placed_once_though_two_options_have_it() -> None:
    site, found = asked(cornered())
    scene = scene_of(Lie(site.job), site, found)
    end, option = next((g, one) for g, one in given(found) if g.kind == "end")
    (number,) = option.needs
    long = next(g for g in found.groups if g.kind == "long face")
    real = next(one for one in long.options if number in one.atoms)
    picked = [option if g is end else real if g is long else g.options[-1] for g in found.groups]
    job, ids = set_out(scene, picked)
    assert sorted(ids.values()) == sorted(real.atoms)
    name = next(name for name, k in ids.items() if k == number)
    told = why(site, found, picked, number, name)
    assert [one.kind for one in told] == ["long face", "end"]
    assert len(job.placements) == len(real.atoms)
