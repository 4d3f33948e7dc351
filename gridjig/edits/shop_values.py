"""Edits of the room that the shop's torch takes, and of what the shop lets one person lift."""

from collections.abc import Mapping
from typing import Literal

from msgspec import structs

from gridjig.model import Job

ShopQuantity = Literal["length", "angle", "mass"]

SHOP_VALUES: Mapping[str, tuple[str, ShopQuantity]] = {
    "torch_radius": ("radius of the torch", "length"),
    "torch_length": ("length of the torch", "length"),
    "torch_lean": ("lean of the torch", "angle"),
    "weld_clear": ("distance to keep from welds", "length"),
    "one_lifts": ("most that one person lifts", "mass"),
    "steady": ("tips at less than", "angle"),
}
"""What each value of a shop is called, and what it is."""


def set_shop_limit(job: Job, name: str, value: float) -> Job:
    """Set one of the values in SHOP_VALUES: mm, degrees or kg.  Raises LimitError."""
    shop = structs.replace(job.shop, **{name: value})
    return job if shop == job.shop else structs.replace(job, shop=shop)
