"""The ready tables, starter racks and sample jobs that come with the program.

They lie in the package when it is installed and beside it in a checkout.  Read when first asked
for, then kept: they never change while the program runs.
"""

from functools import cache
from pathlib import Path

import msgspec
from msgspec import Struct

from gridjig.model import Table
from gridjig.rack import Rack
from gridjig.rack.piece import Ident

_FITS = 1.0
"""A locking pin fits a hole up to this much larger than itself, mm."""


class ReadyTable(Struct, frozen=True, forbid_unknown_fields=True):
    """A ready table and the short id it goes by on the command line."""

    id: Ident
    table: Table


def assets_dir() -> Path:
    """The folder of ready things.  FileNotFoundError, saying where it looked, if there is none."""
    package = Path(__file__).resolve().parents[2]
    for folder in (package / "assets", package.parent / "assets"):
        if (folder / "tables.json").is_file():
            return folder
    raise FileNotFoundError(
        f"the ready tables are missing: no tables.json in {package / 'assets'}"
        f" or {package.parent / 'assets'}; install GridJig again"
    )


@cache
def ready_tables() -> dict[str, Table]:
    """Every ready table by its short id, in the order they are offered."""
    data = (assets_dir() / "tables.json").read_bytes()
    listed = msgspec.json.decode(data, type=tuple[ReadyTable, ...])
    return {ready.id: ready.table for ready in listed}


@cache
def starter_racks() -> dict[str, Rack]:
    """Every starter rack by the name of its file."""
    from gridjig.files.jobs.rack_file import read_rack  # noqa: PLC0415 - the first picture needs a table only

    return {p.stem: read_rack(p) for p in sorted((assets_dir() / "racks").glob("*.json"))}


def rack_for(table: Table) -> Rack:
    """The starter rack to begin with on a table: the one whose locking pins fit its holes most
    snugly.  Where the pins of none fit, the nearest.
    """

    def badness(rack: Rack) -> tuple[bool, float]:
        gap = table.hole_diameter - max(p.pin_diameter for p in rack.pieces)
        return (not 0 < gap <= _FITS, abs(gap))

    return min(starter_racks().values(), key=badness)


@cache
def samples() -> dict[str, Path]:
    """The files of the sample jobs by their name, in the order they are offered."""
    return {p.stem: p for p in sorted((assets_dir() / "samples").glob("*.gridjig"))}
