"""`plan`: the cheapest way to every speaker, the loads, the cable, the order of work."""

from __future__ import annotations

import argparse
import json

from tui.commands.job_arguments import add_job_arguments, plan_asked_for
from tui.report import DONE, say

HELP = "The plan of a job: the cheapest way to every speaker, the loads, the cable, the work."


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The job, what is pinned, and how much to say."""
    add_job_arguments(parser)
    parser.add_argument("--steps", action="store_true", help="the order of work too")
    parser.add_argument(
        "--why", action="store_true", help="each figure's formula, inputs and source"
    )
    parser.add_argument("--json", action="store_true", help="print one JSON document")


def run(arguments: argparse.Namespace) -> int:
    """Plan and print."""
    whole = plan_asked_for(arguments)
    if arguments.json:
        from kb.plan.plan_json import plan_json

        say(json.dumps(plan_json(whole), ensure_ascii=False, indent=2))
        return DONE
    from tui.drawing.plan_page import plan_page
    from tui.ink import ink_for_output
    from tui.tables import terminal_width

    lines = plan_page(
        whole, terminal_width(), ink_for_output(), steps=arguments.steps, why=arguments.why
    )
    say("\n".join(lines))
    return DONE
