"""What a search for joints leaves out, in words."""

from gridjig.words.joints_text import pairs_left_out_text


def test_it_says_how_many_pairs_were_looked_at_and_what_to_do() -> None:
    what, do = pairs_left_out_text()
    assert what.startswith("More than 40,000 pairs of parts meet; ")
    assert do == "Delete the duplicates and check again."
