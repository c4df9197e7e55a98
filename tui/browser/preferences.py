"""A person's own keys and colours: `browse.toml` in their configuration folder.

    colours = "light"          # dark, light or terminal
    flat = false
    [keys]
    next-flag = "n,f7"         # the settings that `loombook browse --keys` lists

Read once at the start; a mistake in it is one sentence, and nothing is guessed.
"""

from __future__ import annotations

import os
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from kb.errors import Refused

COLOURS = ("dark", "light", "terminal")


@dataclass(frozen=True)
class Preferences:
    """What is set; None and nothing where it is not."""

    colours: str | None = None
    flat: bool = False
    keys: Mapping[str, str] = field(default_factory=dict)


def preferences_path() -> Path:
    """LOOMBOOK_BROWSE, else browse.toml in the user's configuration folder."""
    named = os.environ.get("LOOMBOOK_BROWSE")
    if named:
        return Path(named)
    from platformdirs import user_config_path

    return user_config_path("loombook", appauthor=False) / "browse.toml"


def settings_words(path: Path) -> list[str]:
    """Where settings are written, and how; for whoever reads the table of keys."""
    there = "" if path.exists() else ", which is not there yet"
    return [
        f"Settings are read from {path}{there}; LOOMBOOK_BROWSE names another file. So it looks:",
        "",
        '    colours = "light"       # dark, light or terminal',
        "    flat = true             # plain lines, for a screen reader",
        "    [keys]",
        '    next-flag = "n,f7"      # a setting of the table, and its keys',
    ]


def read_preferences(path: Path | None = None) -> Preferences:
    """Read the file, where there is one; Refused with the place of the first mistake."""
    path = path or preferences_path()
    try:
        content = tomllib.loads(path.read_text("utf-8"))
    except (FileNotFoundError, NotADirectoryError):
        return Preferences()
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as fault:
        raise Refused(f"{path} cannot be read: {fault}.") from None
    unknown = sorted(set(content) - {"colours", "flat", "keys"})
    if unknown:
        raise Refused(f"{path}: {unknown[0]} is no setting; colours, flat and keys are.")
    colours = content.get("colours")
    if colours is not None and colours not in COLOURS:
        raise Refused(f"{path}: colours = {colours!r}; one of {', '.join(COLOURS)} is right.")
    flat = content.get("flat", False)
    if not isinstance(flat, bool):
        raise Refused(f"{path}: flat = {flat!r}; true or false is right.")
    keys: dict[str, str] = {}
    if "keys" in content:
        from tui.browser.set_keys import set_keys

        keys = set_keys(path, content["keys"])
    return Preferences(colours, flat, keys)
