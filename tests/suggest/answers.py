"""Suggestions for tests: the first one, or all of a short search."""

from msgspec import structs

from gridjig.edits.starters import build, put_starter, starter
from gridjig.files.library.assets import rack_for, ready_tables
from gridjig.files.library.sections import find_section
from gridjig.model import Job
from gridjig.suggest.search import suggest
from gridjig.suggest.values import Suggestion, Wishes

PLENTY = 300.0
"""Time enough for an answer on a machine that is busy with other tests, s."""


class Enough(Exception):  # noqa: N818 - no error
    """The first answer is there."""


def first(job: Job, **wishes: object) -> Suggestion:
    """The first answer of a search, or what it says if there is none."""
    kept: list[Suggestion] = []

    def found(best: Suggestion) -> None:
        kept.append(best)
        raise Enough

    try:
        return suggest(job, structs.replace(Wishes(seconds=PLENTY), **wishes), found=found)
    except Enough:
        return kept[0]


def made(key: str, numbers: dict[str, float], chosen: dict[str, str] | None = None) -> Job:
    """A common weldment near the middle of a 48 x 48 table with its starter rack."""
    table = ready_tables()["48x48-3/4"]
    one = starter(key)
    sections = {}
    for stock in one.stock:
        section = find_section(stock.inches)
        assert section is not None
        sections[stock.key] = section
    job = Job(name=one.name, table=table, rack=rack_for(table))
    return put_starter(job, build(one, sections, numbers, chosen), (301.7, 284.2))[0]
