"""The benchmark's scene is what it says, and its two ways of finding contacts agree."""

import bench_contacts
import pytest

from gridjig.checks.findings import findings
from gridjig.contact.book import Contacts
from gridjig.solve.placed.cache import PlacedPieces


@pytest.mark.source("library", "shapely 2", "the distance of every feature from every part in plan")
def test_the_scene_and_brute_force() -> None:
    job = bench_contacts.scene()
    stands = PlacedPieces()
    found = Contacts().of(job, stands.of(job))
    assert (len(job.placements), len(job.parts)) == (300, 60)
    assert all(placed.fault is None for placed in stands.of(job).values())
    assert list(found.overlaps()) == []
    assert [f.what for f in findings(job, stands.of(job)) if f.level == "stop"] == []
    roles = {role.what for role in found.roles.values()}
    assert roles == {"locates", "carries", "clamps", "blocks nothing"}
    touching = len(list(found.touching()))
    assert touching == bench_contacts.brute_force(job, stands)
    assert touching > 200


def test_it_measures() -> None:
    job = bench_contacts.scene()
    middle, worst = bench_contacts.after_a_move(job, 1)
    assert 0.0 < middle <= worst
    assert bench_contacts.from_nothing(job, 1) > 0.0
