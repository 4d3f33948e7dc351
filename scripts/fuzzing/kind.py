"""What a fuzzer is: a way to make cases, a way to try one, and the limits of a case."""

from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from random import Random
from typing import Protocol, runtime_checkable

ROOT = Path(__file__).resolve().parents[2]


def is_ours(file: str) -> bool:
    """True for a file of the program: neither a library nor a fuzzer."""
    return Path(file).is_relative_to(ROOT / "gridjig")


class Find(Exception):  # noqa: N818 - it is what a fuzzer looks for
    """Something went wrong without an exception; described in one sentence."""


class Trial(Protocol):
    """One kind's cases, in a process of its own."""

    def make(self, chance: Random) -> bytes:
        """Return a case: the same from the same chance."""

    def run(self, data: bytes) -> str:
        """Try a case, and return a word for how it ended.  Any exception is a find."""

    def parts(self, data: bytes) -> "Parts | None":
        """Split a case into parts, some of which may not matter; None if it cannot be minimised."""


@runtime_checkable
class Sparing(Protocol):
    """A trial with a costly part, done for one case in `every`; it says of how many it was done."""

    every: int


@dataclass(frozen=True)
class Parts:
    """A case split into parts, and how to make a case from some of them."""

    parts: list[bytes]
    join: Callable[[list[bytes]], bytes]


@dataclass(frozen=True)
class Kind:
    """A fuzzer.

    `short` is how many cases the check tries, `long` how many a long round tries; `share` is how
    many one process tries before a new one takes over.  A case may take `seconds` of processor
    time, more on a machine that is slower than usual, and `megabytes` of memory.  `every` is how
    many cases of a long round share one costly part; 1 where nothing is left out.  `place` names
    the function that makes its Trial in a folder, as `module:function`.
    """

    name: str
    about: str
    suffix: str
    place: str
    short: int
    long: int
    share: int
    seconds: float = 10.0
    megabytes: int = 1024
    every: int = 1

    def trial(self, folder: Path) -> Trial:
        """Return its trial, with a folder of its own."""
        module, _, function = self.place.partition(":")
        made: Trial = getattr(import_module(module), function)(folder)
        return made


KINDS: tuple[Kind, ...] = (
    Kind(
        "jobs",
        "job files, read, and all that is derived of a job",
        ".gridjig",
        "fuzzing.jobs:reading",
        short=240,
        long=1_000_000,
        share=10_000,
        every=25,
    ),
    Kind(
        "opened",
        "job files opened in the window, with every pane looked at",
        ".gridjig",
        "fuzzing.opened:opening",
        short=12,
        long=20_000,
        share=100,
    ),
    Kind(
        "racks",
        "rack files, merged into a job, every piece drawn and set",
        ".gridrack",
        "fuzzing.racks:reading",
        short=100,
        long=100_000,
        share=1000,
    ),
    Kind(
        "state",
        "settings, recent files, own tables, locks and autosaved copies",
        ".json",
        "fuzzing.state:reading",
        short=150,
        long=100_000,
        share=1000,
    ),
    Kind(
        "dxf",
        "DXF drawings, brought in as a job",
        ".dxf",
        "fuzzing.dxf:reading",
        short=100,
        long=70_000,
        share=500,
    ),
    Kind(
        "svg",
        "SVG drawings, brought in as a job",
        ".svg",
        "fuzzing.svg:reading",
        short=100,
        long=30_000,
        share=500,
    ),
    Kind(
        "sheets",
        "setup sheets, PDFs with a job inside, opened",
        ".pdf",
        "fuzzing.sheets:reading",
        short=60,
        long=20_000,
        share=1000,
    ),
    Kind(
        "terminal",
        "arguments of every verb on the terminal",
        ".json",
        "fuzzing.terminal:typing",
        short=60,
        long=50_000,
        share=300,
    ),
    Kind(
        "acts",
        "200 random edits or uses of the tools without a window, and undo",
        ".txt",
        "fuzzing.acts:doing",
        short=4,
        long=2_000,
        share=20,
        seconds=20.0,
    ),
    Kind(
        "events",
        "100 random pointers, keys, menus and forms in the window, and undo",
        ".json",
        "fuzzing.events:playing",
        short=4,
        long=1_000,
        share=40,
        seconds=20.0,
    ),
    Kind(
        "kill-save",
        "a program killed while it saves a job",
        ".json",
        "fuzzing.kills:saving",
        short=6,
        long=1_000,
        share=100,
    ),
    Kind(
        "kill-autosave",
        "a program killed while it keeps copies of a job",
        ".json",
        "fuzzing.kills:autosaving",
        short=6,
        long=1_000,
        share=100,
    ),
    Kind(
        "kill-lock",
        "a program killed while it takes and frees the lock of a job",
        ".json",
        "fuzzing.kills:locking",
        short=6,
        long=1_000,
        share=100,
    ),
    Kind(
        "memory-quick",
        "memory over 4 openings and 120 events in one window",
        ".json",
        "fuzzing.memory:quick",
        short=1,
        long=0,
        share=1,
        seconds=120.0,
    ),
    Kind(
        "memory",
        "memory over 200 openings and 100,000 events in one window",
        ".json",
        "fuzzing.memory:whole",
        short=0,
        long=1,
        share=1,
        seconds=36_000.0,
    ),
)


def kind_of(name: str) -> Kind:
    """Return the fuzzer of that name, or the one at `module:NAME`.  Raise KeyError if there is
    none.
    """
    if ":" in name:
        module, _, attribute = name.partition(":")
        found = getattr(import_module(module), attribute)
        assert isinstance(found, Kind)
        return found
    return {kind.name: kind for kind in KINDS}[name]


def chance_of(kind: Kind, seed: int, case: int) -> Random:
    """Return the source of chance for a case: it depends on nothing else."""
    return Random(f"{kind.name} {seed} {case}")
