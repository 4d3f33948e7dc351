"""What a shop needs room for and lets one person lift, in words."""

from gridjig.edits.shop_values import SHOP_VALUES, ShopQuantity
from gridjig.model import Job
from gridjig.units import Display, format_angle, format_length, format_mass

from .pair_words import Between, told_pair


def shop_value_text(value: float, quantity: ShopQuantity, display: Display) -> str:
    """Return a value of the shop with its unit."""
    if quantity == "angle":
        return format_angle(value)
    return format_mass(value, display) if quantity == "mass" else format_length(value, display)


def shop_changes(at: Between, a: Job, b: Job) -> str:
    """Say which values of the shop differ, and how."""
    said = []
    for name, (called, quantity) in SHOP_VALUES.items():
        was, now = getattr(a.shop, name), getattr(b.shop, name)
        if was != now:
            told = [shop_value_text(value, quantity, at.display) for value in (was, now)]
            said.append(told_pair(called, *told))
    return ", ".join(said)
