"""Light, dark, and the terminal's own sixteen colours; which of them a terminal gets.

Promise: every pair of colours that carries text keeps the contrast that WCAG 2 asks of text
(4.5 to 1; a test computes it), and where NO_COLOR is set no colour is sent at all.
"""

from __future__ import annotations

from collections.abc import Mapping

from textual.theme import Theme

DARK, LIGHT, TERMINAL = "loombook-dark", "loombook-light", "loombook-terminal"

_DARK = {
    "faint": "#9aa5ae",
    "accented": "#7cc7e8",
    "flag": "#ff9077",
    "shout": "#ff9077",
    "shout-text": "#1a0b07",
    "partial": "#f2b25c",
    "unknown": "#e6cf63",
    "fine": "#8fd19a",
    "lit": "#f4e38a",
    "lit-text": "#15130a",
    "frame": "#7d8a94",
    "cursor": "#274b63",
    "cursor-text": "#ffffff",
    "cursor-away": "#2a3138",
    "bar": "#20262c",
}
_LIGHT = {
    "faint": "#596570",
    "accented": "#0b5c80",
    "flag": "#b3200f",
    "shout": "#b3200f",
    "shout-text": "#ffffff",
    "partial": "#8a4b00",
    "unknown": "#6f5500",
    "fine": "#1f6a31",
    "lit": "#ffe169",
    "lit-text": "#1c1a10",
    "frame": "#66727c",
    "cursor": "#bfe0f2",
    "cursor-text": "#0a1a24",
    "cursor-away": "#e3e6e6",
    "bar": "#e9ebe8",
}
_TERMINAL = {
    "faint": "ansi_default",
    "accented": "ansi_default",
    "flag": "ansi_red",
    "shout": "ansi_red",
    "shout-text": "ansi_bright_white",
    "partial": "ansi_magenta",
    "unknown": "ansi_magenta",
    "fine": "ansi_green",
    "lit": "ansi_yellow",
    "lit-text": "ansi_black",
    "frame": "ansi_default",
    "cursor": "ansi_default",
    "cursor-text": "ansi_default",
    "cursor-away": "ansi_default",
    "bar": "ansi_default",
}

# (text, ground): every pair in which the two themes of our own colours show words.
PAIRS = (
    *((text, ground) for ground in ("background", "bar") for text in (
        "foreground", "faint", "accented", "flag", "partial", "unknown", "fine",
    )),
    ("shout-text", "shout"),
    ("lit-text", "lit"),
    ("cursor-text", "cursor"),
    ("foreground", "cursor-away"),
)  # fmt: skip


def themes() -> list[Theme]:
    """The three themes."""
    return [
        Theme(
            name=DARK, dark=True, primary="#7cc7e8", secondary="#8fd19a", accent="#f4e38a",
            foreground="#e9e8e3", background="#14181c", surface="#14181c", panel="#20262c",
            warning="#e6cf63", error="#ff9077", success="#8fd19a",
            variables={**_DARK, **_ours("#274b63", "#ffffff")},
        ),
        Theme(
            name=LIGHT, dark=False, primary="#0b5c80", secondary="#1f6a31", accent="#8a4b00",
            foreground="#1c2329", background="#fbfaf6", surface="#fbfaf6", panel="#e9ebe8",
            warning="#6f5500", error="#b3200f", success="#1f6a31",
            variables={**_LIGHT, **_ours("#bfe0f2", "#0a1a24")},
        ),
        Theme(
            name=TERMINAL, ansi=True, dark=True, primary="ansi_default", secondary="ansi_default",
            accent="ansi_default", foreground="ansi_default", background="ansi_default",
            surface="ansi_default", panel="ansi_default", boost="ansi_default",
            warning="ansi_magenta", error="ansi_red", success="ansi_green",
            variables={
                **_TERMINAL,
                "ansi-background": "ansi_default",
                "ansi-foreground": "ansi_default",
                "border-blurred": "ansi_default",
                "block-cursor-background": "ansi_default",
                "block-cursor-foreground": "ansi_default",
                "block-cursor-text-style": "reverse",
                "input-cursor-background": "ansi_default",
                "input-cursor-foreground": "ansi_default",
                "input-cursor-text-style": "reverse",
                "input-selection-background": "ansi_default",
                "input-selection-foreground": "ansi_default",
                "screen-selection-background": "ansi_default",
                "screen-selection-foreground": "ansi_default",
            },
        ),
    ]  # fmt: skip


def theme_for(environment: Mapping[str, str], colours: str | None, wanted: str | None) -> str:
    """The theme of a terminal: what was asked for, else what the terminal can show.

    `colours` is the colour system that was detected: `truecolor`, `256`, `standard` or None.
    """
    if environment.get("NO_COLOR") or colours in (None, "standard", "windows"):
        return TERMINAL
    if wanted:
        return {"dark": DARK, "light": LIGHT, "terminal": TERMINAL}[wanted]
    # Some terminals say their two colours as numbers, the ground last: `0;15` is black on white.
    ground = environment.get("COLORFGBG", "").rsplit(";", 1)[-1]
    return LIGHT if ground in ("7", "15") else DARK


def _ours(cursor: str, text: str) -> dict[str, str]:
    """Textual's own widgets in the same colours."""
    return {
        "block-cursor-background": cursor,
        "block-cursor-foreground": text,
        "block-cursor-text-style": "bold",
        "input-selection-background": cursor,
    }
