"""Keeping a job while its plan is walked through: on disk, in the book, on paper.

It stands alone because what follows from a choice needs none of it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from textual.content import Content

from kb.errors import Refused
from tui.browser.actions import ACTIONS
from tui.browser.choosing import choose_first, missing_of
from tui.browser.jobs import JobDraft, journal_name
from tui.browser.journal import Journal
from tui.browser.lock import Lock
from tui.browser.room import Room
from tui.browser.screens.confirm import Confirm
from tui.browser.screens.prompt import Prompt
from tui.browser.text import shown
from tui.browser.widgets.rows import Rows

if TYPE_CHECKING:
    from kb.plan.whole import WholePlan
    from kb.review.merging import Merged
    from kb.review.newer import Newer
    from tui.browser.lines.storing import Storing


class JobKeeping(Room):
    """A job that is being made, and its plan where there is one."""

    def __init__(self) -> None:
        super().__init__()
        self.draft: JobDraft | None = None
        self.whole: WholePlan | None = None
        self._too_early = ""  # what was said for want of a plan
        self._held_by: str | None = None  # who else has this job open
        self._known: str | None = None  # a newer revision that was told, and set aside

    def _follow(self) -> None:
        """Show the choices, and work out what follows from them."""
        raise NotImplementedError

    def _changed(self) -> None:
        """Something was chosen, or taken back: keep it, and show what follows."""
        raise NotImplementedError

    def _keep_as(self, name: str) -> None:
        """Where changes are kept, by one browser at a time."""
        self.journal = Journal("job", name, owner=self.shelf.owner)
        self._lock = Lock(self.journal.path.with_suffix(".lock"))
        self._held_by = None

    def on_unmount(self) -> None:
        self._lock.release()

    def _key(self, id: str) -> str:
        return self.key_of(next(a for a in ACTIONS if a.room == "plan" and a.id == id))

    def _say_too_early(self, text: str) -> None:
        """Say what is true only until there is a plan."""
        self._too_early = text
        self.say(text, "caution")

    # -- keeping it

    def action_store(self) -> None:
        """Store the job as a submitted revision."""
        if self.draft is None:
            return
        missing = missing_of(self.draft)
        if missing:
            self._say_too_early(choose_first(missing))
            self.query_one("#settings", Rows).mark_key(missing[0])
            return
        self.app.push_screen(
            Prompt("Name of the job", "small letters, digits and hyphens",
                   value=str(self.draft.head.get("id", "")),
                   needed="A name is needed; Esc leaves the job unstored.",
                   check=self._wrong_with),
            self._look_before_storing,
        )  # fmt: skip

    def _content(self, name: str) -> dict[str, Any]:
        assert self.draft is not None
        return {**self.draft.content, "kind": "job", "job": {**self.draft.head, "id": name}}

    def _wrong_with(self, name: str) -> str | None:
        """What is wrong with a job of this name: the question stays until it is mended."""
        from tui.browser.checking import checked

        try:
            checked(self._content(name))
        except Refused as fault:
            return str(fault)
        return None

    def _base(self, name: str) -> dict[str, Any] | None:
        """The job of the book that is changed, as it was; under another name it is another one."""
        begun = self.draft.begun_from if self.draft is not None else None
        return begun if begun is not None and begun["job"].get("id") == name else None

    def _look_before_storing(self, name: str | None) -> None:
        """Ask once more where the plan has a fault, or somebody else's job would be undone."""
        if not name or self.draft is None:
            return
        content = self._content(name)

        def found(storing: Storing) -> None:
            if self._is_news(storing):
                self._ask_about_newer(storing, lambda: self._ask_to_store(content, storing))
            else:
                self._ask_to_store(content, storing)

        self._foresee(content, found, group="change")

    def _foresee(
        self, content: dict[str, Any], then: Callable[[Storing], None], *, group: str
    ) -> None:
        base = self._base(content["job"]["id"])

        def read(connection: Any) -> Storing:
            from tui.browser.before_storing import job_storing

            return job_storing(connection, content, base)

        self.ask(read, then, group=group)

    def _ask_to_store(self, content: dict[str, Any], storing: Storing) -> None:
        said = list(self._against(storing))
        known = storing.newer.revision.hash if storing.newer else None

        def answered(key: str | None) -> None:
            if key:
                self._store(content, known)

        if said:
            title = f"Store {content['job']['id']} all the same?"
            self.app.push_screen(Confirm(title, said, "stores it"), answered)
        else:
            self._store(content, known)

    def _against(self, storing: Storing) -> Iterator[Content]:
        """What speaks against storing it, line by line."""
        from tui.browser.lines.storing import job_lines

        if self.whole is None:
            yield shown("✗ there is no plan: nobody has seen what this job would do", "flag")
        for fault in self.whole.plan.faults if self.whole else ():
            yield shown(f"✗ {fault}", "flag")
        yield from job_lines(storing)

    def _store(self, content: dict[str, Any], known: str | None) -> None:
        acting, base = self.shelf.acting, self._base(content["job"]["id"])

        def add(database: Any) -> Any:
            from kb.review.newer import must_know, newer_than
            from kb.store.revisions import add_changed, add_documents
            from tui.browser.before_storing import job_base
            from tui.browser.checking import checked

            id = content["job"]["id"]
            made_from = job_base(database.conn, id, base)
            newer = newer_than(database.conn, "job", id, made_from)
            must_know(newer, known)
            document = checked(content)
            if newer is not None and made_from is not None:  # on its old base, knowingly
                return add_changed(database, document, author=acting, made_from=made_from)
            return add_documents(database, [document], author=acting)[0]

        self.change(add, lambda stored: self._stored(stored, content))

    def _stored(self, stored: Any, content: dict[str, Any]) -> None:
        self.draft = JobDraft(content)
        if not self._held_by:
            self.journal.forget()
        self._lock.release()
        self._keep_as(journal_name(stored.id))
        self._held_by = self._lock.take()
        self._follow()
        self.say(f"{stored.id} is {stored.state}.", "fine")

    # -- what others changed since it was begun

    def look_at_newer(self) -> None:
        """Where another revision of the job answers than the changes were begun from, ask."""
        if self.draft is None or not self.draft.changed or not self.draft.head.get("id"):
            return

        def found(storing: Storing) -> None:
            if self._is_news(storing):
                self._ask_about_newer(storing, lambda: None)

        self._foresee(self._content(str(self.draft.head["id"])), found, group="newer")

    def _is_news(self, storing: Storing) -> bool:
        newer = storing.newer
        if newer is None or storing.merged is None or newer.revision.hash == self._known:
            return False
        return bool(storing.changes)  # else both say the same

    def _ask_about_newer(self, storing: Storing, goes_on: Callable[[], None]) -> None:
        """Bring it in, or go on upon the old base."""
        from tui.browser.lines.storing import answers_to_newer, newer_lines

        newer = storing.newer
        assert newer is not None
        does, others = answers_to_newer(storing)

        def answered(key: str | None) -> None:
            if key == "o":
                self._known = newer.revision.hash
                goes_on()
            elif key:
                self._bring_in(newer, theirs_wins=key == "t")

        title = "Another revision answers since you began"
        self.app.push_screen(Confirm(title, list(newer_lines(storing)), does, others), answered)

    def _bring_in(self, newer: Newer, *, theirs_wins: bool) -> None:
        assert self.draft is not None
        content = self._content(str(self.draft.head["id"]))

        def read(connection: Any) -> tuple[Merged | None, dict[str, Any]]:
            from kb.review.queue import content_of
            from tui.browser.before_storing import bring_in

            together, _ = bring_in(connection, newer, content, theirs_wins=theirs_wins)
            return together, dict(content_of(connection, newer.revision.hash))

        def arrived(found: tuple[Merged | None, dict[str, Any]]) -> None:
            from tui.browser.lines.storing import brought_in

            together, theirs = found
            assert self.draft is not None
            if together is None or self._content(newer.revision.id) != content:
                self.say("It was changed meanwhile; nothing was brought in.", "caution")
                return
            self.draft.go_on_with(together.content, theirs)
            self._changed()
            said = brought_in(together, newer, theirs_wins=theirs_wins)
            self.say(f"{said} {self._key('undo')} takes it back.", "fine")

        self.ask(read, arrived, group="newer")

    def action_write_sheet(self) -> None:
        """Write the plan on paper: one HTML file."""
        if self.draft is None or self.whole is None:
            self._say_too_early("There is no plan yet to write.")
            return
        name = str(self.draft.head.get("id", "job"))
        self.app.push_screen(
            Prompt("Write the sheet to which file?",
                   f"an HTML page that prints; without a folder, in {Path.cwd()}",
                   value=f"{name}.html"),
            self._write_sheet,
        )  # fmt: skip

    def _write_sheet(self, name: str | None) -> None:
        if not name or self.whole is None:
            return
        whole, path = self.whole, Path(name).expanduser().absolute()

        def write() -> str:
            from tui.drawing.sheet import write_sheet

            return str(write_sheet(whole, path))

        def written(where: str) -> None:
            self.say(f"written: {where}", "fine")

        def replace(yes: bool | str | None) -> None:
            if yes:
                self.work(write, written, group="sheet")

        def differs() -> bool:
            from kb.store.application_mark import must_be_no_book
            from tui.drawing.sheet import sheet_html

            must_be_no_book(path)

            there = path.is_file()
            return there and path.read_bytes() != sheet_html(whole).encode("utf-8")

        def ask(another: bool) -> None:
            if not another:
                replace(True)
                return
            said = [shown(f"{path} is there and holds something else."),
                    shown("What it holds now is lost when it is replaced.", "caution")]  # fmt: skip
            self.app.push_screen(Confirm("Replace it?", said, "replaces it"), replace)

        self.work(differs, ask, group="sheet")
