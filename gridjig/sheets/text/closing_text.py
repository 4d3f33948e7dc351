"""By how much a joint closes as it is welded, in words: the range, and what each rule says."""

from gridjig.model import Display
from gridjig.proof.out.values import JointClosing, Rule
from gridjig.units import format_measure


def closing_range(one: JointClosing, display: Display) -> str:
    """Return the range of what a joint closes by: 0.5 mm to 0.8 mm; empty if no rule is known."""
    return _range(one.low, one.high, display) if one.rules else ""


def closing_words(one: JointClosing, display: Display) -> str:
    """Return what a joint closes by, and what each rule says.

    Two rules for the same weld may differ by a factor of two, so that each is named.
    """
    if not one.rules:
        return f"No published rule says by how much {one.name} closes."
    said = f"{one.name} closes by {closing_range(one, display)}"
    if one.measured:
        return f"{said}, measured in this shop."
    told = "; ".join(_rule(rule, display) for rule in one.rules)
    size = ""
    if one.assumed:
        leg = format_measure(one.leg, display)
        size = f" It has no size yet: reckoned as {leg}, the thinner wall."
    return f"{said} by published rules, which are rough: {told}.{size}"


def _rule(rule: Rule, display: Display) -> str:
    return f"{_range(rule.low, rule.high, display)} ({rule.source})"


def _range(low: float, high: float, display: Display) -> str:
    shown = [format_measure(mm, display) for mm in (low, high)]
    return shown[0] if shown[0] == shown[1] else f"{shown[0]} to {shown[1]}"
