"""Minimises a case: parts are left out as long as the same thing still goes wrong.

The method is delta debugging (Zeller and Hildebrandt, 2002): halves first, then smaller pieces.
"""

import time
from collections.abc import Callable

from .kind import Parts


def smaller(
    data: bytes,
    apart: Callable[[bytes], Parts | None],
    still: Callable[[bytes], bool],
    seconds: float,
) -> bytes:
    """Return the smallest case found in that time for which `still` is true; at worst `data`
    itself.

    Parts that do not matter are left out; then the rest is split again, because it may have finer
    parts.
    """
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        whole = apart(data)
        if whole is None:
            return data
        cut = _thinned(whole, still, end)
        if len(cut) >= len(data):
            return data
        data = cut
    return data


def _thinned(whole: Parts, still: Callable[[bytes], bool], end: float) -> bytes:
    parts = whole.parts
    size = max(len(parts) // 2, 1)
    while parts:
        at = 0
        while at < len(parts):
            if time.monotonic() > end:
                return whole.join(parts)
            fewer = parts[:at] + parts[at + size :]
            if still(whole.join(fewer)):
                parts = fewer
            else:
                at += size
        if size == 1:
            break
        size //= 2
    return whole.join(parts)
