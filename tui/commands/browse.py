"""`browse`: the terminal browser, or the same in a web browser."""

from __future__ import annotations

import argparse
import os

from tui.report import DONE, say

FRAMES_A_SECOND = "120"
HELP = "Find the car, see the flags, bring the readings back: the browser."


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """How it looks, whether it may write, and where it is served."""
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
    parser.add_argument(
        "--keys", action="store_true", help="print every key and its setting, and leave"
    )
    web = parser.add_argument_group("in a web browser, for a tablet in the bay")
    web.add_argument("--web", action="store_true", help="serve it instead of opening it here")
    web.add_argument(
        "--host", default="127.0.0.1", help="where to listen (default: this machine only)"
    )
    web.add_argument("--port", type=int, default=8722, help="the port (default: 8722)")
    web.add_argument(
        "--may-write",
        action="store_true",
        help="let the web browser store and sign too (default: it only reads)",
    )


def run(arguments: argparse.Namespace) -> int:
    """Open the browser and stay in it."""
    if arguments.web:
        return _serve(arguments)
    if arguments.keys:
        from tui.browser.actions import key_table
        from tui.browser.preferences import read_preferences

        say("\n".join(key_table(read_preferences().keys)))
        return DONE
    # Textual gathers what changed for one frame before it draws; half a frame feels immediate. It
    # reads this once, when it is imported.
    os.environ.setdefault("TEXTUAL_FPS", FRAMES_A_SECOND)
    from tui.browser.app import Browser
    from tui.browser.preferences import read_preferences
    from tui.browser.shelf import Shelf

    kept = read_preferences()
    Browser(
        Shelf(arguments.db, arguments.acting, read_only=arguments.read_only),
        theme=arguments.colours or kept.colours,
        flat=arguments.flat or kept.flat,
        keys=kept.keys,
    ).run()
    return DONE


def _serve(arguments: argparse.Namespace) -> int:
    from tui.browser.web import Serving, serve

    serving = Serving(
        book=arguments.db,
        acting=arguments.acting,
        host=arguments.host,
        port=arguments.port,
        may_write=arguments.may_write and not arguments.read_only,
    )
    say("\n".join(serving.words()))
    serve(serving)
    return DONE
