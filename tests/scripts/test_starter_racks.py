"""The rack and sample files are what their scripts write: nobody corrects them by hand."""

from pathlib import Path

import make_samples
import pytest
import starter_racks
from starter_shapes import Sizes

from gridjig.files.jobs.job_file import write_job
from gridjig.files.jobs.rack_file import encode_rack
from gridjig.files.library.assets import assets_dir


@pytest.mark.parametrize("sizes", starter_racks.SETS, ids=lambda s: s.file)
def test_each_rack_file_is_what_the_script_writes(sizes: Sizes) -> None:
    path = assets_dir() / "racks" / f"{sizes.file}.json"
    assert encode_rack(starter_racks.rack_of(sizes)) == path.read_bytes()


@pytest.mark.parametrize("name", make_samples.SAMPLES)
def test_each_sample_is_what_the_script_writes(name: str) -> None:
    path = assets_dir() / "samples" / f"{name}.gridjig"
    assert write_job(make_samples.SAMPLES[name]()) == path.read_bytes()


def test_there_is_no_other_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(starter_racks, "ASSETS", tmp_path / "racks")
    monkeypatch.setattr(make_samples, "FOLDER", tmp_path / "samples")
    starter_racks.main()
    make_samples.main()
    for folder in ("racks", "samples"):
        written = {p.name: p.read_bytes() for p in (tmp_path / folder).iterdir()}
        kept = {p.name: p.read_bytes() for p in (assets_dir() / folder).iterdir()}
        assert written == kept
