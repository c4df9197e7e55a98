"""Lark's basic lexer, with the place of each word as characters of the query and nothing else.

A query is one line to a person however it is broken, so lines and columns would be counted for
nobody; reading is a good part of what a short question takes, and this halves it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from lark import Token
from lark.lexer import BasicLexer, LexerState


class CharacterLexer(BasicLexer):
    """The words and signs of the grammar, as Tokens with `start_pos` and `end_pos`.

    Raises lark.exceptions.UnexpectedCharacters at the first character that belongs to none.
    """

    __future_interface__ = 2  # lark's mark of a lexer that is made once and not for each text

    def lex(self, state: LexerState, parser_state: Any) -> Iterator[Token]:
        text, match, ignored = state.text, self.scanner.match, self.ignore_types
        characters, at, end = text.text, 0, text.end
        while at < end:
            if characters[at] == " ":  # half of all matches, were they made
                at += 1
                continue
            found = match(text, at)
            if found is None:
                state.line_ctr.char_pos = at
                self.next_token(state, parser_state)  # which says so, as lark says it
                return
            value, type_ = found
            start, at = at, at + len(value)
            if type_ not in ignored:
                yield Token(type_, value, start, None, None, None, None, at)
