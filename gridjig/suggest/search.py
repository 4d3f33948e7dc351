"""The search for complete set-ups: place by place, each choice proved before it is shown."""

import time
from collections.abc import Callable, Iterator, Sequence

from msgspec import structs

from gridjig.model import Job
from gridjig.model.titles import title
from gridjig.proof.report import ProofReport
from gridjig.units.progress import SILENT, Cancelled, Progress

from .both import doubled
from .choosing import Barred, Option, Puzzle, choose, first_choice
from .demands import demands
from .different import others, sort_of, with_another
from .explain import missing, reasons
from .lies import Lie, lies
from .pinned import pinned, too_many
from .relaxing import relaxed
from .scene import FIRMER, Scene, pieces_of, pinned_scene, scene_of, set_out
from .site import KnownSettings, Site
from .values import Alternative, Hears, Suggestion, Wishes
from .why import why

ROUNDS = 40
"""How often a choice that the proof refuses is made anew, at one place of the work."""
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
    if too_many(job, wishes):
        told = f"{title(job, job.parts[0].id)} is too large for all ways on three pins to be tried."
        answer = structs.replace(answer, left_out=(told,))
    if answer.alternatives or not answer.ended:
        return answer
    helps = tuple(_what_helps(job, wishes, progress))
    return structs.replace(answer, none_because=(*answer.none_because, *helps))


def _what_helps(job: Job, wishes: Wishes, progress: Progress) -> Iterator[str]:
    """What makes a set-up possible, a sentence for each demand that can be dropped."""
    until = time.monotonic() + wishes.seconds
    for one in relaxed(job, wishes, progress):
        left = until - time.monotonic()
        if left < LEAST_SECONDS:
            return
        progress.report(0, None, "Looking for what helps")
        asked = structs.replace(one.wishes, seconds=left)
        found = _Search(one.job, asked, progress, _nobody).quickest()
        if found is not None and one.words(found):
            yield one.words(found)


class _Search:
    """The state of one search; it ends by itself when the time that was asked for has passed."""

    def __init__(self, job: Job, wishes: Wishes, progress: Progress, found: Hears) -> None:
        self._job, self._wishes, self._told = job, wishes, found
        self._until = time.monotonic() + wishes.seconds
        self._asked = progress
        self._progress = Progress(progress.report, self._stopped)
        self._best: list[tuple[Alternative, Scene]] = []
        self._known: KnownSettings = {}

    def run(self) -> Suggestion:
        scenes: list[Scene] = []
        ended = self._timed(lambda: self._look_everywhere(scenes))
        if self._best:
            return self._shown(ended)
        return Suggestion((), reasons([s.refused for s in scenes], ended), ended)

    def _look_everywhere(self, scenes: list[Scene]) -> None:
        places = lies(self._job, self._wishes, self._progress.part(0, 50))
        for number, lie in enumerate(places):
            share = 350 // len(places)
            part = self._progress.part(50 + number * share, 50 + (number + 1) * share)
            scene = self._scene(lie, part)
            scenes.append(scene)
            self._quick(scene)
        self._on_pins()
        for number, scene in enumerate(scenes):
            self._progress.report(400 + 500 * number // len(scenes), 1000, "Looking for better")
            self._exact(scene)

    def _on_pins(self) -> None:
        """A single part on three pins: every way there is, until enough of them are proved."""
        taken = 0
        for one in pinned(self._job, self._wishes, self._progress.part(400, 400)):
            scene = pinned_scene(one)
            if self._settled(scene, (0, 0)) is not None:
                taken += 1
            if taken == self._wishes.alternatives:
                return

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

    def _scene(self, lie: Lie, progress: Progress) -> Scene:
        site = Site(lie.job, self._wishes, self._known)
        return scene_of(lie, site, doubled(site, demands(site, progress)))

    def _quick(self, scene: Scene) -> None:
        """A first answer at a place."""
        for _ in range(ROUNDS):
            puzzle = scene.puzzle()
            chosen = first_choice(puzzle, self._wishes.seed, STARTS, self._progress)
            if chosen is None or self._settled(scene, chosen) is not None or scene.hopeless:
                return

    def _exact(self, scene: Scene) -> None:
        """The best answers at a place, each different enough from the others."""
        wanted, taken = self._wishes.alternatives, 0
        for _ in range(0 if scene.hopeless else ROUNDS):
            left = max(EXACTLY * (self._until - time.monotonic()), LEAST_SECONDS)
            puzzle = scene.puzzle()
            choice = choose(puzzle, self._wishes.seed, left, STARTS, self._progress)
            if choice is None:
                return
            if not scene.other and not scene.firmer:
                scene.bound = max(scene.bound, scene.askew + choice.bound)
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

    def _settled(self, scene: Scene, chosen: Sequence[int]) -> Alternative | None:
        """Prove a choice; take it in if nothing stops it, else bar what the proof refuses."""
        again, scene.last = tuple(chosen) == scene.last, tuple(chosen)
        picked = [g.options[k] for g, k in zip(scene.asked.groups, chosen, strict=True)]
        made, ids = set_out(scene, picked)
        silent = Progress(is_cancelled=self._stopped)
        report = scene.prover.of(made, pieces_of(scene, made, ids), silent)
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
        score = (
            scene.askew
            + sum(option.cost for option in picked)
            + self._wishes.weights.look * len(looks)
        )
        return self._take(scene, picked, made, ids, report, score)

    def _take(
        self,
        scene: Scene,
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
                told
                for name, number in ids.items()
                for told in why(scene.site, scene.asked, picked, number, name)
            ),
            missing(scene.site, scene.asked, picked),
            report,
            scene.lie.flipped,
            tuple(sort_of(atoms[number]) for number in ids.values()),
            scene.lie.moves,
        )
        before = [shown for shown, _ in self._best[: self._wishes.alternatives]]
        self._best = with_another(self._best, one, scene)
        if [shown for shown, _ in self._best[: self._wishes.alternatives]] != before:
            self._told(self._shown(False))
        return one


def _atoms_of(puzzle: Puzzle, chosen: Sequence[int]) -> frozenset[int]:
    return frozenset(
        atom for group, k in zip(puzzle.groups, chosen, strict=True) for atom in group[k].atoms
    )
