"""`browse`: the terminal browser."""

from __future__ import annotations

import argparse

from tui.report import DONE

HELP = "Find the car, see the flags, bring the readings back: the browser."


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """How it looks, and whether it may write."""
    parser.add_argument(
        "--read-only",
        action="store_true",
        help="bay mode: the connection itself cannot write",
    )
    parser.add_argument(
        "--colours",
        choices=("dark", "light", "terminal"),
        help="dark, light, or the terminal's own sixteen",
    )
    parser.add_argument(
        "--flat",
        action="store_true",
        help="plain lines without frames or drawings, for a screen reader",
    )


def run(arguments: argparse.Namespace) -> int:
    """Open the browser and stay in it."""
    from tui.browser.app import Browser
    from tui.browser.shelf import Shelf

    Browser(
        Shelf(arguments.db, arguments.acting, read_only=arguments.read_only),
        theme=arguments.colours,
        flat=arguments.flat,
    ).run()
    return DONE
