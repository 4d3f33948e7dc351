"""What parts are left without, and what the proof refused, in the words of the shop."""

from collections.abc import Sequence

from gridjig.checks.finding import Finding
from gridjig.model.titles import title
from gridjig.units import format_length

from .choosing import Option
from .clamping import clamps_reach
from .demands import Demand, Demands
from .plates import plate_of
from .site import Site
from .values import Lack

_WHAT = {
    "long face": ("stop at its long face", "stops at its long face"),
    "end": ("stop at its end", "stops at its end"),
    "support": ("stack of risers under it", "stacks of risers under it"),
    "clamp": ("clamp", "clamps"),
}


def missing(site: Site, asked: Demands, picked: Sequence[Option]) -> tuple[Lack, ...]:
    """What members are left without, in the order of the job."""
    told = []
    for group, option in zip(asked.groups, picked, strict=True):
        if option.lacks and option.cost > 0.0:
            told.append(Lack(group.part, group.kind, _lacks(site, group, option.lacks)))
    return tuple(told)


def _lacks(site: Site, group: Demand, lacks: int) -> str:
    part, (one, many) = title(site.job, group.part), _WHAT[group.kind]
    what = f"a {one}" if lacks == 1 else f"{lacks} {many}"
    whole = site.part(group.part)
    if group.kind == "clamp" and not clamps_reach(site.job, whole):
        top = format_length(whole.z_high, site.job.display)
        why = f"no clamp of the rack can be set as low or as high as its top, at {top}"
    elif group.kind == "clamp" and not any(
        site.left(piece) > 0 for piece in site.job.rack.pieces if piece.tip is not None
    ):
        why = "the rack has no clamp left"
    elif not group.candidates:
        why = "no free hole near it lets a piece that the rack has left touch it there"
    else:
        why = "the rack has no more pieces that fit there, or others are in the way"
    told = f"{part} lacks {what}: {why}."
    if group.kind in ("long face", "end") and all(option.lacks for option in group.options):
        plate = plate_of(site, group.part, group.kind)
        told += " A cut plate would hold it there." if plate is not None else ""
    return told


def reasons(refused: Sequence[Sequence[Finding]], ended: bool) -> tuple[str, ...]:
    """Why no set-up was found: what the proof refused where it got nearest."""
    if not ended and not any(refused):
        return ("The time was up before a set-up had been found: allow more.",)
    near = min((some for some in refused if some), key=len, default=())
    told = [f"{f.what} {f.do}".strip() for f in near]
    if not told:
        told = ["No piece that the rack has left can be set against the work where it lies."]
    if not ended:
        told.append("The time was up before everything had been tried: allow more.")
    return tuple(dict.fromkeys(told))
