"""By how much each joint closes as it is welded: what the published rules say, or the shop's value.

The rules are rough and differ by a factor of two, and every source says that only a trial piece
tells: so the answer is a range, and a value that the shop has measured takes their place.

Butt and other groove welds: S = 0.10 Aw / t (a method statement that refers to Blodgett and AWS
D1.1) and S = 0.2 Aw / t + 0.05 d (Spraragen and Ettinger; coefficients from memory), with Aw the
area of the weld, t the thickness, d the gap.  Fillets on both sides of a T: 1.02 leg / t; of a lap:
1.52 leg / t.  A welding institute's rule of thumb: 0.8 mm for a fillet with a leg up to 3/4 of the
thickness, 1.5 to 3 mm for a butt weld in a 60 degree V.  Some calculators print 5.08 Aw / t +
1.27 d: those are 0.2 and 0.05 times 25.4, by mistake.
"""

from collections.abc import Mapping, Sequence
from functools import lru_cache

from gridjig.contact.overlap import way_in
from gridjig.geometry.part_outline import mill_faces, part_ring
from gridjig.geometry.shapes import covered
from gridjig.model import Job, JointAllowance, Member, Part
from gridjig.model.allowances import Allowances
from gridjig.rack.same import Same
from gridjig.solve.weldment.deposit import area, leg_of
from gridjig.solve.weldment.joints import Joint
from gridjig.solve.weldment.welds import Welded, key_of, welded

from .values import JointClosing, Rule

AREA_RULE = "0.10 × area / thickness, after Blodgett"
GAP_RULE = "0.2 × area / thickness + 0.05 × gap, Spraragen and Ettinger"
TEE_RULE = "1.02 × leg / thickness, two fillets on a T"
LAP_RULE = "1.52 × leg / thickness, two fillets on a lap"
FILLET_THUMB = "a welding institute's rule of thumb: 0.8 mm a fillet"
BUTT_THUMB = "a welding institute's rule of thumb: 1.5 to 3 mm a butt weld in a V"
MEASURED = "measured in this shop"

_GAP = 2.0
"""The gap of a butt weld that the deposit is reckoned with too, mm; common practice."""
_PLAIN = 3.0
"""Up to this depth, mm, a butt weld is made without a V, so that the rule for a V says nothing."""
_LEG = 0.75
"""The rule of thumb for fillets holds up to this share of the thickness."""


def closings(job: Job) -> tuple[JointClosing, ...]:
    """By how much each joint of a job closes, in part order; the same job parts give the same."""
    return _closings(Same(job.parts), Same(welded(job)), Same(job.allowances))


@lru_cache(maxsize=16)
def _closings(
    parts_key: Same[tuple[Part, ...]],
    welds: Same[tuple[Welded, ...]],
    allowances: Same[Allowances],
) -> tuple[JointClosing, ...]:
    parts = {part.id: part for part in parts_key.value}
    own = {(frozenset((one.a, one.b)), one.nth): one for one in allowances.value.joints}
    return tuple(_closing(one, parts, own.get(key_of(one.joint))) for one in welds.value)


def _closing(one: Welded, parts: Mapping[str, Part], own: JointAllowance | None) -> JointClosing:
    joint = one.joint
    a, b = parts[joint.a], parts[joint.b]
    thin = min(thickness(a), thickness(b))
    through = thin if one.kind == "butt" else _through(joint, a, b, thin)
    leg = one.leg or (leg_of(one.throat) if one.throat else thin)
    rules = rules_for(one.kind, leg, through, lap=joint.kind == "stacked")
    measured = own is not None and own.measured is not None
    if own is not None and own.measured is not None:
        low, high = max(own.measured - own.spread, 0.0), own.measured + own.spread
        rules = (Rule(MEASURED, low, high),)
    low = min((rule.low for rule in rules), default=0.0)
    high = max((rule.high for rule in rules), default=0.0)
    return JointClosing(
        joint.id,
        one.name,
        joint.a,
        joint.b,
        joint.nth,
        one.kind,
        low,
        high,
        rules,
        measured,
        leg if rules else 0.0,
        through if rules else 0.0,
        bool(rules) and not one.sized and not measured,
    )


def rules_for(kind: str, leg: float, through: float, lap: bool = False) -> tuple[Rule, ...]:
    """What the rules say for a kind of weld: `leg` is its leg or depth, `through` the thickness of
    the part that it is on; mm.  None for kinds that no rule speaks of.
    """
    if kind in ("butt", "flare bevel"):
        metal = area("butt" if kind == "butt" else "flare bevel", leg, 0.0, 90.0)
        first = 0.10 * metal / through
        second = 0.2 * metal / through + 0.05 * _GAP
        rules = [Rule(AREA_RULE, first, first), Rule(GAP_RULE, second, second)]
        if kind == "butt" and leg > _PLAIN:
            rules.append(Rule(BUTT_THUMB, 1.5, 3.0))
        return tuple(rules)
    if kind in ("fillet", "corner"):
        by = (1.52 if lap else 1.02) * leg / through
        rules = [Rule(LAP_RULE if lap else TEE_RULE, by, by)]
        if leg <= _LEG * through:
            rules.append(Rule(FILLET_THUMB, 0.8, 0.8))
        return tuple(rules)
    return ()


def thickness(part: Part) -> float:
    """The thickness of steel that a weld on a part meets: its wall, or a plate's own; mm."""
    if isinstance(part, Member):
        return part.section.wall or min(part.width, part.depth)
    return _plate(Same(part))


@lru_cache(maxsize=4096)
def _plate(key: Same[Part]) -> float:
    """A plate may lie flat or stand on its edge."""
    part = key.value
    return max(min(part.z_high - part.z_low, way_in(covered(part_ring(part)))), 1e-3)


def _through(joint: Joint, a: Part, b: Part, thin: float) -> float:
    """The thickness of the part that runs through: the one whose long face the joint is on."""
    ends = [_by_its_end(joint.sides, 0, a), _by_its_end(joint.sides, 1, b)]
    if ends == [True, False]:
        return thickness(b)
    if ends == [False, True]:
        return thickness(a)
    return thin


def _by_its_end(sides: Sequence[tuple[int, int]], which: int, part: Part) -> bool:
    """True if a part meets the other with a cut end."""
    mills = mill_faces(part)
    return bool(sides) and all(pair[which] not in mills for pair in sides)
