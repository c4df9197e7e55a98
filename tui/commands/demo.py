"""`demo`: the main job, end to end, on the shipped data; nothing of the user's is touched."""

from __future__ import annotations

import argparse
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from tui.ink import Ink, ink_for_output
from tui.report import DONE, say
from tui.tables import terminal_width, wrap

if TYPE_CHECKING:
    import sqlite3

HELP = "The main job, end to end, on the shipped data; touches nothing of yours."

VEHICLE = "halden-tarn-19-concert10"
KIT = "oku-b6"
JOB = "tarn-1192"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Where to keep the practice book, if anywhere."""
    parser.add_argument(
        "--into",
        type=Path,
        metavar="FILE",
        help="also keep the shipped data as a new book in FILE, to practise on",
    )


def run(arguments: argparse.Namespace) -> int:
    """Make a book in a folder that goes away again, and ask it."""
    from kb.shipped import shipped_book

    width, ink = terminal_width(), ink_for_output()
    if arguments.into is not None:
        _keep(arguments.into)
    with tempfile.TemporaryDirectory(prefix="loombook-demo-") as folder:
        book = shipped_book(Path(folder) / "book.db")
        with book.reading() as connection:
            lines = list(_tour(connection, width, ink))
    if arguments.into is not None:
        lines += _paragraph(
            f"The practice book is {arguments.into}: set LOOMBOOK_DB to it and ask anything.",
            width,
        )
    say("\n".join(lines))
    return DONE


def _keep(path: Path) -> None:
    from kb.errors import Refused
    from kb.shipped import shipped_book

    if path.exists():
        raise Refused(f"{path} exists already; name a new file for the practice book.")
    shipped_book(path)


def _tour(connection: sqlite3.Connection, width: int, ink: Ink) -> Iterator[str]:
    """All lines of the demo; nothing is printed while the book is open."""
    from kb.answers.papers import plan_job, runs_with_costs
    from tui.drawing.plan_page import plan_page
    from tui.drawing.runs_page import runs_page

    yield from _paragraph(
        "The job: this car's radio drives three of its ten speakers, its factory amplifier "
        "the other seven. A bypass kit takes the amplifier's place and brings its speaker "
        "wires out, so it cannot reach what the radio drives. That is worth knowing before "
        "a panel comes off. (All vehicles and kits shown are invented.)",
        width,
    )
    yield from _command(f"loombook runs {VEHICLE} --kit {KIT}", ink)
    yield from runs_page(runs_with_costs(connection, VEHICLE, KIT), width, ink)
    yield from _paragraph(
        "Read it from the top: ✗ needs a way of its own, with each way there is; ✓ comes over on "
        "a lead of the kit. Which way is the cheapest depends on the whole job: what panels come "
        "off anyway, where the amplifier sits, what each channel may drive. That is the plan:",
        width,
    )
    yield from _command(f"loombook plan {JOB}", ink)
    yield from plan_page(plan_job(connection, JOB), width, ink, steps=False, why=False)
    yield from _every_answer(connection, width, ink)


def _every_answer(connection: sqlite3.Connection, width: int, ink: Ink) -> Iterator[str]:
    from kb.answers.meanings import EFFECTS, OUTCOMES, examples
    from tui.drawing.runs_page import MARKS, STYLES

    yield from _paragraph(
        "Every answer that there is, each with an example from the shipped book:", width
    )
    for example in examples(connection):
        outcome = f"{MARKS[example.outcome]} {example.outcome}"
        first, *rest = wrap(
            f"{example.effect}: {OUTCOMES[example.outcome]}; {EFFECTS[example.effect]}.",
            width,
            " " * 12,
            f"{outcome:<12}",
        )
        yield ink(STYLES[example.outcome], outcome) + first[len(outcome) :]
        yield from rest
        yield from wrap(
            f"{example.speaker} of {example.vehicle} with {example.kit}", width, " " * 14, " " * 12
        )


def _command(command: str, ink: Ink) -> list[str]:
    return ["", ink("heading", f"$ {command}")]


def _paragraph(text: str, width: int) -> list[str]:
    return ["", *wrap(text, width)]
