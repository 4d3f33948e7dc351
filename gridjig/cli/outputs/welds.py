"""What `gridjig welds --json` prints."""

from gridjig.model import Part, WeldedSides, WeldKind
from gridjig.model.titles import thing_of, weldment_title
from gridjig.sheets.lists.weld_list import WeldList
from gridjig.sheets.text.joint_text import parts_words
from gridjig.sheets.text.weld_text import FORMULAS
from gridjig.solve.weldment.all_round import Reach, SideName
from gridjig.solve.weldment.deposit import DENSITY, mass_of
from gridjig.solve.weldment.joints import JointKind
from gridjig.solve.weldment.welding import WeldLine

from .base import Output


class SeamSideOutput(Output, frozen=True):
    """One side of a seam all round; `angle_deg` is the open angle between the faces there."""

    side: SideName
    length_mm: float
    angle_deg: float
    reached: Reach
    welded: bool


class WeldOutput(Output, frozen=True):
    """The weld of one joint.  Its size is `leg_mm` or `throat_mm`, both 0 if none is chosen.

    Of a butt or flare bevel weld `leg_mm` is the depth, of a plug the diameter.  `length_mm` is
    that of the welded sides, all round or as chosen, of one weldment, of which `made` are made.
    The deposit is an estimate, null without a size.
    """

    name: str
    weldment: str
    made: int
    ids: tuple[str, str]
    parts: str
    meets: JointKind
    weld: WeldKind
    leg_mm: float
    throat_mm: float
    sides: WeldedSides
    seam: tuple[SeamSideOutput, ...]
    length_mm: float
    deposit_mm3: float | None
    deposit_kg: float | None


class WeldSum(Output, frozen=True):
    """The sum of one kind of weld in all that are made; `unsized` joints are not in the deposit."""

    weld: WeldKind
    count: int
    unsized: int
    length_mm: float
    deposit_mm3: float
    deposit_kg: float
    area_formula: str


class WeldsOutput(Output, frozen=True):
    """The weld list of a job or of one of its weldments; `length_mm` and `deposit_kg` are for all
    that are made.
    """

    job: str
    density_kg_m3: float
    length_mm: float
    deposit_kg: float
    welds: tuple[WeldOutput, ...]
    sums: tuple[WeldSum, ...]


def welds_output(welds: WeldList) -> WeldsOutput:
    """The list as it is printed."""
    return WeldsOutput(
        job=welds.job.name,
        density_kg_m3=DENSITY,
        length_mm=round(welds.length, 3),
        deposit_kg=round(welds.mass, 6),
        welds=tuple(_weld(welds, line) for line in welds.lines),
        sums=tuple(
            WeldSum(
                weld=total.kind,
                count=total.count,
                unsized=total.open,
                length_mm=round(total.length, 3),
                deposit_mm3=round(total.volume, 1),
                deposit_kg=round(total.mass, 6),
                area_formula=FORMULAS[total.kind],
            )
            for total in welds.totals
        ),
    )


def _weld(welds: WeldList, line: WeldLine) -> WeldOutput:
    one = line.one
    part = thing_of(welds.job, one.joint.a)
    assert isinstance(part, Part)
    return WeldOutput(
        name=one.name,
        weldment=weldment_title(welds.job, part.weldment),
        made=welds.made[part.id],
        ids=(one.joint.a, one.joint.b),
        parts=parts_words(welds.job, one.joint),
        meets=one.joint.kind,
        weld=one.kind,
        leg_mm=round(one.leg, 3),
        throat_mm=round(one.throat, 3),
        sides=one.sides,
        seam=tuple(
            SeamSideOutput(
                side=side.name,
                length_mm=round(side.length, 3),
                angle_deg=round(side.angle, 3),
                reached=side.reach,
                welded=side in line.taken,
            )
            for side in line.sides
        ),
        length_mm=round(line.length, 3),
        deposit_mm3=None if line.volume is None else round(line.volume, 1),
        deposit_kg=None if line.volume is None else round(mass_of(line.volume), 6),
    )
