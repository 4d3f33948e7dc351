"""Turns command line arguments into values, or refuses them in one sentence."""

from argparse import ArgumentParser, Namespace
from pathlib import Path
from typing import TypeVar

from msgspec import Struct

from gridjig.files.format.faults import ReadFault
from gridjig.files.jobs.job_file import SUFFIX as JOB_SUFFIX
from gridjig.files.jobs.rack_file import SUFFIX as RACK_SUFFIX
from gridjig.files.jobs.rack_of_job import rack_in
from gridjig.files.jobs.sheet_file import job_at
from gridjig.files.library.assets import rack_for, ready_tables, starter_racks
from gridjig.model import Hole, Job, Table
from gridjig.model.labels import find_hole
from gridjig.model.titles import numbered
from gridjig.rack import Piece, Rack
from gridjig.units import Display, ParseError, parse_length

from .plain import plainly
from .verb import Refusal, unknown

T = TypeVar("T", bound=Struct)
JOB_HELP = f"a {JOB_SUFFIX} file, or a setup sheet with the job inside"
TABLE_HELP = f"a standard table, such as 48x48-5/8, or a {JOB_SUFFIX} file with the table in it"
RACK_HELP = (
    f"a starter rack, or a {RACK_SUFFIX} or {JOB_SUFFIX} file with one in it (default: the one that"
    " fits the table)"
)


def the_job(path: str) -> Job:
    """Load the job in a file or inside a setup sheet.  Raise Refusal if it cannot be read."""
    if not path.strip():
        raise Refusal("The name of the job is empty; give its .gridjig file.")
    try:
        return job_at(Path(path))
    except ReadFault as fault:
        raise Refusal(str(fault)) from fault


def the_table_and_rack(table: str, rack: str | None) -> tuple[Table, Rack]:
    """Return a table, by name or from a job, and a rack, by name, from a file or with the table.

    Raise Refusal with the known names if there is none.
    """
    if table.endswith(JOB_SUFFIX):
        job = the_job(table)
        return job.table, job.rack if rack is None else the_rack(rack)
    tables = ready_tables()
    found = tables.get(table) or next((t for t in tables.values() if t.name == table), None)
    if found is None:
        raise Refusal(f"There is no standard table {table}; choose from: {', '.join(tables)}.")
    return found, rack_for(found) if rack is None else the_rack(rack)


def the_rack(name: str) -> Rack:
    """Return a starter rack by name, or the rack in a rack or job file.  Raise Refusal if there is
    none.
    """
    if name.endswith((RACK_SUFFIX, JOB_SUFFIX)):
        try:
            return rack_in(Path(name))
        except ReadFault as fault:
            raise Refusal(str(fault)) from fault
    racks = starter_racks()
    if name not in racks:
        raise Refusal(f"There is no starter rack {name}; choose from: {', '.join(racks)}.")
    return racks[name]


def the_piece(rack: Rack, name: str) -> Piece:
    """Return a piece of a rack by id or name.  Raise Refusal with the nearest names if there is
    none.
    """
    for piece in rack.pieces:
        if name in (piece.id, piece.name):
            return piece
    raise unknown("piece", name, [piece.id for piece in rack.pieces], f"on the rack “{rack.name}”")


def weldment_argument(parser: ArgumentParser) -> None:
    """Add --weldment NAME."""
    parser.add_argument(
        "--weldment", metavar="NAME", help="only this weldment of the job, by its name or number"
    )


def the_weldment(job: Job, chosen: Namespace) -> str | None:
    """Return the id of the weldment that was asked for; None if none was.

    It is known by its name, its number or its id.  Raise Refusal with the names if there is none.
    """
    name = chosen.weldment
    if name is None:
        return None
    for number, one in enumerate(job.weldments, 1):
        if name in (one.name, str(number), one.id, numbered(number)):
            return one.id
    names = [one.name or numbered(n) for n, one in enumerate(job.weldments, 1)]
    raise unknown("weldment", name, names, f"in the job “{job.name}”")


def the_hole(table: Table, address: str) -> Hole:
    """Return a hole by its painted address.  Raise Refusal with the range of addresses if it is
    wrong.
    """
    try:
        return find_hole(table, address)
    except ParseError as parse_error:
        raise Refusal(str(parse_error)) from parse_error


def shown(value: T, chosen: Namespace) -> T:
    """Return a job, table or rack with its names made safe for a terminal; unchanged for JSON and
    CSV.
    """
    as_it_is = any(getattr(chosen, form, False) for form in ("json", "csv"))
    return value if as_it_is else plainly(value)


def length(text: str, display: Display) -> float:
    """Return a length in mm.  Raise Refusal if it cannot be read."""
    try:
        return parse_length(text, display.unit)
    except ParseError as parse_error:
        raise Refusal(str(parse_error)) from parse_error
