"""A single part on three pins and a clamp: set out on the table, proved, and put into words."""

import pytest
from msgspec import structs

from gridjig.model import Hole, Job, Placement, Plate, Seat
from gridjig.suggest.demands import Demands, demands
from gridjig.suggest.different import distinct, others
from gridjig.suggest.explain import missing
from gridjig.suggest.pinned import MOST_TRIPLES, pinned, too_many
from gridjig.suggest.scene import pieces_of, pinned_scene, set_out
from gridjig.suggest.search import suggest
from gridjig.suggest.site import Site
from gridjig.suggest.values import Weights, Wishes
from gridjig.suggest.why import why
from gridjig.units.progress import SILENT
from tests.suggest.answers import PLENTY
from tests.suggest.test_pieces import RACK, bar, block, job_with
from tests.suggest.verifier import faults, rows_of

TRIANGLE = ((0.0, 0.0), (260.0, 0.0), (40.0, 210.0))


def gusset(**owned: int) -> Job:
    plate = Plate(
        id="g", name="Gusset", corners=TRIANGLE, x=400.0, y=400.0, turn=7.0, z_low=0.0, z_high=25.4
    )
    return job_with(plate, **owned)


@pytest.mark.source("method", "poses, overlaps, contacts and rank reckoned anew from the job")
def test_each_is_set_out_on_the_table_the_most_exact_first() -> None:
    found = []
    for one in pinned(gusset(), Wishes(), SILENT):
        found.append(one)
        if len(found) == 6:
            break
    assert len(found) == 6
    kept = [one.cost + one.error for one in found]
    assert all(one.error < 3.0 for one in found)
    assert kept == sorted(kept) or found[0].error <= min(one.error for one in found) + 0.01
    for one in found:
        scene = pinned_scene(one)
        made, ids = set_out(scene, [group.options[0] for group in scene.asked.groups])
        assert faults(made) == []
        assert len(made.placements) == 4
        pins = [p for p in made.placements if made.rack.piece(p.piece).kind == "pin"]
        assert len(pins) == 3
        assert all(len(rows_of(made, pin)) == 1 for pin in pins)
        assert set(pieces_of(scene, made, ids)) == set(ids)
        picked = [group.options[0] for group in scene.asked.groups]
        words = [why(one.site, scene.asked, picked, n, name)[0].words for name, n in ids.items()]
        assert sum("no corner is out by more than" in told for told in words) == 3
        pushes = one.atoms[-1].side >= 0
        assert any("% of its push" in told for told in words) == pushes
        assert (one.reaction > 0.0) == pushes


def test_without_long_stops_three_pins_are_among_the_answers() -> None:
    none = {p.id.replace("-", "_"): 0 for p in gusset().rack.pieces if "stop" in p.kind}
    none |= {p.id.replace("-", "_"): 0 for p in gusset().rack.pieces if p.kind in ("square", "arm")}
    job = gusset(**none)
    found = suggest(job, Wishes(seconds=PLENTY, alternatives=8, weights=Weights(askew=0.0)))
    assert found.alternatives
    assert any(
        sum("of the three pins" in w.words for w in one.why) == 3 for one in found.alternatives
    )
    for one in found.alternatives:
        assert faults(one.job) == []
        assert one.bound <= one.score


def test_what_is_not_worked_out() -> None:
    assert list(pinned(gusset(pin_1=2), Wishes(), SILENT)) == []  # not three equal pins
    assert list(pinned(gusset(), Wishes(move=False), SILENT)) == []
    assert list(pinned(gusset(), Wishes(keep=True), SILENT)) == []
    two = job_with(block(300.0, 200.0, 100.0, 100.0), bar((500.0, 500.0), (800.0, 500.0)))
    assert list(pinned(two, Wishes(), SILENT)) == []
    assert not too_many(two, Wishes())
    thin = job_with(block(200.0, 150.0, 400.0, 400.0, 6.0))
    assert list(pinned(thin, Wishes(), SILENT)) == []  # no clamp reaches so low


def test_a_part_that_is_too_large_is_said_to_be() -> None:
    large = job_with(block(1100.0, 1000.0, 50.0, 50.0))
    assert too_many(large, Wishes())
    assert list(pinned(large, Wishes(), SILENT)) == []
    assert not too_many(gusset(), Wishes())
    said = suggest(large, Wishes(seconds=PLENTY, alternatives=1))
    assert said.left_out == ("Block is too large for all ways on three pins to be tried.",)
    assert MOST_TRIPLES > 100_000


def test_a_thin_plate_is_said_to_be_too_low_for_the_clamps() -> None:
    site = Site(job_with(block(200.0, 150.0, 400.0, 400.0, 6.0)), Wishes())
    asked = demands(site, SILENT)
    clamp = next(group for group in asked.groups if group.kind == "clamp")
    only = Demands((clamp,), asked.atoms)
    (lack,) = missing(site, only, [clamp.options[-1]])
    assert "no clamp of the rack can be set as low or as high as its top, at " in lack.words


def test_where_all_clamps_are_taken_it_is_said() -> None:
    clamp = next(p for p in RACK.pieces if p.tip is not None and p.tip.push == "down")
    none = {p.id.replace("-", "_"): 0 for p in RACK.pieces if p.tip is not None}
    job = job_with(block(200.0, 150.0, 400.0, 400.0), **(none | {clamp.id.replace("-", "_"): 1}))
    seat = Seat(clamp.mounts[0].id, Hole(2, 2))
    job = structs.replace(job, placements=(Placement(id="c", piece=clamp.id, seats=(seat,)),))
    site = Site(job, Wishes(keep=True))
    asked = demands(site, SILENT)
    group = next(group for group in asked.groups if group.kind == "clamp")
    (lack,) = missing(site, Demands((group,), asked.atoms), [group.options[-1]])
    assert lack.words == "Block lacks a clamp: the rack has no clamp left."


# -- when two are different ------------------------------------------------------------------------


def test_how_many_pieces_make_another_set_up() -> None:
    assert [others(n) for n in (1, 2, 9, 10, 15, 20)] == [1, 2, 2, 2, 3, 4]


def test_the_same_pieces_in_other_holes_are_the_same_set_up() -> None:
    found = suggest(gusset(), Wishes(seconds=PLENTY, move=False, alternatives=2))
    one = found.alternatives[0]
    assert not distinct(one, structs.replace(one, added=("x",)))
    assert distinct(one, structs.replace(one, shift=(50.8, 0.0)))
    assert distinct(one, structs.replace(one, turn=90.0))
    bare = structs.replace(one, sorts=(), added=())
    assert not distinct(bare, bare)  # where nothing is missing, there is one answer
    assert distinct(one, structs.replace(one, face_down=True))
    sorts = tuple((part, kind, side + 1, piece) for part, kind, side, piece in one.sorts)
    assert distinct(one, structs.replace(one, sorts=sorts))
