"""`ask`: any question to the book, in trade words."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from grammar.errors import QueryError
from tui.report import DONE, say

if TYPE_CHECKING:
    import sqlite3

    from kb.query.run import Answer, Explanation
    from kb.store.book import Book

MOST_BYTES = 1_000_000
"""Of a file or of standard input; no question is near it, and an endless stream ends there."""

NONE = "none"
"""A cell of `--csv` for what there is none of; the word that a question takes for it as well."""

BYTE_ORDER_MARK = "\ufeff"
"""What some editors put before a text."""

HELP = """Ask the book anything in trade words:

  loombook ask 'speakers of "tarn 2022 concert" with oku-b6 where left out'
  loombook ask 'vehicles where any speaker (role = tweeter and fed by radio)'

`loombook words` lists what can be asked. Put quotes around the question, so that the shell leaves
its signs alone. What nobody documented is not what there is none of: a table shows `?` and `–`,
--json gives null and "", --csv an empty cell and `none`."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The question, from where it comes, and the form of the answer."""
    parser.add_argument(
        "query",
        nargs="*",
        metavar="QUERY",
        help="the question; `-` reads it from standard input, @NAME is a saved one",
    )
    parser.add_argument(
        "--file",
        type=Path,
        metavar="FILE",
        help="read the question from a file; `-` is standard input",
    )
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="print one JSON document")
    form.add_argument("--csv", action="store_true", help="print comma-separated values")
    parser.add_argument(
        "--spreadsheet-safe",
        action="store_true",
        help="with --csv: no cell that a spreadsheet would run as a formula",
    )
    form.add_argument(
        "--explain",
        action="store_true",
        help="show how the question is understood, and its SQL, instead of running it",
    )
    parser.add_argument(
        "--newest",
        action="store_true",
        help="answer from the newest revisions, verified or not",
    )
    kept = parser.add_mutually_exclusive_group()
    kept.add_argument("--save", metavar="NAME", help="also keep the question as @NAME")
    parser.add_argument(
        "--replace", action="store_true", help="with --save: over what the name keeps"
    )
    kept.add_argument(
        "--forget", metavar="NAME", action="append", help="drop the saved question @NAME"
    )
    kept.add_argument("--saved", action="store_true", help="list the saved questions")


def run(arguments: argparse.Namespace) -> int:
    """Answer and print."""
    from kb.store.book import open_book

    book = open_book(arguments.db)
    if arguments.forget or arguments.saved:
        _refuse_question(arguments)
        if arguments.forget:
            return _forget(book, arguments.forget, as_json=arguments.json)
        return _list_saved(book, as_json=arguments.json)
    with book.reading() as connection:
        typed = _typed(arguments)
        text = _meant(connection, typed)
        try:
            if arguments.explain:
                from kb.query.run import explain

                made = explain(connection, text, newest=arguments.newest)
            else:
                from kb.query.run import ask

                answer = ask(connection, text, newest=arguments.newest)
        except QueryError:
            _refuse_several(typed)
            raise
    if arguments.save is not None:
        from kb.query.saved import save_query

        save_query(book, arguments.save, text, replace=arguments.replace)
    if arguments.explain:
        _say_explanation(made)
    elif arguments.json:
        say(json.dumps(answer_json(answer), ensure_ascii=False))
    elif arguments.csv:
        _say_csv(answer, safe=arguments.spreadsheet_safe)
    else:
        _say_page(answer)
    return DONE


def _typed(arguments: argparse.Namespace) -> str:
    """The text that was given: as words, by a file or from standard input."""
    from tui.main import UsageError

    words = arguments.query
    if arguments.file is not None:
        if words:
            raise UsageError("give the question or --file, not both")
        if arguments.file != Path("-"):
            return _read(arguments.file)
    elif not words:
        raise UsageError("ask what? For example: loombook ask 'vehicles where year = 2022'")
    if arguments.file is not None or words == ["-"]:
        return _text_of(sys.stdin.buffer.read(MOST_BYTES + 1), "standard input")
    return " ".join(words).removeprefix(BYTE_ORDER_MARK)


def _meant(connection: sqlite3.Connection, typed: str) -> str:
    """The question, which a text that begins with `@` only names."""
    from tui.main import UsageError

    if not typed.lstrip().startswith("@"):
        return typed
    from kb.query.saved import saved_query

    name, *more = typed.lstrip()[1:].split() or [""]
    if more:
        raise UsageError("a saved question stands alone: loombook ask @NAME")
    return saved_query(connection, name)


def _refuse_several(typed: str) -> None:
    """Raises QueryError where several lines would each be read: one question is asked at a time."""
    lines = [line.strip() for line in typed.splitlines() if line.strip()]
    notes = [line for line in lines if line.startswith("#")]
    if len(lines) < 2 or not (notes or all(map(_reads, lines))):
        return
    beside = " and no remarks" if notes else f", and this one holds {len(lines)}"
    raise QueryError(f"A text holds one question{beside}.")


def _reads(line: str) -> bool:
    from grammar.parse import parse

    try:
        parse(line)
    except QueryError:
        return line.startswith("@")
    return True


def _refuse_question(arguments: argparse.Namespace) -> None:
    """Raises UsageError where a question is given that would be dropped in silence."""
    from tui.main import UsageError

    if arguments.query or arguments.file is not None:
        option = "--forget" if arguments.forget else "--saved"
        raise UsageError(f"{option} asks nothing; give no question with it")


def _read(path: Path) -> str:
    from kb.errors import Refused

    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as fault:
        why = (fault.strerror or str(fault)).lower()
        raise Refused(f"{path} cannot be read as a question: {why}.") from None
    return _text_of(data, str(path))


def _text_of(data: bytes, source: str) -> str:
    """A question from bytes; a query's own limit of length is the parser's to tell."""
    from kb.errors import Refused

    if len(data) > MOST_BYTES:
        from grammar.errors import TooMuch
        from grammar.parse import LONGEST

        raise TooMuch(f"A query has at most {LONGEST} characters; {source} holds far more.")
    try:
        return data.decode("utf-8-sig").strip()
    except UnicodeDecodeError as fault:
        raise Refused(
            f"{source} cannot be read as a question: its byte {fault.start + 1} is not UTF-8 text."
        ) from None


def answer_json(answer: Answer) -> dict[str, Any]:
    """The document of `--json`; null is an unknown, an empty text that there is none."""
    document: dict[str, Any] = {
        "subject": answer.subject,
        "columns": list(answer.columns),
        "rows": answer.rows,
        "unknowns": answer.unknowns,
        "unverified": answer.unverified,
    }
    said = [*answer.notes, *answer.why_empty]
    return document | ({"notes": said} if said else {})


def _say_csv(answer: Answer, *, safe: bool) -> None:
    """An unknown is an empty cell; what there is none of says so."""
    from tui.spreadsheet import csv_text

    cells = ([NONE if value == "" else value for value in row.values()] for row in answer.rows)
    say(csv_text(answer.columns, cells, safe=safe))
    from tui.report import warn

    for note in [*answer.notes, *answer.why_empty]:
        warn(note)
    if answer.unverified and answer.subject == "entries":
        warn(f"{answer.unverified} {'is' if answer.unverified == 1 else 'are'} not verified.")
    elif answer.unverified:
        rows = "1 row rests" if answer.unverified == 1 else f"{answer.unverified} rows rest"
        warn(f"not verified: {rows} on revisions that no lead has signed.")
    if answer.unknowns and not answer.why_empty:
        rows = "1 row" if answer.unknowns == 1 else f"{answer.unknowns} rows"
        warn(f"for {rows} more the book cannot tell, because what was asked is not recorded.")


def _say_page(answer: Answer) -> None:
    from tui.drawing.answer_page import answer_page
    from tui.ink import ink_for_output
    from tui.tables import terminal_width

    say("\n".join(answer_page(answer, terminal_width(), ink_for_output())))


def _say_explanation(made: Explanation) -> None:
    from tui.clean import clean, clean_lines

    say(f"Understood as:\n  {clean(made.reading)}\n\nRuns:\n{clean_lines(made.sql)}\n")
    say("With:")
    for name, value in made.parameters.items():
        say(f"  :{name} = {clean(json.dumps(value, ensure_ascii=False))}")


def _forget(book: Book, names: list[str], *, as_json: bool) -> int:
    from kb.query.saved import forget_queries

    forget_queries(book, names)
    forgotten = [name.removeprefix("@") for name in names]
    if as_json:
        say(json.dumps({"forgotten": forgotten}))
    else:
        for name in forgotten:
            say(f"@{name} is forgotten.")
    return DONE


def _list_saved(book: Book, *, as_json: bool) -> int:
    from kb.query.saved import saved_queries
    from tui.tables import table, terminal_width

    with book.reading() as connection:
        kept = saved_queries(connection)
    if as_json:
        say(json.dumps([{"name": name, "query": text} for name, text in kept], ensure_ascii=False))
    elif not kept:
        say("No question is saved; `loombook ask QUERY --save NAME` keeps one.")
    else:
        rows = [[f"@{name}", text] for name, text in kept]
        say("\n".join(table(["name", "question"], rows, terminal_width())))
    return DONE
