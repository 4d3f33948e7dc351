"""What a joint closes by, in words: the range and each rule, or the shop's own value."""

from msgspec import structs

from gridjig.edits.allowances import set_measured
from gridjig.edits.joints import set_welds
from gridjig.model import Display
from gridjig.proof.out.closing import closings
from gridjig.sheets.text.closing_text import closing_range, closing_words
from tests.proof.frames import frame, jigged, tube
from tests.workshop import laid

MM = Display(unit="millimetres")


def test_each_rule_is_told_with_its_figure() -> None:
    line = laid(tube("a", 100, 100, 0, 200), tube("b", 300, 100, 0, 200))
    (one,) = closings(set_welds(line, leg=6.0))
    said = closing_words(one, MM)
    assert said.startswith("J1 closes by 0.7 mm to 3 mm by published rules, which are rough: ")
    assert said.count("mm (") == 3
    assert "Spraragen" in said
    assert "1.5 mm to 3 mm (a welding institute's rule of thumb" in said
    assert closing_range(one, MM) == "0.7 mm to 3 mm"


def test_a_weld_without_a_size_says_what_it_was_reckoned_with() -> None:
    said = closing_words(closings(laid(*frame()))[0], MM)
    assert said.endswith("It has no size yet: reckoned as 3 mm, the thinner wall.")


def test_the_shops_own_value_needs_no_rule() -> None:
    one = closings(set_measured(jigged(), {"front/left"}, 0.6, 0.2))[0]
    assert closing_words(one, MM) == "J1 closes by 0.4 mm to 0.8 mm, measured in this shop."


def test_where_no_rule_is_known_that_is_said() -> None:
    none = closings(set_welds(laid(*frame()), kind="none"))[0]
    assert closing_words(none, MM) == "No published rule says by how much J1 closes."
    assert closing_range(none, MM) == ""
    assert closing_range(structs.replace(none, name="J9"), MM) == ""
