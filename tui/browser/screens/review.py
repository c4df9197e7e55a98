"""One revision before a lead: what changes pin by pin, how it is known, who differs, the effect."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any, ClassVar

from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.events import Resize
from textual.widget import Widget
from textual.widgets import Static

from kb.review.dossier import Dossier, dossier
from kb.review.history import shop_names
from kb.review.shop import this_shop_of
from tui.browser.actions import bindings_of
from tui.browser.room import Room
from tui.browser.screens.prompt import Prompt
from tui.browser.text import PageInk, from_page
from tui.browser.widgets.rows import Rows
from tui.drawing.review_page import review_page

if TYPE_CHECKING:
    from tui.browser.screens.queue import Queue


class Review(Room):
    """The dossier; `v` signs exactly what is shown, `r` sends it back with a reason."""

    ROOM = "review"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of("review")]

    def __init__(self, queue: Queue, entry: str) -> None:
        super().__init__()
        self.queue = queue
        self.entry = entry
        self.seen: Dossier | None = None
        self._told: tuple[str, dict[str, str]] = ("", {})

    def body(self) -> Iterable[Widget]:
        with VerticalScroll(id="dossier"):
            yield Static(id="dossier-text")

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one("#dossier").focus()
        self._read()

    def _read(self) -> None:
        entry = self.entry
        self.title_line(("Review", "title"), f"   {entry}")
        self.ask(
            lambda connection: (
                dossier(connection, entry),
                this_shop_of(connection),
                dict(shop_names(connection)),
            ),
            self._arrived,
        )

    def _arrived(self, found: tuple[Dossier, str, dict[str, str]]) -> None:
        self.seen = found[0]
        self._told = found[1:]
        self.query_one("#dossier").scroll_home(animate=False)
        self._draw()

    def _draw(self) -> None:
        if self.seen is None:
            return
        width = min(110, self.size.width - 3)
        page = review_page(self.seen, *self._told, width, PageInk())
        self.query_one("#dossier-text", Static).update(from_page(page))

    def on_resize(self, _: Resize) -> None:
        self._draw()

    # -- the acts

    def action_verify(self) -> None:
        """Sign this revision; where a rule asks for a reason, ask for it."""
        self._verify(reason=None, alone=False)

    def _verify(self, *, reason: str | None, alone: bool) -> None:
        from kb.review.acts import verify

        entry, acting = self.entry, self.shelf.acting
        self._tried = (reason, alone)
        self.change(
            lambda database: verify(database, entry, by=acting, reason=reason, alone=alone),
            self._verified,
            group="verify",
        )

    def _verified(self, done: Any) -> None:
        alone = ", alone" if done.alone else ""
        self._on(f"✓ {done.revision.name} is verified{alone}.")

    def failed(self, sentence: str, group: str) -> None:
        """A rule that lets less do with a reason, or alone, is asked about; any other is said."""
        if group == "verify":
            reason, alone = self._tried
            if reason is None and "--reason" in sentence:
                question = sentence.replace(", or say with --reason why less will do", "")
                self.app.push_screen(
                    Prompt(question, "Why will less do here? (Esc leaves it unsigned)"),
                    lambda why: self._verify(reason=why, alone=alone) if why else None,
                )
                return
            if not alone and "--alone does it" in sentence:
                self.app.push_screen(
                    Prompt(sentence.replace("--alone does it", "you may sign alone"),
                           "Type  alone  to sign it so", must_be="alone"),
                    lambda said: self._verify(reason=reason, alone=True) if said else None,
                )  # fmt: skip
                return
        super().failed(sentence, group)

    def action_give_back(self) -> None:
        """Send it back."""
        self.app.push_screen(
            Prompt(f"What is wrong with {self.entry}?", "A sentence its author can act on"),
            self._give_back,
        )

    def _give_back(self, why: str | None) -> None:
        if not why:
            return
        from kb.review.acts import send_back

        entry, acting = self.entry, self.shelf.acting
        self.change(
            lambda database: send_back(database, entry, by=acting, why=why),
            lambda done: self._on(f"↩ {done.name} went back to {done.author}."),
        )

    def _on(self, said: str) -> None:
        """After an act: the next one that waits, or the queue where none does."""
        rest = [key for key in self._keys() if key != self.entry]
        at = self._keys().index(self.entry) if self.entry in self._keys() else 0
        self.queue.refill()
        if rest:
            self.entry = rest[min(at, len(rest) - 1)]
            self._read()
            self.say(said, "fine")
        else:
            self.app.pop_screen()
            self.queue.say(said, "fine")

    def _keys(self) -> list[str]:
        return [str(item.key) for item in self.queue.query_one(Rows).items]

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
            self._read()
