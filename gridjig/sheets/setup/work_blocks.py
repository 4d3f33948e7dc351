"""The parts of a sheet about the work: loading, tacks, welds, release, lifting."""

import math
from collections.abc import Sequence

from gridjig.contact.accepted import is_accepted
from gridjig.contact.values import JobContacts
from gridjig.geometry.part_mass import Load, load, total
from gridjig.model import Job, Member, Part, Weldment
from gridjig.model.by_weldment import parts_of, several
from gridjig.model.labels import address
from gridjig.model.titles import part_name, weldment_title
from gridjig.sheets.text.joint_text import parts_words
from gridjig.sheets.text.weld_text import size_in_words
from gridjig.solve.weldment.datum import datum_faces
from gridjig.solve.weldment.weld_order import groups, tacks_of, welds_of
from gridjig.solve.weldment.welding import WeldLine, weld_lines_of
from gridjig.solve.weldment.welds import Welded
from gridjig.units import format_count
from gridjig.units.spelling import spelled

from .blocks import Heading, Note, Row, SheetBlock, SheetColumn, SheetTable
from .facts import SheetFacts

LOAD_COLUMNS = (
    SheetColumn("In", 0.6, kind="tick"),
    SheetColumn("No", 0.6, key=True),
    SheetColumn("Part", 3.0),
    SheetColumn("Seat it against", 2.6),
    SheetColumn("On", 1.8),
    SheetColumn("Then clamp with", 1.8),
)
TACK_COLUMNS = (
    SheetColumn("Done", 0.7, kind="tick"),
    SheetColumn("No", 0.7, key=True),
    SheetColumn("Joint", 0.9, key=True),
    SheetColumn("Parts", 3.6),
    SheetColumn("Near hole", 1.2, key=True),
    SheetColumn("Weld", 2.2),
)


def work_blocks(facts: SheetFacts) -> list[SheetBlock]:
    """Loading, tacking, welding and release, for each weldment of the job."""
    blocks: list[SheetBlock] = []
    for one in facts.job.weldments:
        if parts_of(facts.job, one.id):
            of = f": {weldment_title(facts.job, one.id)}" if several(facts.job) else ""
            blocks += _loading(facts, one, of)
            blocks += _tacking(facts, one, of)
            blocks += _welding(facts, one, of)
            blocks += _release(facts, one, of)
    return blocks


# -- loading --------------------------------------------------------------------------------------


def loading_order(facts: SheetFacts, weldment: str) -> tuple[Part, ...]:
    """Return the parts of a weldment in the order of loading: as proved, else as drawn."""
    parts = parts_of(facts.job, weldment)
    place = {part: k for k, part in enumerate(facts.found.loading.get(weldment, ()))}
    return tuple(sorted(parts, key=lambda part: place.get(part.id, len(place))))


def _loading(facts: SheetFacts, one: Weldment, of: str) -> list[SheetBlock]:
    ordered = loading_order(facts, one.id)
    rows = [
        Row(
            (
                str(number),
                _part_words(facts, part),
                *_seated(facts, facts.found.contacts, part),
            )
        )
        for number, part in enumerate(ordered, 1)
    ]
    note = (
        "Numbers are those of the pieces. Seat each part on datum A, then B, then clamp it; load"
        " everything dry before the first tack."
    )
    return [Heading(f"Load the parts{of}"), Note(note), SheetTable(LOAD_COLUMNS, tuple(rows))]


def _part_words(facts: SheetFacts, part: Part) -> str:
    if not isinstance(part, Member):
        high = facts.shown.length(part.z_high - part.z_low)
        return f"{part_name(part)}\nplate, {high} high"
    return f"{part_name(part)}\n{part.section.name}, {facts.shown.length(part.long_point)} long"


def _seated(facts: SheetFacts, found: JobContacts, part: Part) -> tuple[str, str, str]:
    """The numbers of the pieces that locate, carry and clamp a part.

    A piece locates across a gap that was accepted as well.
    """
    placed = {one.id: one for one in facts.job.placements}
    locate: list[str] = []
    carry: list[str] = []
    clamp: list[str] = []
    for contact in found.of_part(part.id):
        if not contact.touches and not is_accepted(placed[contact.piece], contact):
            continue
        if contact.feature == "tip":
            clamp.append(contact.piece)
        elif contact.kind == "rest under":
            carry.append(contact.piece)
        else:
            locate.append(contact.piece)
    against, on, with_ = (
        facts.numbered(tuple(dict.fromkeys(some))) for some in (locate, carry, clamp)
    )
    table = "the table" if part.z_low <= 0.05 else "what is under it"
    return against or spelled("its neighbours"), on or table, with_ or "nothing: hold it"


# -- tacks and welds ------------------------------------------------------------------------------


def _tacking(facts: SheetFacts, one: Weldment, of: str) -> list[SheetBlock]:
    tacks = tacks_of(facts.job, one.id)
    if not tacks:
        return []
    outside, _inside, braces = groups(facts.job, one.id)
    last = {welded.joint.id for welded in braces}
    rows: list[Row] = []
    asked = False
    for number, welded in enumerate(tacks, 1):
        if welded.joint.id in last and not asked and number > 1:
            rows.append(Row((_CHECK_BEFORE_BRACES,), stop=True))
            asked = True
        rows.append(_joint_row(facts, number, welded))
    rows.append(Row((_CHECK_AFTER_TACKS,), stop=True))
    chosen = "the shop's own order" if facts.job.weld_plan.tacks else "proposed order"
    note = (
        f"{chosen[:1].upper()}{chosen[1:]}: outside before inside, opposite ends first, braces"
        " last. At least two tacks at a joint, so that it cannot hinge; the smallest that hold."
        if not facts.job.weld_plan.tacks or outside
        else chosen
    )
    return [Heading(f"Tack{of}"), Note(note), SheetTable(TACK_COLUMNS, tuple(rows))]


_CHECK_BEFORE_BRACES = (
    "CHECK before the braces: both diagonals and all sides. A brace locks whatever error there is."
)
_CHECK_AFTER_TACKS = (
    "CHECK after the last tack: both diagonals again, every part still against its stops, no gap at"
    " a joint closed by force."
)


def _joint_row(facts: SheetFacts, number: int, welded: Welded) -> Row:
    return Row(
        (
            str(number),
            welded.name,
            parts_words(facts.job, welded.joint),
            _near(facts, welded.joint.place),
            ", ".join(filter(None, (welded.kind, size_in_words(welded, facts.job.display)))),
        )
    )


def _near(facts: SheetFacts, place: tuple[float, float]) -> str:
    table = facts.job.table
    return address(table, table.nearest(*place))


STEP_COLUMNS = (
    SheetColumn("Done", 0.5, kind="tick"),
    SheetColumn("No", 0.5, key=True),
    SheetColumn("Step", 9.0),
)
WELD_COLUMNS = (
    SheetColumn("Done", 0.7, kind="tick"),
    SheetColumn("No", 0.7, key=True),
    SheetColumn("Joint", 0.9, key=True),
    SheetColumn("Parts", 3.2),
    SheetColumn("Weld", 1.8),
    SheetColumn("Welded", 1.6),
    SheetColumn("Length", 1.4),
)


def _welding(facts: SheetFacts, one: Weldment, of: str) -> list[SheetBlock]:
    order = welds_of(facts.job, one.id)
    if not order:
        return []
    lines = {line.one.joint.id: line for line in weld_lines_of(facts.job, one.id)}
    rows = tuple(
        Row(_weld_cells(facts, number, welded, lines[welded.joint.id]))
        for number, welded in enumerate(order, 1)
    )
    chosen = facts.job.weld_plan.welds
    note = (
        "The shop's own order."
        if chosen
        else "Proposed order: balanced about the middle, from the middle outwards, braces last."
    )
    return [
        Heading(f"Weld{of}"),
        Note(f"{note} Let it cool between runs; what can be reached flat comes first."),
        SheetTable(WELD_COLUMNS, rows),
    ]


def _weld_cells(facts: SheetFacts, number: int, welded: Welded, line: WeldLine) -> tuple[str, ...]:
    display = facts.job.display
    size = ", ".join(filter(None, (welded.kind, size_in_words(welded, display) or "size open")))
    return (
        str(number),
        welded.name,
        parts_words(facts.job, welded.joint),
        size,
        welded.sides,
        facts.shown.length(line.length),
    )


# -- release and lifting --------------------------------------------------------------------------


def _release(facts: SheetFacts, one: Weldment, of: str) -> list[SheetBlock]:
    job = facts.job
    steps = ["Let it cool until a bare hand can rest on it: a hot check lies."]
    clamps = _clamps_from_datum(facts, one)
    if clamps:
        told = ", ".join(f"No {facts.numbers[k]}" for k in clamps)
        steps.append(
            f"Open the clamps, the farthest from the datum first, those at the datum last: {told}."
            " Stand clear: a restrained frame may spring."
        )
    packed = [k for k in facts.order if facts.found.placed_pieces[k].placement.packing]
    if packed:
        steps.append(f"Pull the packing in front of {facts.numbered(tuple(packed))}.")
    slid = [k for k in facts.order if _slides_back(facts, k)]
    if slid:
        steps.append(f"Slide back {facts.numbered(tuple(slid))}; note where they stood.")
    steps += _off_first(facts, one)
    whole = total(load(part) for part in parts_of(job, one.id))
    steps.append(f"Lift it straight up. {lift_words(facts, whole)}")
    rows = tuple(Row((str(k), step)) for k, step in enumerate(steps, 1))
    columns = (
        SheetColumn("Done", 0.5, kind="tick"),
        SheetColumn("No", 0.5, key=True),
        SheetColumn("Step", 9.0),
    )
    return [Heading(f"Release and lift{of}"), SheetTable(columns, rows)]


def _clamps_from_datum(facts: SheetFacts, one: Weldment) -> tuple[str, ...]:
    """The clamps that press a weldment, the farthest from its datum face A first."""
    mine = {part.id for part in parts_of(facts.job, one.id)}
    datum = datum_faces(facts.job, one.id).long
    found: dict[str, float] = {}
    for placement, role in facts.found.contacts.roles.items():
        if role.what == "clamps" and role.clamped is not None and role.clamped.part in mine:
            away = 0.0
            if datum is not None:
                (ax, ay), (nx, ny) = datum.a, datum.normal
                x, y = role.clamped.at
                away = abs((x - ax) * nx + (y - ay) * ny)
            found[placement] = away
    return tuple(sorted(found, key=lambda k: (-round(found[k], 1), facts.numbers[k])))


def _slides_back(facts: SheetFacts, placement: str) -> bool:
    placed = facts.found.placed_pieces[placement]
    way = placed.way
    return bool(placed.faces) and way is not None and "slides" in way.kind


def _off_first(facts: SheetFacts, one: Weldment) -> list[str]:
    """What else comes off before the work is lifted, and what it closes on as it cools."""
    found = facts.found.out
    mine = [out for out in found.weldments if out.weldment == one.id] if found is not None else []
    steps: list[str] = []
    for out in mine:
        inside = tuple(off.id for off in out.first_off if off.why == "inside")
        over = tuple(off.id for off in out.first_off if off.why == "over")
        if out.grip is not None and out.verdict != "free":
            low, high = (facts.shown.setting(round(mm, 2)) for mm in out.grip.closing)
            closes = low if low == high else f"{low} to {high}"
            steps.append(
                f"TRAP: the weldment closes on {facts.numbered(out.grip.pieces)} by {closes} as it"
                f" cools; there is {facts.shown.setting(round(out.grip.clearance, 2))} of"
                " clearance. Take it out before the work is cold."
            )
        elif inside:
            steps.append(f"Take out {facts.numbered(inside)}: the weldment closes round it.")
        if over:
            steps.append(
                f"Take off what lies over the work, in this order: {_in_order(facts, over)}."
            )
        if not out.up and not over:
            steps.append("It does not lift straight up: see what the checks say.")
    return steps


def _in_order(facts: SheetFacts, pieces: Sequence[str]) -> str:
    return ", ".join(f"No {facts.numbers[k]}" for k in pieces if k in facts.numbers)


def people(job: Job, kg: float) -> int:
    """Return how many people lift a mass, each at most what the shop lets one person lift."""
    return max(1, math.ceil(kg / max(job.shop.one_lifts, 1.0) - 1e-9))


def lift_words(facts: SheetFacts, whole: Load) -> str:
    """Return the mass, where the centre of gravity is, and how many people lift it."""
    job, shown = facts.job, facts.shown
    hole = job.table.nearest(whole.x, whole.y)
    x, y = job.table.at(hole)
    off = _off_words(facts, whole.x - x, whole.y - y)
    many = people(job, whole.mass)
    by = "one person" if many == 1 else f"{format_count(many)} people"
    if many > _HOIST:
        by = "a hoist"
    each = f" (over {shown.mass(job.shop.one_lifts)} each needs another)" if many > 1 else ""
    return (
        f"It weighs {shown.mass(whole.mass)}: {by}{each}. {spelled('Centre of gravity')}: {off}"
        f" hole {address(job.table, hole)}, {shown.setting(round(whole.z, 1))} above the table."
        " Never hook onto a piece of the rack, and never lift by a tack."
    )


_HOIST = 4
"""More people than this do not get a grip on one frame."""


def _off_words(facts: SheetFacts, dx: float, dy: float) -> str:
    told = [
        f"{facts.shown.setting(round(abs(v), 1))} {ways[v < 0]}"
        for v, ways in ((dx, ("right of", "left of")), (dy, ("behind", "in front of")))
        if abs(v) >= 0.5
    ]
    return " and ".join(told) or "at"


def weldments_loads(job: Job) -> Sequence[tuple[Weldment, Load]]:
    """Return each weldment that has parts, with its mass and centre of gravity."""
    return [
        (one, total(load(part) for part in parts))
        for one in job.weldments
        if (parts := parts_of(job, one.id))
    ]
