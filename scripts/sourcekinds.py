"""The kinds of sources that tests compare with, and what a mark of each kind must state.

A test states its source with `@pytest.mark.source(kind, ...)`.  A source counts as published only
if its text was seen; what is merely remembered is marked so.
"""

import re
from collections.abc import Sequence
from enum import StrEnum


class SourceKind(StrEnum):
    """The kinds of sources, strongest first."""

    PUBLISHED = "published"
    LIBRARY = "library"
    METHOD = "method"
    PRACTICE = "practice"
    MEMORY = "memory"


MEANING = {
    SourceKind.PUBLISHED: "a standard, handbook, paper or data set that was seen",
    SourceKind.LIBRARY: "a general-purpose library or program, with its version",
    SourceKind.METHOD: "an independent method: brute force, arithmetic, symmetry",
    SourceKind.PRACTICE: "common practice without a source",
    SourceKind.MEMORY: "from memory, not looked up",
}
HOW = {
    SourceKind.PUBLISHED: 'source("published", title with its edition, table or section)',
    SourceKind.LIBRARY: 'source("library", name and version, what of it)',
    SourceKind.METHOD: 'source("method", which)',
    SourceKind.PRACTICE: 'source("practice", which)',
    SourceKind.MEMORY: 'source("memory", what)',
}


def fault_of(values: Sequence[object]) -> str:
    """Return what is wrong with the arguments of a source mark, or an empty string."""
    texts = [value for value in values if isinstance(value, str) and value.strip()]
    if len(texts) != len(values) or not texts or texts[0] not in list(SourceKind):
        kinds = ", ".join(SourceKind)
        return f"a source begins with its kind, one of {kinds}, and goes on with texts"
    kind = SourceKind(texts[0])
    wanted = HOW[kind].count(",") + 1
    if len(texts) != wanted:
        return f"write {HOW[kind]}"
    if kind is SourceKind.LIBRARY and not re.search(r"\d", texts[1]):
        return f"write {HOW[kind]}: {texts[1]} has no version"
    if kind is not SourceKind.MEMORY and "from memory" in " ".join(texts):
        return "what is from memory has the kind memory"
    return ""
