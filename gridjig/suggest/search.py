"""The search for complete set-ups: place by place, each choice proved before it is shown."""

import time
from collections.abc import Sequence
from types import MappingProxyType

from msgspec import Struct, structs

from gridjig.checks.finding import Finding
from gridjig.edits.lookup import new_id
from gridjig.model import Hole, Job, Placement
from gridjig.proof.report import ProofReport, prove
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units.progress import SILENT, Cancelled, Progress

from .choosing import Choice, Option, Puzzle, choose, first_choice
from .demands import Demands, demands
from .explain import missing, reasons
from .lies import Lie, lies
from .site import Atom, Site, exclusions
from .values import Alternative, Found, Suggestion, Why, Wishes
from .why import why

ROUNDS = 40
"""How often a choice that the proof refuses is made anew, at one place of the work."""
STARTS = 24
"""Starts of the first search at each place: some milliseconds."""


def _nobody(best: Suggestion) -> None:
    """Ignores what was found."""


def suggest(
    job: Job, wishes: Wishes = Wishes(), progress: Progress = SILENT, found: Found = _nobody
) -> Suggestion:
    """Return complete set-ups of a job, best first, or why there is none.

    `found` is told of each better answer as soon as it exists, so that nothing is lost when the
    search is cancelled.  Raises Cancelled through `progress`, within 0.2 s.
    """
    if not job.parts:
        return Suggestion((), ("There is no weldment yet: draw or import its parts first.",))
    with progress.heeded():
        return _Search(job, wishes, progress, found).run()


class _Scene(Struct, eq=False):
    """One place of the work with all that can be set about it."""

    lie: Lie
    site: Site
    asked: Demands
    puzzle: Puzzle
    refused: tuple[Finding, ...] = ()


class _TimeUp(Exception):  # noqa: N818 - no error
    """The time that was asked for has passed."""


class _Search:
    """The state of one search."""

    def __init__(self, job: Job, wishes: Wishes, progress: Progress, found: Found) -> None:
        self._job, self._wishes, self._told = job, wishes, found
        self._until = time.monotonic() + wishes.seconds
        self._progress = progress
        self._best: list[Alternative] = []

    def run(self) -> Suggestion:
        ended = True
        scenes: list[_Scene] = []
        try:
            places = lies(self._job, self._wishes, self._progress.part(0, 50))
            for number, lie in enumerate(places):
                self._look()
                share = 350 // len(places)
                part = self._progress.part(50 + number * share, 50 + (number + 1) * share)
                scene = self._scene(lie, part)
                scenes.append(scene)
                self._quick(scene)
            for number, scene in enumerate(scenes):
                self._progress.report(400 + 500 * number // len(scenes), 1000, "Looking for better")
                self._exact(scene)
        except _TimeUp:
            ended = False
        if self._best:
            return self._shown(ended)
        return Suggestion((), reasons(self._job, [s.refused for s in scenes], ended), ended)

    def _look(self) -> None:
        self._progress.check()
        if time.monotonic() > self._until and self._best:
            raise _TimeUp

    def _shown(self, ended: bool) -> Suggestion:
        return Suggestion(tuple(self._best[: self._wishes.alternatives]), (), ended)

    def _scene(self, lie: Lie, progress: Progress) -> _Scene:
        site = Site(lie.job, self._wishes)
        asked = demands(site, progress)
        stock = {p.id: max(site.left(p), 0) for p in lie.job.rack.pieces}
        puzzle = Puzzle(
            tuple(group.options for group in asked.groups), exclusions(asked.atoms), stock
        )
        return _Scene(lie, site, asked, puzzle)

    def _quick(self, scene: _Scene) -> None:
        """A first answer at a place."""
        for _ in range(ROUNDS):
            self._look()
            chosen = first_choice(scene.puzzle, self._wishes.seed, STARTS, self._progress)
            if chosen is None or self._settled(scene, Choice(chosen, 0.0, 0.0, False)):
                return

    def _exact(self, scene: _Scene) -> None:
        """The best answers at a place, each in at least two ways different from the others."""
        wanted, taken = self._wishes.alternatives, 0
        for _ in range(ROUNDS):
            self._look()
            left = max(self._until - time.monotonic(), 0.1)
            choice = choose(
                scene.puzzle, self._wishes.seed, left, STARTS, self._progress
            )
            if choice is None:
                return
            worst = self._best[wanted - 1].score if len(self._best) >= wanted else None
            if worst is not None and choice.bound > worst:
                return
            if self._settled(scene, choice):
                taken += 1
                holes = {
                    scene.asked.atoms[k].here.holes[0] for k in _atoms_of(scene.puzzle, choice)
                }
                if taken == wanted or not holes:
                    return
                same = frozenset(
                    k for k, atom in enumerate(scene.asked.atoms) if atom.here.holes[0] in holes
                )
                barred = (*scene.puzzle.barred, (same, len(holes) - others(len(holes))))
                scene.puzzle = structs.replace(scene.puzzle, barred=barred)

    def _settled(self, scene: _Scene, choice: Choice) -> bool:
        """Prove a choice; take it in if nothing stops it, else bar what the proof refuses."""
        picked = [g.options[k] for g, k in zip(scene.asked.groups, choice.chosen, strict=True)]
        made, ids = _made(scene, picked)
        report = prove(made, _placed(scene, made, ids), self._progress.part(0, 1))
        stops = tuple(f for f in report.findings if f.level == "stop")
        mine = [f for f in stops if f.id not in _known(scene, stops)]
        if not stops:
            self._take(scene, picked, made, ids, report, choice)
            return True
        scene.refused = stops
        barred = []
        for finding in mine:
            atoms = frozenset(ids[k] for k in finding.ids if k in ids)
            if atoms:
                barred.append((atoms, len(atoms) - 1))
        every = frozenset(ids.values())
        if not barred and every:
            barred.append((every, len(every) - 1))
        scene.puzzle = structs.replace(
            scene.puzzle, barred=(*scene.puzzle.barred, *dict.fromkeys(barred))
        )
        return False

    def _take(
        self,
        scene: _Scene,
        picked: Sequence[Option],
        made: Job,
        ids: dict[str, int],
        report: ProofReport,
        choice: Choice,
    ) -> None:
        score = sum(option.cost for option in picked)
        atoms = scene.asked.atoms
        reasons_of = tuple(
            why(scene.site, scene.asked, picked, atoms[number], name)
            for name, number in ids.items()
        )
        one = Alternative(
            made,
            round(score, 6),
            round(min(choice.bound, score), 6),
            len(ids),
            sum(atoms[number].shims for number in ids.values()),
            scene.lie.shift,
            scene.lie.turn,
            tuple(ids),
            reasons_of,
            missing(scene.site, scene.asked, picked),
            report,
        )
        before = self._best[: self._wishes.alternatives]
        self._best = _with(self._best, one)
        if self._best[: self._wishes.alternatives] != before:
            self._told(self._shown(False))


def _known(scene: _Scene, stops: Sequence[Finding]) -> frozenset[str]:
    """Findings about nothing that was added; no other choice puts them right."""
    del scene
    return frozenset(f.id for f in stops if not f.ids)


def _with(best: Sequence[Alternative], one: Alternative) -> list[Alternative]:
    """The alternatives with another one, the cheapest first; of two that are alike the better."""
    kept: list[Alternative] = []
    for other in sorted([*best, one], key=lambda a: (a.score, a.bound)):
        if all(_distinct(other, before) for before in kept):
            kept.append(other)
    return kept


def others(pieces: int) -> int:
    """How many of so many pieces stand in other holes at least, for a set-up to be another one."""
    return min(pieces, max(2, pieces // 5))


def _distinct(one: Alternative, other: Alternative) -> bool:
    """True if the work lies elsewhere, or enough pieces stand in other holes."""
    if one.shift != other.shift or one.turn != other.turn:
        return True
    mine, theirs = _standing(one), _standing(other)
    return len(mine - theirs) >= others(len(mine)) or len(theirs - mine) >= others(len(theirs))


def _standing(one: Alternative) -> set[Hole]:
    new = set(one.added)
    return {p.seats[0].hole for p in one.job.placements if p.id in new}


def _atoms_of(puzzle: Puzzle, choice: Choice) -> frozenset[int]:
    return frozenset(
        atom
        for group, k in zip(puzzle.groups, choice.chosen, strict=True)
        for atom in group[k].atoms
    )


def _made(scene: _Scene, picked: Sequence[Option]) -> tuple[Job, dict[str, int]]:
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


def _placed(scene: _Scene, made: Job, ids: dict[str, int]) -> MappingProxyType[str, PlacedPiece]:
    """The placed pieces of a job; those of atoms are known but for their names."""
    found: dict[str, PlacedPiece] = {}
    for placement in made.placements:
        if placement.id in ids:
            here = scene.asked.atoms[ids[placement.id]].here
            found[placement.id] = structs.replace(here, placement=placement)
        else:
            found[placement.id] = scene.site.placed[placement.id]
    return MappingProxyType(found)


__all__ = ["Cancelled", "suggest"]
