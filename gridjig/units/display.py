"""How lengths are shown: the person's choice, which does not change the geometry."""

from typing import Literal

from msgspec import Struct

Unit = Literal["inch fractions", "inch decimals", "millimetres"]


class Display(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The unit that lengths are shown in, and the finest inch fraction."""

    unit: Unit = "inch fractions"
    denominator: Literal[8, 16, 32, 64] = 16


MILLIMETRES = Display(unit="millimetres")
"""How lengths are shown where no job says otherwise."""
