"""Programs that are really killed, many times, in the midst of saving: no file is ever lost."""

import os
import random
import subprocess
import sys
import time
from pathlib import Path

import pytest

from gridjig.files.jobs.autosave import recoverable
from gridjig.files.jobs.job_file import load_job, write_job
from gridjig.files.storage.locations import autosave_dir
from gridjig.files.storage.saving import save
from tests.files.versions import sample, version_of

ROOT = Path(__file__).parents[3]
AT_ONCE, ROUNDS = 4, 10
SAVE = """
import sys
from pathlib import Path
from gridjig.files.jobs.job_file import write_job
from gridjig.files.storage.saving import save
from tests.files.versions import sample
path = Path(sys.argv[1])
versions = [write_job(sample(n)) for n in range(30)]
print("ready", flush=True)
while True:
    for data in versions:
        save(path, data)
"""
KEEP = """
import sys
from pathlib import Path
from gridjig.files.jobs.autosave import Autosaver
from tests.files.versions import sample
versions = [sample(n) for n in range(1, 30)]
keeper = Autosaver(sample(0), Path(sys.argv[1]))
keeper.write(versions[0])
print("ready", flush=True)
while True:
    for job in versions:
        keeper.write(job)
"""


def kill_at_random(code: str, paths: list[Path]) -> None:
    """Start a program for each path, and kill each at a moment of its own while it works."""
    running = [
        subprocess.Popen(
            [sys.executable, "-c", code, str(path)], cwd=ROOT, stdout=subprocess.PIPE, text=True
        )
        for path in paths
    ]
    for process in running:
        assert process.stdout
        assert process.stdout.readline() == "ready\n"
    for process in running:
        time.sleep(random.uniform(0, 0.02))
        process.kill()  # SIGKILL, or TerminateProcess on Windows
        process.communicate()


def leftovers(folder: Path) -> list[str]:
    return [entry.name for entry in folder.iterdir() if entry.suffix == ".tmp"]


@pytest.mark.expectation(41, 48)
def test_a_killed_save_leaves_one_whole_version(tmp_path: Path) -> None:
    left = 0
    for turn in range(ROUNDS):
        paths = [tmp_path / f"job-{turn}-{n}.gridjig" for n in range(AT_ONCE)]
        for path in paths:
            save(path, write_job(sample(0)))
        kill_at_random(SAVE, paths)
        left += len(leftovers(tmp_path))
        for path in paths:
            assert version_of(load_job(path)) < 30
            backup = path.with_name(path.name + ".bak")
            if backup.exists():
                assert version_of(load_job(backup)) < 30
            save(path, write_job(sample(31)))
            assert version_of(load_job(path)) == 31
        assert leftovers(tmp_path) == []
    print(f"{AT_ONCE * ROUNDS} kills left {left} unfinished files")


@pytest.mark.expectation(41, 42)
def test_a_killed_autosave_leaves_one_whole_copy(tmp_path: Path, own_state: Path) -> None:
    path = tmp_path / "job.gridjig"
    save(path, write_job(sample(0)))
    before = (path.read_bytes(), path.stat().st_mtime_ns)
    for turn in range(1, 4):
        kill_at_random(KEEP, [path] * AT_ONCE)
        copies = recoverable()
        assert len(copies) == AT_ONCE * turn
        for copy in copies:
            assert copy.original == path
            assert 1 <= version_of(load_job(copy.path)) < 30
        assert leftovers(autosave_dir()) == []
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before
    assert os.listdir(tmp_path) == ["job.gridjig"]  # noqa: PTH208
