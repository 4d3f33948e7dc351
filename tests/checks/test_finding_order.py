"""Findings come by level, and within one weldment by weldment."""

from msgspec import structs

from gridjig.checks.finding_order import weldment_numbers, worst_first
from gridjig.checks.findings import findings
from gridjig.contact.book import contacts
from gridjig.model import Job, Weldment
from gridjig.solve.placed.cache import PlacedPieces
from tests.workshop import EMPTY, laid, pin, plate


def two() -> Job:
    """Two weldments; the parts of the second come first in the job."""
    second = [
        structs.replace(plate(name, x, 600), weldment="w2") for name, x in (("d", 200), ("e", 240))
    ]
    first = [plate(name, x, 200) for name, x in (("a", 200), ("b", 240))]
    job = laid(*second, *first)
    return structs.replace(job, weldments=(*EMPTY.weldments, Weldment(id="w2", name="Right frame")))


def test_findings_of_one_level_come_weldment_by_weldment() -> None:
    job = two()
    found = findings(job, PlacedPieces().of(job))
    about = [set(one.ids) for one in found if set(one.ids) & {"a", "b", "d", "e"}]
    assert {"a", "b"} in about
    assert {"d", "e"} in about
    assert about.index({"a", "b"}) < about.index({"d", "e"})
    other_way = structs.replace(job, weldments=job.weldments[::-1])
    again = [set(one.ids) for one in findings(other_way, PlacedPieces().of(other_way))]
    assert again.index({"d", "e"}) < again.index({"a", "b"})


def test_a_piece_counts_with_the_weldment_that_it_touches() -> None:
    job = two()
    # The pin is 30 across and stands at x 150: the face of a part at x 165 touches it.
    near = tuple(structs.replace(p, x=165.0, y=170.0) if p.id == "a" else p for p in job.parts)
    holding = laid(pin("s", 2, 3), pin("p", 15, 15), job=structs.replace(job, parts=near))
    touched = contacts(holding, PlacedPieces().of(holding))
    assert {one.part for one in touched.pieces["s"].contacts} >= {"a"}
    assert weldment_numbers(holding, touched) == {"a": 0, "b": 0, "d": 1, "e": 1, "s": 0}


def test_with_one_weldment_the_order_is_that_of_the_check() -> None:
    job = laid(plate("a", 200, 200), plate("b", 240, 200))
    assert weldment_numbers(job) == {}
    found = findings(job, PlacedPieces().of(job))
    assert len(found) >= 1
    assert worst_first(found) == found
