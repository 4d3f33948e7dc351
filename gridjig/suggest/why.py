"""Why each piece of a set-up stands where it does, in a sentence."""

import math
from collections.abc import Sequence

from gridjig.model.labels import address
from gridjig.model.titles import title
from gridjig.units import format_angle, format_count, format_length, format_measure

from .choosing import Option
from .demands import Demand, Demands
from .site import Atom, Site
from .values import Because

WORTH_TELLING = 50.0
"""Only longer contact is mentioned, mm: what a usual stop has goes without saying."""


def why(
    site: Site, asked: Demands, picked: Sequence[Option], number: int, name: str
) -> tuple[Because, ...]:
    """Return why an atom of the chosen options, by its number, stands there, and what it does for
    other demands as well.
    """
    atom = asked.atoms[number]
    option = next(option for option in picked if number in option.atoms)
    wide = not option.lacks
    others = [asked.atoms[k] for k in sorted(option.atoms) if k != number]
    first = Because(name, atom.part, atom.kind, _words(site, atom, others, wide))
    also = (
        Because(name, group.part, group.kind, _also(site, group))
        for group, one in zip(asked.groups, picked, strict=True)
        if number in one.needs
    )
    return (first, *also)


def _also(site: Site, group: Demand) -> str:
    part = title(site.job, group.part)
    if group.kind == "end":
        return f"It also stops {part} along its length, at its end."
    return f"It also stands against the long face of {part}."


def _words(site: Site, atom: Atom, others: Sequence[Atom], wide: bool) -> str:
    job = site.job
    part = title(job, atom.part)
    hole = address(job.table, atom.here.holes[0])
    if atom.kind == "clamp" and atom.side >= 0:
        told = f"It pushes {part} against its stops, from {hole}."
    elif atom.kind == "clamp":
        told = f"It presses {part} down from {hole}."
    elif atom.kind == "support":
        told = (
            f"It carries {part} {format_length(atom.here.rests[0].z, job.display)} above the table"
        )
        told += _apart(site, atom, others, "the other stack")
    elif atom.kind == "end":
        told = f"It stops {part} along its length, at its end."
    else:
        told = f"It stands against the long face of {part}"
        if others:
            told += _apart(site, atom, others, "its other stop")
        else:
            over = wide and atom.bears >= WORTH_TELLING
            told += f", over {format_length(atom.bears, job.display)} of it." if over else "."
    told += f" {atom.because}" if atom.because else ""
    return f"{told}{_filled(site, atom)}"


def _apart(site: Site, atom: Atom, others: Sequence[Atom], what: str) -> str:
    if not others:
        return "."
    apart = min(math.dist(atom.at, other.at) for other in others)
    return f", {format_length(apart, site.job.display)} from {what}."


def _filled(site: Site, atom: Atom) -> str:
    """What brings it to the work, if it is not on the grid."""
    placement, told = atom.placement, ""
    if placement.packing:
        many = (
            "1 shim fills"
            if len(placement.packing) == 1
            else f"{len(placement.packing)} shims fill"
        )
        told = f" {many} the gap that the grid leaves"
        if placement.accepted_gap:
            told += f", but for {format_measure(atom.free, site.job.display)}"
        told += "."
    elif placement.slide:
        told = f" It is set out {format_length(placement.slide, site.job.display)} along its slot."
    if placement.lift and atom.kind != "support":
        risers = len(placement.lift)
        told += " A riser lifts" if risers == 1 else f" {format_count(risers)} risers lift"
        told += " it to where it meets the work."
    if atom.here.leaf_low < atom.here.leaf_high:
        told += f" Set its scale to {format_angle(atom.here.leaf)}, and check the angle."
    if placement.clamped_by_hand:
        told += " It turns on its pin: tighten it once it lies against the work."
    return told
