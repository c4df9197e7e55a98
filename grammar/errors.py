"""What is wrong with a query, where, and what would be right: one error for every stage.

It stands here and not with the command, because the parser, the binder and the runner all raise it
and because its picture, the query with a caret, is plain text that every front end shows alike.
"""

from __future__ import annotations

import re
import unicodedata

from grammar.tree import Span

COLUMNS = 80
"""Of a terminal whose width nobody said; no line but `Try:` is wider, also on a wider one."""

NARROWEST = 20

MOST_SAID = 400
LONGEST_WORD = 60
"""Characters of a sentence, and of one word in it: what a query holds is never echoed whole."""


class QueryError(Exception):
    """A query that cannot be read or run.

    `sentence` is one line of cause. `span` is the place in `query`, None where the whole of it is
    meant. `expected` names what could stand there, in the language's own words. `hint` is advice;
    `repaired` is a query that parses, offered to be run instead, `others` are more of them, for
    where that one turns out to mean nothing, and `plain` is the error without the guess that they
    rest on.
    """

    def __init__(
        self,
        sentence: str,
        query: str = "",
        span: Span | None = None,
        *,
        expected: tuple[str, ...] = (),
        hint: str | None = None,
        repaired: str | None = None,
        others: tuple[str, ...] = (),
        plain: QueryError | None = None,
    ) -> None:
        self.sentence = brief(sentence)
        super().__init__(self.sentence)
        self.query = query
        self.span = span
        self.expected = expected
        self.hint = hint
        self.repaired = repaired
        self.others = others
        self.plain = plain

    def render(self, width: int = COLUMNS) -> str:
        """The error as plain text: cause, query, caret, what could stand there, hint.

        A terminal of `width` columns folds nothing of it, so that the caret stays in its place;
        only the query to try instead is one line of any length, to be copied.
        """
        width = max(NARROWEST, min(width, COLUMNS))
        lines = wrapped(self.sentence, width)
        if self.query and self.span is not None:
            lines += picture(self.query, self.span, width)
        if self.expected:
            lines += wrapped("Here could stand: " + listed(self.expected) + ".", width)
        if self.hint:
            lines += [line for part in self.hint.split("\n") for line in wrapped(part, width)]
        if self.repaired:
            lines.append(f"Try: {self.repaired}")
        return "\n".join(lines)


class TooMuch(QueryError):
    """A query beyond a limit: nothing else that is wrong with it is looked for."""


def brief(sentence: str) -> str:
    """A sentence with what is too long in it cut."""
    cut = re.sub(rf"\S{{{LONGEST_WORD + 1},}}", lambda word: word[0][:40] + "…", sentence)
    return cut if len(cut) <= MOST_SAID else f"{cut[:250]} … {cut[-100:]}"


def wrapped(text: str, width: int = COLUMNS) -> list[str]:
    """A line of an error as lines that fit; those after the first stand in a little."""
    import textwrap

    indent = " " * (len(text) - len(text.lstrip()) + 2)
    made = textwrap.wrap(
        text,
        width - 1,
        subsequent_indent=indent,
        break_long_words=width < COLUMNS,
        break_on_hyphens=False,
    )
    return made or [""]


def picture(query: str, span: Span, width: int = COLUMNS) -> list[str]:
    """Two lines: the query as received on one line, cut around the span, and carets under it."""
    flat = "".join(" " if unicodedata.category(c).startswith("C") else c for c in query)
    start = max(0, min(span.start, len(flat)))
    end = max(start + 1, min(span.end, len(flat)))
    before, marked = flat[:start], flat[start:end]
    room = width - 6
    left = ""
    if columns(before) + min(columns(marked), room // 3) > room:
        while columns(before) > room // 2:
            before = before[1:]
        left = "…"
    head = left + before
    line = head + flat[start:]
    carets = max(1, columns(marked))
    if columns(line) > room:
        while columns(line) > room - 1:
            line = line[:-1]
        line += "…"
        carets = max(1, min(carets, columns(line) - columns(head)))
    return ["  " + line.rstrip(), "  " + " " * columns(head) + "^" * carets]


def columns(text: str) -> int:
    """How many columns of a terminal a text takes."""
    return sum(
        0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1
        for c in text
    )


def listed(words: tuple[str, ...] | list[str], last: str = "or") -> str:
    """`a`, `a or b`, `a, b or c`."""
    if len(words) < 2:
        return "".join(words)
    return ", ".join(words[:-1]) + f" {last} {words[-1]}"
