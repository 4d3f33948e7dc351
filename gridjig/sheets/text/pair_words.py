"""A value before and after a change, in words, and by how much it changed.

`Words` say what changed of one thing between two jobs.  Most fields need no more than a label: for
those, the functions at the end make them.
"""

from collections import Counter
from collections.abc import Callable, Iterable
from typing import Any

from msgspec import Struct

from gridjig.model import Display, Job
from gridjig.units import (
    format_angle,
    format_count,
    format_length,
    format_measure,
    full_angle,
    full_length,
    is_rounded,
)
from gridjig.units.decimals import MINUS


def length_pair(label: str, before: float, after: float, display: Display) -> str:
    """Return a length before and after, and the difference: length 600 mm to 650 mm (+50 mm)."""
    shown = [format_length(mm, display) for mm in (before, after)]
    if shown[0] == shown[1]:
        return _closely(label, [full_length(mm) for mm in (before, after)])
    by = format_length(abs(after - before), display)
    if is_rounded(by):
        by = format_measure(abs(after - before), display)
    return f"{label} {shown[0]} to {shown[1]} ({_sign(before, after)}{by})"


def angle_pair(label: str, before: float, after: float) -> str:
    """Return an angle before and after, such as turned 0° to 15°."""
    shown = [format_angle(degrees) for degrees in (before, after)]
    if shown[0] == shown[1]:
        return _closely(label, [full_angle(degrees) for degrees in (before, after)])
    return f"{label} {shown[0]} to {shown[1]}"


def count_pair(label: str, before: int, after: int) -> str:
    """Return a number before and after: quantity 1 to 4."""
    return f"{label} {format_count(before)} to {format_count(after)}"


def text_pair(label: str, before: str, after: str) -> str:
    """Return a short text before and after: revision A to B; revision A, none before."""
    if not before:
        return f"{label} {after}, none before"
    if not after:
        return f"{label} {before} taken away"
    if before == after:
        return f"{label} changed"
    return f"{label} {before} to {after}"


def name_words(before: str, after: str) -> str:
    """Return a new name, in quotes, as names can be any text."""
    if not before:
        return f"named “{after}”"
    return f"renamed from “{before}” to “{after}”" if after else f"name “{before}” taken away"


def note_words(label: str, before: str, after: str) -> str:
    """Return what happened to a long text that is not quoted."""
    return f"{label} {'changed' if before and after else 'written' if after else 'taken away'}"


def told_pair(label: str, before: str, after: str) -> str:
    """Return two descriptions, or that it changed if both read the same."""
    return f"{label} changed" if before == after else f"{label} {before} to {after}"


def _closely(label: str, shown: list[str]) -> str:
    if shown[0] == shown[1]:
        return f"{label} changed by less than can be shown"
    return f"{label} {shown[0]} to {shown[1]}"


def _sign(before: float, after: float) -> str:
    return "+" if after > before else MINUS


def counted(names: Iterable[str]) -> str:
    """Return names with how often each comes: 2 × shim 1 mm + riser; none."""
    counts = Counter(names)
    return (
        " + ".join(
            name if many == 1 else f"{format_count(many)} × {name}" for name, many in counts.items()
        )
        or "none"
    )


class Between(Struct, frozen=True):
    """The two jobs that are compared; lengths are shown as in the new one."""

    old: Job
    new: Job

    @property
    def display(self) -> Display:
        """How lengths are shown."""
        return self.new.display


Words = Callable[[Between, Any, Any], str]


def length_of(label: str, name: str) -> Words:
    """Return words for a field that is a length."""
    return lambda at, a, b: length_pair(label, getattr(a, name), getattr(b, name), at.display)


def angle_of(label: str, name: str) -> Words:
    """Return words for a field that is an angle."""
    return lambda at, a, b: angle_pair(label, getattr(a, name), getattr(b, name))


def count_of(label: str, name: str) -> Words:
    """Return words for a field that is a number."""
    return lambda at, a, b: count_pair(label, getattr(a, name), getattr(b, name))


def text_of(label: str, name: str) -> Words:
    """Return words for a field that is a short text."""
    return lambda at, a, b: text_pair(label, getattr(a, name), getattr(b, name))


def note_of(label: str, name: str) -> Words:
    """Return words for a field that is a long text."""
    return lambda at, a, b: note_words(label, getattr(a, name), getattr(b, name))


def either(name: str, on: str, off: str) -> Words:
    """Return words for a field that is true or false."""
    return lambda at, a, b: on if getattr(b, name) else off


def renamed(at: Between, a: Any, b: Any) -> str:
    """Return words for a new name."""
    return name_words(a.name, b.name)
