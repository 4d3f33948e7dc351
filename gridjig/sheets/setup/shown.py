"""How a sheet shows lengths and masses: in the job's units, or in both systems."""

from msgspec import Struct, structs

from gridjig.model import Display, Job
from gridjig.units import (
    INCH,
    DualDisplay,
    dual,
    format_length,
    format_mass,
    format_measure,
    is_rounded,
)

from .paper import SheetUnits


def in_units(job: Job, units: SheetUnits) -> Job:
    """Return a job as its sheet shows it, in both systems if that is chosen.  Never saved."""
    return structs.replace(job, display=dual(job.display)) if units == "both" else job


_HAIR = 0.005
"""mm; a fifth of a thousandth of an inch: nobody sets or measures that finely."""


class Shown(Struct, frozen=True):
    """The display of a sheet."""

    display: Display

    @property
    def both(self) -> bool:
        """True if the other system is given in brackets."""
        return isinstance(self.display, DualDisplay)

    def length(self, mm: float) -> str:
        """A length to read, such as a size: 1-3/4", or 1-3/4" (44.5 mm)."""
        return format_length(mm, self.display)

    def setting(self, mm: float) -> str:
        """A length to set or to measure: a fraction only where it is exact, else decimals.

        What is less than a hair off a step of the display is on it: a turned weldment is not exact.
        """
        step = self._step()
        near = round(mm / step) * step
        mm = near if abs(mm - near) < _HAIR else round(mm, 6) + 0.0
        if self.display.unit == "inch fractions" and is_rounded(self.length(mm)):
            return format_measure(mm, self.display)
        return self.length(mm)

    def _step(self) -> float:
        """The finest length that the display shows, mm."""
        if self.display.unit == "millimetres":
            return 0.1
        return INCH / (self.display.denominator if self.display.unit == "inch fractions" else 1000)

    def mass(self, kg: float) -> str:
        """A mass: 12.3 lb, or 12.3 lb (5.6 kg)."""
        return format_mass(kg, self.display)
