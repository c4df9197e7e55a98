"""What may come next: the words of the language, and what kind of name, at a place in a query.

It asks the parser itself: a stand-in word is put where the next word would go, the rest is closed
in the shortest way, and where the stand-in lands in the tree is what could stand there. So errors
and completion say what the grammar says, and a change of the grammar changes both.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias, cast

from lark import Token
from lark.exceptions import UnexpectedInput, UnexpectedToken
from lark.parsers.lalr_interactive_parser import InteractiveParser

from grammar.errors import QueryError
from grammar.parser import parser
from grammar.tree import (
    SIGNS,
    AnyPath,
    Between,
    Compare,
    Condition,
    IsUnknown,
    Mention,
    OneOf,
    Path,
    Quantified,
    Query,
    Things,
    Value,
    Words,
    all_conditions,
)

STAND_IN = "\ue000"
"""A private-use letter: no query has a reason to hold it, and the parser refuses it as typed."""

Start: TypeAlias = Literal["query", "condition"]
Slot: TypeAlias = Literal[
    "subject", "member", "condition", "value", "name", "path", "any", "field", "number"
]

SLOT_WORDS: dict[Slot, str] = {
    "subject": "a subject",
    "member": "a subject",
    "condition": "a condition",
    "value": "a value",
    "name": "a name",
    "path": "a kit or part",
    "any": "kit",
    "field": "a field",
    "number": "a number",
}

TYPED: dict[str, tuple[str, ...]] = {
    "AT_LEAST": ("at least",),
    "SIGN": SIGNS,
    "PLUS": ("+",),
    "COMMA": (",",),
    "LPAR": ("(",),
    "RPAR": (")",),
    "SORTED": ("sorted by",),
    "WORD": (),
    "STRING": (),
    "NUMBER": (),
    "$END": (),
}
"""What is typed for a terminal, where that is not its own name."""

_PUNCTUATION = ("(", ")", ",", "+")

_ALSO_WORDS = ("COUNT", "KNOWN", "UNKNOWN", "NO")
"""Words of the language that also stand in names: said only where nothing else is meant."""

_CLOSERS = ("$END", "RPAR", "AND", "WORD", "LPAR", "SIGN", "NUMBER", "BY")
_MOST_CLOSERS = 400


@dataclass(frozen=True)
class Expected:
    """What may stand at a place.

    `words` are typed as they are. `slot` says which kind of name may begin or go on there, and
    `tree` is the query so far with `STAND_IN` where that name would go; None where none may.
    `continues` holds the words before it that belong to the same name.
    """

    words: tuple[str, ...]
    slot: Slot | None = None
    tree: Query | Condition | None = None
    node: object | None = None
    continues: tuple[str, ...] = ()
    may_end: bool = False

    def phrases(self) -> tuple[str, ...]:
        """For an error: what could stand here, in the language's own words."""
        named = [] if self.slot is None or self.continues else [SLOT_WORDS[self.slot]]
        if SIGNS[0] in self.words:
            named.append(f"a sign ({' '.join(SIGNS)})")
        named += [word for word in self.words if word[0].isalpha()]
        named += [f"`{word}`" for word in self.words if word in _PUNCTUATION]
        return tuple(named)


def tokens_of(text: str) -> tuple[list[Token], int | None]:
    """The words of a query, and the place of the first character that belongs to none."""
    return tokens_in(parser().parse_interactive(text, start="query"))


def tokens_in(state: InteractiveParser) -> tuple[list[Token], int | None]:
    """The words of the text that a parser was made for, which it has not read yet."""
    found: list[Token] = []
    try:
        # Not by Lark.lex: it makes the lexer anew for each text.
        for token in state.lexer_thread.lex(None):  # type: ignore[no-untyped-call]  # bare in lark
            found.append(token)
    except UnexpectedInput as stop:
        return found, stop.pos_in_stream
    return found, None


def state_after(tokens: list[Token], start: Start = "query") -> InteractiveParser:
    """The parser once it has read these; raises lark's UnexpectedToken where they do not fit, and
    QueryError where they fit and cannot be meant."""
    state = parser().parse_interactive("", start=start)
    for token in tokens:
        state.feed_token(token)
    return state


def accepts(state: InteractiveParser) -> set[str]:
    """The terminals that may come next."""
    return cast("set[str]", state.accepts())  # type: ignore[no-untyped-call]  # lark has no type


def expect_after(tokens: list[Token], start: Start = "query") -> Expected:
    """What may stand after these words, which must be the beginning of a query."""
    state = state_after(tokens, start)
    accepted = accepts(state)
    slot, tree, node, continues = _landing(state, accepted)
    words: list[str] = []
    for terminal in sorted(accepted, key=lambda name: (name != "SIGN", name)):
        if terminal in _ALSO_WORDS and not _is_own_word(terminal, accepted, tokens):
            continue
        if terminal in ("BY", "FOR", "ON") and continues and slot in ("condition", "field"):
            continue
        words.extend(TYPED.get(terminal, (terminal.lower(),)))
    if "NUMBER" in accepted and "WORD" not in accepted:
        slot = "number"
    return Expected(tuple(words), slot, tree, node, continues, "$END" in accepted)


def _is_own_word(terminal: str, accepted: set[str], tokens: list[Token]) -> bool:
    if terminal == "COUNT":
        return not tokens
    if terminal == "NO":
        return "EVERY" in accepted
    return "WORD" not in accepted


def _landing(
    state: InteractiveParser, accepted: set[str]
) -> tuple[Slot | None, Query | Condition | None, object | None, tuple[str, ...]]:
    if "WORD" not in accepted:
        return None, None, None, ()
    tree = _closed(state)
    if tree is None:
        return None, None, None, ()
    for slot, node in _places(tree):
        text = node.parts if isinstance(node, Words) else tuple(node.text.split())
        if any(STAND_IN in part for part in text):
            return slot, tree, node, text[: [STAND_IN in part for part in text].index(True)]
    return None, tree, None, ()


def _closed(state: InteractiveParser) -> Query | Condition | None:
    """The tree, with the stand-in next and the shortest way to an end."""
    result = state.feed_token(Token("WORD", STAND_IN, 0, end_pos=0))
    for _ in range(_MOST_CLOSERS):
        accepted = accepts(state)
        closer = next((one for one in _CLOSERS if one in accepted), None)
        if closer is None:
            return None
        typed = {"SIGN": "=", "NUMBER": "1"}.get(closer, closer.lower())
        try:
            result = state.feed_token(Token(closer, typed, 0, end_pos=0))
        except (UnexpectedToken, QueryError):
            return None  # a clause said twice, a number too large: nothing can go on here
        if closer == "$END":
            return cast("Query | Condition", result)
    return None


def _places(tree: Query | Condition) -> list[tuple[Slot, Words | Value]]:
    found: list[tuple[Slot, Words | Value]] = []
    condition: Condition | None
    if isinstance(tree, Query):
        found.append(("subject", tree.subject))
        found += [("field", words) for words in (tree.by, *tree.show) if words is not None]
        found += [("field", key.field) for key in tree.order]
        for scope in tree.scopes:
            if isinstance(scope, Things):
                found += [("name", name) for name in scope.names]
            elif isinstance(scope, Path):
                found += [("path", name) for name in scope.names]
            elif isinstance(scope, AnyPath):
                found.append(("any", scope.subject))
        condition = tree.where
    else:
        condition = tree
    for one in all_conditions(condition):
        found += _places_in(one)
    return found


def _places_in(one: Condition) -> list[tuple[Slot, Words | Value]]:
    if isinstance(one, Mention):
        return [("condition", one.words)]
    if isinstance(one, Quantified):
        return [("member", one.subject)]
    if isinstance(one, Compare):
        return [("condition", one.field), ("value", one.value)]
    if isinstance(one, OneOf):
        return [("condition", one.field), *[("value", value) for value in one.values]]
    if isinstance(one, Between):
        return [("condition", one.field), ("value", one.low), ("value", one.high)]
    if isinstance(one, IsUnknown):
        return [("condition", one.field)]
    return []
