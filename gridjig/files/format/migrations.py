"""Migrates old versions of a document step by step: each function takes the plain tree of one
version and returns that of the next.  Only in memory; the file stays as it is until saved.
"""

from collections.abc import Callable, Mapping

Tree = dict[str, object]
Steps = Mapping[int, Callable[[Tree], Tree]]

# A step never raises on an odd tree: what it does not know is left for the typed decoder to report.


def _parts_from_outlines(tree: Tree) -> Tree:
    """Version 2 calls the parts of the weldment parts, and those drawn by corners plates."""
    if "outlines" not in tree or "parts" in tree:
        return tree
    parts = tree["outlines"]
    if isinstance(parts, list):
        parts = [_plate_from_outline(part) for part in parts]
    return {
        ("parts" if key == "outlines" else key): (parts if key == "outlines" else value)
        for key, value in tree.items()
    }


def _plate_from_outline(part: object) -> object:
    if isinstance(part, dict) and part.get("type") == "outline":
        return {**part, "type": "plate"}
    return part


def _from_version_2(tree: Tree) -> Tree:
    return _one_weldment(tree)


def _one_weldment(tree: Tree) -> Tree:
    """Version 3 has several weldments, each with its datum; an older job is one weldment."""
    if "datum" not in tree or "weldments" in tree:
        return tree
    first = {"id": "weldment-1", "datum": tree["datum"]}
    made: Tree = {}
    for key, value in tree.items():
        if key == "parts":
            made["weldments"] = [first]
        if key != "datum":
            made[key] = value
    made.setdefault("weldments", [first])
    return made


def _from_version_3(tree: Tree) -> Tree:
    """Version 4 only has more fields; what an older job does not say is as it was."""
    return tree


JOB_STEPS: Steps = {1: _parts_from_outlines, 2: _from_version_2, 3: _from_version_3}
JOB_VERSION = 4


def migrate(tree: Tree, version: int, wanted: int, steps: Steps) -> Tree:
    """Return the tree migrated to a later version.  Raise KeyError if a step is missing."""
    for at in range(version, wanted):
        tree = steps[at](tree)
    return tree
