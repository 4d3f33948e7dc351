"""A set-up that is well, broken in twenty-two ways: what is wrong is found, and the rest stays."""

from collections.abc import Callable
from functools import cache
from typing import Any, NamedTuple, get_args

import pytest
from msgspec import structs

from gridjig.checks.finding import Finding, FindingKind
from gridjig.edits.loading import set_loading_order
from gridjig.edits.lookup import new_id
from gridjig.edits.selection import shift
from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.model import HoleMark, Job, Placement, Seat, Shop
from gridjig.model.labels import find_hole
from gridjig.proof.report import prove
from gridjig.solve.placed.cache import PlacedPieces
from tests.proof.frames import INSIDE, measured, pegged
from tests.proof.layouts import layout, moved, piece_named, slid, without
from tests.trials.keyed import part_named
from tests.trials.layout import INCH

Break = Callable[[Job], Job]


def findings_of(job: Job) -> dict[str, Finding]:
    return {one.id: one for one in prove(job, PlacedPieces().of(job)).findings}


@cache
def well(trial: str) -> tuple[Job, dict[str, Finding]]:
    """A trial laid out, loaded in the order of its members, with what is found of it."""
    job = layout(trial)
    job = set_loading_order(job, job.weldments[0].id, [part.id for part in job.parts])
    return job, findings_of(job)


@cache
def broken_findings(name: str) -> dict[str, Finding]:
    return findings_of(BROKEN[name].how(well(BROKEN[name].trial)[0]))


# -- ways to break it ----------------------------------------------------------------------------


def changed(name: str, **fields: Any) -> Break:
    def broken(job: Job) -> Job:
        wanted = piece_named(job, name)
        return structs.replace(
            job,
            placements=tuple(
                structs.replace(p, **fields) if p.id == wanted else p for p in job.placements
            ),
        )

    return broken


def crossed(job: Job) -> Job:
    """Two stops in the same two holes."""
    other = next(p for p in job.placements if p.name == "A datum 2")
    return changed("A datum 1", seats=other.seats)(job)


def marked(state: Any, size: float = 0.0) -> Break:
    def broken(job: Job) -> Job:
        stop = next(p for p in job.placements if p.name == "A datum 1")
        mark = HoleMark(stop.seats[0].hole, state, size)
        return structs.replace(job, table=structs.replace(job.table, marks=(mark,)))

    return broken


def owning(piece: str, count: int) -> Break:
    def broken(job: Job) -> Job:
        pieces = tuple(
            structs.replace(p, owned=count) if p.id == piece else p for p in job.rack.pieces
        )
        return structs.replace(job, rack=structs.replace(job.rack, pieces=pieces))

    return broken


def with_pin(address: str) -> Break:
    """A round pin, wherever it may stand or not."""

    def broken(job: Job) -> Job:
        seat = Seat("shank", find_hole(job.table, address))
        made = Placement(id=new_id(job, "pin"), piece="pin-1", name="Extra pin", seats=(seat,))
        return structs.replace(job, placements=(*job.placements, made))

    return broken


def raised(name: str, inches: float) -> Break:
    def broken(job: Job) -> Job:
        wanted = part_named(job, name)
        return structs.replace(
            job,
            parts=tuple(
                structs.replace(p, z_low=p.z_low + inches * INCH) if p.id == wanted else p
                for p in job.parts
            ),
        )

    return broken


def loaded(*names: str) -> Break:
    def broken(job: Job) -> Job:
        order = [part_named(job, name) for name in names]
        return set_loading_order(job, job.weldments[0].id, order)

    return broken


def without_risers(job: Job) -> Job:
    kept = tuple(p for p in job.placements if not p.piece.startswith("riser"))
    return structs.replace(job, placements=kept)


def all_shifted(rows: int) -> Break:
    return lambda job: shift(
        job, frozenset(thing.id for thing in (*job.placements, *job.parts)), 0, rows
    )


class Broken(NamedTuple):
    """A way to break a trial, and the finding that has to appear: its level, kind and id."""

    trial: str
    how: Break
    level: str
    kind: str
    found: str


BROKEN: dict[str, Broken] = {
    "a stop taken away": Broken(
        "T01", lambda job: without(job, "A datum 2"), "look", "loose", "base/member-1"
    ),
    "an end stop taken away": Broken(
        "T01", lambda job: without(job, "C datum end"), "look", "loose", "loose/member-3"
    ),
    "a stop moved a hole back": Broken(
        "T01", lambda job: moved(job, "D far", 1, 0), "look", "gap", "gap/stop-6"
    ),
    "a stop moved a hole in": Broken(
        "T01", lambda job: moved(job, "D far", -1, 0), "stop", "clash", "body/stop-6/member-4"
    ),
    "two stops side by side": Broken(
        "T01", lambda job: moved(job, "A datum 2", -7, 0), "look", "loose", "base/member-1"
    ),
    "a stop turned to the other side": Broken(
        "T01", changed("C datum end", turn=90.0), "look", "inexact", "turn/stop-3"
    ),
    "two pieces crossed": Broken("T01", crossed, "stop", "hole", "hole/stop-1/stop-2"),
    "a pin inside a member": Broken("T01", with_pin("G7"), "stop", "clash", "body/pin-1/"),
    "a clamp over nothing": Broken(
        "T01", lambda job: moved(job, "Clamp A mid", 0, 4), "look", "idle", "clamp/clamp-1"
    ),
    "a clamp beside a support": Broken("T04", without_risers, "look", "height", "carried/member-3"),
    "loading turned round": Broken(
        "T02",
        loaded("D right", "C left", "B top", "A bottom"),
        "look",
        "loose",
        "loose/member-4",
    ),
    "the brace first": Broken(
        "T04", loaded("K brace", "H arm", "U upright"), "look", "loose", "loose/member-3"
    ),
    "a blocked hole": Broken("T01", marked("blocked"), "stop", "hole", "fault/stop-1"),
    "a shallow hole": Broken("T01", marked("shallow", 6.0), "stop", "hole", "shallow/stop-1/"),
    "a rack that is short": Broken(
        "T01", owning("stop-fixed", 2), "look", "shortage", "short/stop-fixed"
    ),
    "a member in the air": Broken(
        "T01", raised("D right", 1.0), "look", "height", "carried/member-4"
    ),
    "all of it over the edge": Broken("T01", all_shifted(-5), "stop", "hole", "fault/stop-1"),
    "a member moved a hole": Broken(
        "T01",
        lambda job: shift(job, frozenset([part_named(job, "D right")]), 1, 0),
        "stop",
        "clash",
        "body/stop-6/member-4",
    ),
    "a pin in the corner": Broken(
        "T01", with_pin("H8"), "look", "access", "access/member-1/member-3"
    ),
    "a weak back": Broken(
        "T01",
        lambda job: structs.replace(job, shop=Shop(one_lifts=5.0)),
        "look",
        "weight",
        "weight/weldment-1",
    ),
    "a stop slid into the work": Broken(
        "T01", lambda job: slid(job, "B far", 0.25), "stop", "clash", "body/stop-4/member-2"
    ),
    "a stop that does not reach": Broken(
        "T01", lambda job: slid(job, "B far", -0.02), "look", "gap", "gap/stop-4"
    ),
}


@pytest.mark.source("method", "each fault put into a sound set-up by itself")
@pytest.mark.parametrize("name", BROKEN)
def test_what_is_broken_is_found(name: str) -> None:
    broken = BROKEN[name]
    _, before = well(broken.trial)
    assert not [one for one in before if one.startswith(broken.found)]
    after = broken_findings(name)
    new = [one for key, one in after.items() if key.startswith(broken.found)]
    assert [(one.level, one.kind) for one in new[:1]] == [(broken.level, broken.kind)]


@pytest.mark.parametrize("name", BROKEN)
def test_what_has_nothing_to_do_with_it_stays(name: str) -> None:
    """Only what is said of the things that were changed, or of what they hold, may change."""
    broken = BROKEN[name]
    job, before = well(broken.trial)
    changed_job = broken.how(job)
    after = broken_findings(name)
    old = {thing.id: thing for thing in (*job.parts, *job.placements)}
    new = {thing.id: thing for thing in (*changed_job.parts, *changed_job.placements)}
    touched = {key for key in {*old, *new} if old.get(key) is not new.get(key)}
    gone = [one for key, one in before.items() if key not in after]
    others = [
        one for one in gone
        if one.kind not in ("loose", "inexact", "not-seated", "over-located") and
        not touched.intersection(one.ids)
    ]  # fmt: skip
    assert len(before) >= 5
    assert [one.id for one in others] == []


def test_there_are_more_than_twenty_ways() -> None:
    assert len(BROKEN) >= 20
    assert {one.trial for one in BROKEN.values()} == {"T01", "T02", "T04"}


def others() -> dict[str, Job]:
    """Jobs with what no trial shows: a push off a stop, and a frame that closes on pegs inside."""
    return {
        "lifts": load_job(samples()["2-harbour-gate"]),
        "tight": measured(pegged(29.8, *INSIDE), 0.2, 0.1),
    }


def test_every_kind_of_finding_is_there_and_tells_all_that_it_should() -> None:
    """What, what to do, where it comes from, and which things it is about."""
    every: list[tuple[Job, Finding]] = []
    for trial in ("T06", "T08", "T10"):
        job, found = well(trial)
        every += [(job, one) for one in found.values()]
    for name, broken in BROKEN.items():
        job = broken.how(well(broken.trial)[0])
        every += [(job, one) for one in broken_findings(name).values()]
    for kind, job in others().items():
        found = findings_of(job)
        assert kind in {one.kind for one in found.values()}
        every += [(job, one) for one in found.values()]
    told = [(job, one) for job, one in every if one.level != "fine"]
    assert {one.kind for _, one in told} == set(get_args(FindingKind))
    for job, one in told:
        assert one.what.endswith("."), one
        assert one.do.endswith("."), one
        assert all(job.find(thing) is not None for thing in one.ids), one
        assert one.ids or one.id in ("stacks", "joints left out"), one
        if one.value is not None:
            assert one.source, one
            assert one.unit or one.id.startswith("base/"), one
