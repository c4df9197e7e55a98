"""Keys that a person sets: each must be one that a terminal sends, that arrives where it is wanted,
and that nothing else has there.

It stands alone because only this module knows how keys are named.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from textual.keys import KEY_ALIASES, Keys, _character_to_key

from kb.errors import Refused
from kb.nearest import nearest
from tui.browser.actions import ACTIONS, EVERYWHERE, Action, key_in_words

TYPED_IN = ("find", "grid")  # rooms where letters are text
IN_EVERY_LIST = ("up", "down", "home", "end", "enter")
LETTERS = {_character_to_key(chr(code)) for code in range(0x20, 0x7F)}
NAMED = {str(key.value) for key in Keys if not key.value.startswith("<")}
SAME = {alias: key for key, aliases in KEY_ALIASES.items() for alias in aliases}


def set_keys(path: Path, given: object) -> dict[str, str]:
    """The keys by setting, named as the terminal's are; Refused with the first that cannot be."""
    if not isinstance(given, dict):
        raise Refused(f'{path}: keys is a table, such as [keys] and next-flag = "f7".')
    rooms = {action.setting for action in ACTIONS}
    keys: dict[str, list[str]] = {}
    for setting, text in given.items():
        if setting not in rooms:
            near = nearest(setting, rooms)
            hint = f"; the nearest is {near}" if near else "; `loombook browse --keys` lists them"
            raise Refused(f"{path}: no key is set by {setting}{hint}.")
        if not isinstance(text, str) or not text.strip():
            raise Refused(f'{path}: {setting} = {text!r}; a key such as "f7" is right.')
        keys[setting] = [_named(path, setting, word.strip()) for word in text.split(",")]
    for setting in keys:
        for action in ACTIONS:
            if action.setting == setting:
                _must_arrive(path, action, keys[setting])
                _must_be_free(path, action, keys)
    return {setting: ",".join(names) for setting, names in keys.items()}


def _named(path: Path, setting: str, key: str) -> str:
    """`?` is question_mark, and Ctrl+M is what Enter sends."""
    named = _character_to_key(key) if len(key) == 1 else SAME.get(key.casefold(), key.casefold())
    if named in LETTERS | NAMED or (len(named) == 1 and named.isalpha()):
        return named
    near = nearest(named, sorted(LETTERS | NAMED))
    hint = f"the nearest is {near}" if near else 'write one such as "f7", "ctrl+e" or "x"'
    raise Refused(f'{path}: {setting} = "{key}" is no key that a terminal sends; {hint}.')


def _must_arrive(path: Path, action: Action, keys: list[str]) -> None:
    """Where letters are text, a letter does nothing or, worse, stops being one."""
    own = action.keys.split(",")
    for key in keys:
        if key in own:
            continue
        is_letter = key in LETTERS or len(key) == 1
        if is_letter and (action.priority or action.room in TYPED_IN):
            raise Refused(
                f'{path}: {action.setting} = "{key_in_words(key)}": where text is typed a letter '
                'is text; take a key such as "f12" or "ctrl+e".'
            )
        if key in IN_EVERY_LIST:
            raise Refused(
                f"{path}: {action.setting} cannot have {key_in_words(key)}, which moves and opens "
                'in every list; take a key such as "f12" or "ctrl+e".'
            )


def _must_be_free(path: Path, action: Action, keys: Mapping[str, list[str]]) -> None:
    """No key may mean two things in one room."""
    wanted = set(keys[action.setting]) - set(action.keys.split(","))
    for other in ACTIONS:
        meet = EVERYWHERE in (action.room, other.room) or action.room == other.room
        if other.setting == action.setting or not meet:
            continue
        taken = wanted & set(keys.get(other.setting, other.keys.split(",")))
        if taken:
            key = key_in_words(min(taken))
            raise Refused(
                f"{path}: {action.setting} and {other.setting} both want {key} in one place."
            )
