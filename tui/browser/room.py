"""What every screen of the browser is: a title, a body, one line for what is said, the footer.

It stands alone because no screen shall have a key, a footer or a manner of its own.
"""

from __future__ import annotations

from collections.abc import Iterable
from inspect import isawaitable
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.events import DescendantFocus
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
from tui.browser.asking import Asking
from tui.browser.shelf import EXAMPLE, READ_ONLY
from tui.browser.text import row
from tui.browser.widgets.foot import Foot, is_letter
from tui.browser.widgets.rows import Rows

if TYPE_CHECKING:
    from tui.browser.app import Browser
    from tui.browser.shelf import Shelf


class Room(Asking):
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

    def on_screen_suspend(self) -> None:
        """What was said ends when one leaves for another screen, not for a question over this one.

        What was told here need not be so any more on coming back.
        """
        below = self.app.screen_stack[:-1]  # without those that were left for good
        if self in below and isinstance(self.app.screen, Room):
            self.say("")

    def put(self, id: str, content: Content) -> None:
        """Show other lines in a Static; the screen is laid out anew only where it needs to be.

        A layout draws the whole screen again, which a key in a list must not wait for.
        """
        widget = self.query_one(id, Static)
        width = widget.size.width
        needed = len(content.wrap(width)) if width else 0
        widget.update(row(content), layout=needed != widget.size.height)

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
        self.refresh_foot()

    def actions_here(self) -> list[Action]:
        """What the palette offers."""
        return [
            action for action in actions_of(self.ROOM) if action.listed and not self.why_not(action)
        ]
