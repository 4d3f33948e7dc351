"""What the tests of touching share: jobs to try in, and what the contact model says of a piece."""

from gridjig.contact.book import contacts
from gridjig.contact.values import Contact
from gridjig.model import Job, Placement
from gridjig.model.labels import address
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.tools.core.controller import ToolMaker
from gridjig.tools.draw.place_tool import PlaceTool
from tests.driver import Driver
from tests.trials.layout import empty, load, with_members


def frame() -> Job:
    """The mitred frame of trial T02 on its table, nothing placed."""
    trial = load("T02")
    return with_members(empty(trial), trial)


def placing(piece: str) -> ToolMaker:
    return lambda document: PlaceTool(document, piece)


def hand(piece: str, job: Job) -> Driver:
    return Driver(job).tool(placing(piece))


def touching(job: Job, placement: Placement) -> tuple[Contact, ...]:
    """Where a piece of a job touches, as the contact model has it."""
    return contacts(job, PlacedPieces().of(job)).pieces[placement.id].touching


def names(job: Job, one: Placement) -> list[str]:
    """The addresses of its holes."""
    return [address(job.table, seat.hole) for seat in one.seats]
