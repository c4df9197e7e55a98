"""The command line: one verb, one module. A command imports only what it uses.

    loombook [--db FILE] [--as NAME] VERB …

Exit status: 0 done, 1 refused (one clear message, nothing changed), 2 usage or query error.
"""

from __future__ import annotations

import argparse
import sys
import textwrap
from collections.abc import Sequence
from importlib import import_module
from pathlib import Path
from typing import NoReturn

from tui.report import USAGE, answer_or_report, keep_exact, say

HELP_WIDTH = 78

# Verbs by what a person is about to do, each with its line in `--help`. A verb's module is
# tui/commands/VERB.py and has HELP, add_arguments(parser) and run(arguments) -> exit status.
VERBS: dict[str, dict[str, str]] = {
    "Before the job": {
        "browse": "find the car, see the flags, bring the readings back: the browser",
        "demo": "the main job, end to end, on the shipped data; touches nothing of yours",
        "runs": "which speakers a kit carries, which it leaves out, and the ways to those",
        "ask": "any question to the book, in trade words",
        "plan": "a job's cheapest way to every speaker, its loads, cable, order of work",
        "sheet": "the plan on paper: one file for the phone and the printer",
        "face": "a connector's face, to find a pin by",
    },
    "The query language": {
        "words": "everything that can be asked, and how it is said",
        "completion": "make the shell complete verbs and questions",
    },
    "The book": {
        "add": "check documents and store all of them, or none",
        "intake": "a pin table (CSV, XLSX) into a vehicle's entry; a dry run unless told",
        "readings": "after a job: the pins that it touched, as a sheet, and back in",
        "history": "every revision of an entry, and every act upon it",
        "submit": "the author hands in a draft",
        "withdraw": "the author takes back a revision, or a batch",
    },
    "Review": {
        "people": "who is listed, as technician or as lead",
        "queue": "what waits for a lead, the oldest and riskiest first",
        "review": "what a revision would change, how it is known, who says otherwise",
        "verify": "a lead signs one submitted revision",
        "return": "a lead sends one back, with why",
        "audit": "whether every link of the history holds",
    },
    "The file": {
        "backup": "a whole copy of the book, even while others write",
        "doctor": "whether file, history and answers are sound",
    },
    "Other shops": {
        "share": "out into a folder that shops share, or in from one",
        "shop": "the origin that this shop's work bears, and its name",
    },
}
MODULES: dict[str, str] = {"return": "give_back"}


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status; no traceback reaches a person."""
    arguments = list(sys.argv[1:] if argv is None else argv)
    return answer_or_report(lambda: _run(arguments))


def _run(argv: list[str]) -> int:
    common = common_parser()
    top = _Parser(
        prog="loombook",
        usage="loombook [--db FILE] [--as NAME] VERB …",
        description="A shop's own record of vehicle audio wiring.",
        epilog=_verbs_in_words(),
        formatter_class=argparse.RawDescriptionHelpFormatter,
        parents=[common],
    )
    top.add_argument("--version", action="store_true", help="print the version")
    top.add_argument("verb", nargs="?", help=argparse.SUPPRESS)
    top.add_argument("rest", nargs=argparse.REMAINDER, help=argparse.SUPPRESS)
    first = top.parse_args(argv)
    if first.version:
        say(f"loombook {_version()}")
        return 0
    if first.verb is None:
        say(top.format_help())
        return 0
    verbs = {verb for group in VERBS.values() for verb in group}
    if first.verb not in verbs:
        from kb.nearest import nearest

        near = nearest(first.verb, verbs)
        hint = f"did you mean {near!r}?" if near else "`loombook --help` lists the verbs."
        top.error(f"there is no verb {first.verb!r}; {hint}")
    module = import_module(f"tui.commands.{MODULES.get(first.verb, first.verb).replace('-', '_')}")
    parser = _Parser(
        prog=f"loombook {first.verb}",
        description=_in_lines(module.HELP),
        parents=[common],
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    module.add_arguments(parser)
    arguments = parser.parse_args(first.rest, namespace=_defaults(first))
    if getattr(arguments, "json", False) or getattr(arguments, "csv", False):
        keep_exact()
    return int(module.run(arguments))


def _in_lines(help: str) -> str:
    """A verb's own text, wrapped unless it comes in lines already."""
    return help if "\n" in help else textwrap.fill(help, HELP_WIDTH)


class _Parser(argparse.ArgumentParser):
    """argparse with abbreviations off and its errors in the shape of all others."""

    def __init__(self, **options: object) -> None:
        super().__init__(allow_abbrev=False, **options)  # type: ignore[arg-type]  # passed through

    def print_help(self, file: object = None) -> None:
        """Say the help as everything else is said; argparse would swallow a full disk."""
        if file is not None:
            raise ValueError("help goes to standard output alone")
        say(self.format_help())

    def error(self, message: str) -> NoReturn:
        raise UsageError(f"{message} (`{self.prog} --help` shows how)")


class UsageError(Exception):
    """The command line cannot be read: exit status 2."""

    exit_status = USAGE


def common_parser() -> argparse.ArgumentParser:
    """What every verb takes, before it, after it, and after a word of its own (`people add`)."""
    common = argparse.ArgumentParser(add_help=False)
    common.add_argument(
        "--db",
        type=Path,
        default=argparse.SUPPRESS,
        metavar="FILE",
        help="the book (default: LOOMBOOK_DB, else book.db in your data folder)",
    )
    common.add_argument(
        "--as",
        dest="acting",
        default=argparse.SUPPRESS,
        metavar="NAME",
        help="who acts (default: LOOMBOOK_NAME, else your login name)",
    )
    return common


def _defaults(first: argparse.Namespace) -> argparse.Namespace:
    """What was said before the verb, and where nothing was, the environment's word."""
    from tui.settings import acting_name, book_path

    return argparse.Namespace(
        db=getattr(first, "db", None) or book_path(),
        acting=getattr(first, "acting", None) or acting_name(),
    )


def _verbs_in_words() -> str:
    lines = []
    for group, verbs in VERBS.items():
        lines.append(f"{group}:")
        lines += [f"  {verb:<10} {help}" for verb, help in verbs.items()]
        lines.append("")
    lines.append("`loombook VERB --help` says more of each.")
    return "\n".join(lines)


def _version() -> str:
    from importlib.metadata import version

    return version("loombook")
