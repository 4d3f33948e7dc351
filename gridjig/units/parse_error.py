"""The error for a typed length, angle or address that is not understood: one sentence."""

_SHOWN = 40


class ParseError(ValueError):
    """Text that was not understood.

    `text` is what was typed, `at` the position in it (from 0) or None, and `why` the reason and
    what is accepted.  str() gives one sentence.
    """

    def __init__(self, text: str, at: int | None, why: str) -> None:
        super().__init__(text, at, why)
        self.text = text
        self.at = at
        self.why = why

    def __str__(self) -> str:
        if not self.text.strip():
            return f"Nothing was typed: {self.why}."
        shown = self.text if len(self.text) <= _SHOWN else self.text[:_SHOWN] + "…"
        place = "" if self.at is None else f" at character {self.at + 1}"
        return f"“{shown}” is not understood{place}: {self.why}."
