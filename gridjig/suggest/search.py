"""The search for complete set-ups: place by place, each choice proved before it is shown."""

import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from types import MappingProxyType

from msgspec import Struct, structs

from gridjig.checks.finding import Finding
from gridjig.edits.lookup import new_id
from gridjig.model import Job, Placement
from gridjig.proof.report import ProofReport, Prover
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units.progress import SILENT, Cancelled, Progress

from .choosing import Barred, Option, Puzzle, choose, first_choice, least
from .demands import Demand, Demands, demands
from .explain import missing, reasons
from .lies import Lie, lies
from .relaxing import relaxed
from .site import Atom, KnownSettings, Site, exclusions
from .values import Alternative, Hears, Suggestion, Wishes
from .why import why

ROUNDS = 40
"""How often a choice that the proof refuses is made anew, at one place of the work."""
FIRMER = 50.0
"""What a missing contact costs more, in points, each time that the work was too loose."""
AGAIN = 3
"""What the proof refuses so often at the same faces is not tried there with other pieces."""
EXACTLY = 0.6
"""The share of the time that is left which the exact search may take; its choice is proved next."""
LEAST_SECONDS = 0.1
"""Less time than this is not worth a start, s."""
STARTS = 24
"""Starts of the first search at each place: some milliseconds."""


_PLAIN = Wishes()


def _nobody(best: Suggestion) -> None:
    """Ignores what was found."""


def suggest(
    job: Job, wishes: Wishes = _PLAIN, progress: Progress = SILENT, found: Hears = _nobody
) -> Suggestion:
    """Return complete set-ups of a job, best first, or why there is none.

    `found` is told of each better answer as soon as it exists, so that nothing is lost when the
    search is cancelled.  Raises Cancelled through `progress`, within 0.2 s.
    """
    if not job.parts:
        return Suggestion((), ("There is no weldment yet: draw or import its parts first.",))
    answer = _Search(job, wishes, progress, found).run()
    if answer.alternatives or not answer.ended:
        return answer
    helps = tuple(_what_helps(job, wishes, progress))
    return structs.replace(answer, none_because=(*answer.none_because, *helps))


def _what_helps(job: Job, wishes: Wishes, progress: Progress) -> Iterator[str]:
    """What makes a set-up possible, a sentence for each demand that can be dropped."""
    until = time.monotonic() + wishes.seconds
    for one in relaxed(job, wishes):
        left = until - time.monotonic()
        if left < LEAST_SECONDS:
            return
        progress.report(0, None, "Looking for what helps")
        asked = structs.replace(one.wishes, seconds=left)
        found = _Search(one.job, asked, progress, _nobody).quickest()
        if found is not None and one.words(found):
            yield one.words(found)


class _Scene(Struct, eq=False):
    """One place of the work with all that can be set about it, and what the proof taught of it.

    `dearer` is what the proof is known to say about an atom, in points.  `barred` is what it
    refuses; `other` makes a choice another one.  `failed` counts what it has refused by the faces.
    `firmer` is added for each contact that a part is left without, after the work was too loose.
    `hopeless`: nothing that can be added helps.  `last` is the choice that was proved last.
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


class _Search:
    """The state of one search; it ends by itself when the time that was asked for has passed."""

    def __init__(self, job: Job, wishes: Wishes, progress: Progress, found: Hears) -> None:
        self._job, self._wishes, self._told = job, wishes, found
        self._until = time.monotonic() + wishes.seconds
        self._asked = progress
        self._progress = Progress(progress.report, self._stopped)
        self._best: list[tuple[Alternative, _Scene]] = []
        self._known: KnownSettings = {}

    def run(self) -> Suggestion:
        scenes: list[_Scene] = []
        ended = self._timed(lambda: self._look_everywhere(scenes))
        if self._best:
            return self._shown(ended)
        return Suggestion((), reasons([s.refused for s in scenes], ended), ended)

    def _look_everywhere(self, scenes: list[_Scene]) -> None:
        places = lies(self._job, self._wishes, self._progress.part(0, 50))
        for number, lie in enumerate(places):
            share = 350 // len(places)
            part = self._progress.part(50 + number * share, 50 + (number + 1) * share)
            scene = self._scene(lie, part)
            scenes.append(scene)
            self._quick(scene)
        for number, scene in enumerate(scenes):
            self._progress.report(400 + 500 * number // len(scenes), 1000, "Looking for better")
            self._exact(scene)

    def quickest(self) -> Alternative | None:
        """The first answer that there is, at any place."""
        self._timed(self._look_for_one)
        return self._best[0][0] if self._best else None

    def _look_for_one(self) -> None:
        for lie in lies(self._job, self._wishes, self._progress):
            self._quick(self._scene(lie, self._progress))
            if self._best:
                return

    def _timed(self, work: Callable[[], None]) -> bool:
        """Do some work; False if the time was up before it was done.  Raises Cancelled."""
        try:
            with self._progress.heeded():
                work()
        except Cancelled:
            self._asked.check()
            return False
        return True

    def _stopped(self) -> bool:
        """True if the time is up, or the search was cancelled."""
        if time.monotonic() > self._until:
            return True
        try:
            self._asked.check()
        except Cancelled:
            return True
        return False

    def _shown(self, ended: bool) -> Suggestion:
        shown = (
            structs.replace(one, bound=round(min(scene.bound, one.score), 6))
            for one, scene in self._best[: self._wishes.alternatives]
        )
        return Suggestion(tuple(shown), (), ended)

    def _scene(self, lie: Lie, progress: Progress) -> _Scene:
        site = Site(lie.job, self._wishes, self._known)
        asked = demands(site, progress)
        stock = {p.id: max(site.left(p), 0) for p in lie.job.rack.pieces}
        scene = _Scene(lie, site, asked, exclusions(asked.atoms), stock, {}, [], [], {}, Prover())
        scene.bound = least(scene.puzzle())
        return scene

    def _quick(self, scene: _Scene) -> None:
        """A first answer at a place."""
        for _ in range(ROUNDS):
            puzzle = scene.puzzle()
            chosen = first_choice(puzzle, self._wishes.seed, STARTS, self._progress)
            if chosen is None or self._settled(scene, chosen) is not None or scene.hopeless:
                return

    def _exact(self, scene: _Scene) -> None:
        """The best answers at a place, each different enough from the others."""
        wanted, taken = self._wishes.alternatives, 0
        for _ in range(0 if scene.hopeless else ROUNDS):
            left = max(EXACTLY * (self._until - time.monotonic()), LEAST_SECONDS)
            puzzle = scene.puzzle()
            choice = choose(puzzle, self._wishes.seed, left, STARTS, self._progress)
            if choice is None:
                return
            if not scene.other and not scene.firmer:
                scene.bound = max(scene.bound, choice.bound)
            if len(self._best) >= wanted and choice.bound > self._best[wanted - 1][0].score:
                return
            known = len(scene.dearer)
            settled = self._settled(scene, choice.chosen)
            if scene.hopeless:
                return
            if settled is None or len(scene.dearer) > known:
                continue
            taken += 1
            picked = _atoms_of(puzzle, choice.chosen)
            if taken == wanted or not picked:
                return
            every = scene.asked.atoms
            sorts = {sort_of(every[k]) for k in picked}
            same = tuple(
                frozenset(k for k, a in enumerate(every) if sort_of(a) == sort)
                for sort in sorted(sorts)
            )
            scene.other.append(Barred(same, len(sorts) - others(len(sorts))))

    def _settled(self, scene: _Scene, chosen: Sequence[int]) -> Alternative | None:
        """Prove a choice; take it in if nothing stops it, else bar what the proof refuses."""
        again, scene.last = tuple(chosen) == scene.last, tuple(chosen)
        picked = [g.options[k] for g, k in zip(scene.asked.groups, chosen, strict=True)]
        made, ids = _made(scene, picked)
        silent = Progress(is_cancelled=self._stopped)
        report = scene.prover.of(made, _placed(scene, made, ids), silent)
        if not made.placements:  # the proof has nothing to say of a table without pieces
            scene.firmer, scene.hopeless = scene.firmer + FIRMER, again
            return None
        about = [(f, frozenset(ids[k] for k in f.ids if k in ids)) for f in report.findings]
        stops = [(f, atoms) for f, atoms in about if f.level == "stop"]
        looks = [
            (f, atoms) for f, atoms in about if f.level == "look" and atoms and f.kind != "loose"
        ]
        for finding, atoms in looks:
            if len(atoms) == 1:
                rule = finding.id.split("/")[0]
                scene.dearer[rule, next(iter(atoms))] = self._wishes.weights.look
        if stops:
            scene.refused = tuple(f for f, _ in stops)
            scene.hopeless = any(f.kind in ("clash", "hole") and not some for f, some in stops)
            if any(f.kind == "loose" for f, _ in stops):
                scene.firmer, scene.hopeless = scene.firmer + FIRMER, again or scene.hopeless
                return None
            about_mine = {atoms for _, atoms in stops if atoms} or {frozenset(ids.values())}
            for atoms in sorted(about_mine, key=sorted):
                scene.refuse(atoms)
            return None
        score = sum(option.cost for option in picked) + self._wishes.weights.look * len(looks)
        return self._take(scene, picked, made, ids, report, score)

    def _take(
        self,
        scene: _Scene,
        picked: Sequence[Option],
        made: Job,
        ids: dict[str, int],
        report: ProofReport,
        score: float,
    ) -> Alternative:
        atoms = scene.asked.atoms
        one = Alternative(
            made,
            round(score, 6),
            0.0,
            len(ids),
            sum(atoms[number].shims for number in ids.values()),
            scene.lie.shift,
            scene.lie.turn,
            tuple(ids),
            tuple(
                why(scene.site, scene.asked, picked, number, name) for name, number in ids.items()
            ),
            missing(scene.site, scene.asked, picked),
            report,
            scene.lie.flipped,
            tuple(sort_of(atoms[number]) for number in ids.values()),
        )
        before = [shown for shown, _ in self._best[: self._wishes.alternatives]]
        self._best = _with(self._best, one, scene)
        if [shown for shown, _ in self._best[: self._wishes.alternatives]] != before:
            self._told(self._shown(False))
        return one


Ranked = tuple[Alternative, _Scene]


def _with(best: Sequence[Ranked], one: Alternative, scene: _Scene) -> list[Ranked]:
    """The alternatives with another one, the cheapest first; of two that are alike the better."""
    kept: list[Ranked] = []
    for other in sorted([*best, (one, scene)], key=lambda pair: pair[0].score):
        if all(distinct(other[0], before) for before, _ in kept):
            kept.append(other)
    return kept


Sort = tuple[str, str, int, str]
"""The part that a piece is for, what it does, at which side, and which piece it is."""


def sort_of(atom: Atom) -> Sort:
    """What a piece does; the same in another hole is the same."""
    return (atom.part, atom.kind, atom.side, atom.placement.piece)


def others(pieces: int) -> int:
    """How many of so many pieces are other ones at least, for a set-up to be another one."""
    return min(pieces, max(2, pieces // 5))


def distinct(one: Alternative, other: Alternative) -> bool:
    """True if two set-ups differ in a way that a shop cares about.

    The work lies elsewhere, or enough parts are held by other pieces or at other faces; the same
    pieces a hole further along are the same set-up.
    """
    if (one.shift, one.turn, one.face_down) != (other.shift, other.turn, other.face_down):
        return True
    mine, theirs = set(one.sorts), set(other.sorts)
    return len(mine - theirs) >= others(len(mine)) or len(theirs - mine) >= others(len(theirs))


def _atoms_of(puzzle: Puzzle, chosen: Sequence[int]) -> frozenset[int]:
    return frozenset(
        atom for group, k in zip(puzzle.groups, chosen, strict=True) for atom in group[k].atoms
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
