"""What a job says for its papers: the sheet's title block, the order of tacks and of welds."""

from typing import Annotated, Literal, NamedTuple

from msgspec import Meta, Struct

from gridjig.rack.piece import Ident
from gridjig.units.limits import WELDS, require_within

TitleText = Annotated[str, Meta(max_length=80)]


class TitleBlock(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The fields of ISO 7200 that a job's own name, drawing and revision do not fill.

    `number` is the identification number of the sheet, `date` its date of issue as written,
    `reference` the technical contact, `status` the document's status, `way_up` how the weldment
    lies as against its drawing.  Empty fields are printed as room to write in.
    """

    owner: TitleText = ""
    number: TitleText = ""
    title: TitleText = ""
    supplement: TitleText = ""
    date: TitleText = ""
    created_by: TitleText = ""
    approved_by: TitleText = ""
    department: TitleText = ""
    reference: TitleText = ""
    status: TitleText = ""
    way_up: Literal["", "as drawn", "face down"] = ""

    def __post_init__(self) -> None:
        require_within(self)


class JointOf(NamedTuple):
    """A joint by its two parts, in either order, and its number among theirs."""

    a: Ident
    b: Ident
    nth: Annotated[int, Meta(ge=0, le=1_000_000)] = 0


class WeldPlan(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The order of tacks and of welds where the shop chose one; empty: the proposed order.

    Joints that it does not name come after those it names, as proposed; names of joints that are
    gone do no harm.
    """

    tacks: Annotated[tuple[JointOf, ...], WELDS] = ()
    welds: Annotated[tuple[JointOf, ...], WELDS] = ()

    def __post_init__(self) -> None:
        require_within(self)
