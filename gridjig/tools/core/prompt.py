"""A prompt: what the next click or key will do, as a value.

It says what will happen, never what has happened.  The window shows the parts that are true where
the focus is: keys only while the plan has the focus, letters only while letter keys are on.
"""

from msgspec import Struct

from .wording import capital


class Key(Struct, frozen=True):
    """A key and what it does, as in `R to turn`."""

    name: str
    does: str

    @property
    def is_letter(self) -> bool:
        """True for a key that types a letter; the setting "Letter keys" turns those off."""
        return len(self.name) == 1 and self.name.isalpha()


class Prompt(Struct, frozen=True):
    """What the next click or key will do.

    `state` is a sentence on how things stand.  `click` follows the word "Click"; with `enter`,
    Enter does the same.  `drag` follows "drag", `types` follows "type", `let_go` follows "Let go".
    With `lettered`, what is typed may begin with a letter, which on the plan is a key of its own.
    `keys` are the keys that do something now, `after` a last remark.
    """

    state: str = ""
    click: str = ""
    enter: bool = False
    drag: str = ""
    types: str = ""
    lettered: bool = False
    let_go: str = ""
    keys: tuple[Key, ...] = ()
    after: str = ""

    def text(self, keys: bool = True, letters: bool = True) -> str:
        """Return it as one line, with or without what keys do, or single letters."""
        parts = (
            self.state,
            _sentence(self._acts(keys, letters)),
            _sentence(f"let go {self.let_go}" if self.let_go else ""),
            _sentence(", ".join(f"{k.name} {k.does}" for k in self.live(keys, letters))),
            self.after,
        )
        return " ".join(part for part in parts if part)

    def live(self, keys: bool = True, letters: bool = True) -> tuple[Key, ...]:
        """Return the keys that do something."""
        return tuple(k for k in self.keys if keys and (letters or not k.is_letter))

    def _acts(self, keys: bool, letters: bool) -> str:
        enter = " or press Enter" if self.enter and keys else ""
        acts = [f"click{enter} {self.click}"] if self.click else []
        acts += [f"drag {self.drag}"] if self.drag else []
        first_key = f"press {'T' if letters else '/'} and " if self.lettered and keys else ""
        acts += [f"{first_key}type {self.types}"] if self.types else []
        *first, last = acts or [""]
        return f"{', '.join(first)}, or {last}" if first else last


def _sentence(words: str) -> str:
    return f"{capital(words)}." if words else ""


def esc(does: str = "to stop") -> Key:
    """Return what Esc does."""
    return Key("Esc", does)
