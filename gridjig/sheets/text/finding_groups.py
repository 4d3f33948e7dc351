"""Findings in groups: by level, by the member that they are about, or by kind."""

from collections.abc import Iterable
from typing import Literal

from gridjig.checks.finding import KINDS, LEVELS, Finding
from gridjig.model import Job
from gridjig.model.titles import title

from .finding_text import KIND_WORDS, LEVEL_WORDS

FindingOrder = Literal["level", "member", "kind"]
FindingGroup = tuple[str, tuple[Finding, ...]]

PIECES = "Pieces by themselves"
WHOLE = "The whole set-up"


def grouped(job: Job, findings: Iterable[Finding], order: FindingOrder) -> tuple[FindingGroup, ...]:
    """Return the findings under headings; by member, one that is about two is under both."""
    every = tuple(findings)
    if order == "level":
        groups = [
            (LEVEL_WORDS[level], tuple(f for f in every if f.level == level)) for level in LEVELS
        ]
    elif order == "kind":
        groups = [(KIND_WORDS[kind], tuple(f for f in every if f.kind == kind)) for kind in KINDS]
        groups.append((LEVEL_WORDS["fine"], tuple(f for f in every if not f.kind)))
    else:
        groups = _by_member(job, every)
    return tuple((head, some) for head, some in groups if some)


def _by_member(job: Job, findings: tuple[Finding, ...]) -> list[FindingGroup]:
    parts = {part.id for part in job.parts}
    groups = [
        (title(job, part.id), tuple(f for f in findings if part.id in f.ids)) for part in job.parts
    ]
    alone = [f for f in findings if f.ids and not parts.intersection(f.ids)]
    whole = [f for f in findings if not f.ids]
    return [*groups, (PIECES, tuple(alone)), (WHOLE, tuple(whole))]
