"""Drives the real app under Textual's pilot, and reads the screen as a person would."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Mapping, Sequence
from pathlib import Path
from typing import TypeVar

from rich.color import ColorSystem
from textual.pilot import Pilot

from tui.browser.app import Browser
from tui.browser.screens.confirm import ALONE_FOR, READ_FOR, Confirm
from tui.browser.shelf import Shelf

Seen = TypeVar("Seen")
SMALL, LARGE, WIDE = (80, 24), (120, 40), (160, 50)
SIZES = (SMALL, LARGE, WIDE)
DARK: Mapping[str, str] = {}


class Driver:
    """A running app and its pilot."""

    def __init__(self, app: Browser, pilot: Pilot[None]) -> None:
        self.app = app
        self.pilot = pilot

    async def settle(self) -> None:
        """Until every question is answered and drawn."""
        await self.pilot.pause()
        while any(not worker.is_finished for worker in self.app.workers):
            await self.app.workers.wait_for_complete()
            await self.pilot.pause()

    async def press(self, *keys: str) -> None:
        """Keys one by one, each settled."""
        for key in keys:
            asked = self.app.screen if isinstance(self.app.screen, Confirm) else None
            if asked:  # nobody reads it in no time, and a key that comes at once takes nothing
                await asyncio.sleep(READ_FOR + 0.05)
            await self.pilot.press(key)
            await self.settle()
            if asked and self.app.screen is asked:
                await asyncio.sleep(ALONE_FOR + 0.05)
                await self.settle()

    async def write(self, text: str) -> None:
        """Letters into the focused field."""
        names = {
            " ": "space", "?": "question_mark", "/": "slash", "-": "minus", "=": "equals_sign",
            "<": "less_than_sign", ">": "greater_than_sign", ".": "full_stop", "+": "plus",
            "(": "left_parenthesis", ")": "right_parenthesis", ",": "comma", "_": "underscore",
            '"': "quotation_mark", "~": "tilde", "[": "left_square_bracket",
            "]": "right_square_bracket", "'": "apostrophe", ":": "colon", ";": "semicolon",
        }  # fmt: skip
        for letter in text:
            await self.pilot.press(names.get(letter, letter))
        await self.settle()

    def screen_lines(self) -> list[str]:
        """What is on the screen, line by line."""
        strips = self.app.screen._compositor.render_strips()
        return ["".join(segment.text for segment in strip).rstrip() for strip in strips]

    def text(self) -> str:
        """What is on the screen."""
        return "\n".join(self.screen_lines())

    def picture(self) -> str:
        """What is sent to the terminal, colours and all, as escape sequences that `cat` shows."""
        background = self.app.screen.background_colors[1]
        painted = []
        for strip in self.app.screen._compositor.render_strips():
            for line_filter in self.app._filters:
                if line_filter.enabled:
                    strip = strip.apply_filter(line_filter, background)
            painted.append(
                "".join(
                    segment.style.render(segment.text, color_system=ColorSystem.TRUECOLOR)
                    if segment.style
                    else segment.text
                    for segment in strip
                )
            )
        return "\n".join(painted) + "\n"


def drive(
    book: Path,
    script: Callable[[Driver], Awaitable[Seen]],
    *,
    size: tuple[int, int] = SMALL,
    environment: Mapping[str, str] = DARK,
    theme: str | None = "dark",
    flat: bool = False,
    read_only: bool = False,
    acting: str = "mira",
    keys: Mapping[str, str] | None = None,
) -> Seen:
    """Run a script against the app on a book and hand back what it returns."""

    async def run() -> Seen:
        app = Browser(
            Shelf(book, acting, read_only=read_only),
            theme=theme,
            flat=flat,
            keys=keys,
            environment=environment,
            colours="truecolor",
        )
        async with app.run_test(size=size) as pilot:
            driver = Driver(app, pilot)
            await driver.settle()
            return await script(driver)

    return asyncio.run(run())


def looks(driver: Driver, *words: str) -> None:
    """Every word is on the screen."""
    text = driver.text()
    missing = [word for word in words if word not in text]
    assert not missing, f"not on the screen: {missing}\n{text}"


def lines_with(lines: Sequence[str], word: str) -> list[str]:
    """The lines that hold a word."""
    return [line for line in lines if word in line]
