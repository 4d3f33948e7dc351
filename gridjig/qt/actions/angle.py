"""The actions of the Angle menu: which holes give an angle, and which angle two holes give."""

from .action import Action, Situation
from .port import Port


def _find(port: Port) -> None:
    port.pages.show("angle", 0)


def _edge(port: Port) -> None:
    port.pages.show("angle", 0)
    port.pages.pick_edge()


def _back(port: Port) -> None:
    port.pages.show("angle", 1)


def _reach(port: Port) -> None:
    port.pages.show("angle", 2)


def _chart(port: Port) -> None:
    from gridjig.qt.forms.shop.chart_form import open_chart  # noqa: PLC0415 - not needed to start

    open_chart(port.dialogs.parent, port.document, port.dialogs, port.files.folder, port.say)


def _plate(port: Port) -> None:
    of = port.pages.plate_wanted()
    if of is None:
        port.pages.show("angle", 0)
        port.say("Type the angle first, or pick the face to hold.")
        return
    from gridjig.qt.forms.shop.plate_form import CutPlateForm  # noqa: PLC0415 - as above

    asks, folder = port.dialogs, port.files.folder
    CutPlateForm(asks.parent, port.document, of, asks, folder, asks.appearance, port.say).open()


def _part_plate(port: Port) -> None:
    from gridjig.cutplates.asked import PlateOf  # noqa: PLC0415 - it loads shapely
    from gridjig.qt.forms.shop.plate_form import CutPlateForm  # noqa: PLC0415 - as above

    document, asks, folder = port.document, port.dialogs, port.files.folder
    part = next(part.id for part in document.job.parts if part.id in document.selection)
    of = PlateOf(part=part)
    CutPlateForm(asks.parent, document, of, asks, folder, asks.appearance, port.say).open()


def _not_one_part(now: Situation) -> str:
    return "" if now.chosen_parts == 1 else "Select one part first"


def _not_one_piece(now: Situation) -> str:
    one = now.selected == 1 and now.placements == 1
    return "" if one else "Select one piece on the table first"


# fmt: off
ANGLE: tuple[Action, ...] = (
    Action("angle.find", "Find an angle", "bevel", ("F7",),
           "Type an angle to find the holes, pins, shims or arm that give "
           "it", "Angle", _find, row=True),
    Action("angle.edge", "Angle of an edge", "outline", (),
           "Click an edge to find the holes that give its direction", "Angle", _edge),
    Action("angle.back", "Angle of two holes", "holes", ("Shift+F7",),
           "The angle that two holes and their pins make", "Angle", _back, after_line=True),
    Action("angle.reach", "Arm angles", "arm", (),
           "Every angle that the selected arm can be set to", "Angle", _reach, _not_one_piece),
    Action("angle.plate", "Cut plate for the angle", "outline", (),
           "Draw a one-off plate for the laser that makes the angle wanted, and place it", "Angle",
           _plate, opens=True, after_line=True),
    Action("angle.part_plate", "Cut plate for a part", "outline", (),
           "Draw a one-off plate for the laser that holds a face of the selected part", "Angle",
           _part_plate, _not_one_part, opens=True),
    Action("angle.chart", "Angle chart", "bill", (),
           "Best pair of holes for every half degree, as PDF or CSV", "Angle", _chart, opens=True,
           after_line=True),
)
# fmt: on
