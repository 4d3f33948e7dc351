"""One line of a list as text, shared by all lists about the weldment."""

from typing import Literal

from msgspec import Struct

from gridjig.checks.findings import Level
from gridjig.model import FaceOf

LineLevel = Level | Literal[""]
"""The level that the symbol of a line stands for; "" for a line without one."""


class ListLine(Struct, frozen=True):
    """A head with words to its right, and what is below it, separated by line ends.

    `key` identifies it, `level` is its symbol, or "" for none.  `ids` are the parts it is about,
    `faces` the faces.  `brief` is what is below it while another line is highlighted; "" for the
    same.  A heading has only `head` and `right`.
    """

    key: str
    head: str
    right: str = ""
    under: str = ""
    level: LineLevel = ""
    ids: tuple[str, ...] = ()
    faces: tuple[FaceOf, ...] = ()
    heading: bool = False
    brief: str = ""

    @property
    def spoken(self) -> str:
        """The whole line as one string."""
        return ", ".join(filter(None, (self.head, self.right, *self.under.split("\n"))))
