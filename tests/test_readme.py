"""The README shows what the commands print: each command in it is run and compared."""

import re
from pathlib import Path

import pytest

from gridjig.cli import main
from gridjig.cli.command import all_verbs
from showing import SHOWN, renewed, words_of

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


def shown() -> list[tuple[str, str]]:
    """Commands of the README with the output below them; a line of three dots leaves some out."""
    return [
        (match["command"], re.sub(r"^    ", "", match["output"], flags=re.M).strip("\n"))
        for match in SHOWN.finditer(README)
    ]


def test_every_headless_verb_is_shown() -> None:
    verbs = {verb.name for verb in all_verbs()}
    assert len(verbs) >= 9
    assert {command.split()[0] for command, _ in shown()} == verbs


def test_renewing_an_output_keeps_the_rest() -> None:
    text = "Before.\n\n    $ gridjig dance now\n    old\n    older\n\nAfter.\n"
    new = renewed(text)
    assert new.startswith(
        "Before.\n\n    $ gridjig dance now\n    gridjig: There is no verb dance;"
    )
    assert new.endswith(".\n\nAfter.\n")
    kept = "    $ gridjig schema\n    {\n    ...\n"
    assert renewed(kept) == kept


@pytest.mark.parametrize(("command", "output"), shown())
def test_what_the_readme_shows_is_what_is_printed(
    command: str,
    output: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    for earlier, _ in shown():
        made = words_of(earlier)[-1]
        if made.endswith(".pdf") and made in words_of(command)[1:-1]:
            assert main(words_of(earlier)) == 0  # it writes what this one reads
            capsys.readouterr()
    code = main(words_of(command))
    printed = capsys.readouterr()
    assert code == (2 if printed.err else 0)
    said = (printed.out + printed.err).strip("\n")
    start, dots, _ = output.partition("...")
    if dots:
        assert said.startswith(start)
    else:
        assert said == output, "run scripts/showing.py and look at the difference"
