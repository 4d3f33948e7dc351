"""HiGHS, run where it can be stopped at any moment."""

import atexit
import time

from gridjig.units.progress import Progress

_SLICE = 0.05
"""How long HiGHS runs between two looks at whether it is to stop, s."""
_STOPPING = 0.1
"""How long it is waited for once it has been told to stop, s."""


def run_engine(engine: "highspy.Highs", seconds: float, progress: Progress) -> bool:  # type: ignore[name-defined]  # noqa: F821
    """Run HiGHS where it can be stopped; False if it was."""
    engine.HandleUserInterrupt = True
    engine.startSolve()
    until, stopped = time.monotonic() + seconds, False
    try:
        while not engine.wait(_SLICE)[0]:
            if time.monotonic() > until:
                stopped = True
                break
            progress.check()
    except BaseException:
        _stop(engine)
        raise
    if stopped:
        _stop(engine)
    return not stopped


_stopping: list["highspy.Highs"] = []  # type: ignore[name-defined]  # noqa: F821


def _stop(engine: "highspy.Highs") -> None:  # type: ignore[name-defined]  # noqa: F821
    """Tell HiGHS to stop; where it is in the middle of something, it does so by itself."""
    engine.cancelSolve()
    if not engine.wait(_STOPPING)[0]:
        _stopping.append(engine)


@atexit.register
def _wait_for_all() -> None:
    """Its threads end before Python does: one that came back to nothing would crash."""
    while _stopping:
        _stopping.pop().wait(10.0)
