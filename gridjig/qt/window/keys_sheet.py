"""The key sheet, made from the actions themselves so that it is never out of date."""

from PySide6.QtWidgets import QTextBrowser, QWidget

from gridjig.qt.actions.action import MENUS, is_letter, key_words, live_keys
from gridjig.qt.actions.registry import ACTIONS, SHEET_KEYS
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.widgets.buttons import make_button
from gridjig.qt.widgets.layout import REST, in_column, in_row


def key_rows(letters: bool = True) -> dict[str, tuple[tuple[str, str, str], ...]]:
    """Return headings with rows of key, name and description: every action with a key, and the
    sheet's own keys; without `letters`, only those that work with letter keys off.
    """
    table: dict[str, tuple[tuple[str, str, str], ...]] = {}
    for menu in MENUS:
        rows = tuple(
            (
                key_words(live_keys(a, letters)),
                a.text,
                f"{a.hint}{' (on the plan)' if a.on_plan else ''}",
            )
            for a in ACTIONS
            if a.menu == menu and live_keys(a, letters)
        )
        if rows:
            table[menu] = rows
    table["On the plan"] = tuple(
        (k.keys, "", k.text) for k in SHEET_KEYS if letters or not is_letter(k.keys)
    )
    return table


def keys_html(letters: bool = True) -> str:
    """Return the key sheet as rich text."""
    parts: list[str] = []
    for heading, rows in key_rows(letters).items():
        parts.append(f"<h3>{heading}</h3><table cellspacing='0' cellpadding='3' width='100%'>")
        for key, name, line in rows:
            what = f"<b>{name}</b>. {line}" if name else line
            parts.append(f"<tr><td width='26%'><b>{key}</b></td><td>{what}</td></tr>")
        parts.append("</table>")
    return "".join(parts)


class KeysSheet(FormDialog):
    """Shows the key sheet; Esc closes it."""

    topic = "start"

    def __init__(self, parent: QWidget | None = None, letters: bool = True) -> None:
        super().__init__(parent)
        self.setWindowTitle("All keys")
        self.text = QTextBrowser()
        self.text.setAccessibleName("All keys")
        self.text.setHtml(keys_html(letters))
        close = make_button("Close", self.reject, plain=False)
        close.setDefault(True)
        in_column((self.text, 1), in_row(REST, close), over=self)
        self.size_for(86, 36, (640, 640))
