"""Findings from the contacts: pieces that do not reach the work, clamps over nothing, parts that
overlap.  Only a job with a weldment has any.
"""

from collections.abc import Iterator, Mapping

from gridjig.contact.features import features_of
from gridjig.contact.titles import side_title
from gridjig.contact.values import TOUCH, Clamped, Contact, JobContacts, Role
from gridjig.contact.weldment import MOST_PAIRS, overlaps_left_out
from gridjig.model import Job, Part
from gridjig.model.titles import thing_of, title, weldment_title
from gridjig.rack import Point
from gridjig.solve.placed.placed_piece import PlacedPiece, PlacedTip
from gridjig.units import format_length, format_measure, format_thickness

from .clash_findings import APART, crowded
from .conflicts import overlap_words
from .finding import Finding, told_apart
from .linked import linked
from .member_ends import both_run_through
from .needs import shims_left
from .remembered import collected

Found = Iterator[Finding]

_TOUCHES = "what this program counts as touching; common shop practice, no published source"
_SPREADS = (
    "as deep as the part is: a clamp's force spreads at 45° on its way down, by common shop"
    " practice; no published source"
)
_LOOKED = "how far in front of a piece this program looks for work"
_TOO_THIN = (
    "No shim on the rack is that thin: to leave it open, choose “Gap accepted” in the Piece menu;"
    " or move the work until they touch."
)
_NONE_LEFT = (
    "No shim that thin is left on the rack: free one that stands elsewhere, or move the work until"
    " they touch."
)


def contact_findings(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], found: JobContacts
) -> Found:
    """Return all findings from the contacts of a job."""
    yield from overlapping_parts(job, found)
    parts = {part.id: part for part in job.parts}
    for placement in job.placements:
        yield from findings_of(job, placed_pieces[placement.id], found, parts)


@collected
def overlapping_parts(job: Job, found: JobContacts) -> Found:
    """Return what is said of parts that overlap."""
    for one in found.part_overlaps:
        a, b = title(job, one.a), title(job, one.b)
        yield Finding(
            f"parts/{one.a}/{one.b}",
            "clash",
            "stop",
            f"{a[:1].upper()}{a[1:]} and {b} overlap by {overlap_words(job, one)}.",
            one.where,
            (one.a, one.b),
            _apart(job, one.a, one.b, one.where, one.depth),
            one.depth,
            0.0,
            "mm",
            APART,
        )
    if overlaps_left_out(job.parts):
        yield crowded("parts crowded", MOST_PAIRS, "parts")


@collected
def findings_of(
    job: Job, placed: PlacedPiece, found: JobContacts, parts: Mapping[str, Part]
) -> Found:
    """Return what is said of one piece: it does not touch, or presses where nothing is.

    It follows from the piece, its contacts and its role, and from what the parts have in common.
    """
    name = placed.placement.id
    role, own = found.roles[name], found.pieces[name]
    if placed.fault is not None or own.overlaps:
        return  # already reported
    loose = _loose_in_hole(placed, own.contacts)
    if loose is not None:
        yield _stands_loose(job, placed, loose)
    if placed.tip is not None:
        yield from _clamp(job, placed, placed.tip, role, found, parts)
    elif loose is not None:
        return
    elif role.what in ("idle", "blocks nothing"):  # a gap left open on purpose is told in green
        yield from _idle(job, placed, own.contacts, found.within)


def _apart(job: Job, a: str, b: str, where: Point, depth: float) -> str:
    """Return what to do about two parts that overlap."""
    one, other = thing_of(job, a), thing_of(job, b)
    if isinstance(one, Part) and isinstance(other, Part) and one.weldment != other.weldment:
        mine, others = (weldment_title(job, part.weldment) for part in (one, other))
        return f"Move {mine} and {others} apart: they are two weldments."
    if isinstance(one, Part) and isinstance(other, Part):
        through = both_run_through(job, one, other, where, depth)
        if through:
            return through
    return "Trim, cope or notch one of them, or move it."


def _gap(mark: str, what: str, contact: Contact, ids: tuple[str, ...], do: str) -> Finding:
    """A piece that stops short of the work, with the gap against what counts as touching."""
    where, gap = contact.middle, abs(contact.gap)
    if gap <= TOUCH:
        return Finding(mark, "gap", "look", what, where, ids, do)  # it is beside the flat
    return Finding(mark, "gap", "look", what, where, ids, do, gap, TOUCH, "mm", _TOUCHES)


# -- pieces that do nothing --------------------------------------------------------------------


def _loose_in_hole(placed: PlacedPiece, contacts: tuple[Contact, ...]) -> Contact | None:
    """The hole of a plate that a round body stands in with room to spare, but less than its own
    radius: in a wider one it stands beside the work like any other piece.
    """
    radius = {body.id: body.radius for body in features_of(placed).rounds}
    return next(
        (
            c
            for c in contacts
            if c.kind == "round in hole" and c.means == "gap" and c.gap < radius[c.feature]
        ),
        None,
    )


def _stands_loose(job: Job, placed: PlacedPiece, loose: Contact) -> Finding:
    name, thing_id = told_apart(job, placed.placement.id), placed.placement.id
    wall = side_title(job, loose.part, loose.face, loose.normal)
    what = (
        f"{name} stands loose in {wall}: the nearest wall of the hole is"
        f" {format_measure(loose.gap, job.display)} away, so it does not locate the plate."
    )
    do = "Use a pin that fits the hole, or move the pin or the plate so that none stands in it."
    ids = (thing_id, loose.part)
    return _gap(f"loose/{thing_id}", what, loose, ids, do)


def _idle(job: Job, placed: PlacedPiece, contacts: tuple[Contact, ...], within: float) -> Found:
    features = features_of(placed)
    name = told_apart(job, placed.placement.id)
    points = [f.a for f in features.faces] + [r.centre for r in features.rounds]
    only_rests = not points
    points += [r.centre for r in features.rests]
    if not points:
        return  # it has no feature that could touch the work
    if not contacts:
        where = points[0]
        if only_rests:
            what = f"{name} supports nothing: no part is above it."
            do = "Move it under a part, or take it off the table."
        else:
            reach = format_length(within, job.display)
            what = f"{name} touches nothing: no part is within {reach} in front of it."
            do = "Move it to the work, or take it off the table."
        own = placed.placement.id
        source = "" if only_rests else _LOOKED
        yield Finding(f"idle/{own}", "idle", "look", what, where, (own,), do, source=source)
        return
    nearest = contacts[0]
    face = side_title(job, nearest.part, nearest.face, nearest.normal)
    ids = (placed.placement.id, nearest.part)
    if nearest.means == "radius":
        what = f"{name} meets only the rounded edge of {face}."
        do = "Raise or lower it, or move it along, so that it meets the flat."
    else:
        gap = format_measure(nearest.gap, job.display)
        short = "supports nothing" if only_rests else "does not reach the work"
        what = f"{name} {short}: gap {gap} to {face}.{_one_hole_nearer(job, placed, nearest)}"
        do = _closing(job, placed, gap, nearest)
        if placed.placement.packing and nearest.kind != "rest under":
            what = f"The packing of {name} leaves {gap} open to {face}."
            do = _filling(job, nearest)
    yield _gap(f"gap/{placed.placement.id}", what, nearest, ids, do)


def _one_hole_nearer(job: Job, placed: PlacedPiece, nearest: Contact) -> str:
    """Say so where the grid cannot close a wide gap: the next hole is too near.  Empty elsewhere.

    Opposed fixed faces on a grid come at every other half pitch; sizes between need packing.
    """
    nx, ny, nz = (abs(v) for v in nearest.normal)
    pitch = job.table.pitch_x if nx > ny else job.table.pitch_y
    straight = max(nx, ny) > 1.0 - 1e-6 and not nz
    slides = placed.way is not None and placed.way.slides
    if not straight or slides or not pitch / 4.0 <= nearest.gap < pitch - TOUCH:
        return ""
    inside = format_measure(pitch - nearest.gap, job.display)
    return f" One hole nearer it would stand {inside} inside the work: the grid alone does not fit."


def _closing(job: Job, placed: PlacedPiece, gap: str, nearest: Contact) -> str:
    """Return how a gap can be closed with what the piece allows."""
    if nearest.kind == "rest under":
        return f"Raise it by {gap} with a riser or shims, or take it off the table."
    ways = []
    if placed.way is not None and placed.way.slides and placed.faces:
        ways.append(f"slide it in by {gap}")
    packed = placed.piece is not None and placed.piece.takes_packing
    if packed and _shims_into(job, nearest):
        ways.append(f"put {gap} of packing in front of it")
    ways.append("move it or the work until they touch")
    if len(ways) == 1 and packed and job.rack.shims:
        return _no_shim(job, nearest)
    said = ", or ".join(ways)
    return f"{said[:1].upper()}{said[1:]}."


def _filling(job: Job, nearest: Contact) -> str:
    """Return how the gap that is left in front of packing can be closed."""
    moved = "move the work until they touch"
    fit = _shims_into(job, nearest)
    if not fit:
        return _no_shim(job, nearest)
    thick = format_thickness(max(fit), job.display)
    return f"Add a shim of {thick}, though a stack of many shims is less exact, or {moved}."


def _shims_into(job: Job, nearest: Contact) -> list[float]:
    """How thick the shims left on the rack are that go into a gap, mm."""
    return [thick for thick in shims_left(job) if thick <= nearest.gap + TOUCH]


def _no_shim(job: Job, nearest: Contact) -> str:
    """What to do where no shim is left that goes into a gap: all in use, or none that thin."""
    owned = any(p.thickness <= nearest.gap + TOUCH for p in job.rack.shims if p.owned)
    return _NONE_LEFT if owned else _TOO_THIN


# -- clamps ----------------------------------------------------------------------------------------


def _clamp(
    job: Job,
    placed: PlacedPiece,
    tip: PlacedTip,
    role: Role,
    found: JobContacts,
    parts: Mapping[str, Part],
) -> Found:
    name, thing_id = told_apart(job, placed.placement.id), placed.placement.id
    if role.clamped is not None:
        if tip.push == "down":
            yield from _over_nothing(job, name, thing_id, role.clamped, parts)
        else:
            yield from _nothing_behind(job, name, thing_id, role.clamped, found)
        return
    pads = [c for c in found.pieces[thing_id].contacts if c.feature == "tip"]
    if not pads:
        if tip.push == "down":
            what = f"{name} presses on the bare table: no part is under its tip."
        else:
            reach = format_length(found.within, job.display)
            what = f"{name} presses on nothing: no part is within {reach} in front of its tip."
        do = "Turn it towards a part and set its reach, or take it off the table."
        source = "" if tip.push == "down" else _LOOKED
        mark = f"clamp/{thing_id}"
        yield Finding(mark, "idle", "look", what, tip.at, (thing_id,), do, source=source)
        return
    pad = pads[0]
    face = side_title(job, pad.part, pad.face, pad.normal)
    by = format_measure(abs(pad.gap), job.display)
    if pad.means == "out of reach" and pad.kind == "pad on top":
        low = pad.gap > 0.0
        what = f"{name} cannot press there: {face}, is {by} too {'low' if low else 'high'} for it."
        do = (
            "Use a clamp that comes down lower, or raise the work."
            if low
            else "Put a riser under it, or use a clamp that opens higher."
        )
    elif pad.means == "gap":
        what = f"{name} does not reach the work: gap {by} to {face}."
        do = _further(placed, pad.gap, by)
    else:
        what = f"{name} presses beside the flat of {face}: the middle of its tip is off the face."
        do = "Turn it or set its reach so that the whole pad is on the part."
    yield _gap(f"clamp/{thing_id}", what, pad, (thing_id, pad.part), do)


def _further(placed: PlacedPiece, gap: float, by: str) -> str:
    tip = placed.piece.tip if placed.piece is not None else None
    if tip is not None and placed.reach + gap <= tip.reach_max + TOUCH:
        return f"Give it {by} more reach."
    return "It is at full reach: move it nearer to the work."


def _over_nothing(
    job: Job, name: str, thing_id: str, clamped: Clamped, parts: Mapping[str, Part]
) -> Found:
    """The force spreads at 45 degrees on its way down; a support farther to the side is no help."""
    part = parts[clamped.part]
    called = title(job, part.id)
    nearest = clamped.supports[0] if clamped.supports else None
    deep = part.z_high - part.z_low
    if nearest is None:
        what = f"{name} presses on {called} with nothing under it: the part will bend or tip."
    elif nearest.distance > deep + TOUCH:
        off = format_length(nearest.distance, job.display)
        support = told_apart(job, nearest.id) if nearest.id else "the table"
        what = (
            f"{name} presses on {called} where nothing is under it: the part will bend."
            f" The nearest support, {support}, is {off} away."
        )
    else:
        return
    do = "Put the clamp over a support, or put a riser under the part below its tip."
    mark, ids = f"unsupported/{thing_id}", (thing_id, part.id)
    if nearest is None:
        yield Finding(mark, "height", "look", what, clamped.at, ids, do)
    else:
        far = nearest.distance
        yield Finding(mark, "height", "look", what, clamped.at, ids, do, far, deep, "mm", _SPREADS)


def _nothing_behind(
    job: Job, name: str, thing_id: str, clamped: Clamped, found: JobContacts
) -> Found:
    """A push along the table needs a locator against it, on the part or one joined to it."""
    pad = next(c for c in found.pieces[thing_id].contacts if c.feature == "tip" and c.touches)
    together = linked(found.parts, clamped.part)
    against = any(
        c.piece != thing_id and c.part in together and _opposed(c, pad) for c in found.touching()
    )
    if not clamped.supports and not against:
        called = title(job, clamped.part)
        what = f"{name} pushes {called} and nothing on the other side holds it."
        do = "Put a stop on the far side of the work, in line with the push."
        ids = (thing_id, clamped.part)
        yield Finding(f"unsupported/{thing_id}", "not-seated", "look", what, clamped.at, ids, do)


def _opposed(contact: Contact, pad: Contact) -> bool:
    """True if a locator's face opposes the push within 60 degrees."""
    (ax, ay, _), (bx, by, _) = contact.normal, pad.normal
    return ax * bx + ay * by < -0.5
