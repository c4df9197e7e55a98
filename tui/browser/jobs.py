"""A job while it is being made: one document and the steps that change it, each undoable.

It stands alone because it knows the document's shape and no screen; what follows from it is asked
of kb.
"""

from __future__ import annotations

import copy
from collections.abc import Mapping, Sequence
from typing import Any

Content = dict[str, Any]


class JobDraft:
    """The content of a job and how it came about; `begun_from`: the job of the book it changes."""

    def __init__(self, content: Content) -> None:
        self.content = content
        self.begun_from = copy.deepcopy(content)  # the contents are changed in place
        self._before: list[tuple[Content, Content]] = []  # contents, and what they were begun from

    @property
    def head(self) -> Mapping[str, Any]:
        """The `[job]` table."""
        head: Mapping[str, Any] = self.content["job"]
        return head

    @property
    def changed(self) -> bool:
        """Whether there is anything to undo."""
        return bool(self._before)

    def go_on_with(self, content: Content, begun_from: Content) -> None:
        """Take over other contents on their own base; undo goes back behind all of it at once."""
        self._step()
        self.content, self.begun_from = content, begun_from

    def undo(self) -> bool:
        """Take the last change back; whether there was one."""
        if not self._before:
            return False
        self.content, self.begun_from = self._before.pop()
        return True

    def set(self, name: str, value: object) -> None:
        """Put one value of the head in place."""
        self._step()["job"][name] = value

    def take_amplifier(self, amplifier: str) -> None:
        """Another amplifier has other channels: who drives what is left to the plan again."""
        content = self._step()
        content["job"]["amplifier"] = amplifier
        content.pop("drive", None)

    def silence(self, speaker: str) -> None:
        """A speaker that shall not play, or shall again."""
        content = self._step()
        silent = list(content["job"].get("silent", ()))
        if speaker in silent:
            silent.remove(speaker)
            content.pop("drive", None)  # nobody said which channel takes it
        else:
            silent.append(speaker)
            for drive in content.get("drive", ()):
                drive["speakers"] = [other for other in drive["speakers"] if other != speaker]
            drives = [drive for drive in content.get("drive", ()) if drive["speakers"]]
            content["drive"] = drives
        content["job"]["silent"] = silent
        for name in ("silent", "drive"):
            table = content["job"] if name == "silent" else content
            if not table.get(name):
                table.pop(name, None)

    def choose_part(self, part: str, chosen: Sequence[str]) -> None:
        """Take a part or leave it; from then on the plan uses exactly the parts that are taken."""
        content = self._step()
        parts = list(content["job"].get("parts", chosen))
        content["job"]["parts"] = (
            [other for other in parts if other != part] if part in parts else [*parts, part]
        )

    def let_plan_choose(self) -> None:
        """Leave the parts to the plan."""
        self._step()["job"].pop("parts", None)

    def suggest_channels(self) -> None:
        """Leave who drives what to the plan."""
        self._step().pop("drive", None)

    def _step(self) -> Content:
        self._before.append((copy.deepcopy(self.content), self.begun_from))
        return self.content


def journal_name(job: str | dict[str, Any]) -> str:
    """The name that unstored changes have: a stored job's own, else its vehicle's and kit's."""
    if isinstance(job, str):
        return job
    head = job["job"]
    return f"new {head['vehicle']} {head['kit']}"
