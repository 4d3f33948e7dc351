"""Programs that are really killed, many times, in the midst of saving: no file is ever lost.

`scripts/fuzz.py` kills them by the thousand; here a few of each kind show that it can.
"""

from collections import Counter
from pathlib import Path
from random import Random

import pytest

from fuzzing import kills
from fuzzing.kind import Find
from gridjig.files.jobs.autosave import recoverable
from gridjig.files.jobs.job_file import load_job, write_job
from gridjig.files.storage.saving import save
from tests.files.versions import sample, version_of

KILLS = 12


def ended(trial: kills.Kills) -> Counter[str]:
    """How the kills of one kind ended, each at a moment of its own."""
    chance = Random()
    return Counter(trial.run(trial.make(chance)) for _ in range(KILLS))


@pytest.mark.expectation(41, 48)
def test_a_killed_save_leaves_one_whole_version(tmp_path: Path) -> None:
    counted = ended(kills.saving(tmp_path))
    assert set(counted) <= {"in the midst", "between"}
    assert counted.total() == KILLS


@pytest.mark.expectation(41, 42)
def test_a_killed_autosave_leaves_one_whole_copy(tmp_path: Path) -> None:
    path = tmp_path / "job.gridjig"
    save(path, write_job(sample(0)))
    before = (path.read_bytes(), path.stat().st_mtime_ns)
    for turn in range(1, 5):
        kills.killed(kills.KEEP, path, 0.005 * turn)
        copies = recoverable()
        assert len(copies) == turn
        for copy in copies:
            assert copy.original == path
            assert 1 <= version_of(load_job(copy.path)) < kills.VERSIONS
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before
    assert [entry.name for entry in tmp_path.iterdir()] == ["job.gridjig"]


@pytest.mark.expectation(48)
def test_a_killed_lock_can_be_taken_at_once(tmp_path: Path) -> None:
    counted = ended(kills.locking(tmp_path))
    assert counted.total() == KILLS


def test_what_a_kill_spoiled_would_be_seen(tmp_path: Path) -> None:
    path = tmp_path / "job.gridjig"
    path.write_bytes(write_job(sample(3))[:-9])
    with pytest.raises(Find, match="no whole version"):
        kills.after_save(path)
    save(path, write_job(sample(0)))
    (tmp_path / "left.tmp").touch()
    with pytest.raises(Find, match="left over for good"):
        kills.after_lock(path)
