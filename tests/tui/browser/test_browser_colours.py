"""Contrast of every pair of colours that carries words, by the formula of WCAG 2 (1.4.3)."""

from __future__ import annotations

import re

import pytest

from tui.browser.text import ROLES
from tui.browser.themes import DARK, LIGHT, PAIRS, TERMINAL, theme_for, themes

LEAST = 4.5  # WCAG 2.2, success criterion 1.4.3, level AA, text of usual size
OURS = [theme for theme in themes() if not theme.ansi]


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2 defines it."""
    channels = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_gives_the_published_ends() -> None:
    # WCAG 2: black on white is 21 to 1; #767676 on white is the lightest grey that still passes.
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("theme", OURS, ids=lambda theme: theme.name)
@pytest.mark.parametrize("pair", PAIRS, ids="-on-".join)
def test_every_pair_can_be_read(theme: object, pair: tuple[str, str]) -> None:
    colours = {
        "foreground": theme.foreground, "background": theme.background, **theme.variables,  # type: ignore[attr-defined]
    }  # fmt: skip
    assert contrast(colours[pair[0]], colours[pair[1]]) >= LEAST


def test_every_role_is_among_the_checked_pairs() -> None:
    texts = {text for text, _ in PAIRS} | {ground for _, ground in PAIRS}
    for role, style in ROLES.items():
        for name in re.findall(r"\$([\w-]+)", style):
            assert name in texts or role == "frame", (role, name)


@pytest.mark.parametrize(
    ("environment", "colours", "wanted", "theme"),
    [
        ({}, "truecolor", None, DARK),
        ({}, "256", "light", LIGHT),
        ({"COLORFGBG": "0;15"}, "truecolor", None, LIGHT),
        ({"COLORFGBG": "15;default;0"}, "truecolor", None, DARK),
        ({}, "standard", "dark", TERMINAL),
        ({"NO_COLOR": "1"}, "truecolor", "dark", TERMINAL),
        ({"NO_COLOR": ""}, "truecolor", None, DARK),
    ],
)
def test_which_theme_a_terminal_gets(
    environment: dict[str, str], colours: str, wanted: str | None, theme: str
) -> None:
    assert theme_for(environment, colours, wanted) == theme
