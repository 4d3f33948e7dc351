"""The standard tables, starter racks and sample jobs that come with the program.

They are in the package when it is installed and beside it in a checkout.  They are read on first
use and then cached, as they never change while the program runs.
"""

from functools import cache
from pathlib import Path

import msgspec
from msgspec import Struct, structs

from gridjig.model import Table
from gridjig.rack import Rack
from gridjig.rack.piece import Ident
from gridjig.units.spelling import spelled

_FITS = 1.0
"""A locking pin fits a hole up to this much larger than itself, mm."""


class ReadyTable(Struct, frozen=True, forbid_unknown_fields=True):
    """A standard table and its short id for the command line."""

    id: Ident
    table: Table


def assets_dir() -> Path:
    """Return the assets folder.  Raise FileNotFoundError, with the places searched, if missing."""
    package = Path(__file__).resolve().parents[2]
    for folder in (package / "assets", package.parent / "assets"):
        if (folder / "tables.json").is_file():
            return folder
    raise FileNotFoundError(
        f"the standard tables are missing: no tables.json in {package / 'assets'}"
        f" or {package.parent / 'assets'}; install GridJig again"
    )


@cache
def ready_tables() -> dict[str, Table]:
    """Return every standard table by its short id, in the order offered."""
    data = (assets_dir() / "tables.json").read_bytes()
    listed = msgspec.json.decode(data, type=tuple[ReadyTable, ...])
    return {
        ready.id: structs.replace(ready.table, name=spelled(ready.table.name)) for ready in listed
    }


@cache
def starter_racks() -> dict[str, Rack]:
    """Return every starter rack by its file name."""
    from gridjig.files.jobs.rack_file import read_rack  # noqa: PLC0415 - the first picture only needs a table

    racks = {p.stem: read_rack(p) for p in sorted((assets_dir() / "racks").glob("*.json"))}
    return {key: structs.replace(r, name=spelled(r.name)) for key, r in racks.items()}


def rack_for(table: Table) -> Rack:
    """Return the starter rack for a table: the one whose locking pins fit its holes best, or the
    nearest if none fit.
    """

    return min(starter_racks().values(), key=lambda r: (not fits(r, table), abs(_gap(r, table))))


def fits(rack: Rack, table: Table) -> bool:
    """True if the largest locking pins of a rack fit the holes of a table."""
    return 0 < _gap(rack, table) <= _FITS


def _gap(rack: Rack, table: Table) -> float:
    return table.hole_diameter - max((p.pin_diameter for p in rack.pieces), default=0.0)


@cache
def samples() -> dict[str, Path]:
    """Return the files of the sample jobs by name, in the order offered."""
    return {p.stem: p for p in sorted((assets_dir() / "samples").glob("*.gridjig"))}
