"""The program's own files, damaged in every way: it must go on with what it can use.

A case names a file and its contents, or sometimes makes it a folder, a link or a pipe.
"""

import base64
import json
import os
import shutil
from collections.abc import Callable
from pathlib import Path
from random import Random

import msgspec

from gridjig.files.format.faults import ReadFault, SaveFault
from gridjig.files.jobs import autosave
from gridjig.files.jobs.autosave import Autosaver
from gridjig.files.jobs.job_file import load_job, write_job
from gridjig.files.library import sections, user_library
from gridjig.files.library.default_job import default_job
from gridjig.files.storage import lock, recent
from gridjig.files.storage.locations import state_dir
from gridjig.files.storage.saving import save
from gridjig.files.storage.settings import Settings, read_settings, write_settings
from tests.files.versions import sample

from .kind import Find, Parts
from .trees import parts_of_tree, raw

JOB = "job.gridjig"
_OTHER = ["folder", "empty"]
_PIPES = ["pipe"] if hasattr(os, "mkfifo") else []
_LINKS = ["link", "circle"] if os.name != "nt" else []  # on Windows only for administrators


class State:
    """Each case is one damaged file."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder / "shop"
        self._job = sample(3)
        self._clean()
        self._good = self._written()

    def _clean(self) -> None:
        for folder in (state_dir(), self._folder):
            shutil.rmtree(folder, ignore_errors=True)
            folder.mkdir(parents=True)

    def _places(self) -> dict[str, Path]:
        """Return every file of the program's own, by purpose."""
        state = state_dir()
        copies = sorted((state / "autosave").glob("*"))
        held = sorted(self._folder.glob(f".{JOB}*"))
        return {
            "settings": state / "settings.json",
            "recent": state / "recent.json",
            "own": state / "own.json",
            **{f"copy{path.suffix}": path for path in copies},
            **dict(zip(["lock"], held, strict=False)),
        }

    def _written(self) -> dict[str, bytes]:
        """Write all the files in their places; return the contents of each when all is well."""
        path = self._folder / JOB
        save(path, write_job(self._job))
        write_settings(Settings(unit="millimetres", folder=str(self._folder)))
        recent.add(path)
        user_library.keep_table(self._job.table)
        user_library.keep_rack(self._job.rack)
        user_library.keep_section(sections.listed()[0].section)
        Autosaver(sample(2), path).write(self._job)
        if isinstance(lock.take(path), lock.LockRefusal):
            raise Find("a free job cannot be taken")
        return {name: place.read_bytes() for name, place in self._places().items()}

    def make(self, chance: Random) -> bytes:
        """Return one of the program's own files, damaged."""
        name = chance.choice(sorted(self._good))
        case: dict[str, str] = {"file": name}
        if chance.random() < 0.15:
            case["is"] = chance.choice([*_OTHER, *_PIPES, *_LINKS])
        else:
            data = self._good[name]
            changed = _changed(chance, data) if chance.random() < 0.8 else raw(chance, data)
            case["holds"] = base64.b64encode(changed).decode()
        return json.dumps(case).encode()

    def run(self, data: bytes) -> str:
        """Put the file in place, and use everything that reads or changes such files."""
        case = json.loads(data)
        self._clean()
        self._written()
        place = self._places()[case["file"]]
        put(place, case)
        self._use()
        if load_job(self._folder / JOB) not in (self._job, sample(31)):
            raise Find("the job is another one")
        return str(case["file"])

    def _use(self) -> None:
        path = self._folder / JOB
        settings = read_settings()
        default_job(settings)
        write_settings(settings)
        recent.load()
        held = lock.current_holder(path)
        str(held)
        asks: list[Callable[[], object]] = [
            lambda: recent.add(path),
            user_library.load,
            user_library.offered_tables,
            user_library.offered_racks,
            sections.sections,
            lambda: user_library.keep_table(self._job.table),
            lambda: [autosave.recover(copy) for copy in autosave.recoverable()],
            lambda: save(path, write_job(sample(31))),
        ]
        for ask in asks:
            try:
                ask()
            except (ReadFault, SaveFault) as fault:
                if not str(fault).endswith("."):
                    raise Find(f"a refusal is not a sentence: {fault}") from fault
        taken = lock.take_over(path)
        if isinstance(taken, lock.Lock):
            taken.check()
            taken.release()
        elif not taken.why:
            raise Find("a lock is refused without a word")

    def parts(self, data: bytes) -> Parts | None:
        """Split the contents of the file into parts."""
        case = json.loads(data)
        if "holds" not in case:
            return None
        inner = parts_of_tree(base64.b64decode(case["holds"]))
        if inner is None:
            return None

        def join(kept: list[bytes]) -> bytes:
            return json.dumps(
                {**case, "holds": base64.b64encode(inner.join(kept)).decode()}
            ).encode()

        return Parts(inner.parts, join)


def put(place: Path, case: dict[str, str]) -> None:
    """Replace a file with what a case says."""
    place.unlink(missing_ok=True)
    match case.get("is"):
        case "folder":
            (place / "inside").mkdir(parents=True)
        case "link":
            target = place.with_name("elsewhere")
            target.write_bytes(b"{}")
            place.symlink_to(target)
        case "circle":
            place.symlink_to(place)
        case "empty":
            place.write_bytes(b"")
        case "pipe":
            os.mkfifo(place)
        case _:
            place.write_bytes(base64.b64decode(case["holds"]))


def _changed(chance: Random, data: bytes) -> bytes:
    """Return a document with one value replaced by another, of any type."""
    tree = json.loads(data)
    at, inner = tree, tree
    while isinstance(inner, dict | list) and inner:
        at = inner
        key = (
            chance.choice(list(inner)) if isinstance(inner, dict) else chance.randrange(len(inner))
        )
        inner = inner[key]
        if chance.random() < 0.3:
            break
    others: list[object] = [
        None,
        True,
        "",
        "x" * 5000,
        [],
        {},
        0,
        -1,
        2**31,
        2**63,
        1e308,
        -0.5,
        "\x00",
        "../..",
        "\n",
    ]
    at[key] = chance.choice(others)
    return msgspec.json.encode(tree)


def reading(folder: Path) -> State:
    """Return the trial for this kind."""
    return State(folder)
