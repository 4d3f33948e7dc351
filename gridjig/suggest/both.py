"""Pieces with two faces, as squares are, that touch the work with both: one piece for two demands.

A square round the corner of a member stands against its long face and its end; one between two
members stands against both.  It is set for one of the two demands; the other gets options that cost
nothing but need it to be there.  One beside a joint is left out: the bead would weld to it.
"""

from collections.abc import Iterator, Sequence
from itertools import combinations, islice

from msgspec import Struct, structs

from gridjig.checks.conflicts import conflict
from gridjig.contact.values import TOUCH
from gridjig.rack import Point
from gridjig.solve.placed.placed_piece import PlacedFace
from gridjig.solve.weldment.faces import WorkFace

from .choosing import Option
from .demands import ALIKE, FULL, Demand, Demands, outer, piece_cost
from .site import Atom, Site, direction, long_and_ends
from .stops import MEETS, bearing, spans_of
from .values import WhyKind

FLAT = 0.9999
"""Two faces lie along one another if the cosine between their normals is at least this."""


class Second(Struct, frozen=True, eq=False):
    """What an atom, by its number, touches besides what it is set for."""

    number: int
    face: WorkFace
    at: Point
    bears: float


def doubled(site: Site, asked: Demands) -> Demands:
    """Return the demands with those options too that a piece set for another demand gives."""
    found: dict[tuple[str, WhyKind], list[Second]] = {}
    faces = list(_faces(site, asked.groups))
    there = {n for group in asked.groups for option in group.options for n in option.atoms}
    for number, atom in enumerate(asked.atoms):
        stands = number in there and atom.kind in ("long face", "end")
        if not stands or len(atom.here.faces) < 2 or atom.shims:
            continue
        if site.from_seams(atom.here) < site.job.shop.weld_clear:
            continue
        for kind, face in faces:
            if (face.of.part, face.of.side) != (atom.part, atom.side):
                second = _second(site, number, atom, kind, face)
                if second is not None:
                    found.setdefault((face.of.part, kind), []).append(second)
    if not found:
        return asked
    groups = []
    for group in asked.groups:
        more = _options(site, group, asked.atoms, found.get((group.part, group.kind), ()))
        options = (*group.options[:-1], *more, group.options[-1])
        groups.append(structs.replace(group, options=options))
    return structs.replace(asked, groups=tuple(groups))


def _faces(site: Site, groups: Sequence[Demand]) -> Iterator[tuple[WhyKind, WorkFace]]:
    """The faces that demands ask something at."""
    for group in groups:
        long, ends = long_and_ends(site.part(group.part), site.faces[group.part])
        if group.kind == "long face":
            yield from (("long face", face) for face in outer(site, long))
        elif group.kind == "end":
            yield from (("end", face) for face in outer(site, ends))


def _second(site: Site, number: int, atom: Atom, kind: WhyKind, face: WorkFace) -> Second | None:
    """How a piece touches another face of the work; None if it does not."""
    for own in atom.here.faces:
        span = _against(own, face)
        on = None if span is None else bearing(spans_of(site, face, kind), *span)
        if on is not None:
            (ux, uy), (x, y), middle = direction(face), face.a, (on[0] + on[1]) / 2.0
            return Second(number, face, (x + ux * middle, y + uy * middle), on[1] - on[0])
    return None


def _against(own: PlacedFace, face: WorkFace) -> tuple[float, float] | None:
    """From where to where along a face of the work a face of a piece lies flat against it."""
    (nx, ny), (ux, uy), (x0, y0) = face.normal, direction(face), face.a
    if own.normal[0] * nx + own.normal[1] * ny > -FLAT:
        return None
    off = [(x - x0) * nx + (y - y0) * ny for x, y in (own.a, own.b)]
    deep = min(MEETS, (face.z_high - face.z_low) / 2.0, (own.z_high - own.z_low) / 2.0)
    high = min(own.z_high, face.z_high) - max(own.z_low, face.z_low)
    if max(map(abs, off)) > TOUCH or high < deep - TOUCH:
        return None
    ends = [(x - x0) * ux + (y - y0) * uy for x, y in (own.a, own.b)]
    return (min(ends), max(ends))


def _options(
    site: Site, group: Demand, atoms: Sequence[Atom], some: Sequence[Second]
) -> Iterator[Option]:
    """What pieces set for other demands give to one."""
    if group.kind == "end":
        yield from (Option(0.0, needs=frozenset((one.number,))) for one in some)
        return
    if group.wanted != 2:  # how far it is from the stop that is there is not known here
        return
    weights = site.wishes.weights
    for one in some:
        share = one.bears / max(one.face.length, 1.0)
        full = share >= FULL[one.face.axis is not None]
        cost = weights.spacing * max(1.0 - share, 0.0) if full else weights.loose
        yield Option(cost, lacks=0 if full else 1, needs=frozenset((one.number,)))
        yield from _with_another(site, group, atoms, one)
    for one, other in combinations(some, 2):
        spread = _spread(one, other.at)
        if one.face.of == other.face.of and spread >= 0.1:
            cost = weights.spacing * max(1.0 - spread, 0.0)
            yield Option(cost, needs=frozenset((one.number, other.number)))


def _with_another(
    site: Site, group: Demand, atoms: Sequence[Atom], one: Second
) -> Iterator[Option]:
    """A second stop at the same face, as far from it as can be."""
    here, made = atoms[one.number].here, []
    for k, atom in enumerate(atoms):
        same = (atom.part, atom.kind, atom.side) == (group.part, group.kind, one.face.of.side)
        spread = _spread(one, atom.at)
        if same and spread >= 0.1:
            cost = piece_cost(site, atom) + site.wishes.weights.spacing * max(1.0 - spread, 0.0)
            made.append((cost, k, atom))
    made.sort(key=lambda it: it[:2])
    fits = (it for it in made if conflict(it[2].here, here) is None)
    for cost, k, atom in islice(fits, ALIKE):
        yield Option(cost, frozenset((k,)), atom.takes, needs=frozenset((one.number,)))


def _spread(one: Second, at: Point) -> float:
    (ux, uy), (x, y) = direction(one.face), one.at
    return abs((at[0] - x) * ux + (at[1] - y) * uy) / max(one.face.length, 1.0)
