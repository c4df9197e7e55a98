"""One revision before a lead: what changes pin by pin, how it is known, who differs, the effect.

Promise: nothing is signed that was not on the screen. A key signs the revision that is shown, whole
and read; then the queue is back, and the next one takes a key of its own to open.
"""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from typing import TYPE_CHECKING, Any, ClassVar, NamedTuple

from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.events import Resize
from textual.widget import Widget
from textual.widgets import Static

from kb.errors import Refused
from kb.review.dossier import Dossier, dossier
from kb.review.history import Past, history, shop_names
from kb.review.people import must_be_lead
from kb.review.shop import this_shop_of
from kb.store.chain import last_chain
from tui.browser.actions import ACTIONS, Action, bindings_of
from tui.browser.asking import CHANGED
from tui.browser.room import Room
from tui.browser.screens.confirm import Confirm
from tui.browser.screens.prompt import Prompt
from tui.browser.text import PageInk, from_page
from tui.browser.widgets.rows import Rows
from tui.drawing.review_page import review_page
from tui.ink import Ink

if TYPE_CHECKING:
    from tui.browser.screens.queue import Queue

STILL_READING = "It is still being read; look at it first."
IN_HISTORY = "This is its history; go back to what it changes first."
A_REASON = "A reason is needed; Esc leaves it as it is."
CHANGED_SINCE = "Nothing was signed, for the book no longer says what was read."
ALONE = "This one was opened by itself: the queue has the others that wait."
EDIT, SIGN = (next(a for a in ACTIONS if a.id == id) for id in ("edit_entry", "verify"))


class _TakenBack(Exception):
    """Ends a transaction that was only to see whether a signature is allowed."""


class Read(NamedTuple):
    """What is read of one revision, in one go."""

    seen: Dossier
    past: list[Past]
    shops: tuple[str, dict[str, str]]
    may_not: dict[str, str]


class Review(Room):
    """The dossier; `v` signs exactly what is shown, `r` sends it back with a reason."""

    ROOM = "review"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of("review")]

    def __init__(self, entry: str, queue: Queue | None = None) -> None:
        """`queue`: the list that it was opened from, where it was; else Esc, and an act, lead back
        to wherever somebody asked for this one revision.
        """
        super().__init__()
        self.queue = queue
        self.entry = entry
        self.seen: Dossier | None = None
        self._past: list[Past] = []
        self._in_history = False
        self._shops: tuple[str, dict[str, str]] = ("", {})
        self._may_not: dict[str, str] = {}  # why this person may not sign, or return
        self._tried: tuple[str | None, bool] = (None, False)

    def body(self) -> Iterable[Widget]:
        with VerticalScroll(id="dossier"):
            yield Static(id="dossier-text")

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one("#dossier").focus()
        self._read()

    def _read(self) -> None:
        entry, acting = self.entry, self.shelf.acting
        self.seen, self._in_history = None, False
        self.title_line(("Review", "title"), f"   {entry}")

        def read(connection: Any) -> Read:
            from kb.review.acts import why_another_lead

            may_not = {}
            for act, purpose in (("verify", "verifies"), ("give_back", "returns")):
                try:
                    must_be_lead(connection, acting, purpose)
                except Refused as fault:
                    may_not[act] = str(fault)
            seen = dossier(connection, entry)
            own = why_another_lead(connection, seen.revision, acting)
            if own is not None:
                may_not.setdefault("verify", own)
            past = history(connection, f"{seen.revision.kind}/{seen.revision.id}")
            shops = (this_shop_of(connection), dict(shop_names(connection)))
            return Read(seen, past, shops, may_not)

        self.ask(read, self._arrived, again=self._arrived_anew)

    def _arrived(self, found: Read) -> None:
        self.query_one("#dossier").scroll_home(animate=False)
        self._arrived_anew(found)

    def _arrived_anew(self, found: Read) -> None:
        self.seen, self._past, self._shops, self._may_not = found
        self.refresh_foot()
        self._draw()

    def _draw(self) -> None:
        if self.seen is None:
            return
        page = self._page(min(110, self.size.width - 3), PageInk())
        self.query_one("#dossier-text", Static).update(from_page(page))

    def _page(self, width: int, ink: Ink) -> list[str]:
        assert self.seen is not None
        if self._in_history:
            from tui.drawing.history_page import history_page

            return history_page(self._past, *self._shops, width, ink)
        return review_page(self.seen, *self._shops, width, ink, next_words=self._next_words())

    def _next_words(self) -> str:
        """What can be done with it here, in keys."""
        assert self.seen is not None
        state = self.seen.revision.state
        if state == "returned" and not self.why_not(EDIT):
            return f"{self.key_of(EDIT)} opens it in the sheets, to be mended and submitted again"
        if state != "submitted":
            return ""
        keys = {action.id: self.key_of(action) for action in self.offered()}
        why_not = self._may_not.get("verify", "")
        if "give_back" not in keys:
            return why_not
        first = why_not.removesuffix(".")
        if "verify" in keys:
            asks = "asks why less than a measurement will do, and signs it"
            first = f"{keys['verify']} {asks if self.seen.unmeasured else 'signs it'}"
        return f"{first}; {keys['give_back']} sends it back"

    def on_resize(self, _: Resize) -> None:
        self._draw()

    def action_toggle_history(self) -> None:
        """What became of this entry so far, or back to what it changes."""
        if self.seen is not None:
            self._in_history = not self._in_history
            self.refresh_foot()
            self.query_one("#dossier").scroll_home(animate=False)
            self._draw()

    # -- the acts

    def why_not(self, action: Action) -> str:
        """Told at once, before a sentence is typed: that only a lead signs, or nothing waits."""
        if self.queue is None and action.id in ("next_review", "previous_review"):
            return ALONE
        if action.id in ("verify", "give_back"):
            if self._in_history:
                return IN_HISTORY
            if self.seen is not None and self.seen.revision.state != "submitted":
                return f"It is {self.seen.revision.state}: it waits for no lead."
        why = super().why_not(action) or self._may_not.get(action.id, "")
        return why or (self._why_not_withdrawn() if action.id == "withdraw" else "")

    def changed_in_words(self) -> str:
        """To look again before signing is for whoever may sign what is shown."""
        return CHANGED if self.why_not(SIGN) else f"{CHANGED}; look again before you sign"

    def _shown(self) -> bool:
        """Whether the revision to be acted upon is the one on the screen; else why not is said."""
        seen = self.seen
        if seen is None or "verify" in self._pending or "change" in self._pending:
            self.say(STILL_READING, "caution")
            return False
        return True

    def action_verify(self) -> None:
        """Sign this revision; where a rule asks for a reason, ask for it."""
        if self._shown():
            self._verify(reason=None, alone=False)

    def _verify(self, *, reason: str | None, alone: bool, sure: bool = False) -> None:
        """Sign it; what is not `sure` yet is tried and taken back, and asked about once."""
        from kb.review.acts import verify

        assert self.seen is not None
        seen, acting, basis = self.seen, self.shelf.acting, self._basis
        entry = self._exactly(seen)
        self._tried = (reason, alone)

        def sign(database: Any) -> Any:
            # Unless nobody has written since, what was read is compared, under the lock.
            same_book = basis is not None and last_chain(database) == basis.book
            changed = not same_book and dossier(database.conn, entry) != seen
            done = verify(database, entry, by=acting, reason=reason, alone=alone)
            if changed:  # said after a reason of the rules' own, and nothing is kept
                raise Refused(CHANGED_SINCE)
            return done

        def rehearse() -> None:
            with suppress(_TakenBack), self.shelf.writing() as database:
                sign(database)
                raise _TakenBack

        if sure:
            self.change(sign, self._verified, group="verify")
        else:
            self.work(rehearse, lambda _: self._ask_to_sign(seen), group="verify")

    def _ask_to_sign(self, seen: Dossier) -> None:
        from tui.browser.lines.signing import signing_lines

        def answered(key: str | None) -> None:
            if key and self.seen is seen:
                self._verify(reason=None, alone=False, sure=True)
            elif key:
                self.say(CHANGED_SINCE, "caution")

        said = list(signing_lines(seen))
        self.app.push_screen(Confirm("Sign this revision?", said, "signs it"), answered)

    @staticmethod
    def _exactly(seen: Dossier) -> str:
        """The revision that is on the screen, by its whole hash."""
        return f"{seen.revision.kind}/{seen.revision.id}@{seen.revision.hash}"

    def _verified(self, done: Any) -> None:
        alone = ", alone" if done.alone else ""
        self._go_back(f"✓ {done.revision.name} is verified{alone}.")

    def failed(self, sentence: str, group: str) -> None:
        """A rule that lets less do with a reason, or alone, is asked about; any other is said."""
        from tui.browser.lines.signing import asked_by

        asked = asked_by(sentence, self.seen, *self._tried) if group == "verify" else None
        if asked is None:
            super().failed(sentence, group)
            self.look_at_book()
            return
        question, hint, must_be, alone = asked

        def answered(said: str | None) -> None:
            if said:
                reason = self._tried[0] if must_be else said
                self._verify(reason=reason, alone=alone, sure=True)

        self.app.push_screen(
            Prompt(question, hint, must_be=must_be, needed=A_REASON, signs=True), answered
        )

    def action_withdraw(self) -> None:
        """Take one's own back, with the reason."""
        if self.seen is not None:
            from tui.browser.lines.signing import withdrawn_in_words

            self.app.push_screen(
                Prompt(withdrawn_in_words(self.seen),
                       "Why, in a sentence for its history", needed=A_REASON, signs=True),
                self._withdraw,
            )  # fmt: skip

    def _withdraw(self, why: str | None) -> None:
        if not why or self.seen is None:
            return
        from kb.review.acts import withdraw

        entry, acting = self._exactly(self.seen), self.shelf.acting
        state = self.seen.revision.state
        self.change(
            lambda database: withdraw(database, entry, by=acting, reason=why, while_it_is=state),
            lambda done: self._go_back(f"{done[0].name} is withdrawn."),
        )

    def _why_not_withdrawn(self) -> str:
        """Only an author takes a revision back, here where it was entered, and once."""
        if self.seen is None:
            return STILL_READING
        revision = self.seen.revision
        if (revision.author, revision.origin) != (self.shelf.acting, self._shops[0]):
            return f"It is by {revision.author}: only its author, where it was entered, withdraws."
        if revision.state not in ("draft", "submitted", "verified"):
            return f"It is {revision.state} already."
        return ""

    def action_give_back(self) -> None:
        """Send it back."""
        if self._shown():
            self.app.push_screen(
                Prompt(f"What is wrong with {self.entry}?", "A sentence its author can act on",
                       needed=A_REASON),
                self._give_back,
            )  # fmt: skip

    def _give_back(self, why: str | None) -> None:
        if not why or self.seen is None:
            return
        from kb.review.acts import send_back

        entry, acting = self._exactly(self.seen), self.shelf.acting
        self.change(
            lambda database: send_back(database, entry, by=acting, why=why),
            lambda done: self._go_back(f"↩ {done.name} went back to {done.author}."),
        )

    def _go_back(self, said: str) -> None:
        """After an act, where it was opened from: a held key signs nothing more.

        That is the queue with the next one marked, or the screen that named this one revision.
        """
        keys = self._keys()
        at = keys.index(self.entry) if self.entry in keys else 0
        rest = [key for key in keys if key != self.entry]
        if rest and self.queue is not None:
            self.queue.query_one(Rows).mark_key(rest[min(at, len(rest) - 1)])
        self.app.pop_screen()
        if isinstance(self.app.screen, Room):
            self.app.screen.say(said, "fine")

    def _keys(self) -> list[str]:
        rows = self.queue.query_one(Rows) if self.queue is not None else None
        return [str(item.key) for item in rows.items] if rows is not None else []

    def action_next_review(self) -> None:
        """The next one that waits."""
        self._go(1)

    def action_previous_review(self) -> None:
        """The one before."""
        self._go(-1)

    def _go(self, step: int) -> None:
        keys = self._keys()
        if keys:
            at = keys.index(self.entry) if self.entry in keys else 0
            self.entry = keys[(at + step) % len(keys)]
            self.say("")
            self._read()

    def action_edit_entry(self) -> None:
        """Open the sheets on what this revision holds: what is stored is another revision."""
        if self.seen is None:
            self.say(STILL_READING, "caution")
            return
        revision = self.seen.revision

        def read(connection: Any) -> dict[str, Any]:
            from kb.answers.choices import content_of_revision

            return content_of_revision(connection, revision.number)

        def open_sheets(content: dict[str, Any]) -> None:
            from tui.browser.kept_entries import KeptEntry
            from tui.browser.opening import open_entry

            owner = self.shelf.owner
            kept = KeptEntry.of_revision(revision.kind, revision.id, revision.hash, owner)
            open_entry(self, content, kept, revision.hash, exactly=True)

        self.ask(read, open_sheets, group="edit")

    # -- copying: there is no list here

    def action_copy_row(self) -> None:
        """Copy the revision's name."""
        if self.seen is not None:
            self.copy(self.seen.revision.name, f"“{self.seen.revision.name}”")

    def action_copy_cell(self) -> None:
        """The same."""
        self.action_copy_row()

    def action_copy_table(self) -> None:
        """Copy the whole dossier."""
        if self.seen is not None:
            page = self._page(min(110, self.size.width - 3), Ink(colour=False))
            self.copy("\n".join(page) + "\n", "the whole page")
