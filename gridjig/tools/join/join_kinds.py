"""Joining two parts of the weldment: for each kind of joint the edit, step name and words.

Shared by the tool, which takes two clicks, and the menu, where two parts are already selected.
"""

from collections.abc import Callable, Mapping
from typing import Literal

from msgspec import Struct

from gridjig.edits import joining
from gridjig.edits.lookup import part_of
from gridjig.edits.members import End, member_of
from gridjig.model import Job, Member
from gridjig.model.stock import ROUNDS
from gridjig.model.titles import title
from gridjig.tools.core.tool import Commit, Nothing
from gridjig.tools.core.wording import capital, sentence
from gridjig.units import format_count
from gridjig.units.series import series
from gridjig.units.spelling import spelled

JoinKind = Literal["trim", "mitre", "butt", "cope"]


class PartPick(Struct, frozen=True):
    """A picked part: its id, and the end or side that was meant, if any."""

    part: str
    end: End | None = None
    side: int | None = None


class JoinMethod(Struct, frozen=True):
    """One way of joining: what to click first and second, the step's name, and the edit.

    `first` and `second` follow the word "Click".
    """

    first: str
    second: str
    step: str
    done: str
    edit: Callable[[Job, PartPick, PartPick], Job]


JOIN_METHODS: Mapping[JoinKind, JoinMethod] = {
    "trim": JoinMethod(
        "the member to cut or extend, near the end that moves",
        "the member or plate it should meet, or one of its faces",
        "Cut {one} to fit {other}",
        "{one} ends at {other}",
        lambda job, a, b: joining.trim(job, a.part, b.part, b.side, a.end),
    ),
    "mitre": JoinMethod(
        "one member of the corner",
        "the other member of the corner",
        spelled("Mitre {one} and {other}"),
        spelled("{one} and {other} are mitred"),
        lambda job, a, b: joining.mitre(job, a.part, b.part),
    ),
    "butt": JoinMethod(
        "the member that runs through",
        "the member that butts against it",
        "Butt {other} against {one}",
        "{other} butts against {one}",
        lambda job, a, b: joining.butt(job, a.part, b.part),
    ),
    "cope": JoinMethod(
        "the member to cope, near the end that is cut",
        "the round member that it fits around",
        "Cope {one} around {other}",
        "{one} fits around {other}",
        lambda job, a, b: joining.cope(job, a.part, b.part, a.end),
    ),
}


ONE_END: frozenset[JoinKind] = frozenset({"trim", "cope"})
"""The joints for which the end of the first member is meant that the click is nearer to."""


def joined(job: Job, kind: JoinKind, one: PartPick, other: PartPick) -> Job | str:
    """Return the job with the two joined, or one sentence on why they cannot be."""
    try:
        member_of(job, one.part)
        return JOIN_METHODS[kind].edit(job, one, other)
    except ValueError as fault:
        nearer = None if other.side is None else joined(job, kind, one, PartPick(other.part))
        if not isinstance(nearer, Job):
            return sentence(str(fault))
        name, there = capital(title(job, one.part)), title(job, other.part)
        return (
            f"{name} cannot end at that face of {there}. Click the middle of {there} for its near"
            " face."
        )


def commit(job: Job, kind: JoinKind, one: PartPick, other: PartPick) -> Commit | Nothing:
    """Return the joint as a named step, or why it cannot be made."""
    after = joined(job, kind, one, other)
    if isinstance(after, str):
        return Nothing(after)
    names = {"one": title(job, one.part), "other": title(job, other.part)}
    done = capital(JOIN_METHODS[kind].done.format(**names))
    if after is job:
        return Nothing(f"{done} already.")
    said = f"{done}.{_run_into(job, after, kind, one, other)} Ctrl+Z undoes it."
    return Commit(after, JOIN_METHODS[kind].step.format(**names), said=said)


def _run_into(before: Job, after: Job, kind: JoinKind, one: PartPick, other: PartPick) -> str:
    """Say which parts overlap only now, and what a part that was cut still runs into."""
    from gridjig.checks.conflicts import overlap_words  # noqa: PLC0415 - late: they load shapely
    from gridjig.contact.weldment import part_overlaps  # noqa: PLC0415

    known = {(found.a, found.b) for found in part_overlaps(before.parts)}
    there = part_overlaps(after.parts)
    fresh = [
        f"{title(after, found.a)} and {title(after, found.b)} now overlap by"
        f" {overlap_words(after, found)}"
        for found in there
        if (found.a, found.b) not in known
    ]
    told = f" But {'; '.join(fresh)}." if fresh else ""
    alone = kind in ONE_END
    cut = (one.part,) if alone else (one.part, other.part)
    still = [
        (part, into)
        for found in there
        if (found.a, found.b) in known
        for part, into in ((found.a, found.b), (found.b, found.a))
        if part in cut
    ]
    if not still:
        return told
    if alone and other.side is not None and any(into == other.part for _, into in still):
        name = title(after, other.part)
        return f"{told} It runs through {name}: click the middle of {name} for its near face."
    first = still[0][0]
    which = "It" if alone else capital(title(after, first))
    names = series([title(after, into) for part, into in still if part == first])
    return f"{told} {which} still runs into {names}."


def join_selected(job: Job, kind: JoinKind, ids: frozenset[str]) -> Commit | Nothing:
    """Join the two selected parts; repeating a butt joint butts them the other way.

    Where they lie decides which one is cut: the one that has to change less is trimmed, the one
    that is not round is coped.
    """
    pair = [part.id for part in job.parts if part.id in ids]
    if len(pair) != 2 or len(ids) != 2:
        return Nothing("Select two members first, or click them one after the other.")
    orders = [(PartPick(pair[0]), PartPick(pair[1])), (PartPick(pair[1]), PartPick(pair[0]))]
    if kind == "cope" and _is_round(job, pair[0]) and not _is_round(job, pair[1]):
        orders.reverse()
    tried = [commit(job, kind, *order) for order in orders]
    done = [one for one in tried if isinstance(one, Commit)]
    if kind == "trim":
        for order, one in zip(orders, tried, strict=True):
            if joined(job, kind, *order) is job:  # it already ends there
                return one
        done.sort(key=lambda one: _changed(job, one.job))
    return done[0] if done else tried[0]


def mitre_selected(job: Job, ids: frozenset[str]) -> Commit | Nothing:
    """Mitre every corner between the selected members, in one step."""
    members = [part for part in job.parts if part.id in ids and isinstance(part, Member)]
    corners = joining.corners_of(members)
    after, made, why = job, 0, ""
    for (one, at), (other, there) in corners:
        try:
            cut = joining.mitre(after, one, other, (at, there))
        except ValueError as fault:
            why = why or sentence(str(fault))
            continue
        made += cut is not after
        after = cut
    if not corners:
        return Nothing("No two ends of the selected members meet in a corner.")
    if after is job:
        return Nothing(why or spelled("All corners of the selected members are mitred already."))
    told = f"{format_count(made)} corner{'s' if made > 1 else ''}"
    refused = f" {why}" if why else ""
    return Commit(
        after,
        spelled(f"Mitre {told}"),
        said=spelled(f"{told} {'are' if made > 1 else 'is'} mitred.{refused} Ctrl+Z undoes it."),
    )


def _is_round(job: Job, part: str) -> bool:
    found = part_of(job, part)
    return isinstance(found, Member) and found.section.kind in ROUNDS


def _changed(before: Job, after: Job) -> float:
    """Return the total change in length of all members, mm."""
    return sum(
        abs(new.length - old.length)
        for old, new in zip(before.parts, after.parts, strict=True)
        if isinstance(old, Member) and isinstance(new, Member)
    )
