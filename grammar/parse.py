"""Text to tree: `parse` for a whole query, `parse_condition` for a condition alone.

Every refusal is a QueryError with a place. Limits are checked on the words, before anything is
built from them, so no stage after this one meets a depth that a person chose.
"""

from __future__ import annotations

import re
from typing import cast

from lark import Token
from lark.exceptions import UnexpectedToken

from grammar.errors import QueryError, TooMuch
from grammar.expect import STAND_IN, Expected, Start, expect_after, tokens_in
from grammar.parser import parser
from grammar.tree import Condition, Query, Span
from grammar.unparse import RESERVED

LONGEST = 4_000
"""Characters of a query."""

DEEPEST = 12
"""Parentheses and `not` inside one another. SQLite's own parser holds 100 open things at once,
of which one of these takes up to eight."""

MOST_TOKENS = 800
"""Words and signs of a query; SQLite takes conditions up to 1,000 deep, and a chain of `and`
counts as that."""

_MOST_REPAIRS = 8

_NO_TEXT = re.compile("[\ud800-\udfff]")
"""What Python reads for bytes of the shell that are no UTF-8."""


def parse(text: str) -> Query:
    """The tree of a query. Raises QueryError."""
    try:
        return cast(Query, _tree(text, "query"))
    except TooMuch:
        raise
    except QueryError as error:
        raise explained(error, text, "query") from None


def parse_condition(text: str) -> Condition:
    """The tree of a condition without a subject: `centre is known and outputs >= 4`."""
    try:
        return cast(Condition, _tree(text, "condition"))
    except TooMuch:
        raise
    except QueryError as error:
        raise explained(error, text, "condition") from None


def explained(
    error: QueryError, text: str, start: Start = "query", *, parsed: bool = False
) -> QueryError:
    """The same error, with the known mistake at its place and a way to put it right, if any.

    Later stages use it too: `speakers where make like "x"` reads well and means nothing.
    """
    span = error.span or Span(0, len(text))
    return with_keyword(_known_mistake(error, text, span, start, parsed=parsed), text, span, start)


def with_keyword(
    error: QueryError, text: str, span: Span, start: Start = "query", *, said: bool = True
) -> QueryError:
    """The error that says which word is nearly one of the language, where the query reads with it;
    else the same. `said`: that word is named as well where the query then proves not to run.
    """
    from grammar.misspelt import misspelt

    found = [one for one in misspelt(text, span.end) if _reads(one[3], start)]
    if not found:
        return error
    from_, to, word, _ = found[0]
    sentence = f"`{text[from_:to]}` is nearly `{word}`, a word of the language."
    last = error
    while last.plain is not None and last.plain is not last:
        last = last.plain
    if said and last.hint is None and last.repaired is None:
        last.hint = sentence
    return QueryError(
        sentence,
        text,
        Span(from_, to),
        repaired=" ".join(found[0][3].split()),
        others=tuple(" ".join(better.split()) for *_, better in found[1:]),
        plain=error,
    )


def _reads(text: str, start: Start) -> bool:
    try:
        _tree(text, start)
    except QueryError:
        return False
    return True


def _known_mistake(
    error: QueryError, text: str, span: Span, start: Start, *, parsed: bool
) -> QueryError:
    from grammar import mistakes  # forty patterns: only a refused query pays for them

    found = mistakes.find(text, span, parsed=parsed)
    if found is None:
        return error
    mistake, place, _ = found
    better = repaired(text, span, start, parsed=parsed)
    example = f"For example: {mistake.repaired}"
    plain = QueryError(mistake.sentence, text, place, hint=example) if mistake.certain else error
    if not better:
        return plain
    return QueryError(
        mistake.sentence, text, place, repaired=better[0], others=tuple(better[1:]), plain=plain
    )


def repaired(
    text: str,
    span: Span,
    start: Start = "query",
    *,
    parsed: bool = False,
    steps: int = _MOST_REPAIRS,
) -> list[str]:
    """The query with its known mistakes put right: those ways that parse, the likeliest first.

    The likeliest that does not parse yet is put right further, and comes after those that do.
    """
    from grammar import mistakes

    found = mistakes.find(text, span, parsed=parsed)
    if found is None or text in found[2] or not steps:
        return []
    good: list[str] = []
    failed: list[tuple[str, Span]] = []
    for candidate in found[2]:
        try:
            _tree(candidate, start)
        except QueryError as error:
            failed.append((candidate, error.span or Span(0, len(candidate))))
        else:
            good.append(" ".join(candidate.split()))
    for candidate, place in failed[:1]:
        good += repaired(candidate, place, start, steps=steps - 1)
    return good


def _tree(text: str, start: Start) -> Query | Condition:
    check_text(text)
    state = parser().parse_interactive(text, start=start)
    tokens, stray = tokens_in(state)
    _check_limits(text, tokens)
    at = 0
    try:
        for token in tokens:
            state.feed_token(token)
            at += 1
        if stray is not None:
            raise _stray(text, tokens, stray, start)
        end = Token("$END", "", len(text), None, None, None, None, len(text))
        return cast("Query | Condition", state.feed_token(end))
    except UnexpectedToken:
        if at == len(tokens):
            raise _ends_early(text, tokens, start) from None
        raise _unexpected(text, tokens[:at], tokens[at], start) from None
    except QueryError as error:
        error.query = text
        raise


def check_text(text: str) -> None:
    """Raises TooMuch for what is not worth a look into: too long, or no text at all."""
    if len(text) > LONGEST:
        raise TooMuch(f"A query has at most {LONGEST} characters; this one has {len(text)}.")
    broken = _NO_TEXT.search(text)
    if broken is not None:
        raise TooMuch("The query holds bytes that are not UTF-8 text.", text, Span(*broken.span()))


def _check_limits(text: str, tokens: list[Token]) -> None:
    if len(tokens) > MOST_TOKENS:
        span = span_of_token(tokens[MOST_TOKENS])
        raise TooMuch(f"A query has at most {MOST_TOKENS} words and signs.", text, span)
    depth, opened_nots, before = 0, [0], ""
    for token in tokens:
        if STAND_IN in token:
            raise QueryError("This character cannot be used.", text, span_of_token(token))
        if token.type == "LPAR":
            depth += 1
            opened_nots.append(0)
        elif token.type == "RPAR":
            depth -= 1
            opened_nots = opened_nots[:-1] or [0]
        elif token.type == "NOT" and before != "IS":
            opened_nots[-1] += 1
        if token.type in ("AND", "OR", "RPAR"):
            opened_nots[-1] = 0
        if depth + sum(opened_nots) > DEEPEST:
            raise TooMuch(
                f"Conditions stand at most {DEEPEST} deep, one inside another.",
                text,
                span_of_token(token),
                hint="Take out parentheses and doubled `not`s that change nothing.",
            )
        before = token.type


def span_of_token(token: Token) -> Span:
    return Span(token.start_pos or 0, token.end_pos or 0)


def _unexpected(text: str, before: list[Token], token: Token, start: Start) -> QueryError:
    expected = expect_after(before, start)
    shown = " ".join(str(token).split())
    word = shown.lower()
    if word in RESERVED and expected.slot in ("value", "name", "path") and not expected.continues:
        sentence = f"`{shown}` is a word of the language and cannot stand bare here."
        hint = f'Quote it if it is meant as it stands: "{shown}".'
        return QueryError(
            sentence, text, span_of_token(token), expected=_phrases(expected), hint=hint
        )
    return QueryError(
        f"`{shown}` does not fit here.", text, span_of_token(token), expected=_phrases(expected)
    )


def _stray(text: str, tokens: list[Token], at: int, start: Start) -> QueryError:
    shown = text[at] if text[at].isprintable() else "A character that cannot be seen"
    if text[at] in "\"'“”‘’":
        return QueryError(
            f"The quote {shown} that opens here is not closed.", text, Span(at, at + 1)
        )
    name = f"`{shown}`" if text[at].isprintable() else shown
    return QueryError(
        f"{name} is not a sign of the language.",
        text,
        Span(at, at + 1),
        expected=_phrases(expect_after(tokens, start)),
        hint="In a value, put quotes around it." if text[at].isprintable() else None,
    )


def _ends_early(text: str, tokens: list[Token], start: Start) -> QueryError:
    end = len(text.rstrip())
    expected = _phrases(expect_after(tokens, start))
    if not tokens:
        return QueryError("The query is empty.", text, Span(end, end), expected=expected)
    opened = [token for token in tokens if token.type in ("LPAR", "RPAR")]
    depth = sum(1 if token.type == "LPAR" else -1 for token in opened)
    if depth and "`)`" in expected:
        sentence = "A parenthesis is opened and not closed."
    else:
        sentence = "The query ends too early."
    return QueryError(sentence, text, Span(end, end), expected=expected)


def _phrases(expected: Expected) -> tuple[str, ...]:
    return expected.phrases()
