"""Rack files: read, merged into a job, every piece drawn and set in a hole."""

from pathlib import Path
from random import Random

from gridjig.cli import main
from gridjig.edits.rack_import import compare, imported
from gridjig.files.format.faults import ReadFault
from gridjig.files.jobs.job_file import load_job, schema
from gridjig.files.jobs.rack_file import encode_rack, read_rack, write_rack
from gridjig.files.library.assets import samples, starter_racks
from gridjig.rack import Rack
from gridjig.sheets.drawings.silhouette import silhouette
from tests.workshop import RACK

from .derived import require_finite
from .jobs import require_sentence
from .kind import Find, Parts
from .said import require_answer, said
from .trees import Trees

_FEW = 3


class Racks:
    """Each case is a rack file."""

    def __init__(self, folder: Path) -> None:
        self._file = folder / "case.gridrack"
        self._own = load_job(next(iter(samples().values())))
        racks = [RACK, *starter_racks().values()]
        few = [encode_rack(_some(rack, k)) for rack in racks for k in range(0, len(rack.pieces), 5)]
        self._trees = Trees(schema(), [*few, *(encode_rack(rack) for rack in racks)], root="Rack")

    def make(self, chance: Random) -> bytes:
        """Return a rack file, usually one that can be read."""
        return self._trees.changed(chance)

    def run(self, data: bytes) -> str:
        """Read the rack, merge it, draw its pieces and place them."""
        self._file.write_bytes(data)
        try:
            rack = read_rack(self._file)
        except ReadFault as fault:
            require_sentence(str(fault))
            return "refused"
        write_rack(self._file, rack)
        if read_rack(self._file) != rack:
            raise Find("a rack is another one after it was written and read")
        compared = compare(self._own.rack, rack)
        added = sum(line.does == "added" for line in compared.lines)
        if len(compared.lines) + compared.same != len(rack.pieces):
            raise Find("an import has no line for a piece")
        merged = imported(self._own, compared, {line.key for line in compared.lines}).rack
        kept = {p.id for p in self._own.rack.pieces} <= {p.id for p in merged.pieces}
        if not kept or len(merged.pieces) != len(self._own.rack.pieces) + added:
            raise Find("pieces are lost in merging racks")
        for piece in rack.pieces:
            require_finite("a silhouette", silhouette(piece))
        for piece in rack.pieces[:_FEW]:
            for verb in ("poses", "reach"):
                words = [verb, piece.id, "C4", "--table", "48x48-5/8", "--rack", str(self._file)]
                require_answer(words, said(main, words))
        return "read"

    def parts(self, data: bytes) -> Parts | None:
        """Split the file into parts that can be left out."""
        return self._trees.parts(data)


def _some(rack: Rack, first: int) -> Rack:
    """Return a rack with a few of its pieces, and the pins that they need."""
    pieces = rack.pieces[first : first + 5]
    taken = {pin for piece in pieces for pin in piece.takes}
    pins = tuple(p for p in rack.pieces if p.id in taken and p not in pieces)
    return Rack(name=rack.name, walk=rack.walk, pieces=(*pieces, *pins))


def reading(folder: Path) -> Racks:
    """Return the trial for this kind."""
    return Racks(folder)
