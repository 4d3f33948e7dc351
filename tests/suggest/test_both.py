"""Squares that do two things at once: what they touch, and that they are set where that pays."""

from collections.abc import Callable

import pytest
from msgspec import structs

from gridjig.edits.weldment import move
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Job
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
from tests.suggest.test_pieces import A1, RACK, P, bar, block, job_with
from tests.suggest.verifier import faults, rows_of

SQUARES = ("square-two-hole", "square-three-hole")


def mitred(**owned: int) -> Job:
    """A mitred frame; the inside of a square goes round its corner, against two members."""
    frame = made("frame", {"width": 400.0, "depth": 300.0}, {"corners": "mitred"})
    x0, y0, *_ = bounds([p for part in frame.parts for p in part_ring(part)])
    job = job_with(**owned)
    frame = move(frame, A1 + 5 * P + 25.4 - x0, A1 + 5 * P + 25.4 - y0)
    return structs.replace(job, parts=frame.parts, weldments=frame.weldments)


def tee() -> Job:
    """A post on a rail, so that the outside of a square fits into their corner."""
    x, y = A1 + 10 * P - 12.7, A1 + 5 * P - 12.7  # the corner on the right of the post
    rail = bar((x - 400.0, y - 25.4), (x + 400.0, y - 25.4))
    post = structs.replace(bar((x - 25.4, y), (x - 25.4, y + 350.0)), id="post", name="Post")
    return job_with(rail, post)


def cornered() -> Job:
    """A block whose corner the inside of a square goes round."""
    return job_with(block(300.0, 200.0, A1 + 5 * P + 25.4, A1 + 5 * P + 25.4))


def asked(job: Job, inside: bool = False) -> tuple[Site, Demands]:
    site = Site(job, Wishes(inside=inside))
    return site, doubled(site, demands(site, SILENT))


def given(found: Demands) -> list[tuple[Demand, Option]]:
    return [(group, one) for group in found.groups for one in group.options if one.needs]


@pytest.mark.source("method", "poses and contacts reckoned anew from the job")
@pytest.mark.parametrize("make", [mitred, tee, cornered])
def test_each_square_that_is_counted_twice_touches_two_sides(make: Callable[[], Job]) -> None:
    site, found = asked(make(), inside=make is tee)
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


def test_at_the_corner_of_a_frame_it_is_for_two_members() -> None:
    job = mitred()
    pairs = between_parts(asked(job)[1])
    names = {part.id: part.name for part in job.parts}
    assert {"Front rail", "Left stile"} in [{names[a], names[b]} for a, b in pairs]


def test_inside_the_work_it_is_only_where_that_is_allowed() -> None:
    """A rail is trapped between a stop in front of it and a square in the corner behind it."""
    assert between_parts(asked(tee())[1]) == set()
    assert ("post", "bar") in between_parts(asked(tee(), inside=True)[1])


def test_round_a_corner_of_one_part_it_stops_the_end_too() -> None:
    _, found = asked(cornered())
    ends = [one for group, one in given(found) if group.kind == "end"]
    assert ends
    assert all(one.cost == 0.0 and not one.atoms for one in ends)
    longs = [one for group, one in given(found) if group.kind == "long face" and one.atoms]
    assert longs  # and the other way round, with a stop more at the long face


def test_the_last_option_is_still_to_leave_it_without() -> None:
    site, found = asked(tee())
    plain = demands(site, SILENT)
    assert [g.options[-1].lacks for g in found.groups] == [
        g.options[-1].lacks for g in plain.groups
    ]
    assert len(given(found)) == sum(len(g.options) for g in found.groups) - sum(
        len(g.options) for g in plain.groups
    )


def test_pins_and_stops_change_nothing() -> None:
    none = {name.replace("-", "_"): 0 for name in SQUARES}
    site = Site(mitred(**none), Wishes())
    plain = demands(site, SILENT)
    assert doubled(site, plain) is plain


def test_what_it_does_besides_is_told_and_taken_with_either_part() -> None:
    none = {p.id.replace("-", "_"): 0 for p in RACK.pieces if p.kind in ("pin", "adjustable stop")}
    few = {p.id.replace("-", "_"): 1 for p in RACK.pieces if p.kind == "fixed stop"}
    job = mitred(**(none | few))
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
