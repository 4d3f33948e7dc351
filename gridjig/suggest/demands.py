"""What every part asks for, and the ways to give it: the groups of the puzzle."""

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations, islice

from msgspec import Struct

from gridjig.checks.conflicts import conflict
from gridjig.contact.values import Contact
from gridjig.contact.weldment import part_contacts
from gridjig.model import FaceOf, Job, Part
from gridjig.rack import Point
from gridjig.solve.weldment.faces import WorkFace
from gridjig.units.progress import Progress

from .before import atoms_before
from .choosing import Option
from .clamping import clamp_atoms, push_atoms
from .rests import carries, needs_rests, rest_atoms
from .site import Atom, Site, long_and_ends
from .stops import spans_of
from .values import WhyKind

ALIKE = 5
"""Of pairs of the same two kinds of piece at the same face, so many are considered."""
WIDE = 0.25
"""A placed piece that bears over this much of a long face does the work of two stops, mm."""
FULL = {True: 0.5, False: WIDE}
"""The same for one to be set: before a face along the grid, two stops are easy to set far apart."""
TO_FETCH = 0.05
"""A locking pin counts so much of a piece: of two that do the same, the simpler one is taken."""
ALONG = 0.9
"""A contact pushes along a direction if the cosine between them is at least this."""


class Demand(Struct, frozen=True, eq=False):
    """What one part asks for, with the ways to give it; the last is to leave it without.

    `wanted` is how many contacts, stacks or clamps it asks for.
    """

    part: str
    kind: WhyKind
    wanted: int
    options: tuple[Option, ...]
    candidates: int


class Demands(Struct, frozen=True, eq=False):
    """The groups of a job, and the atoms that their options are made of."""

    groups: tuple[Demand, ...]
    atoms: tuple[Atom, ...]


def demands(site: Site, progress: Progress) -> Demands:
    """Return what every part asks for where it lies."""
    atoms: list[Atom] = []
    groups: list[Demand] = []
    there = _there(site)
    for part in progress.each(site.job.parts, "Trying pieces"):
        for group in _of_part(site, part, there.get(part.id, []), atoms):
            groups.append(group)
    return Demands(tuple(groups), tuple(atoms))


def _there(site: Site) -> dict[str, list[Contact]]:
    """What the pieces that stay do for each part."""
    if not site.placed:
        return {}
    from gridjig.contact.book import contacts  # noqa: PLC0415 - only where pieces are kept

    found: dict[str, list[Contact]] = {}
    for one in contacts(site.job, site.placed).pieces.values():
        for contact in one.contacts:
            near = contact.means == "gap" and 0.0 <= contact.gap <= 0.5
            if contact.touches or near:
                found.setdefault(contact.part, []).append(contact)
    return found


def _of_part(
    site: Site, part: Part, there: Sequence[Contact], atoms: list[Atom]
) -> Iterator[Demand]:
    long, ends = long_and_ends(part, site.faces[part.id])
    weights = site.wishes.weights
    upright = [c for c in there if c.feature != "tip" and math.hypot(*c.normal[:2]) > 0.5]
    if long:
        held = [c for c in upright if abs(_dot(c.normal, long[0].normal)) >= ALONG]
        at_end = [c for c in upright if abs(_dot(c.normal, long[0].normal)) < ALONG]
        wide = any(c.length >= WIDE * long[0].length for c in held)
        places = 2 if wide else len({_spot(c.middle) for c in held})
        yielded = 2 - min(places, 2)
        if yielded:
            mine = _atoms(site, outer(site, long), "long face")
            pairs = list(_long_options(site, mine, atoms, yielded, [c.middle for c in held]))
            none = Option(weights.loose * yielded, lacks=yielded)
            yield Demand(part.id, "long face", yielded, (*pairs, none), len(mine))
        bare = [face for face in outer(site, ends) if spans_of(site, face, "end")]
        if bare and not at_end and not _given_along(site.job, part, long[0]):
            mine = _atoms(site, bare, "end")
            singles = [Option(piece_cost(site, a), *_joined(site, [a], atoms)) for _, a in mine]
            none = Option(weights.loose, lacks=1)
            yield Demand(part.id, "end", 1, (*_best(singles, 24), none), len(mine))
    spots: list[Point] = [c.middle for c in there if c.kind == "rest under"]
    if needs_rests(site, part):
        stacks = rest_atoms(site, part)
        options = list(_rest_options(site, part, stacks, atoms))
        none = Option(weights.loose * 2.0, lacks=2)
        yield Demand(part.id, "support", 2, (*options, none), len(stacks))
        spots = [atom.at for atom in stacks]
        spots = [*spots[:2], *spots[-2:]]
    if not any(c.feature == "tip" for c in there):
        clamps = clamp_atoms(site, part, list(dict.fromkeys(spots)))
        clamps += push_atoms(site, part, long)
        made = [Option(piece_cost(site, a), *_joined(site, [a], atoms)) for a in clamps]
        none = Option(weights.loose, lacks=1)
        yield Demand(part.id, "clamp", 1, (*_best(made, 24), none), len(clamps))


def _spot(at: Point) -> tuple[int, int]:
    return (round(at[0] / 10.0), round(at[1] / 10.0))


def _dot(a: Sequence[float], b: Point) -> float:
    return a[0] * b[0] + a[1] * b[1]


def outer(site: Site, some: Sequence[WorkFace]) -> list[WorkFace]:
    """The faces that look out of the work; all of them if none does, or if the inside is allowed.

    A member between others has no outer face: a stop at one side of it does not trap the work.
    """
    outer = [face for face in some if face.outer]
    return list(some) if site.wishes.inside or not outer else outer


def _atoms(site: Site, some: Sequence[WorkFace], kind: str) -> list[tuple[WorkFace, Atom]]:
    return [(face, atom) for face in some for atom in atoms_before(site, face, kind)]


def _given_along(job: Job, part: Part, long: WorkFace) -> bool:
    """True if another part stops a part along its length, so an end stop is too much."""
    for one in part_contacts(job.parts):
        meets = one.kind == "face on face" and part.id in (one.a, one.b)
        if meets and one.normal is not None and abs(_dot(one.normal, long.normal)) < 1.0 - ALONG:
            return True
    return False


def _joined(
    site: Site, some: Iterable[Atom], atoms: list[Atom]
) -> tuple[frozenset[int], dict[str, int]]:
    """Atoms added to those of the job: their numbers, and what they take together."""
    numbers: list[int] = []
    takes: dict[str, int] = {}
    for atom in some:
        if atom not in atoms:
            atoms.append(atom)
        numbers.append(atoms.index(atom))
        for what, many in atom.takes.items():
            takes[what] = takes.get(what, 0) + many
    return frozenset(numbers), takes


def piece_cost(site: Site, atom: Atom) -> float:
    """What a piece costs by the weights."""
    weights, placement = site.wishes.weights, atom.placement
    x, y = site.job.table.at(placement.seats[0].hole)
    x0, y0, x1, y1 = site.box
    out = math.hypot(max(x0 - x, x - x1, 0.0), max(y0 - y, y - y1, 0.0))
    cost = weights.piece + weights.packing * atom.shims
    cost += weights.piece * TO_FETCH * (sum(atom.takes.values()) - 1 - atom.shims)
    cost += weights.reach * _away(site, x, y) / 1000.0 + weights.room * out / 1000.0
    if atom.kind != "clamp" and site.from_seams(atom.here) < site.job.shop.weld_clear:
        cost += weights.weld
    if placement.clamped_by_hand or atom.here.leaf_low < atom.here.leaf_high:
        cost += weights.weld
    critical = FaceOf(atom.part, atom.side) in site.job.critical
    if critical and (placement.packing or placement.slide):
        cost += weights.critical
    return cost


def _away(site: Site, x: float, y: float) -> float:
    """How far a point is from the operator's side of the table, mm."""
    table = site.job.table
    away = {"front": y, "back": table.depth - y, "left": x, "right": table.width - x}
    return away[table.labels.operator]


def _long_options(
    site: Site,
    mine: Sequence[tuple[WorkFace, Atom]],
    atoms: list[Atom],
    wanted: int,
    held: Sequence[Point],
) -> Iterator[Option]:
    """Pairs at one face, the widest first; else single ones, which leave the part loose."""
    weights = site.wishes.weights
    costs = {id(atom): piece_cost(site, atom) for _, atom in mine}
    if wanted == 2:
        made: dict[tuple[object, ...], list[tuple[float, Atom, Atom]]] = {}
        for (face, a), (other, b) in combinations(mine, 2):
            if face is not other or set(a.here.holes) & set(b.here.holes):
                continue
            spread = math.dist(a.at, b.at) / max(face.length, 1.0)
            if spread < 0.1:
                continue
            cost = costs[id(a)] + costs[id(b)] + weights.spacing * max(1.0 - spread, 0.0)
            kinds = (face.of.side, *sorted((a.placement.piece, b.placement.piece)))
            made.setdefault(kinds, []).append((cost, a, b))
        for some in made.values():
            some.sort(key=lambda one: one[0])
            both = (one for one in some if conflict(one[1].here, one[2].here) is None)
            for cost, a, b in islice(both, ALIKE):
                yield Option(cost, *_joined(site, (a, b), atoms))
    by_kind: dict[tuple[object, ...], list[tuple[float, Atom, int]]] = {}
    for face, atom in mine:
        cost, lacks = costs[id(atom)], 0
        if wanted == 2 and atom.bears >= FULL[face.axis is not None] * face.length:
            cost += weights.spacing * max(1.0 - atom.bears / face.length, 0.0)
        elif wanted == 2:
            cost, lacks = cost + weights.loose, 1
        if held:
            apart = min(math.dist(atom.at, at) for at in held) / max(face.length, 1.0)
            cost += weights.spacing * max(1.0 - apart, 0.0)
        by_kind.setdefault((face.of.side, atom.placement.piece), []).append((cost, atom, lacks))
    for singles in by_kind.values():
        singles.sort(key=lambda one: one[0])
        for cost, atom, lacks in singles[:ALIKE]:
            yield Option(cost, *_joined(site, (atom,), atoms), lacks=lacks)


def _rest_options(
    site: Site, part: Part, stacks: Sequence[Atom], atoms: list[Atom]
) -> Iterator[Option]:
    """Pairs of stacks that carry a part, the widest first; one, if it carries it alone."""
    weights = site.wishes.weights
    x0, y0, x1, y1 = site.boxes[part.id]
    length = math.hypot(x1 - x0, y1 - y0)
    made: list[tuple[float, tuple[Atom, ...]]] = []
    for a, b in combinations(stacks, 2):
        spread = math.dist(a.at, b.at) / length
        if spread < 0.2 or not carries(part, (a, b)) or conflict(a.here, b.here) is not None:
            continue
        cost = piece_cost(site, a) + piece_cost(site, b) + weights.spacing * max(1.0 - spread, 0.0)
        made.append((cost, (a, b)))
    made += [(piece_cost(site, a) + weights.loose, (a,)) for a in stacks if carries(part, (a,))]
    made.sort(key=lambda one: one[0])
    for cost, some in made[:40]:
        yield Option(cost, *_joined(site, some, atoms))


def _best(options: Sequence[Option], most: int) -> list[Option]:
    """The cheapest options, at most so many."""
    return sorted(options, key=lambda option: option.cost)[:most]
