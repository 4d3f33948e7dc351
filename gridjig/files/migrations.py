"""Old versions of a document, step by step: each function takes the plain tree of one version and
gives that of the next.  Only in memory; the file stays as it is until the person saves.
"""

from collections.abc import Callable, Mapping

Tree = dict[str, object]
Steps = Mapping[int, Callable[[Tree], Tree]]

# A step never raises on an odd tree: it leaves what it does not know for the typed decoder to name.
JOB_STEPS: Steps = {}
JOB_VERSION = 1


def migrate(tree: Tree, version: int, wanted: int, steps: Steps) -> Tree:
    """The tree brought from one version to a later one.  KeyError if a step is missing."""
    for at in range(version, wanted):
        tree = steps[at](tree)
    return tree
