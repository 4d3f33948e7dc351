"""Joining two parts with two clicks: trim or extend, mitre, butt, cope.

The joint is previewed before the second click; if it cannot be made, the reason is shown instead.
"""

from gridjig.edits.joining import changed_end, end_point
from gridjig.edits.lookup import part_of
from gridjig.edits.members import End
from gridjig.geometry import Pose
from gridjig.geometry.display import DisplayList, Polyline
from gridjig.geometry.part_outline import mill_faces
from gridjig.model import Job, Member
from gridjig.model.labels import address
from gridjig.tools.core.prompt import Prompt, esc
from gridjig.tools.core.tool import Nothing, Outcome, Preview, ToolContext

from .join_kinds import JOIN_METHODS, ONE_END, JoinKind, PartPick, commit, joined
from .part_pick import PartPickTool


class JoinTool(PartPickTool):
    """Makes joints of one kind, one after another; stays active until Esc."""

    name = "join"

    def __init__(self, context: ToolContext, kind: JoinKind, first: str | None = None) -> None:
        super().__init__(context)
        self.kind: JoinKind = kind
        self._first: PartPick | None = None if first is None else PartPick(first)
        self._tried: tuple[Job, PartPick, PartPick] | None = None
        self._answer: Job | str = ""

    def prompt(self) -> Prompt:
        """What the next click or key will do, or why it will do nothing."""
        way, hover = JOIN_METHODS[self.kind], self._hover
        if hover is not None and self.context.job.find(hover) is None:
            hover = None
        name = f" ({self._named(hover)})" if hover else ""
        first = self._first if self._first and self.context.job.find(self._first.part) else None
        if first is None:
            click = f"{way.first}{name}"
            return self._without_parts() or Prompt(click=click, keys=(*self._picking(), esc()))
        cancel = esc("to drop the first")
        if self._tried is not None and isinstance(self._answer, str):
            return Prompt(state=self._answer, keys=(*self._picking()[:1], cancel))
        other = "" if hover == first.part else name
        return Prompt(
            state=f"First: {self._named(first.part)}{self._end_words(first)}.",
            click=f"{way.second}{other}",
            keys=(*self._picking()[: 2 if other else 1], cancel),
        )

    def _end_words(self, first: PartPick) -> str:
        """Say which end moves, if only one does: the one picked, or that of the previewed joint."""
        job = self.context.job
        member = part_of(job, first.part)
        if first.end is None or self.kind not in ONE_END or not isinstance(member, Member):
            return ""
        at = end_point(member, self._previewed_end(member) or first.end)
        return f", its end at {address(job.table, job.table.nearest(*at))}"

    def _previewed_end(self, member: Member) -> End | None:
        """Return the end of the first member that the previewed joint changes, if any."""
        if self._tried is None or self._tried[0] is not self.context.job:
            return None
        after = part_of(self._answer, member.id) if isinstance(self._answer, Job) else None
        return changed_end(member, after) if isinstance(after, Member) else None

    def _begun(self) -> bool:
        return self._first is not None

    def _forget(self) -> None:
        super()._forget()
        self._first = self._tried = None

    def _look(self) -> Outcome:
        """Show the joint that a click would make, or say why it cannot be made."""
        if self._first is None:
            return Nothing()
        if self._gone():
            return Preview(None)
        if self._hover is None or self._hover == self._first.part:
            self._tried = None
            return Preview(None)
        answer = self._try(self._first, self._second(self._hover))
        return Preview(None if isinstance(answer, str) else answer)

    def _try(self, first: PartPick, second: PartPick) -> Job | str:
        key = (self.context.job, first, second)
        if self._tried is None or self._tried[0] is not key[0] or self._tried[1:] != key[1:]:
            self._tried = key
            self._answer = joined(key[0], self.kind, first, second)
        return self._answer

    def _gone(self) -> bool:
        """True, after restarting the tool, if an undo has removed the first part."""
        if self._first is not None and self.context.job.find(self._first.part) is None:
            self._first = None
            return True
        return False

    def _take(self, part: str) -> Outcome:
        self._gone()
        if self._first is None:
            if not isinstance(part_of(self.context.job, part), Member):
                return Nothing(f"{self._named(part)} is a plate; click a member first.")
            self._first = PartPick(part, self._end(part))
            return Preview(None)
        if part == self._first.part:
            return Nothing("That is the same member; click the other one.")
        outcome = commit(self.context.job, self.kind, self._first, self._second(part))
        if isinstance(outcome, Nothing):
            return Preview(None, outcome.said)
        self._forget()
        return outcome

    def _end(self, part: str) -> End | None:
        """Return the end of a member nearer to the pointer."""
        member, at = part_of(self.context.job, part), self._here()
        if at is None or not isinstance(member, Member):
            return None
        along = Pose(member.x, member.y, member.turn).back(at)[0]
        return "start" if along < member.length / 2.0 else "end"

    def _second(self, part: str) -> PartPick:
        """Return the second part, with the side under the pointer, if any."""
        at = self._here()
        if at is None:
            return PartPick(part)
        side = self._sides.nearest_of(self.context.job, part, at)
        other = part_of(self.context.job, part)
        meant = side.index in mill_faces(other)
        reach = self._grip() / 2.0
        if isinstance(other, Member):  # the middle of a member means the member at any scale
            reach = min(reach, other.width / 4.0)
        near = side.away(at) <= reach
        return PartPick(part, None, side.index if meant and near else None)

    def overlay(self) -> DisplayList:
        """What a click would take, and what has been taken."""
        shown = self._marked(self._hover, self._first.part if self._first else None)
        side = self._side_meant()
        return shown if side is None else (*shown, side)

    def _side_meant(self) -> Polyline | None:
        first, hover = self._first, self._hover
        if self.kind != "trim" or first is None or hover in (None, first.part):
            return None
        if hover is None or self.context.job.find(hover) is None:
            return None
        pick = self._second(hover)
        if pick.side is None:
            return None
        marks = self._sides.of(self.context.job)[pick.part]
        side = next(s for s in marks.sides if s.index == pick.side)
        return Polyline((side.a, side.b), "face")
