"""`browse`: the terminal browser, or the same in a web browser."""

from __future__ import annotations

import argparse
import os
import sys

from tui.report import DONE, USAGE, say, warn

FRAMES_A_SECOND = "120"
WEB_DRIVER = "TEXTUAL_DRIVER"  # set where the pages of `--web` are drawn, which need no terminal
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
        "--keys",
        action="store_true",
        help="print every key, its setting and the file (browse.toml, or what LOOMBOOK_BROWSE "
        "names) in which keys, colours and flat text are set, and leave",
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
        from tui.browser.preferences import preferences_path, read_preferences, settings_words

        table = key_table(read_preferences().keys)
        say("\n".join([*table, "", *settings_words(preferences_path())]))
        return DONE
    # Textual gathers what changed for one frame before it draws; half a frame feels immediate. It
    # reads this once, when it is imported.
    os.environ.setdefault("TEXTUAL_FPS", FRAMES_A_SECOND)
    from tui.browser.app import Browser
    from tui.browser.preferences import read_preferences
    from tui.browser.shelf import Shelf

    kept = read_preferences()
    if not (_in_terminal() or os.environ.get(WEB_DRIVER)):
        warn(
            "browse needs a terminal to draw in and to read keys from; `loombook ask` and "
            "`loombook runs` answer without one, and `browse --web` serves it to a web browser."
        )
        return USAGE
    app = Browser(
        Shelf(arguments.db, arguments.acting, read_only=arguments.read_only),
        theme=arguments.colours or kept.colours,
        flat=arguments.flat or kept.flat,
        keys=kept.keys,
    )
    app.run()
    # A mistake of Loombook's own was told as the screen was given back; it is no success.
    return app.return_code or DONE


def _in_terminal() -> bool:
    """Whether keys can be read and lines drawn: Textual reads the one and writes to the other."""
    return all(stream is not None and stream.isatty() for stream in (sys.__stdin__, sys.__stderr__))


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
