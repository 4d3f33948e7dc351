"""Which things of a finding are marked, and as what."""

from gridjig.checks.finding import Finding, FindingKind, Level, marked_ids


def found(level: Level, kind: FindingKind, *ids: str) -> Finding:
    return Finding(
        id=f"{kind}-{level}", kind=kind, level=level, what="", where=None, ids=ids, do=""
    )


def test_what_is_in_one_place_clashes_and_the_rest_is_to_be_looked_at() -> None:
    clash, check = marked_ids(
        [
            found("stop", "clash", "a", "b"),
            found("stop", "hole", "c"),
            found("stop", "loose", "d"),
            found("look", "clash", "e"),
            found("note", "clash", "f"),
        ]
    )
    assert clash == {"a", "b", "c"}
    assert check == {"d", "e"}
    assert marked_ids([]) == (frozenset(), frozenset())
