"""What changed about the tolerance class, the shop's accuracy, and the allowances, in words."""

from collections.abc import Iterator

from gridjig.model import Accuracy, Allowances, Job, JointAllowance
from gridjig.model.titles import title
from gridjig.units import format_length

from .pair_words import Between, count_pair, length_pair, told_pair

SHOP_VALUE_NAMES = {
    "face": "locating face",
    "shim": "each shim",
    "setting": "length set by tape",
    "fit": "fit of two parts",
    "hole": "hole position",
}
"""What the shop's own accuracies are called; each is followed by +-."""

_SHOWN = 3
"""The most changes of one kind that are told one by one."""


def accuracy(at: Between, a: Job, b: Job) -> str:
    """Return what changed about the class, the shop values and the points that matter."""
    return ", ".join(_accuracy(at, a.accuracy, b.accuracy))


def _accuracy(at: Between, was: Accuracy, now: Accuracy) -> Iterator[str]:
    if was.linear != now.linear:
        yield told_pair("tolerance class", was.linear, now.linear)
    if was.straight != now.straight:
        yield told_pair("straightness class", was.straight, now.straight)
    for name, called in SHOP_VALUE_NAMES.items():
        before, after = getattr(was, name), getattr(now, name)
        if before != after:
            yield length_pair(f"{called} ±", before, after, at.display)
    if was.points != now.points:
        if len(was.points) != len(now.points):
            yield count_pair("points that matter", len(was.points), len(now.points))
        else:
            yield "points that matter changed"


def allowances(at: Between, a: Job, b: Job) -> str:
    """Return what changed about what is allowed for."""
    said = [*_joints(at, a.allowances, b.allowances), *_parts(at, a.allowances, b.allowances)]
    if not said:
        return "allowances in another order"
    if len(said) > _SHOWN:
        return f"{', '.join(said[:_SHOWN])} and more"
    return ", ".join(said)


def _joints(at: Between, was: Allowances, now: Allowances) -> Iterator[str]:
    before = {_key(one): one for one in was.joints}
    after = {_key(one): one for one in now.joints}
    for key in dict.fromkeys((*before, *after)):
        one, two = before.get(key), after.get(key)
        either = two or one
        assert either is not None
        one = one or JointAllowance(a=either.a, b=either.b, nth=either.nth)
        two = two or JointAllowance(a=either.a, b=either.b, nth=either.nth)
        said = []
        if one.opened != two.opened:
            said.append(length_pair("set open by", one.opened, two.opened, at.display))
        if (one.measured, one.spread) != (two.measured, two.spread):
            closes = [_measured(at, each) for each in (one, two)]
            said.append(told_pair("closes by", *closes))
        if said:
            yield f"joint {joint_name(at.new, either)} {', '.join(said)}"


def _measured(at: Between, one: JointAllowance) -> str:
    if one.measured is None:
        return "the published rules"
    shown = format_length(one.measured, at.display)
    return f"{shown} ± {format_length(one.spread, at.display)}" if one.spread else shown


def _parts(at: Between, was: Allowances, now: Allowances) -> Iterator[str]:
    before = {one.part: one.longer for one in was.parts}
    after = {one.part: one.longer for one in now.parts}
    for part in dict.fromkeys((*before, *after)):
        one, two = before.get(part, 0.0), after.get(part, 0.0)
        if one != two:
            yield length_pair(f"{title(at.new, part)} cut longer by", one, two, at.display)


def _key(one: JointAllowance) -> tuple[frozenset[str], int]:
    return (frozenset((one.a, one.b)), one.nth)


def joint_name(job: Job, one: JointAllowance) -> str:
    """Return what the joint of an allowance is called: its name, or else its parts."""
    key = _key(one)
    # Late: the form of the job needs these names before numpy and shapely are loaded.
    from gridjig.solve.weldment.welds import key_of, welded  # noqa: PLC0415

    name = next((each.name for each in welded(job) if key_of(each.joint) == key), "")
    return name or f"of {title(job, one.a)} and {title(job, one.b)}"
