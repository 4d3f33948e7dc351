"""The result of touching in words: "touches Top rail", "packing 1/4 + 1/8, .008 open"."""

from collections.abc import Iterable

from msgspec import structs

from gridjig.checks.contact_findings import contact_findings
from gridjig.contact.book import contacts
from gridjig.contact.features import features_of
from gridjig.contact.level import Lying, rest_contacts
from gridjig.contact.setting import Touching
from gridjig.contact.values import FACING, TOUCH
from gridjig.geometry.part_solids import part_solids
from gridjig.model import Job, Placement
from gridjig.model.titles import title
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.solver import solve_placement
from gridjig.units import format_measure, format_thickness

from .tries import Try


def touch_words(job: Job, one: Try) -> str:
    """Return what a setting of a piece does at its face, in words; empty without a face."""
    made = one.touching
    if made is None or one.face is None:
        return "" if one.why else support_words(job, one.placement)
    name = title(job, one.face.part)
    packing = packing_words(job, made.packing.ids)
    with_packing = f", {packing}" if packing else ""
    if made.touches:
        pressing = made.contact is not None and made.contact.kind == "pad on top"
        if pressing and is_over_nothing(job, made):
            return f"presses on {name} with nothing under it: put a riser there first"
        return f"{'presses on' if pressing else 'touches'} {name}{with_packing}"
    if made.contact is not None and made.contact.means == "out of reach":
        by = format_measure(abs(made.contact.gap), job.display)
        return f"{name} is {by} too {'low' if made.contact.gap > 0.0 else 'high'} for its tip"
    if made.gap > TOUCH:
        left = format_measure(made.gap, job.display)
        said = f"gap {left} to {name}"
        return f"{packing}, {said}" if packing else said
    return ""


def support_words(job: Job, placement: Placement) -> str:
    """Return what lies on a piece that can only carry the work, or how far below it is; empty for
    other pieces and where no part is above it.
    """
    here = solve_placement(job.table, job.rack, placement)
    features = features_of(here)
    if features.faces or features.rounds:
        return ""
    every = Lying(solid for part in job.parts for solid in part_solids(part))
    for rest in features.rests:
        found = list(rest_contacts(placement.id, rest, every, (), FACING))
        carried = [title(job, c.part) for c in found if c.means == "touches"]
        if carried:
            return f"supports {' and '.join(carried)}"
        if found and found[0].means == "gap":
            gap = format_measure(found[0].gap, job.display)
            return f"{gap} below {title(job, found[0].part)}: supports nothing"
    return ""


def is_over_nothing(job: Job, made: Touching) -> bool:
    """True if a clamp presses on a part where nothing carries it."""
    after = structs.replace(job, placements=(
        *(p for p in job.placements if p.id != made.placement.id), made.placement
    ))  # fmt: skip
    stands = PlacedPieces().of(after)
    found = contacts(after, stands)
    return any(
        one.id == f"unsupported/{made.placement.id}"
        for one in contact_findings(after, stands, found)
    )


def packing_words(job: Job, stack: Iterable[str]) -> str:
    """Return a stack by the thickness of its pieces: `packing 1/4" + 1/8"`; empty for none."""
    thick = [job.rack.piece(piece).thickness for piece in stack]
    told = " + ".join(format_thickness(mm, job.display) for mm in sorted(thick, reverse=True))
    return f"packing {told}" if told else ""
