"""What every screen of the browser is: a title, a body, one line for what is said, the footer.

Promise: a question runs in a thread on a connection of its own, its answer comes back as a
message, and so does its failure, as one sentence; the answer to an overtaken question is dropped.
It stands alone because that rule must not be written again in each screen.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from contextlib import suppress
from functools import partial
from inspect import isawaitable
from typing import TYPE_CHECKING, Any, ClassVar, TypeVar

from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.events import DescendantFocus
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Input, Static

from tui.browser.actions import (
    EVERYWHERE,
    Action,
    actions_of,
    bindings_of,
    footer_of,
    key_in_words,
)
from tui.browser.copying import Copying
from tui.browser.shelf import EXAMPLE, READ_ONLY
from tui.browser.text import row
from tui.browser.widgets.foot import Foot, is_letter
from tui.browser.widgets.rows import Rows

if TYPE_CHECKING:
    from tui.browser.app import Browser
    from tui.browser.shelf import Shelf

Answer = TypeVar("Answer")
SLOW_AFTER = 0.3  # seconds until a wait is said


class Room(Copying):
    """The base of all screens; `ROOM` names its actions in the registry."""

    ROOM: ClassVar[str] = EVERYWHERE
    BINDINGS: ClassVar[list[BindingType]] = [*bindings_of(EVERYWHERE)]
    # Textual declares these as its own instance's variables, which a ClassVar may not override.
    HORIZONTAL_BREAKPOINTS = [  # noqa: RUF012
        (0, "-tiny"),
        (72, "-narrow"),
        (100, "-normal"),
        (140, "-wide"),
    ]
    VERTICAL_BREAKPOINTS = [(0, "-low"), (32, "-high")]  # noqa: RUF012

    class Answered(Message):
        """A question has its answer."""

        def __init__(self, group: str, number: int, value: Any, then: Callable[[Any], None]):
            super().__init__()
            self.group, self.number, self.value, self.then = group, number, value, then

    class Failed(Message):
        """A question failed, and this is what to tell."""

        def __init__(self, group: str, number: int, sentence: str):
            super().__init__()
            self.group, self.number, self.sentence = group, number, sentence

    def __init__(self) -> None:
        super().__init__()
        self._numbers: dict[str, int] = {}
        self._asked: dict[str, Any] = {}  # the open connection of each question under way
        self._pending: set[str] = set()
        self._last_said: tuple[object, str] = ("", "plain")

    # -- layout

    def compose(self) -> ComposeResult:
        yield Static(id="top")
        yield from self.body()
        yield Static(id="said")
        yield Foot(self.offered, self.key_here)

    def offered(self) -> list[Action]:
        """What the footer names: no more than can be done here."""
        return [action for action in footer_of(self.ROOM) if not self.why_not(action)]

    def on_descendant_focus(self, _: DescendantFocus) -> None:
        """In a field other keys do what letters do elsewhere."""
        self.refresh_foot()

    def refresh_foot(self) -> None:
        """Write the footer anew, where what can be done has changed."""
        self.query_one(Foot).draw()

    def body(self) -> Iterable[Widget]:
        """What is between title and footer."""
        yield from ()

    @property
    def browser(self) -> Browser:
        """The app, by its type."""
        return self.app  # type: ignore[return-value]  # this app runs no other

    @property
    def shelf(self) -> Shelf:
        """The book that is looked at."""
        return self.browser.shelf

    def title_line(self, *parts: Content | tuple[object, str] | str) -> None:
        """Write the first line."""
        mark: list[tuple[object, str]] = []
        if self.shelf.example:
            mark = [("  example book, nothing of yours", "caution")]
        elif self.shelf.read_only:
            mark = [("  read only", "caution")]
        self.query_one("#top", Static).update(row(" ", *parts, *mark))

    def say(self, text: object, role: str = "plain") -> None:
        """Say one thing above the footer; empty text takes it away."""
        if self._last_said != (text, role):
            self._last_said = (text, role)
            self._draw_said(text, role)

    def _draw_said(self, text: object, role: str) -> None:
        said = self.query_one("#said", Static)
        said.update(row(" ", (text, role)))
        said.set_class(not str(text), "-empty")

    def keys_of(self, action: Action) -> list[str]:
        """The keys of an action as they are set."""
        return self.browser.keys.get(action.setting, action.keys).replace(" ", "").split(",")

    def key_of(self, action: Action) -> str:
        """The first of them, in words."""
        return key_in_words(self.keys_of(action)[0])

    def all_keys_of(self, action: Action) -> str:
        """All of them, in words."""
        return ", ".join(key_in_words(key) for key in self.keys_of(action))

    def key_here(self, action: Action) -> str | None:
        """The key that does it where the focus is: in a text field a letter is a letter."""
        keys = self.keys_of(action)
        if isinstance(self.focused, Input):
            twin = f"{action.id}_from_field"
            from_field = next((a for a in actions_of(self.ROOM) if a.id == twin), action)
            keys = [key for key in self.keys_of(from_field) if not is_letter(key)]
        return key_in_words(keys[0]) if keys else None

    def on_mount(self) -> None:
        self._draw_said("", "plain")
        for rows in self.query(Rows):
            rows.flat = self.browser.flat

    def put(self, id: str, content: Content) -> None:
        """Show other lines in a Static; the screen is laid out anew only where it needs to be.

        A layout draws the whole screen again, which a key in a list must not wait for.
        """
        widget = self.query_one(id, Static)
        width = widget.size.width
        needed = len(content.wrap(width)) if width else 0
        widget.update(row(content), layout=needed != widget.size.height)

    # -- asking

    def ask(
        self,
        question: Callable[[Any], Answer],
        then: Callable[[Answer], None],
        *,
        group: str = "main",
    ) -> None:
        """Ask an open connection in a thread; `then` gets the answer on this side.

        A later question of the same group overtakes this one: its work is stopped.
        """

        def read() -> Answer:
            with self.shelf.book.reading() as connection:
                self._asked[group] = connection
                try:
                    return question(connection)
                finally:
                    self._asked.pop(group, None)

        self.work(read, then, group=group)

    def change(
        self, act: Callable[[Any], Answer], then: Callable[[Answer], None], *, group: str = "change"
    ) -> None:
        """Write in a thread, all or nothing; a refusal is said and nothing changes."""

        def write() -> Answer:
            with self.shelf.writing() as database:
                return act(database)

        self.work(write, then, group=group)

    def work(
        self, task: Callable[[], Answer], then: Callable[[Answer], None], *, group: str
    ) -> None:
        """Run anything in a thread; the end is a message either way."""
        self._stop(group)
        number = self._numbers[group] = self._numbers.get(group, 0) + 1
        self._pending.add(group)
        self.set_timer(SLOW_AFTER, partial(self._say_slow, group, number))

        def run() -> None:
            try:
                value = task()
            except Exception as fault:
                self.post_message(self.Failed(group, number, sentence_of(fault)))
            else:
                self.post_message(self.Answered(group, number, value, then))

        self.run_worker(run, thread=True, group=group, exclusive=True, exit_on_error=False)

    @on(Answered)
    def _answered(self, message: Answered) -> None:
        if message.number == self._numbers.get(message.group):
            self._end(message.group)
            message.then(message.value)

    @on(Failed)
    def _failed(self, message: Failed) -> None:
        if message.number == self._numbers.get(message.group):
            self._end(message.group)
            self.failed(message.sentence, message.group)

    def failed(self, sentence: str, group: str) -> None:  # noqa: ARG002  # screens override it
        """What to do with a failure: say it."""
        self.say(sentence, "flag")

    def _say_slow(self, group: str, number: int) -> None:
        if group in self._pending and self._numbers[group] == number:
            self._draw_said("working it out … Esc stops", "faint")
            self.add_class("-slow")

    def _end(self, group: str) -> None:
        self._pending.discard(group)
        if self.has_class("-slow"):
            self.remove_class("-slow")
            self._draw_said(*self._last_said)

    def _stop(self, group: str) -> None:
        connection = self._asked.get(group)
        if connection is not None:
            with suppress(Exception):  # it may just have been closed: then nothing is to stop
                connection.interrupt()

    def stop_all(self) -> bool:
        """Stop what is being worked out; whether there was anything."""
        under_way = list(self._pending)
        for group in under_way:
            self._stop(group)
            self._numbers[group] += 1
            self._pending.discard(group)
        self.remove_class("-slow")
        return bool(under_way)

    # -- every key goes through one door

    async def action_do(self, id: str) -> None:
        """Do what the registry names, or say why not."""
        if self.may(id):
            done = getattr(self, f"action_{id}")()
            if isawaitable(done):
                await done

    def may(self, id: str) -> bool:
        """Whether this may be done here; where it may not, why is said."""
        action = next(action for action in actions_of(self.ROOM) if action.id == id)
        why = self.why_not(action)
        if why:
            self.say(why, "caution")
        return not why

    def why_not(self, action: Action) -> str:
        """Why something cannot be done in this book; empty where it can."""
        if self.shelf.read_only and (action.writes or action.prepares):
            return READ_ONLY
        return EXAMPLE if action.writes and self.shelf.example else ""

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """`?` is a letter in a text field, but in an empty one that asks what is sought."""
        if action == "do" and parameters == ("help",) and isinstance(self.focused, Input):
            return self.focused.has_class("-asks") and not self.focused.value
        return True

    # -- the actions of everywhere

    def action_help(self) -> None:
        """Every key, searchable."""
        from tui.browser.screens.help import Help

        self.app.push_screen(Help(self.ROOM, self.all_keys_of))

    def action_help_from_field(self) -> None:
        """The same, where `?` is a letter."""
        self.action_help()

    def action_back(self) -> None:
        """Stop what runs, else one step back."""
        if self.stop_all():
            self.say("stopped", "faint")
        else:
            self.leave()

    def leave(self) -> None:
        """Go back one screen."""
        if len(self.app.screen_stack) > 1:
            self.app.pop_screen()

    def action_page_down(self) -> None:
        """One page further, wherever the focus is."""
        self._turn_page(1)

    def action_page_up(self) -> None:
        """One page back."""
        self._turn_page(-1)

    def _turn_page(self, step: int) -> None:
        widget = self.focused if isinstance(self.focused, VerticalScroll) else self.rows_in_hand()
        if isinstance(widget, Rows):
            widget.action_page(step)
        elif widget is not None:
            widget.scroll_relative(y=step * max(1, widget.size.height - 1), animate=False)

    def action_command_palette(self) -> None:
        """Find anything to do by its name."""
        self.app.action_command_palette()

    async def action_quit(self) -> None:
        """Leave."""
        await self.app.action_quit()

    def action_find(self) -> None:
        """Back to the first screen."""
        self.browser.go_home()

    def action_queue(self) -> None:
        """What waits for a lead."""
        self.browser.open_queue()

    def action_jobs(self) -> None:
        """The jobs of this book."""
        self.browser.open_jobs()

    def action_entries(self) -> None:
        """Enter something new."""
        self.browser.open_entries()

    def action_colours(self) -> None:
        """The next theme."""
        self.say(self.browser.next_theme(), "faint")

    def action_flat(self) -> None:
        """Plain lines without frames or drawings, or back."""
        self.browser.toggle_flat()

    def flattened(self) -> None:
        """Called when flat text was switched on or off."""
        for rows in self.query(Rows):
            rows.flat = self.browser.flat

    def actions_here(self) -> list[Action]:
        """What the palette offers."""
        return [
            action for action in actions_of(self.ROOM) if action.listed and not self.why_not(action)
        ]


def sentence_of(fault: Exception) -> str:
    """What to tell a person of a failure."""
    from grammar.errors import QueryError
    from kb.errors import Refused

    if isinstance(fault, Refused):
        return str(fault)
    if isinstance(fault, QueryError):
        return fault.render()
    return (
        f"This is a mistake of Loombook's own ({type(fault).__name__}: {fault}); "
        "nothing was changed."
    )
