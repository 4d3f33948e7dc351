"""How wide the letters on a sheet are, and how a text is broken into lines that fit.

The widths are those of DejaVu Sans, regular and bold, in thousandths of the em.  Pages are made
without a font at hand; where a painter's letters are wider it condenses them into their boxes.
"""

import unicodedata
from collections.abc import Iterator
from functools import lru_cache

from gridjig.units.unbroken import words_of

CAPITAL = 0.729
"""Height of a capital as a fraction of the em."""
LINE = 1.75
"""From one line of text to the next, in heights of capitals."""
_UNKNOWN, _EAST_ASIAN = 700, 1000
_PLAIN = (
    *range(0x20, 0x7F),
    *range(0xA0, 0x180),
)

_SIGNS = "‘’“”–—…•−≈∅Δ☐→←↑↓≤≥π√"
_REGULAR = """
318 401 460 838 636 950 780 275 390 390 500 838 318 361 318 337 636 636 636 636 636 636 636
636 636 636 337 337 838 838 838 531 1000 684 686 698 770 632 575 775 752 295 295 656 557 863
748 787 603 787 695 635 611 732 684 989 685 611 685 390 337 390 838 500 500 613 635 550 635
615 352 635 634 278 278 579 278 974 634 612 635 635 411 521 392 634 592 818 592 592 525 636
337 636 838 318 401 636 636 636 636 337 500 500 1000 471 612 838 0 1000 500 500 838 401 401
500 636 636 318 500 401 471 612 969 969 969 531 684 684 684 684 684 684 974 698 632 632 632
632 295 295 295 295 775 748 787 787 787 787 787 838 787 732 732 732 732 611 605 630 613 613
613 613 613 613 982 550 615 615 615 615 278 278 278 278 612 634 612 612 612 612 612 838 612
634 634 634 634 592 635 592 684 613 684 613 684 613 698 550 698 550 698 550 698 550 770 635
775 635 632 615 632 615 632 615 632 615 632 615 775 635 775 635 775 635 775 635 752 634 916
695 295 278 295 278 295 278 295 278 295 278 590 556 295 278 656 579 579 557 278 557 278 557
375 557 342 562 284 748 634 748 634 748 634 813 748 634 787 612 787 612 787 612 1070 1023
695 411 695 411 695 411 635 521 635 521 635 521 635 521 611 392 611 392 611 392 732 634 732
634 732 634 732 634 732 634 732 634 989 818 611 592 611 685 525 685 525 685 525 352 318 318
518 518 500 1000 1000 590 838 838 871 684 896 838 838 838 838 838 838 602 637
"""
_BOLD = """
348 456 521 838 696 1002 872 306 457 457 523 838 380 415 380 365 696 696 696 696 696 696 696
696 696 696 400 400 838 838 838 580 1000 774 762 734 830 683 683 821 837 372 372 775 637 995
837 850 733 850 770 720 682 812 774 1103 771 724 725 457 365 457 838 500 500 675 716 593 716
678 435 716 712 343 343 665 343 1042 712 687 716 716 493 595 478 712 652 924 645 652 582 712
365 712 838 348 456 696 696 636 696 365 500 500 1000 564 646 838 0 1000 500 500 838 438 438
500 736 636 380 500 438 564 646 1035 1035 1035 580 774 774 774 774 774 774 1085 734 683 683
683 683 372 372 372 372 838 837 850 850 850 850 850 838 850 812 812 812 812 724 738 719 675
675 675 675 675 675 1048 593 678 678 678 678 343 343 343 343 687 712 687 687 687 687 687 838
687 712 712 712 712 652 716 652 774 675 774 675 774 675 734 593 734 593 734 593 734 593 830
716 838 716 683 678 683 678 683 678 683 678 683 678 821 716 821 716 821 716 821 716 837 712
974 790 372 343 372 343 372 343 372 343 372 343 744 686 372 343 775 665 665 637 343 637 343
637 479 637 557 642 371 837 712 837 712 837 712 983 837 712 850 687 850 687 850 687 1167
1094 770 493 770 493 770 493 720 595 720 595 720 595 720 595 682 478 682 478 682 478 812 712
812 712 812 712 812 712 812 712 812 712 1103 924 724 652 724 725 582 725 582 725 582 435 380
380 657 657 500 1000 1000 639 838 838 856 774 896 838 838 838 838 838 838 791 667
"""


def _table(widths: str) -> dict[str, int]:
    letters = [*map(chr, _PLAIN), *_SIGNS]
    return dict(zip(letters, map(int, widths.split()), strict=True))


_WIDTHS = (_table(_REGULAR), _table(_BOLD))


@lru_cache(maxsize=16_384)
def width_of(words: str, size: float, bold: bool = False) -> float:
    """Return how wide a text is, mm, with capitals `size` mm high."""
    known = _WIDTHS[bold]
    total = 0
    for letter in words:
        wide = known.get(letter)
        total += wide if wide is not None else _guess(letter)
    return total * size / CAPITAL / 1000.0


def _guess(letter: str) -> int:
    if unicodedata.combining(letter):
        return 0
    return _EAST_ASIAN if unicodedata.east_asian_width(letter) in "WF" else _UNKNOWN


def lines_of(words: str, size: float, room: float, bold: bool = False) -> tuple[str, ...]:
    """Return a text broken into lines at most `room` mm wide, at blanks where there are any.

    Line ends in the text are kept, and so is a number with its unit where a line has room for both.
    A word that is wider than a line is cut.
    """
    return _lines_of(words, size, round(room, 3), bold)


@lru_cache(maxsize=8192)
def _lines_of(words: str, size: float, room: float, bold: bool) -> tuple[str, ...]:
    if "\n" not in words and width_of(words, size, bold) <= room:
        return (words,)
    made: list[str] = []
    for line in words.split("\n"):
        made += _broken(line, size, room, bold)
    return tuple(made)


def _broken(words: str, size: float, room: float, bold: bool) -> list[str]:
    made, now, wide = [], "", 0.0
    blank = width_of(" ", size, bold)
    for word in _fit_words(words, size, room, bold):
        long = width_of(word, size, bold)
        if now and wide + blank + long <= room:
            now, wide = f"{now} {word}", wide + blank + long
            continue
        if now:
            made.append(now)
        while long > room and len(word) > 1:
            cut = _fitting(word, size, room, bold)
            made.append(word[:cut])
            word = word[cut:]
            long = width_of(word, size, bold)
        now, wide = word, long
    return [*made, now]


def _fit_words(words: str, size: float, room: float, bold: bool) -> Iterator[str]:
    for word in words_of(words):
        yield from (word,) if width_of(word, size, bold) <= room else word.split(" ")


def _fitting(word: str, size: float, room: float, bold: bool) -> int:
    """How many letters of a word fit; at least one."""
    count = 1
    while count < len(word) and width_of(word[: count + 1], size, bold) <= room:
        count += 1
    return count
