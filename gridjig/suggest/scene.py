"""One place of the work, all that can be set about it, and what the proof has taught of it."""

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from msgspec import Struct, structs

from gridjig.checks.finding import Finding
from gridjig.edits.lookup import new_id
from gridjig.model import Job, Placement
from gridjig.proof.report import Prover
from gridjig.solve.placed.placed_piece import PlacedPiece

from .choosing import Barred, Option, Puzzle, least
from .demands import Demand, Demands, piece_cost
from .lies import Lie, directions
from .pinned import Pinned
from .site import Site, exclusions

FIRMER = 50.0
"""What a missing contact costs more, in points, each time that the work was too loose."""
AGAIN = 3
"""What the proof refuses so often at the same faces is not tried there with other pieces."""


class Scene(Struct, eq=False):
    """One place of the work with all that can be set about it, and what the proof taught of it.

    `dearer` is what the proof is known to say about an atom, in points.  `barred` is what it
    refuses; `other` makes a choice another one.  `failed` counts what it has refused by the faces.
    `firmer` is added for each contact that a part is left without, after the work was too loose.
    `hopeless`: nothing that can be added helps.  `askew` is what it costs that the work does not
    lie along the grid.  `last` is the choice that was proved last.
    """

    lie: Lie
    site: Site
    asked: Demands
    apart: Mapping[int, frozenset[int]]
    stock: Mapping[str, int]
    dearer: dict[tuple[str, int], float]
    barred: list[Barred]
    other: list[Barred]
    failed: dict[frozenset[tuple[str, str, int]], int]
    prover: Prover
    firmer: float = 0.0
    hopeless: bool = False
    last: tuple[int, ...] = ()
    askew: float = 0.0
    bound: float = 0.0
    refused: tuple[Finding, ...] = ()

    def puzzle(self) -> Puzzle:
        """What there is to choose from, with all that is known."""
        by_atom: dict[int, float] = {}
        for (_, atom), points in self.dearer.items():
            by_atom[atom] = by_atom.get(atom, 0.0) + points

        def dearer(group: Demand, option: Option) -> Option:
            more = sum(by_atom.get(atom, 0.0) for atom in option.atoms)
            if group.kind in ("long face", "end"):
                more += self.firmer * option.lacks
            return structs.replace(option, cost=option.cost + more) if more else option

        groups = tuple(
            tuple(dearer(group, option) for option in group.options) for group in self.asked.groups
        )
        return Puzzle(groups, self.apart, self.stock, (*self.barred, *self.other))

    def refuse(self, atoms: frozenset[int]) -> None:
        """Bar some atoms from being there together, as the proof refuses them.

        If that has happened to others at the same faces before, no stops there go together.
        """
        every = self.asked.atoms
        faces = frozenset((every[k].part, every[k].kind, every[k].side) for k in atoms)
        self.failed[faces] = self.failed.get(faces, 0) + 1
        if self.failed[faces] < AGAIN:
            self.barred.append(
                Barred(tuple(frozenset((k,)) for k in sorted(atoms)), len(atoms) - 1)
            )
            return
        kinds = tuple(
            frozenset(k for k, a in enumerate(every) if (a.part, a.kind, a.side) == face)
            for face in sorted(faces)
        )
        self.barred.append(Barred(kinds, len(kinds) - 1))


def scene_of(lie: Lie, site: Site, asked: Demands) -> Scene:
    """Return a place of the work of which nothing is known yet."""
    stock = {p.id: max(site.left(p), 0) for p in lie.job.rack.pieces}
    scene = Scene(lie, site, asked, exclusions(asked.atoms), stock, {}, [], [], {}, Prover())
    scene.askew = site.wishes.weights.askew if directions(lie.job)[0] else 0.0
    scene.bound = scene.askew + least(scene.puzzle())
    return scene


def pinned_scene(one: Pinned) -> Scene:
    """Return three pins and a clamp as a place at which there is one choice."""

    def option(numbers: Sequence[int], more: float) -> Option:
        takes: dict[str, int] = {}
        for n in numbers:
            for what, many in one.atoms[n].takes.items():
                takes[what] = takes.get(what, 0) + many
        cost = more + sum(piece_cost(one.site, one.atoms[n]) for n in numbers)
        return Option(cost, frozenset(numbers), takes)

    part = one.atoms[0].part
    pins, clamp = range(len(one.atoms) - 1), [len(one.atoms) - 1]
    groups = (
        Demand(part, "long face", len(pins), (option(pins, one.cost),), len(pins)),
        Demand(part, "clamp", 1, (option(clamp, 0.0),), 1),
    )
    return scene_of(one.lie, one.site, Demands(groups, one.atoms))


def set_out(scene: Scene, picked: Sequence[Option]) -> tuple[Job, dict[str, int]]:
    """The job with the chosen pieces, and the atom of each new placement."""
    job, ids = scene.lie.job, {}
    placements: list[Placement] = list(job.placements)
    taken: set[str] = set()
    for option in picked:
        for number in sorted(option.atoms):
            atom = scene.asked.atoms[number]
            kind = scene.lie.job.rack.piece(atom.placement.piece).kind
            name = new_id(job, kind, taken)
            taken.add(name)
            ids[name] = number
            placements.append(structs.replace(atom.placement, id=name))
    return structs.replace(job, placements=tuple(placements)), ids


def pieces_of(scene: Scene, made: Job, ids: dict[str, int]) -> MappingProxyType[str, PlacedPiece]:
    """The placed pieces of a job; those of atoms are known but for their names."""
    found: dict[str, PlacedPiece] = {}
    for placement in made.placements:
        if placement.id in ids:
            here = scene.asked.atoms[ids[placement.id]].here
            found[placement.id] = structs.replace(here, placement=placement)
        else:
            found[placement.id] = scene.site.placed[placement.id]
    return MappingProxyType(found)
