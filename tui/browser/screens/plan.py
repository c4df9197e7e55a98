"""The plan of a job, walked through: what is chosen on one side, what follows on the other.

Every change is on disk before the next key: whoever leaves finds it here, and in the list of jobs.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any, ClassVar

from textual import on
from textual.binding import BindingType
from textual.containers import Container, VerticalScroll
from textual.events import DescendantFocus, Resize
from textual.widget import Widget
from textual.widgets import Static

from kb.answers.choices import job_content
from tui.browser.actions import bindings_of
from tui.browser.asking import CHANGED
from tui.browser.choosing import Choices, choices_of, choose_first, lines_of, missing_of
from tui.browser.jobs import JobDraft, journal_name
from tui.browser.lines.plan import verdict_of
from tui.browser.screens.job_keeping import JobKeeping
from tui.browser.screens.pick import Pick
from tui.browser.text import PageInk, from_page, row, shown
from tui.browser.widgets.rows import Rows

if TYPE_CHECKING:
    from kb.plan.whole import WholePlan


VERDICT_LINES = (4, 6)  # in a low terminal, and in a high one
SIDE_BY_SIDE_FROM = 116  # from here the table of channels fits beside the choices, names and all


class PlanWalk(JobKeeping):
    """A stored job by its id, or a new one by its content."""

    ROOM = "plan"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of("plan")]

    def __init__(self, job: str | dict[str, Any], *, journal: str | None = None) -> None:
        """`journal`: the name under which unstored changes are kept, where it is known."""
        super().__init__()
        self.job = job
        self.choices: Choices | None = None
        self._in_book: dict[str, Any] = {"job": {}}  # the job as the book has it
        self.steps = False
        self.why = False
        self._journal_name = journal or journal_name(job)
        self._planned_before: WholePlan | None = None  # what was shown before the book changed

    def body(self) -> Iterable[Widget]:
        yield Static(id="verdict")
        with Container(id="plan-body"):
            yield Rows("settings", headings=("what", "chosen"), yields=((1, 8),))
            with VerticalScroll(id="plan-scroll"):
                yield Static(id="plan-text")

    def on_mount(self) -> None:
        self._keep_as(self._journal_name)
        super().on_mount()
        self.title_line(("The plan", "title"))
        self.query_one("#settings").focus()
        self.ask(self._read, self._arrived, again=self._arrived_anew)

    def _read(self, connection: Any) -> tuple[dict[str, Any], Choices]:
        content = job_content(connection, self.job) if isinstance(self.job, str) else self.job
        return content, choices_of(connection, content["job"])

    def _arrived(self, found: tuple[dict[str, Any], Choices]) -> None:
        content, self.choices = found
        self._in_book = content
        self.draft = JobDraft(content)
        self._held_by = self._lock.take()
        if self._held_by:
            said = f"This job is open in {self._held_by} too: what is changed here is not kept"
            self.say(f"{said} until it is stored.", "caution")
        kept = {} if self._held_by else self.journal.read() or {}
        if isinstance(kept.get("content"), dict):
            has_base = isinstance(kept.get("base"), dict) and "job" in kept["base"]
            self._pick_up(kept["content"], kept["base"] if has_base else content)
        self._follow()
        self.look_at_newer()

    def _pick_up(self, content: dict[str, Any], base: dict[str, Any]) -> None:
        """Go on with what was left, and say what that is."""
        from kb.review.newer import all_changes, named
        from tui.browser.lines.left import picked_up

        assert self.draft is not None
        self.draft.go_on_with(content, base)
        left = named(all_changes(base, content)) or "nothing that differs"
        said = picked_up(left, self.journal.kept_at)
        self.say(f"{said} {self._key('undo')} goes back to before.", "fine")

    def _arrived_anew(self, found: tuple[dict[str, Any], Choices]) -> None:
        """There is other to choose among; what was chosen stays."""
        self._in_book, self.choices = found

    def say_changed(self) -> None:
        """Where the job itself is another one now, say by which key that is brought in."""
        begun = self.draft.begun_from if self.draft is not None else None
        its_own = begun is not None and self._in_book["job"].get("id") == begun["job"].get("id")
        if its_own and self._in_book != begun:
            said = f"{CHANGED}; this job was stored anew: {self._key('store')} says what differs"
            self._say_on_top(said, "caution")
        else:
            super().say_changed()

    def book_moved(self) -> None:
        """Plan anew: a vehicle's routes or an amplifier's channels may have changed."""
        if self.draft is not None:
            self._planned_before = self.whole
            self._follow()

    # -- what follows

    def _changed(self) -> None:
        """Something was chosen, or taken back: keep it, and show what follows."""
        assert self.draft is not None
        try:
            if self._held_by:
                pass  # the other one's changes are kept there
            elif self.draft.changed:
                kept = {"content": self.draft.content, "base": self.draft.begun_from}
                self.journal.keep(kept)
            else:
                self.journal.forget()
        except OSError as fault:
            self.say(f"Not kept on disk ({fault.strerror}): store it before you leave.", "flag")
        self._follow()

    def _follow(self) -> None:
        """Show the choices, and work out what follows from them."""
        assert self.draft is not None and self.choices is not None
        name = self.draft.head.get("id", "a new job")
        mark = "  (changed, not stored)" if self.draft.changed else ""
        self.title_line((f"{name}{mark}", "title"), f"   {self.choices.seen.title}")
        self._show_choices()
        missing = missing_of(self.draft)
        self.query_one("#plan-body").set_class(bool(missing), "-empty-plan")
        if missing:
            self.whole = None
            self._say_instead(choose_first(missing), "bold")
            return
        content = {"kind": "job", **self.draft.content}
        content["job"] = {"id": "new-job", **content["job"]}

        def work_out(connection: Any) -> WholePlan:
            from kb.answers.papers import plan_job

            return plan_job(connection, content)

        self.ask(work_out, self._planned, group="plan")

    def _planned(self, whole: WholePlan) -> None:
        before, self._planned_before = self._planned_before, None
        self.whole = whole
        if before is not None and before != whole:
            self.say_changed()
        if self._last_said == (self._too_early, "caution"):
            self.say("")
        self._show_choices()
        self._draw()

    def failed(self, sentence: str, group: str) -> None:
        """A plan that cannot be made says why where the plan would be."""
        if group == "plan":
            self.whole = None
            self._say_instead(sentence, "flag")
        else:
            super().failed(sentence, group)

    def _say_instead(self, text: str, role: str) -> None:
        self.query_one("#verdict", Static).update(shown(""))
        self.query_one("#plan-text", Static).update(shown(text, role))

    def _draw(self) -> None:
        if self.whole is None:
            return
        lines = VERDICT_LINES[self.has_class("-high")]
        said = verdict_of(self.whole, self.size.width, lines)
        self.query_one("#verdict", Static).update(row(said))
        page = self._page(steps=self.steps, why=self.why)
        self.query_one("#plan-text", Static).update(from_page(page))

    def _page(self, *, steps: bool, why: bool) -> list[str]:
        from tui.drawing.plan_page import plan_page

        assert self.whole is not None
        width = max(40, min(110, self.query_one("#plan-scroll").size.width - 1))
        offers = (
            ("toggle_steps", "the order of work", steps),
            ("toggle_why", "each figure's source", why),
        )
        more = [f"{self._key(id)} {words}" for id, words, on in offers if not on]
        said = ", ".join([*more, f"{self._key('write_sheet')} all of it on paper"])
        return plan_page(self.whole, width, PageInk(), steps=steps, why=why, more=f"More: {said}.")

    def on_resize(self, _: Resize) -> None:
        narrow = self.size.width < SIDE_BY_SIDE_FROM
        self.query_one("#plan-body").set_class(narrow, "-stacked")
        self.call_after_refresh(self._draw)

    def on_descendant_focus(self, _: DescendantFocus) -> None:
        """Where one side is below the other, the one with the focus gets the room."""
        settings = self.query_one("#settings")
        settings.set_class(settings.has_focus, "-worked")

    # -- the choices

    def _show_choices(self) -> None:
        assert self.draft is not None and self.choices is not None
        entries = lines_of(self.draft, self.choices, self._chosen_parts())
        self.query_one("#settings", Rows).show(list(entries))

    def _chosen_parts(self) -> list[str]:
        assert self.draft is not None and self.choices is not None
        given = self.draft.head.get("parts")
        if given is not None:
            return list(given)
        if self.whole is None:
            return []
        always = {part.part for part in self.choices.parts if part.always}
        return [part for part in self.whole.plan.runs.path.chosen if part not in always]

    @on(Rows.Chosen, "#settings")
    def _chosen(self) -> None:
        self.action_change()

    def action_change(self) -> None:
        """Change what is marked: pick another, take it or leave it, let it play or not."""
        item = self.query_one("#settings", Rows).item
        if item is None or self.draft is None or self.choices is None:
            return
        key = item.key
        if key == "amplifier":
            options = [(a.id, f"{a.maker} {a.name}, {a.state}") for a in self.choices.amplifiers]
            self._pick("Which amplifier?", options, "amplifier")
        elif key in ("amplifier_place", "battery_place"):
            name = str(key)
            title = (
                "Where does the amplifier go?" if name == "amplifier_place"
                else "Where is the battery?"
            )  # fmt: skip
            self._pick(title, [(place, self._place_words(place)) for place in self._places()], name)
        elif isinstance(key, tuple) and key[0] == "speaker":
            self.draft.silence(key[1])
            self._changed()
        elif isinstance(key, tuple):
            self.draft.choose_part(key[1], self._chosen_parts())
            self._changed()
        elif key == "parts" and self.draft.head.get("parts") is not None:
            self.draft.let_plan_choose()
            self._changed()
        elif key == "channels" and self.draft.content.get("drive"):
            self.draft.suggest_channels()
            self._changed()
        else:
            self.say("The plan chooses this already.", "faint")

    def _places(self) -> list[str]:
        assert self.choices is not None
        return self.choices.places

    def _place_words(self, place: str) -> str:
        assert self.choices is not None
        return "where the kit takes a unit out" if place == self.choices.likely_place else ""

    def _pick(self, title: str, options: list[tuple[str, str]], name: str) -> None:
        assert self.draft is not None and self.choices is not None

        def taken(chosen: str | None) -> None:
            if chosen is None or self.draft is None:
                return
            if name == "amplifier":
                self.draft.take_amplifier(chosen)
            else:
                self.draft.set(name, chosen)
            self._changed()
            missing = missing_of(self.draft)
            if missing:
                self.query_one("#settings", Rows).mark_key(missing[0])

        likely = self.choices.likely_place if name == "amplifier_place" else None
        self.app.push_screen(Pick(title, options, self.draft.head.get(name) or likely), taken)

    def action_undo(self) -> None:
        """Take the last change back."""
        base = self.draft.begun_from if self.draft is not None else None
        if self.draft is not None and self.draft.undo():
            self._changed()
            same = self.draft.begun_from == base
            self.say("undone" if same else "undone, and back on the base from before", "faint")
        else:
            self.say("Nothing to undo.", "faint")

    def action_toggle_steps(self) -> None:
        """Show the order of work, or hide it."""
        self.steps = not self.steps
        self._unfold("The order of work", self.steps, {"steps": False, "why": self.why})

    def action_toggle_why(self) -> None:
        """Show each figure's formula and source, or hide them."""
        self.why = not self.why
        self._unfold("Each figure's source", self.why, {"steps": self.steps, "why": False})

    def _unfold(self, what: str, on: bool, without: dict[str, bool]) -> None:
        """Go to what was added to the page, or say why nothing was."""
        if self.whole is None:
            self._say_too_early("There is no plan yet.")
            return
        self._draw()
        if not on:
            self.say(f"{what} is hidden again.", "faint")
            return
        page, before = self._page(steps=self.steps, why=self.why), self._page(**without)
        at = next((n for n, (a, b) in enumerate(zip(page, before, strict=False)) if a != b), 0)
        scroll = self.query_one("#plan-scroll", VerticalScroll)
        scroll.focus()
        self.call_after_refresh(scroll.scroll_to, y=at, animate=False, force=True)
        self.say(f"{what}: the arrows scroll it, {self._key('other_pane')} goes back.", "faint")

    def action_other_pane(self) -> None:
        """Between the choices and the plan, to scroll it."""
        settings, scroll = self.query_one("#settings"), self.query_one("#plan-scroll")
        (scroll if settings.has_focus else settings).focus()
