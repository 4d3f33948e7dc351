"""One line of a list, as plain words: shared by all lists about the weldment."""

from msgspec import Struct

from gridjig.checks.findings import Level
from gridjig.model import FaceOf


class ListLine(Struct, frozen=True):
    """A head with words to its right, and what stands below it, lines parted by line ends.

    `key` is what it is known by, `level` its sign, or "" for none.  `ids` are the parts that it
    speaks of, `faces` the faces.  A heading stands by its `head` and `right` alone.
    """

    key: str
    head: str
    right: str = ""
    under: str = ""
    level: Level | str = ""
    ids: tuple[str, ...] = ()
    faces: tuple[FaceOf, ...] = ()
    heading: bool = False

    @property
    def spoken(self) -> str:
        """The whole line as one text."""
        return ", ".join(filter(None, (self.head, self.right, *self.under.split("\n"))))
