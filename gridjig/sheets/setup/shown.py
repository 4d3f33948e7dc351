"""How a sheet shows lengths and masses: in the job's units, or in both systems."""

from msgspec import Struct

from gridjig.model import Display
from gridjig.units import (
    dual_length,
    format_length,
    format_mass,
    format_measure,
    format_setting,
)


class Shown(Struct, frozen=True):
    """The display of the job, and whether the other system is given in brackets."""

    display: Display
    both: bool = False

    def length(self, mm: float) -> str:
        """A length to read, such as a size: 1-3/4", or 1-3/4" (44.5 mm)."""
        return dual_length(mm, self.display) if self.both else format_length(mm, self.display)

    def setting(self, mm: float) -> str:
        """A length to set or to measure: a fraction only where it is exact, else decimals."""
        mm = round(mm, 6) + 0.0
        told = format_setting(mm, self.display)
        if told == format_length(mm, self.display):
            return self.length(mm)
        return f"{told} ({format_measure(mm, _METRIC)})" if self.both else told

    def mass(self, kg: float) -> str:
        """A mass: 12.3 lb, or 12.3 lb (5.6 kg)."""
        if not self.both:
            return format_mass(kg, self.display)
        inch = self.display.unit == "millimetres"
        other = Display(unit="inch decimals") if inch else _METRIC
        return f"{format_mass(kg, self.display)} ({format_mass(kg, other)})"


_METRIC = Display(unit="millimetres")
