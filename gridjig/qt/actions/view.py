"""The actions of the View menu: what is in view, the colours and the unit, and where
the focus is.
"""

from functools import partial

from gridjig.edits.details import set_display
from gridjig.qt.panes.properties.job_form import unit_display
from gridjig.qt.widgets.list_entry import ListOrder
from gridjig.units.spelling import spelled

from .action import Action, OpenForm, Situation
from .edit import nothing_selected
from .piece import choose_piece
from .port import FocusPlace, Page, Port

_NOTCH = 1.2
_ZOOM = "Zoom and move"
_GO = "Go to"


def _zoom(factor: float, port: Port) -> None:
    port.view.zoom_by(factor)


def _aside(right: int, back: int, port: Port) -> None:
    port.view.look_aside(right, back)


def _toggle_rack(port: Port) -> None:
    shown = not port.preferences.value.rack_shown
    port.preferences.change(rack_shown=shown)
    port.say("" if shown else "The rack drawer is hidden; F9 shows it again.")


def _toggle_side(port: Port) -> None:
    shown = not port.preferences.value.side_shown
    port.preferences.change(side_shown=shown)
    port.say("" if shown else "The form and the lists are hidden; F10 shows them again.")


def _toggle_contacts(port: Port) -> None:
    shown = not port.preferences.value.contacts_shown
    port.preferences.change(contacts_shown=shown)
    port.say("" if shown else "Contacts are not marked on the plan now; F11 marks them again.")


def _toggle_glove(port: Port) -> None:
    port.preferences.change(glove=not port.preferences.value.glove)


def _theme(key: str, port: Port) -> None:
    port.preferences.change(theme=key)


def _unit(key: str, port: Port) -> None:
    job = port.document.job
    port.document.do(set_display(job, unit_display(key, job.display)), "Change the unit")


def _floor(port: Port) -> None:
    if not port.document.job.placements:
        port.say("No piece is on the table yet, so there is none to set.")
        return
    from gridjig.qt.forms.job.floor_view import FloorView  # noqa: PLC0415 - it loads numpy

    asks = port.dialogs
    FloorView(asks.parent, port.document, asks.appearance, port.checks.report()).open()


def _nothing_placed(now: Situation) -> str:
    return "" if now.things else "No piece is on the table yet"


def _sort(order: ListOrder, port: Port) -> None:
    if not port.pages.sort_list(order):
        port.say("No list with lines is in front.")
    port.update()


def _is_order(order: ListOrder, now: Situation) -> bool:
    return now.list_order == order


def _sort_action(order: ListOrder, text: str, hint: str) -> Action:
    return Action(
        f"sort.{order}",
        text,
        "",
        (),
        hint,
        "View",
        partial(_sort, order),
        ticked=partial(_is_order, order),
        choice="sort",
        submenu="Sort the list",
    )


def _go(step: int, port: Port) -> None:
    port.pages.go(step)


def _focus(place: FocusPlace, port: Port) -> None:
    port.pages.focus(place)


def _show(page: Page, port: Port) -> None:
    port.pages.show(page)


def _is_theme(key: str, now: Situation) -> bool:
    return now.theme == key


def _is_unit(key: str, now: Situation) -> bool:
    return now.unit == key


def _theme_action(key: str, text: str, hint: str) -> Action:
    return Action(
        f"theme.{key}",
        text,
        "",
        (),
        hint,
        "View",
        partial(_theme, key),
        ticked=partial(_is_theme, key),
        choice="theme",
        submenu=spelled("Colours"),
    )


def _unit_action(key: str, text: str, hint: str) -> Action:
    return Action(
        f"unit.{key}",
        text,
        "",
        (),
        hint,
        "View",
        partial(_unit, key),
        ticked=partial(_is_unit, key),
        choice="unit",
        submenu="Unit",
    )


def _aside_action(way: str, key: str, right: int, back: int) -> Action:
    return Action(
        f"view.{way}",
        f"Look to the {way}",
        "",
        (f"Alt+{key}",),
        f"Show what lies farther to the {way}",
        "View",
        partial(_aside, right, back),
        on_plan=True,
        submenu=_ZOOM,
    )


# fmt: off
VIEW: tuple[Action, ...] = (
    Action("view.fit", "Whole table", "fit", ("0", "Home"), "Show the whole table", "View",
           lambda port: port.view.fit_table(), on_plan=True, row=True),
    Action("view.fit_selection", "Selection", "fit-selection", ("9", "Z"),
           "Fit the selection in the view", "View",
           lambda port: port.view.fit_selection(), nothing_selected, on_plan=True),
    Action("view.actual", "Full size", "actual", ("1",),
           "Show the table at 1:1 on a calibrated screen", "View",
           lambda port: port.view.actual_size(), on_plan=True, submenu=_ZOOM),
    Action("view.in", "Zoom in", "zoom-in", ("+", "=", "Ctrl++"), "Show the plan larger", "View",
           partial(_zoom, _NOTCH), on_plan=True, submenu=_ZOOM),
    Action("view.out", "Zoom out", "zoom-out", ("-", "Ctrl+-"), "Show the plan smaller", "View",
           partial(_zoom, 1 / _NOTCH), on_plan=True, submenu=_ZOOM),
    _aside_action("left", "Left", -1, 0),
    _aside_action("right", "Right", 1, 0),
    _aside_action("back", "Up", 0, 1),
    _aside_action("front", "Down", 0, -1),
    Action("view.rack", "Rack drawer", "rack", ("F9",), "Show or hide the rack drawer", "View",
           _toggle_rack, ticked=lambda now: now.rack_shown, after_line=True),
    Action("view.side", "Form and lists", "list", ("F10",),
           "Show or hide the form and the lists", "View", _toggle_side,
           ticked=lambda now: now.side_shown),
    Action("view.contacts", "Contacts", "contact", ("F11",),
           "Mark on the plan what touches the work, and what does not reach it", "View",
           _toggle_contacts, ticked=lambda now: now.contacts_shown),
    Action("view.legend", "Signs on the plan", "", (), "What each sign and line means", "View",
           OpenForm("legend_form", "open_legend"), opens=True),
    Action("view.floor", "Floor view", "", ("F12",),
           "The plan and each piece to set in large letters; nothing can be changed there", "View",
           _floor, _nothing_placed, opens=True),
    Action("view.glove", "Glove mode", "glove", ("Ctrl+G",), "Large targets for gloved fingers",
           "View", _toggle_glove, ticked=lambda now: now.glove),
    _theme_action("light", "Paper", "Dark ink on light paper"),
    _theme_action("dark", "Slate", "Light ink on dark slate"),
    _theme_action("system", "Follow the system", "Light or dark as the system is set"),
    _theme_action("print", "High contrast", spelled("Black on white, no greys")),
    _unit_action("8", "Inch fractions, 1/8", "Show lengths to 1/8 in; no geometry changes"),
    _unit_action("16", "Inch fractions, 1/16", "Show lengths to 1/16 in; no geometry changes"),
    _unit_action("32", "Inch fractions, 1/32", "Show lengths to 1/32 in; no geometry changes"),
    _unit_action("64", "Inch fractions, 1/64", "Show lengths to 1/64 in; no geometry changes"),
    _unit_action("decimals", "Inch decimals", "Show lengths as decimal inches"),
    _unit_action("mm", spelled("Millimetres"), spelled("Show lengths in millimetres")),
    _sort_action("listed", "As listed", "The order that the list in front is made in"),
    _sort_action("name", "By name", "By the name that each line begins with"),
    _sort_action("right", "By the column on the right", "By place, number, angle or length"),
    _sort_action("level", "Worst first", "What to fix first, then what to look at"),
    Action("go.next", "Next pane", "list", ("F6",),
           "Move the focus: drawer, plan, lists, form", "View", partial(_go, 1),
           after_line=True, submenu=_GO),
    Action("go.back", "Previous pane", "list", ("Shift+F6",),
           "Move the focus back: form, lists, plan, drawer", "View", partial(_go, -1), submenu=_GO),
    Action("go.type", "Type a value", "keys", ("T", "/"),
           "Type a hole, an angle or a length", "View",
           partial(_focus, "entry"), on_plan=True, submenu=_GO),
    Action("go.rack", "Go to the rack drawer", "rack", ("Ctrl+1",), "Put the focus there",
           "View", choose_piece, submenu=_GO),
    Action("go.plan", "Go to the plan", "fit", ("Ctrl+2",), "Put the focus there", "View",
           partial(_focus, "plan"), submenu=_GO),
    Action("go.form", "Go to the form", "list", ("Ctrl+3",), "Put the focus there", "View",
           partial(_focus, "form"), submenu=_GO),
    Action("go.placed", "Go to the placed list", "list", ("Ctrl+4",), "Put the focus there",
           "View", partial(_show, "placed"), submenu=_GO),
    Action("go.pull", "Go to the pull list", "list", ("Ctrl+5",), "Put the focus there", "View",
           partial(_show, "pull"), submenu=_GO),
)
# fmt: on
