"""Joints in words: which parts meet, how, over what length and angle, and how they are welded.

Every number carries its unit.  Knows no widget.
"""

from gridjig.model import Display, Job, WeldKind
from gridjig.model.titles import title
from gridjig.solve.weldment.joints import Joint
from gridjig.solve.weldment.welds import Welded, welded
from gridjig.units import format_length, format_rounded_angle

from .list_line import ListLine
from .sorting import natural

MEETS = {
    "edge": "face to face",
    "stacked": "one on the other",
    "corner": "at a corner",
    "overlap": "in one another",
}
"""How two parts meet, by the kind of the joint."""

WELDS: dict[WeldKind, str] = {
    "fillet": "in the corner between two faces",
    "butt": "between two edges in line or mitred",
    "flare bevel": "in the hollow beside a round corner",
    "corner": "on the outer corner of two edges",
    "plug": "through a hole in the upper part",
    "none": "not welded",
}
"""What a kind of weld is."""


def joint_lines(job: Job) -> tuple[ListLine, ...]:
    """Return every joint of a job's weldment, by its name."""
    return tuple(joint_line(job, one) for one in sorted(welded(job), key=_by_name))


def _by_name(one: Welded) -> tuple[object, ...]:
    return natural(one.name)


def joint_line(job: Job, one: Welded) -> ListLine:
    """Return a joint as a list shows it."""
    joint = one.joint
    parts = f"{title(job, joint.a)} + {title(job, joint.b)}"
    told = [MEETS[joint.kind], length_words(joint, job.display), angle_words(joint)]
    return ListLine(
        key=joint.id,
        head=f"{one.name}   {parts}",
        right=weld_words(one, job.display),
        under=" · ".join(filter(None, told)) + f"\n{place_words(joint, job.display)}",
        level="check" if joint.kind == "overlap" else "",
        ids=(joint.a, joint.b),
    )


def weld_words(one: Welded, display: Display) -> str:
    """Return its weld and leg: fillet 1/4"; without a size if not chosen yet."""
    if one.kind == "none":
        return "no weld"
    return f"{one.kind} {format_length(one.leg, display)}" if one.leg else one.kind


def length_words(joint: Joint, display: Display) -> str:
    """Return how long the seam is, and how far apart the faces are if they do not touch."""
    if joint.kind == "overlap":
        return "trim one of them"
    if not joint.length:
        return f"over {format_length(joint.z_high - joint.z_low, display)} of height"
    gap = f", gap {format_length(joint.gap, display)}" if joint.gap > 0.05 else ""
    round_ = " round" if joint.kind == "stacked" else " long"
    return f"{format_length(joint.length, display)}{round_}{gap}"


def angle_words(joint: Joint) -> str:
    """Return the open angles between the faces at both ends of the seam; one if equal."""
    shown = list(dict.fromkeys(format_rounded_angle(angle) for angle in joint.angles))
    return f"open {' and '.join(shown)}" if shown else ""


def place_words(joint: Joint, display: Display) -> str:
    """Return where its middle is on the table, and at which height."""
    x, y = (format_length(v, display) for v in joint.place)
    low, high = format_length(joint.z_low, display), format_length(joint.z_high, display)
    heights = f"{low} high" if joint.z_high - joint.z_low < 0.05 else f"{low} to {high} high"
    return f"at {x}, {y}, {heights}"


def kind_words(kind: WeldKind) -> str:
    """Return a kind of weld with its meaning, for a list of choices."""
    return f"{kind}: {WELDS[kind]}"


def total_words(job: Job) -> str:
    """Return how many joints there are, the total weld length, and what is still to be chosen."""
    every = welded(job)
    if len(job.parts) < 2:
        return "A joint needs two parts; draw a member or put a ready weldment on the table."
    if not every:
        return "No two parts meet yet. Parts meet where faces touch or lie a root gap apart."
    count = "1 joint" if len(every) == 1 else f"{len(every)} joints"
    length = sum(one.joint.length for one in every if one.kind != "none")
    said = [f"{count}, {format_length(length, job.display)} of weld"]
    inside = sum(one.joint.kind == "overlap" for one in every)
    open_ = sum(one.kind != "none" and not one.leg for one in every)
    if inside:
        said.append(f"▲ {inside} in one another")
    if open_:
        said.append(f"{open_} without a size")
    return "; ".join(said) + "."
