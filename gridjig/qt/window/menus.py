"""Makes the menus and the tool row from the declared actions, and keeps them up to date.

It knows no handlers: its owner connects `triggered`.
"""

from collections.abc import Mapping, Sequence

from PySide6.QtCore import SIGNAL, QEvent, QObject, QSize, Qt, Signal
from PySide6.QtGui import QAction, QActionEvent, QActionGroup, QKeySequence, QResizeEvent
from PySide6.QtWidgets import QFrame, QMenu, QMenuBar, QToolButton, QWidget

from gridjig.qt.actions.action import MENUS, Action, Situation, key_words, live_keys, tooltip
from gridjig.qt.actions.registry import ACTIONS, action
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.style.icons import icon
from gridjig.qt.style.metrics import Metrics
from gridjig.qt.widgets.flow_layout import FlowLayout
from gridjig.qt.widgets.plain import menu_words, tip
from gridjig.qt.widgets.ticked_menu import TickedMenu

_NOT_IN_GLOVES = ("file.new", "file.open", "file.save", "check.run")
"""In glove mode these are only in the menus, or the lamp does the same, so that the tools fit in
one row.
"""
_FIRST_TO_GO = (
    *("file.new", "file.open", "file.save", "check.run"),
    *("tool.dimension", "join.mitre", "join.trim", "view.fit", "piece.flip"),
    *("edit.delete", "tool.holes", "tool.rectangle"),
)
"""With large letters or targets a second row of tools would take the room of two lines of every
list: these go first, as far as one row needs it.  All of them are in the menus.
"""
_LARGE = 1.5
"""The size of letters, as a multiple of the system's, from which tools keep to one row."""


class Actions(QObject):
    """One QAction for each declared action; `opening` is emitted before a menu opens."""

    triggered = Signal(str, bool)
    opening = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._owner = parent
        self._situation = Situation()
        self._letters = True
        self._groups: dict[str, QActionGroup] = {}
        self.made: dict[str, QAction] = {one.id: self._make(one) for one in ACTIONS}

    def _make(self, one: Action) -> QAction:
        made = QAction(one.name, self)
        made.setObjectName(one.id)
        made.setIconText(one.text)
        made.setShortcuts([QKeySequence(key) for key in one.keys])
        made.setCheckable(one.ticked is not None)
        context = Qt.ShortcutContext
        made.setShortcutContext(
            context.WidgetWithChildrenShortcut if one.on_plan else context.WindowShortcut
        )
        made.triggered.connect(lambda on, key=one.id: self.triggered.emit(key, on))
        if one.choice:
            if one.choice not in self._groups:
                self._groups[one.choice] = QActionGroup(self)
            self._groups[one.choice].addAction(made)
        if not one.on_plan:
            self._owner.addAction(made)
        self._describe(one, made)
        return made

    def _describe(self, one: Action, made: QAction) -> None:
        why = one.why_not(self._situation)
        words = tooltip(one, key_words(live_keys(one, self._letters)[:1]), f"{why}." if why else "")
        if words != made.toolTip():
            made.setToolTip(tip(words))
            made.setStatusTip(f"{why}. {one.hint}." if why else one.hint)
        if made.isEnabled() != (not why):
            made.setEnabled(not why)

        if one.step(self._situation) or made.text() != one.name:
            self._name_step(one, made)

    def _name_step(self, one: Action, made: QAction) -> None:
        """Show which step an action would undo or redo now."""
        step = one.step(self._situation)
        words = f"{one.name} {step[:1].lower()}{step[1:]}" if step else one.name
        made.setText(menu_words(words))
        made.setIconText(one.text)
        if step and made.isEnabled():
            made.setToolTip(tip(f"{words}  ({made.shortcut().toString()})"))

    def update(self, situation: Situation) -> None:
        """Update every menu and button: what is possible, why not, what is ticked.

        A tick shows a state, not what was pressed, so it is set even if nothing changed.
        """
        if situation != self._situation:
            self._situation = situation
            for one in ACTIONS:
                self._describe(one, self.made[one.id])
        for one in ACTIONS:
            if one.ticked is not None:
                self.made[one.id].setChecked(one.ticked(situation))

    def why_not(self, action_id: str) -> str:
        """Return why an action cannot be used now, or an empty string."""
        return action(action_id).why_not(self._situation)

    def set_letters(self, on: bool) -> None:
        """Enable or disable single-letter keys on the plan."""
        if on == self._letters:
            return
        self._letters = on
        for one in ACTIONS:
            if one.on_plan:
                made = self.made[one.id]
                made.setShortcuts([QKeySequence(key) for key in live_keys(one, on)])
                self._describe(one, made)

    def give_to_plan(self, sheet: QWidget) -> None:
        """Make the `on_plan` keys work while `sheet` has the focus."""
        for one in ACTIONS:
            if one.on_plan:
                sheet.addAction(self.made[one.id])

    def set_appearance(self, appearance: Appearance) -> None:
        """Draw the icons in the colours of an appearance; with gloves, leave the keys out of the
        menus, whose lines then stand in columns.
        """
        for one in ACTIONS:
            made = self.made[one.id]
            if made.isShortcutVisibleInContextMenu() is appearance.metrics.glove:
                made.setShortcutVisibleInContextMenu(not appearance.metrics.glove)
            if one.icon:
                made.setIcon(icon(one.icon, appearance.theme))

    def fill(self, bar: QMenuBar, plugged: Mapping[str, QMenu]) -> None:
        """Fill a menu bar with all actions; each menu in `plugged` is attached to the action named
        by its key.
        """
        for name in MENUS:
            menu = TickedMenu(f"&{name}", bar)
            bar.addMenu(menu)
            menu.aboutToShow.connect(self.opening)
            below: dict[str, QMenu] = {}
            for one in ACTIONS:
                if one.menu != name:
                    continue
                if one.after_line:
                    menu.addSeparator()
                if one.submenu and one.submenu not in below:
                    below[one.submenu] = TickedMenu(one.submenu, menu)
                    menu.addMenu(below[one.submenu])
                below.get(one.submenu, menu).addAction(self.made[one.id])
                if one.id in plugged:
                    menu.addMenu(plugged[one.id])


class ActionButton(QToolButton):
    """A button for an action.

    Up to Qt 6.11 a button connects itself to its action once more at each change of the action, and
    never lets go: after some thousand edits each change would take as many steps.
    """

    def actionEvent(self, event: QActionEvent) -> None:
        """Let go of the action before Qt connects the button anew."""
        if event.type() == QEvent.Type.ActionChanged:
            QObject.disconnect(event.action(), SIGNAL("changed()"), self, None)  # type: ignore[call-overload]
        super().actionEvent(event)


class ToolRow(QFrame):
    """The slim row of tools below the menus.

    It wraps; with large letters or targets it keeps to one row, and the menus have the rest.
    """

    def __init__(self, actions: Actions, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("toolRow")
        self._flow = FlowLayout(self)
        self._metrics = Metrics()
        self.buttons: dict[str, QToolButton] = {}
        self.menu = QToolButton()
        self.menu.setText("Menu")
        self.menu.setAccessibleName("Menu")
        self.menu.setToolTip("All actions")
        self.menu.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.menu.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextUnderIcon)
        self.menu.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._flow.addWidget(self.menu)
        self._rules: list[QFrame] = []
        menu = ""
        for one in ACTIONS:
            if not one.row:
                continue
            if menu and one.menu != menu:
                line = QFrame()
                line.setObjectName("rowLine")
                line.setFixedWidth(1)
                self._rules.append(line)
                self._flow.addWidget(line)
            menu = one.menu
            button = ActionButton()
            button.setDefaultAction(actions.made[one.id])
            button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextUnderIcon)
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            button.setAccessibleName(one.text)
            self.buttons[one.id] = button
            self._flow.addWidget(button)

    def set_appearance(self, appearance: Appearance) -> None:
        """Size icons and gaps for the mouse, the finger or the glove."""
        metrics = appearance.metrics
        side = metrics.whole(10) if metrics.glove else metrics.grown(5.5)
        self._flow.set_gap(metrics.gap if metrics.glove else 2)
        for button in (self.menu, *self.buttons.values()):
            button.setIconSize(QSize(side, side))
        self.menu.setIcon(icon("list", appearance.theme))
        # In glove mode one large button opens the menus, which include the file actions.
        self.menu.setVisible(appearance.metrics.glove)
        self._metrics = metrics
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Show the tools that fit."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        """Show all tools, or with large letters or targets those that fit in one row."""
        metrics = self._metrics
        gone = list(_NOT_IN_GLOVES) if metrics.glove else []
        for line in self._rules:
            line.setVisible(not metrics.glove)
        if metrics.glove or metrics.letters >= _LARGE:
            for key in _FIRST_TO_GO:
                if self._width_without(gone) <= self.width():
                    break
                if key not in gone:
                    gone.append(key)
        for key, button in self.buttons.items():
            button.setVisible(key not in gone)

    def _width_without(self, gone: Sequence[str]) -> int:
        """Return the width of one row without these tools, px."""
        parts: list[QWidget] = [b for key, b in self.buttons.items() if key not in gone]
        if self._metrics.glove:
            parts.append(self.menu)
        else:
            parts += self._rules
        for part in parts:
            part.ensurePolished()
        margins = self._flow.contentsMargins()
        wide = sum(part.sizeHint().width() + self._flow.gap for part in parts)
        return wide + margins.left() + margins.right()

    def fill_menu(self, bar: QMenuBar) -> None:
        """Offer a bar's menus from the one large button."""
        every = QMenu(self)
        for menu in bar.actions():
            every.addAction(menu)
        self.menu.setMenu(every)
