"""What a search for joints leaves out, in words."""

from gridjig.solve.weldment.joints import MOST_PAIRS
from gridjig.units import format_count


def pairs_left_out_text() -> tuple[str, str]:
    """Return what it means that `joints.left_out` is true, and what to do; each a sentence."""
    most = format_count(MOST_PAIRS)
    return (
        f"More than {most} pairs of parts meet; joints were looked for at the first {most} only.",
        "Delete the duplicates and check again.",
    )
