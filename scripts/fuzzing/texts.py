"""Texts that have caused trouble, for names, notes, fields and arguments."""

from random import Random

PLAIN = ["Post A", "1", "left upright", "M8", "a"]
ODD = [
    "",
    " ",
    "\t",
    "\n",
    "a\nb",
    "\x1b[31mred\x1b[0m",
    "\x00",
    "\x7f",
    "\r\n",
    "<img src='x.png'>",
    "Post <A> & <b>B</b>",
    "=1+1",
    "@sum(a1)",
    "-2+3",
    '"quoted", and; more',
    "%s %d {0} {x}",
    "½ ✓ „Nord“",
    "ẞ ß ı İ",
    "e\u0301\u0302\u0303" * 4,
    "\u202eright to left\u202c",
    "\u2028\u2029\u0085",
    "\ufeff",
    "👩‍🏭🔩",
    "a" * 200,
    "字" * 60,
    "../../etc/passwd",
    "CON",
    "NUL.gridjig",
    "\\\\share\\x",
    "nan",
    "inf",
    "None",
    "\\",
    "'",
]
LENGTHS = [
    "0", "-0", "1", "-1", "1/2", "5-3/8", "5 3/8\"", "1' 6-1/2\"", "450mm", "4.5 in", "17 cm",
    "42-3/8 - 1.5", "1/0", "0/0", "1e3", "1e400", "-1e-400", "1e-12", "100 m", "1000000 m", "1,5",
    "1.234.567", "nan", "inf", "١٢", "½", "1--1", "+", "-", "/", "1 2 3", "3 x 4", "9" * 400,
    "1 mm mm", "0.0000001", "99999", "1'", "''", "(1",
    "1)", "2*3", "1/3/5",
]  # fmt: skip
ANGLES = [
    "37.5", "37 30'", "4:12", "rise 300 run 400", "0", "90", "180", "-45", "360", "1e9", "1:0",
    "0:0", "0:1", "15.5 from y", "75 included", "45 each side", "30 complement", "30 mirrored",
    "37,5", "37°", "37° 30' 15\"", "nan", "1e-300", "4 in 12", "rise 0 run 0", "included", ":",
    "89.999999999",
]  # fmt: skip
SECTIONS = ["guess", "guess", "50x50x3", "2x2x1/8", "40x10", "3x3", "tube", "0x0", "guess 50"]
PLACES = [
    "A1",
    "H6",
    "C4",
    "ZZ99",
    "A0",
    "a1",
    "1A",
    "O1",
    "I1",
    "H-6",
    "AAAAAAA1",
    "A999999999999",
    "",
]


def a_text(chance: Random) -> str:
    """Return any text at all."""
    what = chance.random()
    if what < 0.3:
        return chance.choice(PLAIN)
    if what < 0.7:
        return chance.choice(ODD)
    if what < 0.8:
        return chance.choice(LENGTHS + ANGLES + PLACES)
    if what < 0.9:
        return chance.choice(ODD) + chance.choice(PLAIN) + chance.choice(ODD)
    return "".join(chr(_sign(chance)) for _ in range(chance.randint(1, 12)))


def _sign(chance: Random) -> int:
    """Return the code point of a character; never a surrogate."""
    sign = chance.choice(
        [chance.randrange(32, 127), chance.randrange(0x3000), chance.randrange(0x110000)]
    )
    return 0x20 if 0xD800 <= sign < 0xE000 else sign


def a_measure(chance: Random) -> str:
    """Return a text for a field that takes a length, an angle, a count or a hole."""
    what = chance.random()
    if what < 0.15:
        return a_text(chance)
    if what < 0.3:
        return (
            f"{10 ** chance.uniform(-4, 5) * chance.choice([1, 1, 1, -1]):.{chance.randrange(6)}f}"
        )
    if what < 0.4:
        return str(chance.randrange(-3, 400))
    return chance.choice(chance.choice([LENGTHS, ANGLES, PLACES]))
