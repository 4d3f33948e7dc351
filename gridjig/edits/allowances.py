"""Edits of what a job allows for, of its tolerance class, and of how exactly the shop sets up.

None of them changes a part or moves a stop.
"""

from collections.abc import Callable, Set

from msgspec import structs

from gridjig.model import Accuracy, Allowances, ChosenPoint, Job, LinearClass, StraightClass
from gridjig.model.allowances import JointAllowance, PartAllowance

from .lookup import part_of

SHOP_VALUES = ("face", "shim", "setting", "fit", "hole")
"""The fields of `Accuracy` that a shop measures, mm."""


def set_measured(job: Job, joint_ids: Set[str], mm: float | None, spread: float = 0.0) -> Job:
    """Set what these joints close by in this shop, +- spread; None goes by the published rules.

    Raises KeyError if there is no such joint.
    """
    spread = 0.0 if mm is None else spread
    return _with_joints(
        job, joint_ids, lambda one: structs.replace(one, measured=mm, spread=spread)
    )


def set_spread(job: Job, joint_ids: Set[str], mm: float) -> Job:
    """Set how much the measured closing of these joints varies, +- mm.

    Raises KeyError if there is no such joint, ValueError if none was measured for one.
    """

    def spread(one: JointAllowance) -> JointAllowance:
        if one.measured is None:
            raise ValueError("type what the joint closes by first; the spread goes with it")
        return structs.replace(one, spread=mm)

    return _with_joints(job, joint_ids, spread)


def set_opened(job: Job, joint_ids: Set[str], mm: float) -> Job:
    """Set how much wider than drawn these joints are set in the jig.

    Raises KeyError if there is no such joint.
    """
    return _with_joints(job, joint_ids, lambda one: structs.replace(one, opened=mm))


def allowance_of(job: Job, joint_id: str) -> JointAllowance:
    """What is allowed for at a joint; without any figure if nothing is.  Raises KeyError."""
    # Late: the form of the job needs these edits before numpy and shapely are loaded.
    from gridjig.solve.weldment.welds import key_of, welded  # noqa: PLC0415

    for one in welded(job):
        if one.joint.id == joint_id:
            key = key_of(one.joint)
            kept = (each for each in job.allowances.joints if _key(each) == key)
            joint = one.joint
            return next(kept, JointAllowance(a=joint.a, b=joint.b, nth=joint.nth))
    raise KeyError(joint_id)


def _key(one: JointAllowance) -> tuple[frozenset[str], int]:
    return (frozenset((one.a, one.b)), one.nth)


def _with_joints(
    job: Job, joint_ids: Set[str], change: Callable[[JointAllowance], JointAllowance]
) -> Job:
    changed = {}
    for joint_id in sorted(joint_ids):
        one = change(allowance_of(job, joint_id))
        changed[_key(one)] = one
    old = job.allowances.joints
    there = {_key(one) for one in old}
    every = (
        *(changed.get(_key(one), one) for one in old),
        *(one for key, one in changed.items() if key not in there),
    )
    kept = tuple(one for one in every if one.measured is not None or one.opened)
    return _allowing(job, structs.replace(job.allowances, joints=kept))


def set_longer(job: Job, part_id: str, mm: float) -> Job:
    """Set how much longer than drawn a member is cut and set; below 0 shorter.

    Raises KeyError if there is no such part.
    """
    part = part_of(job, part_id)
    others = tuple(one for one in job.allowances.parts if one.part != part.id)
    own = (PartAllowance(part=part.id, longer=mm),) if mm else ()
    return _allowing(job, structs.replace(job.allowances, parts=(*others, *own)))


def longer_of(job: Job, part_id: str) -> float:
    """How much longer than drawn a part is cut and set, mm."""
    return next((one.longer for one in job.allowances.parts if one.part == part_id), 0.0)


def _allowing(job: Job, allowances: Allowances) -> Job:
    return job if allowances == job.allowances else structs.replace(job, allowances=allowances)


def set_linear_class(job: Job, letter: LinearClass) -> Job:
    """Choose the tolerance class for lengths and angles."""
    return _as_exact(job, structs.replace(job.accuracy, linear=letter))


def set_straight_class(job: Job, letter: StraightClass) -> Job:
    """Choose the tolerance class for straightness."""
    return _as_exact(job, structs.replace(job.accuracy, straight=letter))


def set_shop_value(job: Job, name: str, mm: float) -> Job:
    """Set one of `SHOP_VALUES`, +- mm.  Raises KeyError for another name."""
    if name not in SHOP_VALUES:
        raise KeyError(name)
    return _as_exact(job, structs.replace(job.accuracy, **{name: mm}))


def point_at(job: Job, point: ChosenPoint) -> ChosenPoint | None:
    """The point that matters at the place of another; None if there is none."""
    return next((one for one in job.accuracy.points if _place(one) == _place(point)), None)


def add_point(job: Job, point: ChosenPoint) -> Job:
    """Add a point that matters; one at the same place is replaced.  Raises KeyError."""
    part_of(job, point.part)
    points = job.accuracy.points
    if point_at(job, point) is None:
        return _as_exact(job, structs.replace(job.accuracy, points=(*points, point)))
    replaced = tuple(point if _place(one) == _place(point) else one for one in points)
    return _as_exact(job, structs.replace(job.accuracy, points=replaced))


def name_point(job: Job, point: ChosenPoint, name: str) -> Job:
    """Give a point that matters another name.  Raises KeyError if its part is gone."""
    return add_point(job, structs.replace(point, name=name.strip()))


def remove_point(job: Job, point: ChosenPoint) -> Job:
    """Remove a point that matters; one that is not there makes no difference."""
    points = tuple(one for one in job.accuracy.points if _place(one) != _place(point))
    return _as_exact(job, structs.replace(job.accuracy, points=points))


def _place(one: ChosenPoint) -> tuple[str, float, float]:
    return (one.part, one.x, one.y)


def _as_exact(job: Job, accuracy: Accuracy) -> Job:
    return job if accuracy == job.accuracy else structs.replace(job, accuracy=accuracy)
