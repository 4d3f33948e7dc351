"""Jobs in which every kind of choice is made, each where it matters.

The samples and the jobs of the property tests leave much at its default, or put it where nothing
follows from it: of a weld between parts that do not meet, nothing is derived.
"""

from functools import partial
from typing import get_args

from msgspec import structs

from gridjig.edits.allowances import (
    add_point,
    set_linear_class,
    set_longer,
    set_measured,
    set_opened,
)
from gridjig.edits.copies import mirrored
from gridjig.edits.joints import set_critical, set_datum, set_welds
from gridjig.edits.loading import set_clamp_force, set_friction, set_loading_order
from gridjig.edits.placements import set_accepted_gap, set_clamped_by_hand
from gridjig.edits.shop_values import set_shop_limit
from gridjig.edits.weldment_list import add_weldment, copy_weldment, set_quantity
from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.geometry.lines import through
from gridjig.model import (
    ChosenPoint,
    CutOut,
    Datum,
    Drilled,
    EndCut,
    FaceOf,
    Job,
    Member,
    Plate,
    SawCut,
    Sawing,
    Section,
    Slotted,
    StockBar,
    WeldedSides,
    WeldKind,
)
from gridjig.solve.weldment.welds import THROATED, welded
from tests.workshop import laid, pin, stop

SQUARE = EndCut()
TUBE = Section(name="50x50x3", kind="square tube", width=50, height=50, wall=3, radius=6, toe=3)
ROUND = Section(name="60.3x3.6", kind="round tube", width=60.3, height=60.3, wall=3.6)
_KINDS: tuple[WeldKind, ...] = get_args(WeldKind)
_SIDES: tuple[WeldedSides, ...] = get_args(WeldedSides)


def rich_jobs() -> list[Job]:
    """Return jobs with several weldments, opposite hands, cuts, holes and welds of every kind."""
    bare = [frame(), *(load_job(path) for path in samples().values())]
    return [with_choices(with_hands(with_welds(job, shift))) for shift, job in enumerate(bare)]


def frame() -> Job:
    """A rail and a strut between two posts, under a plate with holes; every kind of end cut."""
    point = EndCut("mitre", 40.0, more=(SawCut(-40.0, 5.0), SawCut(0.0, -8.0)))
    cope, notch = EndCut("cope", around=60.3), EndCut("notch", along=20.0, across=15.0)
    holes = (
        Drilled((20.0, 20.0), 9.0),
        Slotted((50.0, 30.0), (80.0, 30.0), 11.0),
        CutOut(((100.0, 60.0), (130.0, 60.0), (115.0, 80.0))),
    )
    gusset = Plate(
        id="gusset",
        name="gusset",
        corners=((0, 0), (150, 0), (150, 90), (40, 120), (0, 90)),
        holes=holes,
        z_low=50.0,
        z_high=60.0,
        x=300.0,
        y=380.0,
    )
    return laid(
        stop("s", 3, 3),
        pin("p", 13, 13),
        _member("left post", 300.0, 200.0, 90.0, 500.0, TUBE, end=point),
        _member("right post", 700.0, 200.0, 90.0, 500.0, ROUND),
        _member("rail", 325.0, 400.0, 0.0, 344.85, TUBE, end=cope),
        _member("strut", 325.0, 250.0, 0.0, 200.0, TUBE, start=notch, end=EndCut("mitre", -30.0)),
        gusset,
    )


def _member(
    name: str,
    x: float,
    y: float,
    turn: float,
    length: float,
    section: Section,
    start: EndCut = SQUARE,
    end: EndCut = SQUARE,
) -> Member:
    return Member(
        id=name.replace(" ", "-"),
        name=name,
        section=section,
        length=length,
        start=start,
        end=end,
        x=x,
        y=y,
        turn=turn,
    )


def with_welds(job: Job, shift: int = 0) -> Job:
    """Give the joints welds of all kinds, sizes and sides in turn, beginning at `shift`."""
    for number, one in enumerate(welded(job), shift):
        kind = _KINDS[number % len(_KINDS)]
        size = 2.0 + number % 5
        by_throat = kind in THROATED and number % 2 == 0
        job = set_welds(
            job,
            {one.joint.id},
            kind=kind,
            leg=None if by_throat else size,
            throat=size if by_throat else None,
            sides=_SIDES[(number + number // len(_KINDS)) % len(_SIDES)],
        )
    return job


def with_hands(job: Job) -> Job:
    """Add the opposite hand of the weldment, the opposite hand of that, and an empty weldment."""
    right = max(part.x for part in job.parts) + 100.0
    for line in (through((right, 0.0), (right, 1.0)), through((0.0, 300.0), (1.0, 300.0))):
        last = job.weldments[-1].id
        job, made, _ = copy_weldment(job, last, partial(mirrored, line=line), hand=True)
        job = set_quantity(job, made, 12)
    return add_weldment(job, "spare")[0]


def with_choices(job: Job) -> Job:
    """Choose what is left: datum and critical faces, what the shop trusts, saw and origin, the
    order of loading, what clamps are reckoned with, what is allowed for and which class it meets.
    """
    first, other = job.parts[0].id, job.parts[1].id
    job = set_datum(job, Datum(long=FaceOf(first, 0), end=FaceOf(first, 1)))
    job = set_critical(job, [FaceOf(first, 2), FaceOf(other, 0)])
    for placement in job.placements[::2]:
        job = set_accepted_gap(set_clamped_by_hand(job, placement.id, True), placement.id, 0.4)
    job = set_loading_order(job, job.parts[0].weldment, [other, first])
    job = set_friction(set_clamp_force(job, 850.0), 0.2)
    every = {one.joint.id for one in welded(job)}
    job = set_opened(set_measured(job, every, 0.6, 0.2), every, 0.5)
    job = set_linear_class(add_point(job, ChosenPoint(first, 20.0, 5.0, "bolt hole")), "A")
    job = set_longer(job, other, 1.5)
    job = set_shop_limit(set_shop_limit(job, "torch_radius", 22.5), "one_lifts", 9.0)
    bars = (StockBar(length=4000.0), StockBar(length=1500.0, have=2))
    sawing = Sawing(bars=bars, kerf=2.0, trim=5.0)
    return structs.replace(job, saw=35.0, origin=(125.0, -60.0), sawing=sawing)
