"""What decides now which actions are possible and which are ticked."""

from typing import Protocol

from gridjig.files.storage.settings import Settings
from gridjig.model import Part, Placement
from gridjig.qt.actions.action import Situation
from gridjig.qt.panes.properties.job_form import unit_key

from .open_file import OpenFile
from .shell import Shell
from .workspace import Workspace


class Situated(Protocol):
    """What it is read from."""

    port: Shell
    settings: Settings
    file: OpenFile
    workspace: Workspace


def situation(window: Situated) -> Situation:
    """Return the situation of a window."""
    file, settings, work = window.file, window.settings, window.workspace
    document = file.document
    chosen = [document.job.find(i) for i in document.selection]
    return Situation(
        things=len(document.job.placements) + len(document.job.parts),
        selected=len(chosen),
        placements=sum(isinstance(t, Placement) for t in chosen),
        parts=len(document.job.parts),
        chosen_parts=sum(isinstance(t, Part) for t in chosen),
        weldments=len(document.job.weldments),
        copied=len(document.clipboard),
        undo_name=document.undo_name,
        redo_name=document.redo_name,
        can_undo=document.can_undo,
        can_redo=document.can_redo,
        modified=document.modified,
        in_a_file=file.path is not None,
        read_only=file.read_only,
        findings=sum(f.level != "fine" for f in work.findings),
        tool=work.tool.name,
        tool_action=window.port.tools.action_id,
        unit=unit_key(document.shown.display),
        theme=settings.theme,
        rack_shown=settings.rack_shown,
        side_shown=settings.side_shown,
        contacts_shown=settings.contacts_shown,
        glove=settings.glove,
    )
