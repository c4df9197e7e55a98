"""Bytes of a file -> the tables as written, or the one reason why they cannot be read.

It stands alone because everything that a file can do to a parser ends here, as a plain sentence
with a line."""

import json
import re
import tomllib
from typing import Any, NoReturn

from kb.documents.bounds import LARGEST_FILE, LONGEST_LIST, MOST_VALUES
from kb.documents.findings import Format, Problem, Source
from kb.documents.shown import shown, visible

_LONGEST_LINE = 200_000
_MOST_LINES = 100_000
_DEEP_KEY = re.compile(r"(?<![\w-])(?:[\w-]++[ \t]*+\.[ \t]*+){20}")
_JSON_STRING_OR_CONSTANT = re.compile(r'"(?:\\.|[^"\\])*+"|(-?(?:NaN|Infinity))')
_TOML_PLACE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)\Z")

_TOML_SENTENCES: tuple[tuple[str, str, str], ...] = (
    (
        "Invalid statement",
        "this line is neither a [table] nor a key with a value",
        "write key = value",
    ),
    (
        "Expected newline or end of document",
        "something follows the value on this line",
        "put text in quotes, and each key on a line of its own",
    ),
    ("Expected '=' after a key", "a key stands without its =", "write key = value"),
    ("Expected ']'", "the heading of a table is not closed", "write [table] or [[table]]"),
    (
        "Cannot declare",
        "this table stands twice",
        "keep one, or write [[table]] where there are several",
    ),
    ("Cannot overwrite", "a key is set twice in one table", "keep one"),
    ("Duplicate inline table key", "a key is set twice in one table", "keep one"),
    (
        "Cannot mutate",
        "this adds to a table or list that is already complete",
        "write it in one place",
    ),
    ("Cannot redefine", "this table stands twice", "keep one"),
    (
        "Invalid initial character for a key",
        "a key is missing here",
        "write key = value, without a comma before }",
    ),
    ("Unclosed array", "a list is not closed, or a comma is missing in it", "write [a, b]"),
    (
        "Unclosed inline table",
        "a table in braces is not closed",
        "write { a = 1, b = 2 } on one line, with commas between",
    ),
    (
        "Unescaped",
        "a backslash in text stands alone",
        "write two, or put the text in single quotes",
    ),
    ("Invalid hex", "a \\u escape is incomplete", "write \\u and four hexadecimal digits"),
    ("Escaped character", "a \\u escape names half a character", "write the character itself"),
    ("Unterminated string", "text is not closed", "put a quote at its end"),
    (
        "Illegal character",
        "text holds a line end or control character",
        "close the quote before it",
    ),
    ("Found invalid character", "a comment or text holds a control character", "take it out"),
    ("Invalid date", "this date is not one of the calendar", "write one such as 2026-03-14"),
    (
        "Invalid value",
        "a value is missing, or is text without quotes",
        'write "text", a number, true, false, a day, [a list] or { a table }',
    ),
)

_JSON_SENTENCES: tuple[tuple[str, str, str], ...] = (
    ("Unterminated string", "text is not closed", "put a quote at its end"),
    (
        "Invalid control character",
        "text holds a line end or control character",
        "write \\n, or take it out",
    ),
    ("Invalid \\", "a backslash in text stands alone", "write two"),
    (
        "Expecting property name",
        "a key in quotes is missing",
        'write "key": value, without a comma before }',
    ),
    ("Illegal trailing comma", "a comma stands before the closing bracket", "take it out"),
    ("Expecting ':'", "a key stands without its colon", 'write "key": value'),
    ("Expecting ','", "a comma or a closing bracket is missing", "put it before this place"),
    (
        "Expecting value",
        "a value is missing",
        "write text in quotes, a number, true, false, [ ] or { }",
    ),
    ("Extra data", "something follows the end of the document", "write one document in one file"),
)


class Unreadable(Exception):
    """The file holds no tables; `problem` says why."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.what)
        self.problem = problem


def parse(source: Source) -> tuple[dict[str, Any], str, Format]:
    """The tables of a file, its text without byte order mark, and its format. Raises
    `Unreadable`."""
    text = _decode(source.data)
    if not text.strip():
        _refuse("the file is empty", 'write a document, beginning with kind = "vehicle"')
    form = source.format or _format(source.name, text)
    try:
        content = _json(text) if form == "json" else _toml(text)
    except RecursionError:
        _refuse(
            "tables and lists are nested too deeply", "write the tables as the documents have them"
        )
    except ValueError:
        _refuse("a number has more digits than any measure", "write the number that is meant")
    if not isinstance(content, dict):
        _refuse(f"{shown(content)} stands where a document belongs", 'write { "kind": …, … }')
    return content, text, form


def _decode(data: bytes) -> str:
    if len(data) > LARGEST_FILE:
        _refuse(f"the file is larger than {LARGEST_FILE / 1e6:g} MB", "split it into documents")
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        _refuse("the file is UTF-16 text", "save it as UTF-8")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        _refuse(f"byte {error.start} (counted from 0) is not UTF-8 text", "save it as UTF-8", line)


def _format(name: str, text: str) -> Format:
    lowered = name.lower()
    if lowered.endswith((".json", ".toml")):
        return "json" if lowered.endswith(".json") else "toml"
    return "json" if text.lstrip()[0] == "{" else "toml"


def _toml(text: str) -> dict[str, Any]:
    if text.count("=") > MOST_VALUES or text.count(",") > 3 * MOST_VALUES:
        _refuse(
            f"the file holds more than {MOST_VALUES:,} values",
            f"a connector has {LONGEST_LIST:,} pins at most",
        )
    lines = text.count("\n") + 1
    if lines > _MOST_LINES:
        _refuse(f"the file has {lines:,} lines", f"{_MOST_LINES:,} is the most")
    for number, line in enumerate(text.split("\n"), 1):
        if len(line) > _LONGEST_LINE:
            _refuse(f"the line is {len(line):,} characters long", "write one pin on a line", number)
        if _DEEP_KEY.search(line):
            _refuse(
                "a key has more than twenty parts",
                "write the tables as the documents have them",
                number,
            )
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        message = str(error)
        what, right = _plain(message, _TOML_SENTENCES, "this cannot be read as TOML")
        place = _TOML_PLACE.search(message)
        if place is None or place[1] is None:
            _refuse(what, right, text.rstrip("\n").count("\n") + 1)
        _refuse(what, right, int(place[1]), int(place[2]))


def _json(text: str) -> Any:
    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        if len(pairs) > LONGEST_LIST:
            _refuse(f"one table has {len(pairs):,} keys", f"{LONGEST_LIST:,} is the most")
        table: dict[str, Any] = {}
        for key, value in pairs:
            if key in table:
                raise _Repeated(key)
            table[key] = value
        return table

    def constant(name: str) -> NoReturn:
        raise _NotFinite(name)

    try:
        return json.loads(text, object_pairs_hook=once, parse_constant=constant)
    except json.JSONDecodeError as error:
        what, right = _plain(error.msg, _JSON_SENTENCES, "this cannot be read as JSON")
        _refuse(what, right, error.lineno, error.colno)
    except _Repeated as repeated:
        from kb.documents.places import repeated_key

        what = f'the key "{visible(repeated.name)}" is set twice in one table'
        _refuse(what, "keep one", *repeated_key(text, repeated.name))
    except _NotFinite as constant_error:
        found = next(match for match in _JSON_STRING_OR_CONSTANT.finditer(text) if match[1])
        line = text.count("\n", 0, found.start()) + 1
        column = found.start() - text.rfind("\n", 0, found.start())
        _refuse(
            f"{constant_error.name} is no measure",
            "write a number, or leave the key out",
            line,
            column,
        )


class _Repeated(Exception):
    def __init__(self, name: str) -> None:
        super().__init__(name)
        self.name = name


class _NotFinite(Exception):
    def __init__(self, name: str) -> None:
        super().__init__(name)
        self.name = name


def _plain(
    message: str, sentences: tuple[tuple[str, str, str], ...], other: str
) -> tuple[str, str]:
    for start, what, right in sentences:
        if message.startswith(start):
            return what, right
    return other, "compare it with a document that can be read"


def _refuse(what: str, right: str, line: int | None = None, column: int | None = None) -> NoReturn:
    raise Unreadable(Problem((), what, right, line=line, column=column))
