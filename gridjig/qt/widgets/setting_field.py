"""A field for a length that a piece is set to."""

from gridjig.units import format_setting

from .fields import LengthField


class SettingField(LengthField):
    """A length that a piece is set to: in fractions only where one is exact, else in decimals."""

    def _format(self, value: object) -> str:
        return format_setting(float(value), self._display) if isinstance(value, int | float) else ""
