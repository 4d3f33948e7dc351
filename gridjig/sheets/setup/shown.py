"""How a sheet shows lengths and masses: in the job's units, or in both systems."""

from msgspec import Struct, structs

from gridjig.model import Display, Job
from gridjig.units import (
    DualDisplay,
    dual,
    format_length,
    format_mass,
    format_setting,
)

from .paper import SheetUnits


def in_units(job: Job, units: SheetUnits) -> Job:
    """Return a job as its sheet shows it, in both systems if that is chosen.  Never saved."""
    return structs.replace(job, display=dual(job.display)) if units == "both" else job


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
        """A length to set or to measure: a fraction only where it is exact, else decimals."""
        return format_setting(mm, self.display)

    def mass(self, kg: float) -> str:
        """A mass: 12.3 lb, or 12.3 lb (5.6 kg)."""
        return format_mass(kg, self.display)
