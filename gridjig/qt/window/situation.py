"""What decides now which actions are possible and which are ticked."""

from gridjig.files.storage.settings import Settings
from gridjig.model import Part, Placement
from gridjig.qt.actions.action import Situation
from gridjig.qt.panes.properties.job_form import unit_key

from .open_file import OpenFile
from .workspace import Workspace


def situation(file: OpenFile, settings: Settings, work: Workspace, tool_action: str) -> Situation:
    """Return the situation of a window, in which a tool's action is ticked."""
    document = file.document
    front = work.front_list()
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
        tool_action=tool_action,
        unit=unit_key(document.shown.display),
        theme=settings.theme,
        rack_shown=settings.rack_shown,
        side_shown=settings.side_shown,
        contacts_shown=settings.contacts_shown,
        proof_shown=frozenset(work.proofs.shown),
        loose=work.proofs.loose,
        glove=settings.glove,
        list_order=front.order if front is not None else None,
    )
