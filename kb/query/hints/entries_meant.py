"""What was meant by entries of something that is no entry: a kind of document, an author, a hash.

`entries of vehicles`, `entries by tess`, `drafts`: said as a condition, where a bare word finds its
field by the rules for values alone. It stands apart because only a refused question comes here.
"""

from __future__ import annotations

import re
import sqlite3

from grammar.errors import QueryError
from grammar.tree import Span, word_key
from kb.query.subjects import ENTRIES, SUBJECTS

_SCOPE = re.compile(
    r"^(?P<head>\s*(?:count\s+)?(?:entries|entry)(?:\s+by\s+(?:state|kind|author|origin))?)\s+"
    r"(?P<relation>of|for|by|from|in|with)\s+(?:(?P<all>any|every|each|all)\b\s*)?"
    r"(?P<name>\"[^\"]*\"|[^\s\"=<>~()]+(?:\s+(?!(?:where|show|sorted|first)\b)[^\s\"=<>~()]+)*)?"
    r"(?=\s*$|\s+(?:where|show|sorted|first)\b)",
    re.IGNORECASE,
)
_STATES = re.compile(
    rf"^(?P<count>\s*(?:count\s+)?)(?P<state>{'|'.join(flag.key for flag in ENTRIES.flags)})"
    r"(?P<plural>s?)(?![\w-])(?:\s+(?P<what>[\w-]+))?",
    re.IGNORECASE,
)
_OF_OTHERS = re.compile(
    rf"^(?P<count>\s*(?:count\s+)?)(?P<what>[\w-]+)\s+where\s+(?:state\s*(?:=|is\b)?\s*)?"
    rf"(?P<state>{'|'.join(flag.key for flag in ENTRIES.flags)})"
    r"(?=\s*$|\s+(?:show|sorted|first)\b)",
    re.IGNORECASE,
)
_WRITTEN_BY = re.compile(
    r"^\s*(?:count\s+)?(?:entries|entry)\b.*?"
    r"(?P<all>(?P<where>\bwhere\s+|\band\s+|\bor\s+|\s)(?:that\s+(?:are|were)\s+)?"
    r"(?:submitted|written|made|added|authored|handed\s+in)\s+by\s+)"
    r"(?P<name>\"[^\"]*\"|[^\s\"=<>~()]+)",
    re.IGNORECASE,
)
_HASH = re.compile(r"[0-9a-f]{8,64}", re.IGNORECASE)
_TAIL = re.compile(r"\b(?:show|sorted|first)\b", re.IGNORECASE)
_AFTER_WHERE = "What an entry has, its author for one, stands after `where`."
_DOCUMENTS = ("entry", "document", "revision", "draft")


def meant_of_entries(
    connection: sqlite3.Connection, text: str, error: QueryError
) -> QueryError | None:
    """The refusal of a question about entries, said with the condition that was meant."""
    state = _STATES.match(text)
    if state is not None and (error.span or Span()).end <= state.end():
        return _of_a_state(connection, text, state)
    if meant := _written_by(text) or _state_of_others(text):
        return meant
    return of_no_entry(connection, text, error)


def of_no_entry(connection: sqlite3.Connection, text: str, error: QueryError) -> QueryError | None:
    """`entries of vehicles`: what stands where an entry is named, as the condition it is."""
    found = _SCOPE.match(text)
    if found is None or "@" in (found["name"] or ""):
        return None  # none at all, or a revision by its whole name
    place = (error.span or Span()).start
    inside = found.start("relation") <= place <= found.end()
    return _as_condition(connection, text, found) if inside else None


def _as_condition(
    connection: sqlite3.Connection, text: str, found: re.Match[str]
) -> QueryError | None:
    name = (found["name"] or "").strip('"')
    span = Span(*found.span("name")) if found["name"] else Span(*found.span("relation"))
    head, tail = found["head"], text[found.end() :]
    kind = _kind(name)
    if kind == "draft":
        kind = None
    if kind in _DOCUMENTS or not name:
        asked = f"{head}{tail}"
        return QueryError("Without `of`, all entries are asked about.", text, span, repaired=asked)
    if kind is not None:
        said, condition = f'"{name}" are entries of one kind.', f"kind = {kind}"
    elif _HASH.fullmatch(name):
        said, condition = "A revision is asked for by its hash.", f"revision = {name}"
    else:
        from kb.query.hints.vehicle_alone import id_loosely_named

        id = id_loosely_named(connection, name)
        if id is not None:
            of = f"{head} of {id}{tail}"
            return QueryError("An entry is named by its id.", text, span, repaired=of)
        said, condition = _AFTER_WHERE, found["name"]
        if found["relation"].casefold() == "of":
            said = f'There is no entry "{name}" in this book.'
    return QueryError(said, text, span, repaired=f"{head}{narrowed(tail, condition)}")


def _of_a_state(
    connection: sqlite3.Connection, text: str, found: re.Match[str]
) -> QueryError | None:
    """`drafts` as `entries where draft`, `returned vehicles` with their kind as well."""
    kind = _kind(found["what"]) if found["what"] else None
    end = found.end("what" if kind is not None else "plural")
    condition = found["state"].lower()
    if kind is not None and kind not in _DOCUMENTS:
        condition += f" and kind = {kind}"
    made = f"{found['count']}entries{narrowed(text[end:], condition)}"
    scope = _SCOPE.match(made)
    further = _as_condition(connection, made, scope) if scope else None
    return QueryError(
        "Where a document stands in review is asked of `entries`.",
        text,
        Span(found.start("state"), end),
        repaired=further.repaired if further else made,
    )


def _written_by(text: str) -> QueryError | None:
    """`submitted by tess` as `author = tess`."""
    found = _WRITTEN_BY.match(text)
    if found is None:
        return None
    joined = found["where"] if found["where"].strip() else " where "
    head, tail = text[: found.start("all")], text[found.end() :]
    return QueryError(
        "Who wrote an entry is its `author`.",
        text,
        Span(found.end("where"), found.end()),
        repaired=f"{head}{joined}author = {found['name']}{tail}",
    )


def _state_of_others(text: str) -> QueryError | None:
    """`vehicles where draft`: what does not answer is found among the entries alone."""
    found = _OF_OTHERS.match(text)
    kind = _kind(found["what"]) if found else None
    if found is None or kind is None or kind in _DOCUMENTS:
        return None
    state = found["state"].lower()
    return QueryError(
        f"Of what is {state} no question tells but one about `entries`.",
        text,
        Span(*found.span("state")),
        repaired=f"{found['count']}entries where kind = {kind} and {state}{text[found.end() :]}",
    )


def narrowed(tail: str, condition: str) -> str:
    """What stands after a subject, with one condition more."""
    where = re.search(r"\bwhere\b", tail, re.IGNORECASE)
    if where is None:
        order = _TAIL.search(tail)
        at = order.start() if order else len(tail)
        return f"{tail[:at].rstrip()} where {condition} {tail[at:]}".rstrip()
    order = _TAIL.search(tail, where.end())
    at = order.start() if order else len(tail)
    conditions = tail[where.end() : at].strip()
    if re.search(r"\bor\b", conditions, re.IGNORECASE):
        conditions = f"({conditions})"
    return f"{tail[: where.start()]}where {condition} and {conditions} {tail[at:]}".rstrip()


def _kind(name: str) -> str | None:
    """The kind of document that a word names, in any number: `cars` are of kind `vehicle`."""
    key = word_key(name)
    known = {*ENTRIES.fields_by_key["kind"].choices, *_DOCUMENTS}
    of_subjects = {
        word: subject.singular
        for subject in SUBJECTS
        if subject.singular in known
        for word in (subject.name, *subject.said)
    }
    of_subjects |= {f"{one}s": one for one in known}
    return key if key in known else of_subjects.get(key)
