"""Cells of a spreadsheet: what it would work out is made text, and numbers stay numbers."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gridjig.sheets.lists.csv_text import csv_text, harmless


@pytest.mark.source("memory", "OWASP, CSV injection: = + - @ tab and line ends")
@pytest.mark.parametrize(
    "cell", ["=1+2", "+A1", "-A1", "@SUM(1)", "\t=1", "\r=1", " =1", "=", '-1/2"', "\uff1d1"]
)
def test_what_a_spreadsheet_would_work_out_becomes_text(cell: str) -> None:
    assert harmless(cell) == "'" + cell


@pytest.mark.parametrize(
    "cell", ["", "1", "-1", "+1.5", "-.5", "-1e-5", "A1", '1/2"', "a=b", "'=1", "− 0.2′", "—"]
)
def test_numbers_and_words_stay_as_they_are(cell: str) -> None:
    assert harmless(cell) == cell


@pytest.mark.source("library", "Python 3.11 csv", "as the reader")
@given(st.lists(st.lists(st.text(), min_size=1, max_size=4), max_size=4))
def test_every_cell_is_read_back(rows: list[list[str]]) -> None:
    back = list(csv.reader(io.StringIO(csv_text(rows), newline="")))
    assert back == [[harmless(cell) for cell in row] if row != [""] else [""] for row in rows]
