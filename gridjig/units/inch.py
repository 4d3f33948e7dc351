"""The inch in millimetres: 25.4 exactly (international inch, 1959)."""

from fractions import Fraction

MM_PER_INCH = Fraction(254, 10)
INCH = float(MM_PER_INCH)
