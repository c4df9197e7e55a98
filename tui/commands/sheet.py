"""`sheet`: the plan on paper, one HTML file for the phone and the printer."""

from __future__ import annotations

import argparse
from pathlib import Path

from tui.clean import clean
from tui.commands.job_arguments import add_job_arguments, plan_asked_for
from tui.report import DONE, say
from tui.written_files import must_be_own

OPENING = (b"<!DOCTYPE html>", b"default-src 'none'; style-src 'unsafe-inline'")
"""What every sheet begins with; a page from elsewhere forbids itself hardly the same."""
HELP = "The plan on paper: one self-contained HTML file for the phone and the printer."


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The job, what is pinned, and the file."""
    add_job_arguments(parser)
    parser.add_argument(
        "-o", dest="output", type=Path, required=True, metavar="FILE.html", help="where to write it"
    )


def run(arguments: argparse.Namespace) -> int:
    """Plan and write."""
    from tui.drawing.sheet import write_sheet

    whole = plan_asked_for(arguments)
    must_be_own(arguments.output, "sheet of a plan", _is_sheet)
    path = write_sheet(whole, arguments.output)
    say(clean(f"{path}: the plan of {whole.plan.job}; open it in a browser or print it"))
    for fault in whole.plan.faults:
        say(clean(f"✗ {fault}"))
    return DONE


def _is_sheet(present: bytes) -> bool:
    page, rule = OPENING
    return present.startswith(page) and rule in present[:400]
