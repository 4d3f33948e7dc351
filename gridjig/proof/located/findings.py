"""What to say about how parts and weldments are located."""

from collections.abc import Iterator, Sequence

from gridjig.checks.finding import FigureUnit, Finding, Level, names_of
from gridjig.checks.remembered import Remembered, collected
from gridjig.contact.values import TOUCH
from gridjig.model import Job, Part
from gridjig.model.titles import thing_of
from gridjig.units import format_angle, format_measure

from .body import PLAY, TIMES
from .grips import HOME
from .values import Fight, Located, LocatedReport, Motion, ShortBase
from .wording import body_name, capital, names, way_words

_PARALLEL = 1e-3

_SMALL = 10.0
"""A motion that ends within this, mm or degrees, is told with its figure."""

_SHARED = "Common practice: 3-2-1, three stops in plan for one body."
_FIT = "Half of the last digit shown."
_BASE = "Shop value: an error grows by no more than 6 to the far end."


def located_findings(
    job: Job, report: LocatedReport, said: Remembered | None = None
) -> Iterator[Finding]:
    """Parts and weldments that are loose, held by too short a base, or fought over by stops.

    Nothing is said of a job without pieces: it is not a set-up yet.  `said` remembers what was said
    of what stays the same.
    """
    if not job.placements:
        return
    said = Remembered() if said is None else said
    joined = {part for one in report.weldments for part in one.parts}
    together = {part: one.motion for one in report.weldments if one.contacts for part in one.parts}
    fought = {one.id for one in report.parts if one.fight is not None}
    names_now = said.equal("names", names_of(job))
    given = (names_now, job.parts, job.weldments, job.rack, job.table, job.display)
    with said.round(*given):
        yield from _untouched(job, [one for one in report.parts if not one.contacts], joined)
        for one in report.weldments:
            quiet = not fought.isdisjoint(one.parts)
            name = (one.id, *one.parts[:1])
            yield from said.of(name, (one, quiet), _of_weldment, job, one, quiet)
        for one in report.parts:
            alone, with_all = one.id not in joined, _moves_with(together.get(one.id), one.motion)
            on = (one, alone, with_all)
            yield from said.of(one.id, on, _of_part, job, one, alone, with_all)
    yield from _leaning(job, [one for one in report.parts if one.contacts])


def _moves_with(whole: Motion | None, own: Motion | None) -> bool:
    """True if a part moves just as all that it is joined to does: that is said once."""
    if whole is None or own is None:
        return False
    if whole.kind == "free":
        return True
    if own.kind == "free" or whole.direction is None or own.direction is None:
        return False
    (ax, ay), (bx, by) = whole.direction, own.direction
    return abs(ax * by - ay * bx) < _PARALLEL


@collected
def _of_part(job: Job, one: Located, alone: bool, with_all: bool) -> Iterator[Finding]:
    """What there is to say of one part; `alone` if it is joined to no other, `with_all` if it
    moves as all of them do.
    """
    if one.contacts:
        if not with_all:
            yield from _loose(job, one, "stop" if alone else "look")
        yield from _short(job, one)
    yield from _lies_on_later(job, one)
    if one.fight is not None:
        yield _fighting(job, one, one.fight)
    if alone:
        yield from _between(job, one)
        yield from _spare(job, one)


@collected
def _of_weldment(job: Job, one: Located, quiet: bool) -> Iterator[Finding]:
    """What there is to say of a weldment; `quiet` about stops that fight over a part of it."""
    yield from _whole(job, one)
    if one.fight is not None and not quiet:
        yield _fighting(job, one, one.fight)
    yield from _between(job, one)
    yield from _spare(job, one)


def _whole(job: Job, one: Located) -> Iterator[Finding]:
    """A weldment that its pieces do not locate once it is tacked."""
    if one.contacts:
        yield from _loose(job, one, "stop")
        return
    name = capital(body_name(job, one.id, one.parts))
    yield Finding(
        _mark("loose", one),
        "loose",
        "stop",
        f"Nothing locates {_lower(name)}: no stop, pin or arm touches it.",
        one.where,
        one.parts,
        "Set two stops far apart on its longest face and one at an end.",
        source=_SHARED,
    )


def _lower(name: str) -> str:
    return name.replace("The weldment", "the weldment", 1)


def _mark(rule: str, one: Located) -> str:
    """The id of a finding; bodies of a weldment that is not all joined have their first part's."""
    return f"{rule}/{'/'.join((one.id, *one.parts[:1]))}"


def _untouched(job: Job, some: Sequence[Located], joined: set[str]) -> Iterator[Finding]:
    """Parts that neither a piece nor a part before them touches, together."""
    if not some:
        return
    ids, it = tuple(one.id for one in some), "it" if len(some) == 1 else "them"
    later = [part for one in some for part in one.after]
    do = f"Set stops or pins against {it}, or mark {it} off and hold {it} by hand for the tacks."
    if later:
        do = (
            f"Load {it} after {names(job, tuple(dict.fromkeys(later)))}, or set stops against {it}."
        )
    yield Finding(
        "loose/untouched",
        "loose",
        "look" if all(one.id in joined for one in some) else "stop",
        f"Nothing locates {names(job, ids)}: no stop stands against {it}, and no part loaded"
        f" before {it} does.",
        some[0].where,
        ids,
        do,
        source=_SHARED,
    )


def _loose(job: Job, one: Located, level: Level) -> Iterator[Finding]:
    motion = one.motion
    if motion is None:
        return
    name = capital(body_name(job, one.id, one.parts))
    ids = (*(one.parts or (one.id,)), *one.contacts)
    if one.located == "cannot leave":
        by, gap = format_angle(motion.by or 0.0), format_measure(PLAY, job.display)
        yield Finding(
            _mark("loose", one),
            "loose",
            "look",
            f"{name} cannot leave, but its angle is not located: it turns {by} if each contact has"
            f" {gap} of room. All of them point at one place.",
            motion.centre or one.where,
            ids,
            "Move one of them so that they do not all point at the same place.",
            motion.by,
            0.0,
            "deg",
            "Derived for round pins on straight edges; exact there.",
        )
        return
    what, do, value, unit = _moves(job, one, motion, name)
    if one.after:
        do = f"{do[:-1]}, or load it after {names(job, one.after)}."
    yield Finding(
        _mark("loose", one),
        "loose",
        level,
        what,
        motion.centre if motion.kind == "turn" and motion.centre is not None else one.where,
        ids,
        do,
        value,
        None if value is None else 0.0,
        unit,
        _SHARED,
    )


def _moves(
    job: Job, one: Located, motion: Motion, name: str
) -> tuple[str, str, float | None, FigureUnit]:
    """What moves and how, what to do, and the figure with its unit."""
    thing = thing_of(job, one.id)
    part = thing if isinstance(thing, Part) else None
    holding = names(job, one.contacts)
    match motion.kind:
        case "slide":
            assert motion.direction is not None
            way = way_words(part, motion.direction)
            by = (
                ""
                if motion.by is None or motion.by > _SMALL
                else (f" by {format_measure(motion.by, job.display)}")
            )
            do = {
                "along its length": "Set an end stop.",
                "sideways": "Set two stops far apart on one long face.",
                "to the left and right": "Set a stop on its left or its right.",
                "to the front and back": "Set a stop on its front or its back.",
            }.get(way, "Set a stop with its face square to that direction.")
            if one.ends:
                come = "come" if len(one.ends) > 1 else "comes"
                there = "its ends" if way == "along its length" else "both sides of it"
                do = (
                    f"Line it up by hand before you tack: {names(job, one.ends)} {come} against"
                    f" {there}, and no stop fits there."
                )
            return f"{name} can slide {way}{by}.", do, motion.by, "mm" if motion.by else ""
        case "turn":
            by = (
                ""
                if motion.by is None or motion.by > _SMALL
                else (f" by {format_angle(motion.by)}")
            )
            what = f"{name} can turn{by}: nothing holds its angle. Only {holding} touch it."
            if len(one.contacts) == 1:
                what = f"{name} can turn{by}: only {holding} touches it."
            do = "Set a second stop on a long face, as far from the first as it goes."
            return what, do, motion.by, "deg" if motion.by else ""
        case "free":
            what = f"{name} can slide and turn: only {holding} touches it."
            if len(one.contacts) > 1:
                what = f"{name} can slide and turn: only {holding} touch it, all from one side."
            do = "Set two stops far apart on a long face and one at an end."
            return what, do, None, ""


def _on_pieces(job: Job, short: ShortBase | None) -> bool:
    """True if only pieces hold an angle on their short faces."""
    return short is not None and not any(isinstance(thing_of(job, k), Part) for k in short.ids)


def _short(job: Job, one: Located) -> Iterator[Finding]:
    """A part whose angle hangs on the short faces of pieces."""
    if one.short is not None and _on_pieces(job, one.short):
        yield _base_finding(job, one, one.short, [one], "look")


def _leaning(job: Job, some: Sequence[Located]) -> Iterator[Finding]:
    """Parts whose angles hang on short faces of others: one note, as it is one fact."""
    found = [(one.short, one) for one in some if one.short is not None]
    found = [(short, one) for short, one in found if not _on_pieces(job, short)]
    if found:
        found.sort(key=lambda pair: -pair[0].times)
        short, worst = found[0]
        yield _base_finding(job, worst, short, [one for _, one in found], "note")


def _base_finding(
    job: Job, one: Located, short: ShortBase, those: Sequence[Located], level: Level
) -> Finding:
    """`one` is the worst of those."""
    error, ids = 0.1, tuple(each.id for each in those)
    far, by = (format_measure(mm, job.display) for mm in (error * short.times, error))
    what = (
        f"The angle of {names(job, ids)} depends on short faces ({names(job, short.ids)}): an"
        f" error of {by} there puts its far end out by {far}."
    )
    if len(ids) > 1:
        what = (
            f"The angles of {names(job, ids)} depend on short faces of what they lie against: an"
            f" error of {by} at {names(job, short.ids)} puts the far end of"
            f" {names(job, (one.id,))} out by {far}."
        )
    do = "Set two stops on one long face, as far apart as they go."
    if len(ids) > 1:
        do = "Set two stops on one long face of each, as far apart as they go."
    return Finding(
        f"base/{one.id}",
        "loose",
        level,
        what,
        short.far,
        (*ids, *short.ids),
        do,
        short.times,
        TIMES,
        "",
        _BASE,
    )


def _lies_on_later(job: Job, one: Located) -> Iterator[Finding]:
    if not one.under or one.carried.well:
        return
    under = names(job, one.under)
    name = capital(names(job, (one.id,)))
    yield Finding(
        f"order/{one.id}",
        "loose",
        "look",
        f"{name} lies on {under}, which {'is' if len(one.under) == 1 else 'are'} loaded after it.",
        one.where,
        (one.id, *one.under),
        f"Load {names(job, (one.id,))} after {under}.",
    )


def _fighting(job: Job, one: Located, fight: Fight) -> Finding:
    name = body_name(job, one.id, one.parts)
    by = format_measure(fight.by, job.display)
    ids = (*(one.parts or (one.id,)), *fight.pushing, *fight.off)
    if fight.kind == "squeeze":
        return Finding(
            _mark("fight", one),
            "over-located",
            "stop" if fight.by > 2.0 * TOUCH else "look",
            f"{capital(names(job, fight.pushing))} fight over {name}: there is {by} too little room"
            " between them.",
            fight.where,
            ids,
            f"Move one of them back by {by}, or use a clamp in its place.",
            fight.by,
            2.0 * TOUCH,
            "mm",
            _FIT,
        )
    return Finding(
        _mark("seat", one),
        "not-seated",
        "note" if fight.by <= HOME else "look",
        f"Pushed home against {names(job, fight.pushing)}, {name} stands {by} off"
        f" {names(job, fight.off)}.",
        fight.where,
        ids,
        f"Bring {names(job, fight.off)} up to the work, or do without.",
        fight.by,
        TOUCH,
        "mm",
        _FIT,
    )


def _between(job: Job, one: Located) -> Iterator[Finding]:
    """A body that is located between two pieces, which takes work of exactly that size."""
    if not one.between or one.fight is not None:
        return
    name = body_name(job, one.id, one.parts)
    yield Finding(
        _mark("between", one),
        "over-located",
        "look",
        f"{capital(name)} is located between {names(job, one.between)}, which face each other: work"
        " over size does not go in, and work under size turns between them.",
        one.where,
        (*(one.parts or (one.id,)), *one.between),
        "Set both on the same side of the work, as far apart as they go.",
        source=_SHARED,
    )


def _spare(job: Job, one: Located) -> Iterator[Finding]:
    """More locators than touch a body that is not exactly to size; none of them fights yet."""
    if not one.spare or one.fight is not None or one.located != "over-located":
        return
    name = body_name(job, one.id, one.parts)
    many = len(one.spare) > 1
    yield Finding(
        _mark("spare", one),
        "over-located",
        "note",
        f"{capital(name)} is located without {names(job, one.spare)}:"
        f" {'they touch' if many else 'it touches'} only if the work is exactly to size.",
        one.where,
        (*(one.parts or (one.id,)), *one.spare),
        f"Bring {'them' if many else 'it'} up to the work last, or leave room for the tolerance"
        " of the tube.",
        float(len(one.spare)),
        unit="pieces",
        source=_SHARED,
    )
