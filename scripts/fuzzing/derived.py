"""Everything derived from a job: what the window or the terminal would show of it.

Anything new that is derived from a job is added here.
"""

import math
import traceback
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import TypeVar

import msgspec

from gridjig.checks.findings import findings
from gridjig.checks.needs import needs
from gridjig.cli.outputs.contacts import contacts_output
from gridjig.cli.outputs.cuts import cuts_output
from gridjig.cli.outputs.pull import pull_output
from gridjig.cli.outputs.welds import welds_output
from gridjig.contact.belonging import pieces_of
from gridjig.contact.book import contacts
from gridjig.files.exports.svg import svg_bytes
from gridjig.model import Job
from gridjig.model.by_weldment import only
from gridjig.proof.report import prove
from gridjig.sheets.drawings import joints, plan
from gridjig.sheets.drawings.contacts import draw_contact_bars, draw_contact_signs
from gridjig.sheets.drawings.hole_marks import draw_hole_mark
from gridjig.sheets.drawings.layout import draw_datum, draw_put, draw_remainder
from gridjig.sheets.drawings.silhouette import silhouette
from gridjig.sheets.drawings.true_size import setup_drawing
from gridjig.sheets.lists import (
    bar_list,
    cut_lines,
    cut_list,
    drawer_list,
    pull_list,
    weld_list,
    weldment_lines,
)
from gridjig.sheets.text import contact_text, joint_text
from gridjig.sheets.text.layout_text import put_line, remainder_line, summary_words
from gridjig.sheets.text.symmetry_text import advice_words, hand_words, way_line
from gridjig.solve.cutting.process import by_hand
from gridjig.solve.cutting.values import CuttingAnswer, CuttingTask
from gridjig.solve.layout.faults import LayoutFault
from gridjig.solve.layout.places import weldment_places
from gridjig.solve.layout.remainders import remainders
from gridjig.solve.layout.ways_up import ways_up
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units.progress import Progress
from gridjig.words.layout_fault_text import layout_fault_text

from .kind import Find, is_ours

T = TypeVar("T")
_MOST_WELDMENTS = 12
_MOST_TELLING = 200  # lines of one list that are turned into text


def _by_hand(tasks: Sequence[CuttingTask], progress: Progress) -> tuple[CuttingAnswer, ...]:
    """Bars without the solver, which is a process of its own: too slow for every case."""
    return tuple(map(by_hand, tasks))


def derive(job: Job) -> None:
    """Derive everything.  Raise whatever the program raises, or Find if a number is not finite."""
    placed_pieces = PlacedPieces().of(job)
    require_finite("findings", findings(job, placed_pieces))
    proved = prove(job, placed_pieces)
    require_finite("what was proved", proved.findings)
    require_finite("how it is located", proved.located and proved.located.parts)
    require_finite("how it is held", proved.held and (proved.held.parts, proved.held.locators))
    needs(job)
    pulled = pull_list.pull_list(job)
    require_finite("the pull list", pull_output(pulled))
    pull_list.to_csv(pulled), pull_list.to_text(pulled)
    cut = cut_list.cut_list(job)
    bars = bar_list.bar_list(job, solver=_by_hand)
    bar_list.bar_lines(bars), bar_list.to_csv(bars)
    require_finite("the cut list", cuts_output(cut, bars))
    cut_list.to_csv(cut), cut_list.to_text(cut), cut_lines.cut_lines(cut)
    svg_bytes(setup_drawing(job, placed_pieces=placed_pieces))
    welds = weld_list.weld_list(job)
    require_finite("the weld list", welds_output(welds))
    weld_list.to_csv(welds), weld_list.to_text(welds)
    joint_text.joint_lines(job)
    drawer_list.drawer_lines(job)
    touched(job, placed_pieces)
    for one in job.weldments[:_MOST_WELDMENTS]:
        of_weldment(job, one.id)
    weldment_lines.weldment_lines(job), weldment_lines.total_words(job)
    grid(job)
    for drawing in drawings(job):
        require_finite("the plan", drawing)


def touched(job: Job, placed_pieces: Mapping[str, PlacedPiece]) -> None:
    """Derive what touches what."""
    found = contacts(job, placed_pieces)
    require_finite("the contacts", contacts_output(job, placed_pieces, found))
    contact_text.summary_text(job, found)
    for piece, own in found.pieces.items():
        contact_text.piece_contact_lines(job, found, piece)
        draw_contact_bars(own)
        draw_contact_signs(placed_pieces[piece], own, found.roles[piece])
    for part in job.parts[:_MOST_TELLING]:
        contact_text.part_contact_lines(job, found, part.id)
    for weldment in job.weldments[:_MOST_WELDMENTS]:
        pieces_of(job, placed_pieces, found, weldment.id)


def of_weldment(job: Job, weldment: str) -> None:
    """Derive what is told of one weldment by itself."""
    cut = cut_list.cut_list(job, weldment)
    bars = bar_list.bar_list(job, weldment, solver=_by_hand)
    require_finite("the cut list of a weldment", cuts_output(cut, bars))
    cut_lines.cut_lines(cut), cut_list.to_text(cut)
    joint_text.total_words(job, weldment)
    alone = only(job, weldment)
    weld_list.to_text(weld_list.weld_list(alone))


def grid(job: Job) -> None:
    """Derive what the grid leaves in front of the faces, and where the weldment could lie."""
    found = refused_in_words(lambda: remainders(job))
    if found is not None:
        summary_words(job, found)
        require_finite("the datum", draw_datum(found.datum))
        for one in found.found[:_MOST_TELLING]:
            require_finite("a remainder", one.left)
            remainder_line(job, found, one)
            require_finite("a remainder", draw_remainder(job, one))
    places = refused_in_words(lambda: weldment_places(job))
    if places is not None:
        for put in places.found:
            put_line(job, places, put)
            require_finite("a place", draw_put(job, put))
    ways = ways_up(job)
    advice_words(job, ways), hand_words(job)
    for way in ways:
        way_line(job, way)


def drawings(job: Job) -> Iterator[object]:
    """Yield the display lists that the sheet is painted from."""
    for stood in PlacedPieces().of(job).values():
        yield plan.draw_beneath(stood)
        yield plan.draw_placement(stood, job.table)
        yield plan.draw_ghost(stood, job.table)
    for index, part in enumerate(job.parts):
        yield plan.draw_part(part, index)
        yield plan.draw_part_dims(part, job.display)
    yield joints.draw_joints(job)
    for mark in job.table.marks[:_MOST_TELLING]:
        yield draw_hole_mark(job.table, mark)
    for piece in job.rack.pieces:
        yield silhouette(piece)


def refused_in_words(ask: Callable[[], T]) -> T | None:
    """Return an answer, or None if the project itself refuses, with a sentence.

    A ValueError from a library or from arithmetic is a fault, whatever it says.
    """
    try:
        return ask()
    except LayoutFault as fault:
        if not layout_fault_text(fault.reason).strip():
            raise Find("a refusal without a word") from fault
        return None
    except ValueError as fault:
        last = traceback.extract_tb(fault.__traceback__)[-1]
        if not (last.line or "").startswith("raise ") or not is_ours(last.filename):
            raise
        if not str(fault).strip():
            raise Find("a refusal without a word") from fault
        return None


def require_finite(what: str, value: object) -> None:
    """Raise Find if the value contains a number that is not finite."""
    for number in numbers(msgspec.to_builtins(value)):
        if not math.isfinite(number):
            raise Find(f"{what} has a number that is not finite: {number}")


def numbers(tree: object) -> Iterator[float]:
    """Yield every float in plain lists and mappings."""
    if isinstance(tree, float):
        yield tree
    elif isinstance(tree, dict):
        for value in tree.values():
            yield from numbers(value)
    elif isinstance(tree, list | tuple):
        for value in tree:
            yield from numbers(value)
