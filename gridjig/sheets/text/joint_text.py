"""Joints in words: which parts meet, how, over what length and angle, and how they are welded.

Every number carries its unit.  Knows no widget.
"""

from collections.abc import Iterable

from gridjig.model import Display, Job, Part, WeldKind
from gridjig.model.by_weldment import only, parts_of
from gridjig.model.titles import thing_of, title
from gridjig.solve.weldment.joints import Joint
from gridjig.solve.weldment.welding import WeldLine, weld_lines, weld_lines_of, weld_totals
from gridjig.solve.weldment.welds import Welded
from gridjig.units import format_count, format_length, format_rounded_angle
from gridjig.units.spelling import spelled

from .list_line import ListLine
from .sorting import natural
from .weld_text import deposit_words, sides_in_words, size_in_words

MEETS = {
    "edge": "face to face",
    "stacked": "one on the other",
    "fitted": "through an opening",
    "corner": "at a corner",
    "overlap": "overlapping",
}
"""How two parts meet, by the kind of the joint."""

WELDS: dict[WeldKind, str] = {
    "fillet": "in the corner between two faces",
    "butt": spelled("a groove weld, between two edges in line or mitred"),
    "flare bevel": "in the hollow beside a round corner",
    "corner": "on the outer corner of two edges",
    "plug": "through a hole in the upper part",
    "none": "not welded",
}
"""What a kind of weld is."""


def by_name(lines: Iterable[WeldLine]) -> tuple[WeldLine, ...]:
    """Return the joints by their names."""
    return tuple(sorted(lines, key=lambda line: natural(line.one.name)))


def joint_lines(job: Job) -> tuple[ListLine, ...]:
    """Return every joint of a job's weldment, by its name."""
    return tuple(joint_line(job, line) for line in by_name(weld_lines(job)))


def parts_words(job: Job, joint: Joint) -> str:
    """Return the two parts that meet: Left rafter + King post.

    Both are of one weldment, so that it need not be named with them.
    """
    part = thing_of(job, joint.a)
    if isinstance(part, Part):
        job = only(job, part.weldment)
    return f"{title(job, joint.a)} + {title(job, joint.b)}"


def joint_line(job: Job, line: WeldLine) -> ListLine:
    """Return a joint as a list shows it."""
    one, joint = line.one, line.one.joint
    told = [MEETS[joint.kind], length_words(joint, job.display), angle_words(joint)]
    under = [" · ".join(filter(None, told)), seam_words(line, job.display)]
    under.append(place_words(joint, job.display))
    brief = [seam_words(line, job.display).partition(":")[0], MEETS[joint.kind]]
    return ListLine(
        key=joint.id,
        head=f"{one.name}   {parts_words(job, joint)}",
        right=weld_words(one, job.display),
        under="\n".join(filter(None, under)),
        level="look" if joint.kind == "overlap" else "",
        ids=(joint.a, joint.b),
        brief=" · ".join(filter(None, brief)),
    )


def seam_words(line: WeldLine, display: Display) -> str:
    """Return the seam all round by its sides, and how much of it is welded."""
    if not line.sides:
        return ""
    all_round = sum(side.length for side in line.sides if not side.closed)
    told = f"all round {format_length(all_round, display)}: {sides_in_words(line.sides, display)}"
    if not line.taken or line.one.sides == "all round":
        return told
    return f"{told}; welded {line.one.sides}, {format_length(line.length, display)}"


def weld_words(one: Welded, display: Display) -> str:
    """Return its weld and size: fillet, leg 1/4"; without a size if not chosen yet."""
    if one.kind == "none":
        return "no weld"
    return ", ".join(filter(None, (one.kind, size_in_words(one, display))))


def length_words(joint: Joint, display: Display) -> str:
    """Return how long the seam is, and how far apart the faces are if they do not touch."""
    if joint.kind == "overlap":
        return "trim one of them"
    if not joint.length:
        return f"over {format_length(joint.z_high - joint.z_low, display)} of height"
    gap = f", gap {format_length(joint.gap, display)}" if joint.gap > 0.05 else ""
    closed = joint.kind == "fitted" and joint.seam[0] == joint.seam[-1]
    round_ = " all round" if joint.kind == "stacked" or closed else " in plan"
    return f"{format_length(joint.length, display)}{round_}{gap}"


def angle_words(joint: Joint) -> str:
    """Return the open angles between the faces at both ends of the seam; one if equal."""
    shown = list(dict.fromkeys(format_rounded_angle(angle) for angle in joint.angles))
    if not shown:
        return ""
    return f"angle {shown[0]}" if len(shown) == 1 else f"angle at ends {', '.join(shown)}"


def place_words(joint: Joint, display: Display) -> str:
    """Return where its middle is on the table, and at which height."""
    x, y = (format_length(v, display) for v in joint.place)
    low, high = format_length(joint.z_low, display), format_length(joint.z_high, display)
    heights = f"{low} high" if joint.z_high - joint.z_low < 0.05 else f"{low} to {high} high"
    return f"at {x}, {y}, {heights}"


def kind_words(kind: WeldKind) -> str:
    """Return a kind of weld with its meaning, for a list of choices."""
    return f"{kind}: {WELDS[kind]}"


def total_words(job: Job, weldment: str | None = None) -> str:
    """Return how many joints there are, the sum of each kind of weld, and what is to be chosen.

    Of all weldments, or of one; of one of each, which is said if more of it are made.
    """
    if len(job.parts if weldment is None else parts_of(job, weldment)) < 2:
        return "A joint needs two parts; draw a member or put a standard weldment on the table."
    lines = weld_lines(job) if weldment is None else weld_lines_of(job, weldment)
    if not lines:
        return (
            "No parts meet yet. Parts meet where their faces touch or are no more than a root gap"
            " apart."
        )
    totals = weld_totals(lines)
    count = "1 joint" if len(lines) == 1 else f"{len(lines)} joints"
    length = sum(total.length for total in totals)
    said = [f"{_for_one(job, weldment)}{count}, {format_length(length, job.display)} of weld"]
    if len(totals) > 1:
        sums = (f"{t.kind} {format_length(t.length, job.display)}" for t in totals)
        said[0] += f" ({', '.join(sums)})"
    inside = sum(line.one.joint.kind == "overlap" for line in lines)
    open_ = sum(total.open for total in totals)
    if inside:
        said.append(f"▲ {inside} overlapping")
    if open_:
        said.append(f"{open_} without a size")
    if any(total.volume for total in totals):
        said.append(deposit_words(totals, job.display))
    return "; ".join(said) + "."


def _for_one(job: Job, weldment: str | None) -> str:
    quantities = [one.quantity for one in job.weldments if weldment in (None, one.id)]
    if max(quantities) == 1:
        return ""
    if len(quantities) > 1:
        return "For one of each: "
    return f"For one of {format_count(quantities[0])}: "
