"""What the word at the cursor is: a verb, an option, or the value of which argument.

Read off the verb's own parser, so that an option stands wherever the command takes it, and takes
along what belongs to it.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import dataclass, field
from importlib import import_module


@dataclass
class Standing:
    """The place of a word on the command line.

    `argument` is what the word is a value of, from `start` on: in `--db=FILE` after the sign.
    `said` holds the plain words after the verb, `values` what options name. Where the word is the
    verb itself, `verb` is empty; where it is an option, `options` holds those that may stand.
    """

    verb: str = ""
    argument: argparse.Action | None = None
    start: int = 0
    said: list[str] = field(default_factory=list)
    values: dict[str, str] = field(default_factory=dict)
    options: tuple[str, ...] = ()


def standing(before: Sequence[str], current: str) -> Standing:
    """Where `current` stands, after these words of the line."""
    from tui.main import VERBS

    place = Standing()
    parser = _bare_parser()
    parser.add_argument("--version", action="store_true")
    walk = _Walk(parser, place)
    words = iter(before)
    for word in words:
        if walk.pending is None and not word.startswith("-"):
            place.verb = word
            break
        walk.take(word)
    if place.verb:
        if not any(place.verb in verbs for verbs in VERBS.values()):
            return place
        walk = _Walk(_parser_of(place.verb), place)
        for word in words:
            walk.take(word)
    walk.stop_at(current)
    return place


def _bare_parser() -> argparse.ArgumentParser:
    from tui.main import common_parser

    return argparse.ArgumentParser(parents=[common_parser()])


def _parser_of(verb: str) -> argparse.ArgumentParser:
    from tui.main import MODULES

    parser = _bare_parser()
    import_module(f"tui.commands.{MODULES.get(verb, verb)}").add_arguments(parser)
    return parser


class _Walk:
    """Goes over the words as argparse would, and knows what the next one is."""

    def __init__(self, parser: argparse.ArgumentParser, place: Standing) -> None:
        self.pending: argparse.Action | None = None
        self._place = place
        self._plain_only = False
        self._enter(parser)

    def _enter(self, parser: argparse.ArgumentParser) -> None:
        actions = [a for a in parser._actions if a.help is not argparse.SUPPRESS]
        self._options = {name: a for a in actions for name in a.option_strings}
        self._plain = [a for a in actions if not a.option_strings]

    def take(self, word: str) -> None:
        """One whole word."""
        if self.pending is not None:
            self._place.values[self.pending.dest] = word
            self.pending = None
        elif self._is_option(word):
            if word == "--":
                self._plain_only = True
                return
            name, sign, value = word.partition("=")
            action = self._options.get(name)
            if action is None or action.nargs == 0:
                return
            if sign:
                self._place.values[action.dest] = value
            else:
                self.pending = action
        else:
            self._place.said.append(word)
            action = self._next_plain()
            if action is not None and action.nargs not in ("*", "+", argparse.REMAINDER):
                self._plain.pop(0)
            if isinstance(action, argparse._SubParsersAction) and word in action.choices:
                self._enter(action.choices[word])

    def stop_at(self, current: str) -> None:
        """The word at the cursor."""
        name, sign, _ = current.partition("=")
        if self.pending is not None:
            self._place.argument = self.pending
        elif self._is_option(current) and sign:
            action = self._options.get(name)
            if action is not None and action.nargs != 0:
                self._place.argument, self._place.start = action, len(name) + 1
        elif self._is_option(current):
            self._place.options = tuple(sorted(o for o in self._options if o.startswith("--")))
        elif self._place.verb:
            self._place.argument = self._next_plain()

    def _next_plain(self) -> argparse.Action | None:
        return self._plain[0] if self._plain else None

    def _is_option(self, word: str) -> bool:
        return word.startswith("-") and word != "-" and not self._plain_only
