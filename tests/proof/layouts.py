"""The trial weldments with jigs as a hand lays them out, and ways to break them."""

from collections.abc import Callable
from functools import cache

from msgspec import structs

from gridjig.contact.book import contacts
from gridjig.contact.touching import to_touch
from gridjig.contact.values import JobContacts
from gridjig.edits import weldment
from gridjig.edits.lookup import new_id
from gridjig.geometry.part_outline import part_edge
from gridjig.model import FaceOf, Hole, Job, Placement, Seat
from gridjig.model.labels import find_hole
from gridjig.model.titles import title
from gridjig.proof.held.report import held
from gridjig.proof.held.values import HeldReport
from gridjig.proof.located.report import located
from gridjig.proof.located.values import Located, LocatedReport
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.placed_piece import PlacedPiece
from tests.trials.keyed import KEYED, part_named
from tests.trials.layout import INCH, load, put, single, with_clamp, with_stop


def long_face(job: Job, part: str, way: tuple[float, float]) -> FaceOf:
    """The long face of a member that looks most in a direction."""
    thing = next(one for one in job.parts if one.id == part)

    def looks(side: int) -> float:
        (ax, ay), (bx, by) = part_edge(thing, side)
        return (by - ay) * way[0] - (bx - ax) * way[1]

    return FaceOf(part, max(range(len(thing.corners)), key=looks))


def pin_at(job: Job, address: str, part: str, way: tuple[float, float]) -> Job:
    """A pin with packing up to the long face of a member that looks in a direction."""
    seat = Seat("shank", find_hole(job.table, address))
    here = Placement(id=new_id(job, "pin"), piece="pin-1", name=f"Pin {address}", seats=(seat,))
    best = to_touch(job, here, long_face(job, part, way))
    return put(job, best.placement)


def _with_data(job: Job, trial: str) -> Job:
    data = load(trial)
    for stop in data["stops"]:
        job = with_stop(job, stop)
    for clamp in data.get("clamps", ()):
        job = with_clamp(job, clamp)
    return job


def t01() -> Job:
    return _with_data(KEYED["T01"](), "T01")


def t02() -> Job:
    return _with_data(KEYED["T02"](), "T02")


def t04() -> Job:
    """The brace against two pins, on two risers."""
    job = _with_data(KEYED["T04"](), "T04")
    for address in ("I12", "L9"):
        job = pin_at(job, address, part_named(job, "K brace"), (1.0, 1.0))
    for address in ("H11", "K8"):
        job = single(job, "riser-1-4", "centre", address)
    return job


def t06() -> Job:
    """The strut against two pins with packing, the end plate by a pin behind it."""
    job = _with_data(KEYED["T06"](), "T06")
    strut = part_named(job, "S strut")
    for address in ("L8", "P11"):
        job = pin_at(job, address, strut, (0.61, -0.79))
    return job


def t08() -> Job:
    """The legs against pins at their outer edges."""
    job = _with_data(KEYED["T08"](), "T08")
    left, right = (part_named(job, name) for name in ("LL leg", "RL leg"))
    for address in ("F9", "I20"):
        job = pin_at(job, address, left, (-1.0, 0.0))
    for address in ("Q19", "T8"):
        job = pin_at(job, address, right, (1.0, 0.0))
    return job


def t10() -> Job:
    """Face down: the rails, the crosses and the strap on the table, the feet on top."""
    job = KEYED["T10"]()
    middle = weldment.middle(job)
    job = weldment.flip(job, middle, (middle[0], middle[1] + 1.0))
    low = min(part.z_low for part in job.parts)
    assert low == 0.0
    return _with_data(job, "T10")


LAYOUTS: dict[str, Callable[[], Job]] = {
    "T01": t01,
    "T02": t02,
    "T04": t04,
    "T06": t06,
    "T08": t08,
    "T10": t10,
}


@cache
def layout(trial: str) -> Job:
    """A trial laid out; made once."""
    return LAYOUTS[trial]()


class Proved:
    """A job with its placed pieces, contacts and both reports; things by their names."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.placed: dict[str, PlacedPiece] = dict(PlacedPieces().of(job))
        self.contacts: JobContacts = contacts(job, self.placed)
        self.located: LocatedReport = located(job, self.placed, self.contacts)
        self.held: HeldReport = held(job, self.placed, self.contacts)

    def part(self, name: str) -> Located:
        wanted = part_named(self.job, name)
        return next(one for one in self.located.parts if one.id == wanted)

    def named(self, ids: tuple[str, ...]) -> list[str]:
        return [title(self.job, one) for one in ids]

    def order(self) -> list[str]:
        (order,) = self.located.orders.values()
        return self.named(order)


def piece_named(job: Job, name: str) -> str:
    """The id of the placement of that name."""
    return next(p.id for p in job.placements if p.name == name)


def without(job: Job, *names: str) -> Job:
    """The job without the pieces of these names."""
    gone = {piece_named(job, name) for name in names}
    return structs.replace(job, placements=tuple(p for p in job.placements if p.id not in gone))


def moved(job: Job, name: str, columns: int, rows: int) -> Job:
    """The job with a piece moved by holes."""
    wanted = piece_named(job, name)
    return structs.replace(
        job,
        placements=tuple(
            structs.replace(
                p,
                seats=tuple(
                    Seat(s.feature, Hole(s.hole.col + columns, s.hole.row + rows)) for s in p.seats
                ),
            )
            if p.id == wanted
            else p
            for p in job.placements
        ),
    )


def slid(job: Job, name: str, inches: float) -> Job:
    """The job with an adjustable stop set further in."""
    wanted = piece_named(job, name)
    return structs.replace(
        job,
        placements=tuple(
            structs.replace(p, slide=p.slide + inches * INCH) if p.id == wanted else p
            for p in job.placements
        ),
    )
