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
    return Preferences(colours, flat, _keys(path, content.get("keys", {})))


def _keys(path: Path, given: object) -> dict[str, str]:
    from kb.nearest import nearest
    from tui.browser.actions import ACTIONS, EVERYWHERE

    if not isinstance(given, dict):
        raise Refused(f'{path}: keys is a table, such as [keys] and next-flag = "f7".')
    rooms: dict[str, set[str]] = {}
    for action in ACTIONS:
        rooms.setdefault(action.setting, set()).add(action.room)
    for setting, keys in given.items():
        if setting not in rooms:
            near = nearest(setting, rooms)
            hint = f"; the nearest is {near}" if near else "; `loombook browse --keys` lists them"
            raise Refused(f"{path}: no key is set by {setting}{hint}.")
        if not isinstance(keys, str) or not keys.strip():
            raise Refused(f'{path}: {setting} = {keys!r}; a key such as "f7" is right.')
    for setting, keys in given.items():
        _must_be_free(path, setting, keys, {**given}, rooms, EVERYWHERE)
    return {str(setting): str(keys) for setting, keys in given.items()}


def _must_be_free(
    path: Path,
    setting: str,
    keys: str,
    given: Mapping[str, str],
    rooms: Mapping[str, set[str]],
    everywhere: str,
) -> None:
    """No key may mean two things in one room."""
    from tui.browser.actions import ACTIONS

    wanted = set(keys.replace(" ", "").split(","))
    for other in ACTIONS:
        shared = rooms[setting] & {other.room, everywhere} or other.room == everywhere
        if other.setting == setting or not shared:
            continue
        taken = set(given.get(other.setting, other.keys).replace(" ", "").split(","))
        if wanted & taken:
            key = sorted(wanted & taken)[0]
            raise Refused(f"{path}: {setting} and {other.setting} both want {key} in one place.")
