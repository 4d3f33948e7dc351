"""What a new job starts with: the user's own table and rack, kept last; without them a standard
table in the unit of the settings, and the starter rack that fits it.
"""

from msgspec import structs

from gridjig.files.storage.locations import user_library_file
from gridjig.files.storage.settings import Settings
from gridjig.model import Display, Job, Table
from gridjig.rack import Rack

from .assets import fits, rack_for, ready_tables

NEW_NAME = "New job"
"""What a job is called until somebody names it."""


def default_table(settings: Settings) -> Table:
    """Return the table kept last, or else the first standard table in the user's unit."""
    own = _own_tables()
    if own:
        return own[-1]
    inches = settings.unit != "millimetres"
    tables = list(ready_tables().values())
    return next((t for t in tables if t.in_inches == inches), tables[0])


def default_rack(table: Table) -> Rack:
    """Return the rack kept last whose pins fit the table's holes, or else the best starter rack."""
    own = [rack for rack in _own_racks() if fits(rack, table)]
    return own[-1] if own else rack_for(table)


def display_for(table: Table, preferred: Display) -> Display:
    """Return a display in the table's own unit; for inches, the kind that the person prefers."""
    if not table.in_inches:
        return structs.replace(preferred, unit="millimetres")
    if preferred.unit == "millimetres":
        return structs.replace(preferred, unit="inch fractions")
    return preferred


def default_display(settings: Settings) -> Display:
    """Return how lengths are shown in a job that does not say."""
    return Display(unit=settings.unit, denominator=settings.denominator)


def job_on(table: Table, settings: Settings, name: str = NEW_NAME) -> Job:
    """Return a job with nothing on that table, with the usual rack for it."""
    display = display_for(table, default_display(settings))
    return Job(name=name, table=table, rack=default_rack(table), display=display)


def default_job(settings: Settings) -> Job:
    """Return the job that a plain start shows: an empty table."""
    return job_on(default_table(settings), settings)


def _own_tables() -> tuple[Table, ...]:
    if not user_library_file().is_file():
        return ()
    from .user_library import user_library  # noqa: PLC0415 - most starts have nothing kept

    return user_library().tables


def _own_racks() -> tuple[Rack, ...]:
    if not user_library_file().is_file():
        return ()
    from .user_library import user_library  # noqa: PLC0415 - most starts have nothing kept

    return user_library().racks
