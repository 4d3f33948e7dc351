"""Findings in words: what the levels and kinds are called, how much against which limit, where."""

from collections.abc import Iterable, Mapping

from gridjig.checks.finding import Finding, FindingKind, Level
from gridjig.model import Display, Job
from gridjig.model.labels import address
from gridjig.units import (
    format_count,
    format_figures,
    format_fineness,
    format_force,
    format_length,
    format_mass,
    format_measure,
    format_number,
    format_rounded_angle,
)

LEVEL_WORDS: Mapping[Level, str] = {
    "stop": "To fix",
    "look": "To look at",
    "note": "Good to know",
    "fine": "Fine",
}
KIND_WORDS: Mapping[FindingKind, str] = {
    "loose": "Loose",
    "over-located": "Located twice",
    "not-seated": "Not pushed against its stops",
    "lifts": "Lifts off",
    "friction-only": "Held by friction",
    "inexact": "Not exact enough",
    "clash": "Clashes",
    "height": "Heights and supports",
    "falls": "Falls or tips",
    "access": "Room for the torch",
    "welds-in": "Too near a weld",
    "trapped": "Trapped",
    "tight": "Tight after welding",
    "overhang": "Over the edge",
    "hole": "Holes",
    "shortage": "Short on the rack",
    "weight": "Weight",
    "idle": "Does nothing",
    "gap": "Does not touch",
    "allowance": "Shrinkage allowance",
}
"""What each kind of finding is called in a list."""

_FINE = 0.5
"""Lengths below this, mm, are shown to the last digit that counts."""


def counts_words(findings: Iterable[Finding]) -> str:
    """Return how many there are of each level: 1 to fix, 3 to look at, 2 good to know."""
    every = list(findings)
    many = [(sum(f.level == level for f in every), LEVEL_WORDS[level].lower())
            for level in ("stop", "look", "note")]  # fmt: skip
    return ", ".join(f"{format_count(n)} {words}" for n, words in many if n)


def _amount(value: float, finding: Finding, display: Display) -> str:
    match finding.unit:
        case "mm":
            shown = format_fineness if 0.0 < abs(value) < _FINE else format_measure
            return shown(value, display)
        case "deg":
            return format_rounded_angle(value, 1)
        case "kg":
            return format_mass(value, display)
        case "N":
            return format_force(value, display)
        case "pieces":
            return "1 piece" if value == 1.0 else f"{format_number(value)} pieces"
        case _:
            return f"{format_figures(value)} times"


def figure_words(finding: Finding, display: Display) -> str:
    """Return how much was found against which limit; empty where there is nothing to measure.

    A limit of nothing is what the words of the finding say themselves.
    """
    if finding.value is None:
        return ""
    said = _amount(finding.value, finding, display)
    if finding.limit is None or (not finding.limit and finding.unit != "pieces"):
        return said
    return f"{said}, limit {_amount(finding.limit, finding, display)}"


def where_words(job: Job, finding: Finding) -> str:
    """Return the hole nearest to a finding and its place on the table; empty if it has none."""
    if finding.where is None:
        return ""
    x, y = finding.where
    at = f"{format_length(x, job.display)}, {format_length(y, job.display)}"
    near = address(job.table, job.table.nearest(x, y))
    return f"near {near}, at {at}"


def detail_words(job: Job, finding: Finding) -> str:
    """Return where a finding is, how much against which limit, and where those come from."""
    said = [
        words for words in (where_words(job, finding), figure_words(finding, job.display)) if words
    ]
    told = "; ".join(said)
    lines = [f"{told[:1].upper()}{told[1:]}."] if told else []
    if finding.source:
        lines.append(f"Source: {finding.source.rstrip('.')}.")
    return " ".join(lines)
