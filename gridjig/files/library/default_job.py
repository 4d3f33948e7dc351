"""What a new job starts with by default: a standard table in the unit of the settings."""

from gridjig.files.storage.settings import Settings
from gridjig.model import Display, Job, Table

from .assets import rack_for, ready_tables


def default_table(settings: Settings) -> Table:
    """Return the first standard table in the user's unit."""
    inches = settings.unit != "millimetres"
    tables = list(ready_tables().values())
    return next((t for t in tables if t.in_inches == inches), tables[0])


def default_display(settings: Settings) -> Display:
    """Return how lengths are shown in a job that does not say."""
    return Display(unit=settings.unit, denominator=settings.denominator)


def default_job(settings: Settings) -> Job:
    """Return the job that a plain start shows: an empty table."""
    table = default_table(settings)
    return Job(name="New job", table=table, rack=rack_for(table), display=default_display(settings))
