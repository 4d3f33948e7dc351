"""Which features of a piece can come to a face."""

import pytest

from gridjig.files.library.assets import starter_racks
from gridjig.rack.same import Same
from gridjig.tools.touch.chances import _features


@pytest.mark.source("method", "plane geometry: a V has two faces, and takes work by any side")
def test_a_v_has_a_feature_for_work_that_lies_in_it() -> None:
    pieces = [piece for rack in starter_racks().values() for piece in rack.pieces]
    blocks = [p for p in pieces if p.kind == "V-block" and len(p.faces) == 2]
    assert blocks
    for block in blocks:
        found = list(_features(Same(block)))
        assert len(found) >= 3
        [lying] = [one for one in found if one.look is None and len(one.points) == 4]
        one, other = block.faces
        assert set(lying.points) == {one.a, one.b, other.a, other.b}
        assert lying.z_low == max(one.z_low, other.z_low)
        assert lying.z_high == min(one.z_high, other.z_high)
