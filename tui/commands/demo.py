"""`demo`: the main job, end to end, on the shipped data; nothing of the user's is touched."""

from __future__ import annotations

import argparse
import tempfile
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
PART = "radio-28"


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
            _tell(connection, width, ink)
    if arguments.into is not None:
        _say_lines(
            [f"The practice book is {arguments.into}: set LOOMBOOK_DB to it and ask anything."],
            width,
        )
    return DONE


def _keep(path: Path) -> None:
    from kb.errors import Refused
    from kb.shipped import shipped_book

    if path.exists():
        raise Refused(f"{path} exists already; name a new file for the practice book.")
    shipped_book(path)


def _tell(connection: sqlite3.Connection, width: int, ink: Ink) -> None:
    from kb.answers.runs import runs
    from tui.drawing.runs_page import runs_page

    _say_lines(
        [
            "The job: this car's radio drives three of its ten speakers, its factory amplifier "
            "the other seven. A bypass kit takes the amplifier's place and brings its speaker "
            "wires out, so it cannot reach what the radio drives. That is worth knowing before "
            "a panel comes off. (All vehicles and kits shown are invented.)",
        ],
        width,
    )
    _say_command(f"loombook runs {VEHICLE} --kit {KIT}", ink)
    say("\n".join(runs_page(runs(connection, VEHICLE, KIT), width, ink)))
    _say_lines(
        [
            "Read it from the top: ✗ needs a way of its own, with each way there is; ✓ comes over "
            f"on a lead of the kit. The kit's second harness, {PART}, would bring both quarters "
            "over at the radio's own connector; with it in the job:",
        ],
        width,
    )
    _say_command(f"loombook runs {VEHICLE} --kit {KIT} --part {PART}", ink)
    with_part = runs(connection, VEHICLE, KIT, [PART])
    say("\n".join(runs_page(with_part, width, ink)))
    _every_answer(connection, width, ink)


def _every_answer(connection: sqlite3.Connection, width: int, ink: Ink) -> None:
    from kb.answers.meanings import EFFECTS, OUTCOMES, examples
    from tui.drawing.runs_page import MARKS, STYLES

    _say_lines(["Every answer that there is, each with an example from the shipped book:"], width)
    for example in examples(connection):
        outcome = f"{MARKS[example.outcome]} {example.outcome}"
        said = wrap(
            f"{example.effect}: {OUTCOMES[example.outcome]}; {EFFECTS[example.effect]}.",
            width,
            " " * 12,
            f"{outcome:<12}",
        )
        said += wrap(
            f"{example.speaker} of {example.vehicle} with {example.kit}", width, " " * 14, " " * 12
        )
        say("\n".join([ink(STYLES[example.outcome], outcome) + said[0][len(outcome) :], *said[1:]]))


def _say_command(command: str, ink: Ink) -> None:
    say("\n" + ink("heading", f"$ {command}") + "\n")


def _say_lines(paragraphs: list[str], width: int) -> None:
    for paragraph in paragraphs:
        say("\n" + "\n".join(wrap(paragraph, width)))
