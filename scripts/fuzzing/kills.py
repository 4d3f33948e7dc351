"""Programs that are really killed in the middle of saving, autosaving and locking.

Afterwards the job must be the old one or the new one, the next program must be able to go on with
it at once, and nothing may be left over.  No seed fixes the moment of a kill to the microsecond: a
case gives the intended delay, and a find keeps the contents of the folder.
"""

import contextlib
import json
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from random import Random

from gridjig.files.format.faults import ReadFault
from gridjig.files.jobs import autosave
from gridjig.files.jobs.job_file import load_job, write_job
from gridjig.files.storage import lock
from gridjig.files.storage.locations import autosave_dir, backup_of
from gridjig.files.storage.saving import save
from tests.files.versions import sample, version_of

from .kind import ROOT, Find, Parts

VERSIONS = 30
"""The killed programs write versions below this number."""
AFTER = 31
_LONGEST = 0.02  # seconds of work before the kill

BEGIN = f"""
import sys
sys.path.insert(0, {str(ROOT)!r})
from pathlib import Path
from gridjig.files.storage import lock
from gridjig.files.jobs.autosave import Autosaver
from gridjig.files.jobs.job_file import write_job
from gridjig.files.storage.saving import save
from tests.files.versions import sample
path = Path(sys.argv[1])
jobs = [sample(n) for n in range({VERSIONS})]
"""
SAVE = f"""{BEGIN}
versions = [write_job(job) for job in jobs]
print("ready", flush=True)
while True:
    for data in versions:
        save(path, data)
"""
KEEP = f"""{BEGIN}
keeper = Autosaver(jobs[0], path)
keeper.write(jobs[1])
print("ready", flush=True)
while True:
    for job in jobs[1:]:
        keeper.write(job)
"""
LOCK = f"""{BEGIN}
lock.take(path).release()
print("ready", flush=True)
while True:
    held = lock.take(path)
    held.check()
    held.release()
"""


def killed(code: str, path: Path, seconds: float) -> None:
    """Start a program on a file and kill it after that many seconds of its work."""
    with subprocess.Popen(
        [sys.executable, "-c", code, str(path)],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as process:
        assert process.stdout is not None
        ready = process.stdout.readline()
        time.sleep(seconds)
        process.kill()  # SIGKILL, or TerminateProcess on Windows
        _, errors = process.communicate()
    if ready != "ready\n" or errors:
        raise Find(f"the program that was to be killed does not work: {errors}")


class Kills:
    """Each case is a kill of one kind."""

    def __init__(self, folder: Path, code: str, after: Callable[[Path], str]) -> None:
        self._folder = folder / "shop"
        self._code = code
        self._after = after

    def make(self, chance: Random) -> bytes:
        """Return the delay before the kill."""
        return json.dumps({"seconds": round(chance.uniform(0.0, _LONGEST), 6)}).encode()

    def run(self, data: bytes) -> str:
        """Save a job, kill a program that is working on it, and check what is left."""
        shutil.rmtree(self._folder, ignore_errors=True)
        shutil.rmtree(autosave_dir(), ignore_errors=True)
        self._folder.mkdir(parents=True)
        path = self._folder / "job.gridjig"
        save(path, write_job(sample(0)))
        killed(self._code, path, json.loads(data)["seconds"])
        before = listed(self._folder, autosave_dir())
        try:
            return self._after(path)
        except Exception as fault:
            raise Find(f"{fault}: after the kill there was {before}") from fault

    def parts(self, data: bytes) -> Parts | None:
        """Return None: a kill cannot be split."""
        return None


def listed(*folders: Path) -> dict[str, int]:
    """Return every file in some folders with its size."""
    found: dict[str, int] = {}
    for folder in folders:
        with contextlib.suppress(OSError):
            found |= {entry.name: entry.stat().st_size for entry in folder.iterdir()}
    return found


def require_only(folder: Path, *wanted: Path) -> None:
    """Raise Find if a folder contains anything but these."""
    names = {path.name for path in wanted}
    left = sorted(name for name in listed(folder) if name not in names)
    if left:
        kinds = ", ".join(sorted({name.rpartition(".")[2] for name in left}))
        raise Find(f"left over for good ({kinds}): {', '.join(left)}")


def version_in(path: Path) -> int:
    """Return the version in a file.  Raise Find if it does not hold a complete one."""
    try:
        return version_of(load_job(path))
    except (AssertionError, ReadFault, ValueError) as fault:
        raise Find(f"{path.suffix} holds no whole version") from fault


def after_save(path: Path) -> str:
    """Check that the file and its backup are complete, and that the next save works and
    cleans up.
    """
    version = version_in(path)
    if backup_of(path).exists():
        version_in(backup_of(path))
    left = len(listed(path.parent)) - 1 - backup_of(path).exists()
    save(path, write_job(sample(AFTER)))
    if version_in(path) != AFTER or version_in(backup_of(path)) != version:
        raise Find("the next save does not take the place of the file")
    require_only(path.parent, path, backup_of(path))
    return "in the midst" if left else "between"


def after_autosave(path: Path) -> str:
    """Check that the file is untouched, one complete copy is offered, and discarding it leaves
    nothing.
    """
    if version_in(path) != 0:
        raise Find("autosave has changed the job's own file")
    require_only(path.parent, path)
    copies = autosave.recoverable()
    if len(copies) != 1 or copies[0].original != path:
        raise Find(f"{len(copies)} copies are offered")
    if not 1 <= version_in(copies[0].path) < VERSIONS:
        raise Find("the copy is of no version that was kept")
    left = len(listed(autosave_dir())) > 2
    job, keeper = autosave.recover(copies[0])
    version_of(job)
    keeper.write(sample(AFTER))
    keeper.discard()
    if autosave.recoverable():
        raise Find("a copy is offered once more")
    require_only(autosave_dir())
    return "in the midst" if left else "between"


def after_lock(path: Path) -> str:
    """Check that the job is untouched and can be locked at once by the next program on this
    computer.
    """
    if version_in(path) != 0:
        raise Find("locking has changed the job's own file")
    left = [name.rpartition(".")[2] for name in listed(path.parent) if name != path.name]
    held = lock.take(path)
    if isinstance(held, lock.LockRefusal):
        raise Find(f"the job cannot be taken after a kill: {held}")
    if held.check() is not None:
        raise Find("a lock that was just taken is not ours")
    held.release()
    save(path, write_job(sample(AFTER)))
    require_only(path.parent, path, backup_of(path))
    return "in the midst" if {"guard", "tmp"} & set(left) else "held" if left else "free"


def saving(folder: Path) -> Kills:
    """Return the trial of kills while a job is saved."""
    return Kills(folder, SAVE, after_save)


def autosaving(folder: Path) -> Kills:
    """Return the trial of kills while a job is autosaved."""
    return Kills(folder, KEEP, after_autosave)


def locking(folder: Path) -> Kills:
    """Return the trial of kills while the lock of a job is taken and released."""
    return Kills(folder, LOCK, after_lock)
