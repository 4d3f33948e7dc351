"""`gridjig sheet` and `gridjig open-sheet` from the command line."""

from pathlib import Path

import pypdf
import pytest

from gridjig.cli.command import all_verbs, find_verb, main
from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples

GATE = sorted(samples().values())[1]


def test_a_sheet_is_written_and_gives_the_same_job_back(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out, again = tmp_path / "gate.pdf", tmp_path / "gate.gridjig"
    assert main(["sheet", str(GATE), str(out), "--paper", "A3", "--both-units"]) == 0
    assert "pages A3, scale 1:10, the job inside" in capsys.readouterr().out
    reader = pypdf.PdfReader(out)
    assert float(reader.pages[0].mediabox.width) == pytest.approx(420 * 72 / 25.4, abs=1)
    assert "SCALE 1:10" in reader.pages[0].extract_text()
    assert main(["open-sheet", str(out), str(again)]) == 0
    assert load_job(again) == load_job(GATE)


@pytest.mark.parametrize(
    ("given", "why"),
    [
        (["sheet", str(GATE), "x.txt"], "x.txt must end in .pdf"),
        (["sheet", str(GATE), "x.pdf", "--scale", "big"], "big is not a scale; give one such as"),
        (["sheet", str(GATE), "x.pdf", "--scale", "1:5"], "does not fit this page at 1:5; choose"),
        (["sheet", str(GATE), "x.pdf", "--paper", "A9"], "A4, A3, Letter"),
        (["open-sheet", "x.gridjig", "y.gridjig"], "x.gridjig must end in .pdf"),
        (["open-sheet", "x.pdf", "y.txt"], "y.txt must end in .gridjig"),
        (["open-sheet", "nothing.pdf", "y.gridjig"], "nothing.pdf cannot be read"),
    ],
)
def test_what_cannot_be_done_is_refused_in_a_sentence(
    given: list[str],
    why: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(given) == 2
    said = capsys.readouterr()
    assert why in said.err
    assert said.out == ""
    assert list(tmp_path.iterdir()) == []


def test_an_existing_file_is_kept_unless_forced(tmp_path: Path) -> None:
    out = tmp_path / "gate.pdf"
    out.write_bytes(b"mine")
    assert main(["sheet", str(GATE), str(out)]) == 2
    assert out.read_bytes() == b"mine"
    assert main(["sheet", str(GATE), str(out), "--force", "--scale", "1:20", "--large"]) == 0
    assert out.read_bytes().startswith(b"%PDF-")


def test_a_verb_of_two_words_is_found_by_its_name() -> None:
    verb = find_verb("open-sheet")
    assert verb is not None
    assert verb in all_verbs()


def test_a_verb_reads_the_job_inside_a_sheet(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "gate.pdf"
    assert main(["sheet", str(GATE), str(out)]) == 0
    capsys.readouterr()
    assert main(["compare", str(out), str(GATE)]) == 0
    assert "nothing changed; the two jobs are equal" in capsys.readouterr().out
    bad = tmp_path / "bad.pdf"
    bad.write_text("no PDF", "utf-8")
    assert main(["pull", str(bad)]) == 2
    assert "it is not a PDF that can be read" in capsys.readouterr().err
