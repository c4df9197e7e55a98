"""The app: a book, a theme, the keys as they are set, and which screen comes when.

It stands alone because screens know each other only through it.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Coroutine, Iterator, Mapping
from typing import ClassVar

from rich.text import Text
from textual.app import App
from textual.binding import BindingType
from textual.command import DiscoveryHit, Hit, Hits, Provider
from textual.driver import Driver
from textual.events import Key
from textual.screen import Screen

from tui.browser.asking import sentence_of
from tui.browser.dialog import Dialog
from tui.browser.room import Room
from tui.browser.shelf import Shelf
from tui.browser.text import shown
from tui.browser.themes import DARK, LIGHT, TERMINAL, theme_for, themes
from tui.clean import clean

THEME_WORDS = {
    DARK: "colours: dark",
    LIGHT: "colours: light",
    TERMINAL: "colours: the terminal's own",
}


LOOK_EVERY = 2.0  # seconds from one look at whether the book has changed to the next


class Deeds(Provider):
    """The palette: what can be done here, from the registry."""

    async def discover(self) -> Hits:
        for name, help, run in self._deeds():
            yield DiscoveryHit(shown(name), run, text=name, help=help)

    async def search(self, query: str) -> Hits:
        matcher = self.matcher(query)
        for name, help, run in self._deeds():
            score = max(matcher.match(name), matcher.match(help) * 0.9)
            if score > 0:
                yield Hit(score, matcher.highlight(name), run, text=name, help=help)

    def _deeds(self) -> Iterator[tuple[str, str, Callable[[], Coroutine[None, None, None]]]]:
        screen = self.screen
        if isinstance(screen, Room):
            for action in screen.actions_here():

                async def run(id: str = action.id) -> None:
                    await screen.run_action(f"screen.do({id!r})")

                yield f"{action.label} ({screen.key_of(action)})", action.help, run


class Browser(App[None], inherit_bindings=False):
    """`loombook browse`; its keys are those of its screens, Ctrl+Q too."""

    TITLE = "Loombook"
    CSS_PATH = "browser.tcss"
    COMMANDS: ClassVar = {Deeds}
    BINDINGS: ClassVar[list[BindingType]] = []
    ENABLE_COMMAND_PALETTE = True

    def __init__(
        self,
        shelf: Shelf,
        *,
        theme: str | None = None,
        flat: bool = False,
        keys: Mapping[str, str] | None = None,
        environment: Mapping[str, str] | None = None,
        colours: str | None = None,
    ) -> None:
        """`colours`: what the terminal can show, where it is known better than by asking it."""
        environment = os.environ if environment is None else environment
        self.shelf = shelf
        self.flat = flat
        self.keys = dict(keys or {})
        bare = bool(environment.get("NO_COLOR"))
        super().__init__(ansi_color=True if bare else None)
        for ours in themes():
            self.register_theme(ours)
        self.theme = theme_for(environment, colours or self.console.color_system, theme)
        self.set_keymap(self.keys)

    def get_driver_class(self) -> type[Driver]:
        """The terminal's driver; nothing that is pasted reaches it as a key."""
        from tui.browser.paste_parser import filtering

        return filtering(super().get_driver_class())

    def get_default_screen(self) -> Screen[None]:
        """Find is the first screen, with none below it."""
        from tui.browser.screens.find import Find

        return Find()

    def on_mount(self) -> None:
        # A thread that answers would else wait 5 ms for each turn while the screen is drawn.
        sys.setswitchinterval(0.001)
        self.set_class(self.flat, "-flat")
        self.set_interval(LOOK_EVERY, self._look_at_book)

    def _look_at_book(self) -> None:
        """Whether somebody has changed the book under the screen that is looked at."""
        if isinstance(self.screen, Room):
            self.screen.look_at_book()

    async def on_key(self, event: Key) -> None:
        """A key that was pressed right behind the one that opened a question is for that question.

        Textual hands each key to what had the focus when it came, and that was the screen below.
        """
        if isinstance(self.screen, Dialog) and await self.screen.take_key(event):
            event.stop()
            event.prevent_default()

    def _fatal_error(self) -> None:
        """A mistake of Loombook's own ends in one sentence, as it does for every command.

        Textual would print a traceback with the values in it; LOOMBOOK_TRACE=1 still does.
        """
        if os.environ.get("LOOMBOOK_TRACE") or self._exception is None:
            super()._fatal_error()
        else:
            self.panic(Text(f"loombook: {clean(sentence_of(self._exception))}"))

    def on_unmount(self) -> None:
        self.shelf.close()

    @property
    def in_colour(self) -> bool:
        """Whether a swatch of a wire's colour can be told from another, and is wanted."""
        return not (self.native_ansi_color or self.flat)

    # -- where to go

    def go_home(self) -> None:
        """Back to Find."""
        while len(self.screen_stack) > 1:
            self.pop_screen()

    def open_vehicle(
        self,
        vehicle: str,
        speaker: str | None = None,
        *,
        kit: str | None = None,
        parts: tuple[str, ...] = (),
    ) -> None:
        """The vehicle at one glance, by a kit with these parts, with one of its speakers marked."""
        from tui.browser.screens.vehicle import Vehicle

        self.push_screen(Vehicle(vehicle, kit, parts, speaker=speaker))

    def open_queue(self) -> None:
        """What waits for a lead."""
        from tui.browser.screens.queue import Queue

        self.go_home()
        self.push_screen(Queue())

    def open_jobs(self) -> None:
        """The jobs of this book."""
        from tui.browser.screens.jobs import Jobs

        self.go_home()
        self.push_screen(Jobs())

    def open_entries(self) -> None:
        """Enter something new."""
        from tui.browser.screens.entries import Entries

        self.go_home()
        self.push_screen(Entries())

    # -- how it looks

    def next_theme(self) -> str:
        """Change the colours; returns what they are now."""
        order = [DARK, LIGHT, TERMINAL]
        self.theme = order[(order.index(self.theme) + 1) % len(order)]
        return THEME_WORDS[self.theme]

    def toggle_flat(self) -> None:
        """Flat text on or off."""
        self.flat = not self.flat
        self.set_class(self.flat, "-flat")
        for screen in self.screen_stack:
            if isinstance(screen, Room):
                screen.flattened()
