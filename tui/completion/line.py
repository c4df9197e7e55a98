"""A line as a shell has it up to the cursor, and an answer in the shell's own way of quoting.

Each shell gives the line as it is typed. What stands after the cursor is none of it: a shell puts
an answer in place of what stands before, from its own last break on, and leaves the rest alone.
"""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from dataclasses import dataclass

BREAKS = "=:@"
"""Where bash begins a word anew, as it comes; the rest of its list parts words anyway."""

_KEPT_BY_SHELLS = frozenset("<>()~!$&;|'\" `*?#[]{}")
"""Outside quotes the shell itself would read these."""

_READ_IN_QUOTES = re.compile(r'["\\$`]')
"""Inside double quotes as well, unless a backslash stands before."""


@dataclass(frozen=True)
class Typed:
    """The words before the one at the cursor, and that one as far as the cursor.

    `quote` is the quote that is open there. The shell puts an answer in place of `current` from
    `replaced` on; `raw` holds the line and where in it each sign of `current` stands, of a shell
    that takes answers as they are to stand in the line.
    """

    before: tuple[str, ...]
    current: str
    quote: str = ""
    replaced: int = 0
    raw: tuple[str, Sequence[int]] | None = None
    after: str = ""

    def answer(self, start: int, text: str) -> str | None:
        """What the shell is told so that `text` stands in place of `current` from `start` on.

        None where the shell cannot be told so.
        """
        if not self.quote and set(text) & _KEPT_BY_SHELLS:
            return None
        text = self._in_other_quotes(start, text)
        if start < self.replaced:
            between = self.current[start : self.replaced]
            if not text.startswith(between):
                return None
            return self._quoted(text[len(between) :])
        return self.kept(start) + self._quoted(text) + self.after

    def kept(self, start: int) -> str:
        """What the shell replaces before `start`, as it stands in the line."""
        if self.raw is None:
            return self.current[self.replaced : start]
        line, places = self.raw
        ends = [*places, len(line)]
        begins = ends[self.replaced]
        if self.quote and line[begins - 1 : begins] == self.quote:
            return self._quoted(self.current[self.replaced : start])
        return line[begins : ends[start]]

    def _in_other_quotes(self, start: int, text: str) -> str:
        """A quoted value in the quotes that it was begun in, else in others than the shell's."""
        begun = self.current[start : start + 1]
        single = begun == "'" or (begun != '"' and self.quote == '"')
        if single and text[:1] == text[-1:] == '"' and "'" not in text:
            return "'" + text[1:-1].replace('""', '"') + "'"
        return text

    def _quoted(self, text: str) -> str:
        if self.raw is None:
            return text
        if self.quote == "'":
            return text.replace("'", "'\\''")
        return _READ_IN_QUOTES.sub(r"\\\g<0>", text) if self.quote else text


def words_as_given(words: Sequence[str], *, quoted: bool) -> Typed:
    """The words of a shell that has parted them itself and taken their quotes off."""
    *before, current = words or [""]
    replaced = 0 if quoted else 1 + max((current.rfind(m) for m in _breaks()), default=-1)
    return Typed(tuple(before), current, "'" if quoted else "", replaced)


def line_of(shell: str, line: str, told: str | None = None) -> Typed:
    """The line of a shell as it is typed, up to the cursor.

    What the shell puts an answer in place of is told by zsh as the end of the line, and by fish as
    how much of the line stands after the cursor: it replaces all of the word, and quotes it anew.
    """
    if shell == "fish":
        after = int(told or 0)
        reading = _Reading(shell, line[: len(line) - after])
        whole = _Reading(shell, line).words[-1]
        *before, current = reading.words
        return Typed(tuple(before), current, reading.quote, after=whole[len(current) :])
    reading = _Reading(shell, line)
    *before, current = reading.words
    begins = reading.begins if told is None else len(line) - len(told)
    at = sum(place < begins for place in reading.places)
    return Typed(tuple(before), current, reading.quote, at, (line, reading.places))


def _breaks() -> str:
    """Of a word outside quotes, bash replaces only what follows its last break."""
    told = os.environ.get("LOOMBOOK_BREAKS", "")
    return "".join(mark for mark in BREAKS if mark in told)


def _sets(word: str) -> bool:
    """Whether it is what may stand before a command: NAME=VALUE."""
    name, sign, _ = word.partition("=")
    return bool(sign) and name.isidentifier()


class _Reading:
    """Parts a line into words as a shell does; the last word is the one at the cursor."""

    def __init__(self, shell: str, line: str) -> None:
        self.quote = ""
        self.begins = 0
        self.places: list[int] = []
        self.words: list[str] = []
        self._shell = shell
        self._line = line
        self._breaks = _breaks() if shell == "bash" else ""
        self._signs: list[str] = []
        self._begun = False
        self._read()
        self.words.append("".join(self._signs))
        while len(self.words) > 1 and _sets(self.words[0]):
            del self.words[0]
        if len(self.words) > 1:
            del self.words[0]  # the command itself

    def _read(self) -> None:
        at = 0
        while at < len(self._line):
            sign = self._line[at]
            if sign == "\\" and self._escapes(self._line[at + 1 : at + 2]):
                self._take(self._line[at + 1], at)
                at += 1
            elif self.quote:
                if sign == self.quote:
                    self.quote, self.begins = "", at + 1
                else:
                    self._take(sign, at)
            elif sign in "'\"":
                self.quote, self.begins, self._begun = sign, at + 1, True
            elif sign.isspace():
                self._end_word(at + 1)
            else:
                self._take(sign, at)
                if sign in self._breaks:
                    # Readline leaves this one in the word that it begins.
                    self.begins = at if sign == "@" else at + 1
            at += 1

    def _escapes(self, next: str) -> bool:
        """Whether a backslash here stands for the sign after it."""
        if not next:
            return False
        if self.quote == "'":
            return self._shell == "fish" and next in "\\'"
        return not self.quote or next in '\\"$`'

    def _take(self, sign: str, at: int) -> None:
        self._signs.append(sign)
        self.places.append(at)
        self._begun = True

    def _end_word(self, after: int) -> None:
        if self._begun:
            self.words.append("".join(self._signs))
        self._signs, self.places, self._begun = [], [], False
        self.begins = after
