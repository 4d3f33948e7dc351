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


def starter_racks() -> dict[str, Rack]:
    """Return every starter rack by its file name."""
    return {stem: _starter_rack(stem) for stem in _rack_files()}


@cache
def _starter_rack(stem: str) -> Rack:
    from gridjig.files.jobs.rack_file import read_rack  # noqa: PLC0415 - the first picture only needs a table

    rack = read_rack(_rack_files()[stem])
    return structs.replace(rack, name=spelled(rack.name))


@cache
def _rack_files() -> dict[str, Path]:
    return {p.stem: p for p in sorted((assets_dir() / "racks").glob("*.json"))}


class _PinsOf(Struct, frozen=True):
    """What is looked at of a rack's file to choose it: the diameters of its locking pins."""

    class Piece(Struct, frozen=True):
        pin_diameter: float = 0.0

    pieces: tuple[Piece, ...] = ()


@cache
def _pins_of(stem: str) -> _PinsOf:
    return msgspec.json.decode(_rack_files()[stem].read_bytes(), type=_PinsOf)


def rack_for(table: Table) -> Rack:
    """Return the starter rack for a table: the one whose locking pins fit its holes best, or the
    nearest if none fit.  Only that one is read whole.
    """

    def misfit(stem: str) -> tuple[bool, float]:
        gap = _gap(_pins_of(stem), table)
        return not _is_fit(gap), abs(gap)

    return _starter_rack(min(_rack_files(), key=misfit))


def fits(rack: Rack, table: Table) -> bool:
    """True if the largest locking pins of a rack fit the holes of a table."""
    return _is_fit(_gap(rack, table))


def _is_fit(gap: float) -> bool:
    return 0 < gap <= _FITS


def _gap(rack: Rack | _PinsOf, table: Table) -> float:
    return table.hole_diameter - max((p.pin_diameter for p in rack.pieces), default=0.0)


@cache
def samples() -> dict[str, Path]:
    """Return the files of the sample jobs by name, in the order offered."""
    return {p.stem: p for p in sorted((assets_dir() / "samples").glob("*.gridjig"))}


class SampleHead(Struct, frozen=True):
    """What is told of a sample before it is opened: its name, and the first words of its notes."""

    name: str
    notes: str = ""

    @property
    def about(self) -> str:
        """Return what it is about: its notes up to the first full stop, colon or line end."""
        first = self.notes.split("\n", 1)[0].split(". ", 1)[0]
        return first.split(":", 1)[0].rstrip(".")


def sample_head(path: Path) -> SampleHead:
    """Return the head of a sample's file, without reading the rest of the job."""
    return msgspec.json.decode(path.read_bytes(), type=SampleHead)
