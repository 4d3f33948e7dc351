"""Several things in one sentence."""

from collections.abc import Sequence


def series(told: Sequence[str]) -> str:
    """A, B and C; with semicolons between them if a comma stands in one."""
    if len(told) < 2:
        return "".join(told)
    if len(told) > 2 and any("," in one for one in told):
        return f"{'; '.join(told[:-1])}; and {told[-1]}"
    return f"{', '.join(told[:-1])} and {told[-1]}"
