"""Everything that can be set against a face of the work."""

from gridjig.solve.weldment.faces import WorkFace

from .arms import arm_atoms
from .rigid import rigid_atoms
from .site import Atom, Site
from .stops import along_grid, on_one_pin, spans_of


def atoms_before(site: Site, face: WorkFace, kind: str) -> list[Atom]:
    """What can be set against a face, at places spread from both of its ends."""
    spans = spans_of(site, face, kind)
    if not spans:
        return []
    some = along_grid(site, face, kind, spans) if face.axis is not None else ()
    found = list(some)
    if face.axis is None or len(found) < 2:
        found += on_one_pin(site, face, kind, spans)
    found += rigid_atoms(site, face, kind, spans)
    if face.axis is None and kind == "long face":
        found += arm_atoms(site, face, kind, spans)
    return found
