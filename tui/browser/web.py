"""The same browser in a web browser, for a tablet in the bay.

Promise: it listens on this machine only and reads only, unless told otherwise; nobody gets in
without the key in the address that was printed, which also keeps out other pages that the tablet
has open. The key travels unencrypted: on a network it is a fence, not a lock, and that is said.

It stands alone because textual-serve is an optional extra: without it, everything else works.
"""

from __future__ import annotations

import hmac
import secrets
import shlex
import sys
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from kb.errors import Refused

LOOPBACK = ("127.0.0.1", "localhost", "::1")
COOKIE = "loombook_key"
ONLY_OURS = (
    "default-src 'self'; script-src 'self' 'unsafe-inline'; style-src 'self' 'unsafe-inline'; "
    "img-src 'self' data:; connect-src 'self' ws: wss:; frame-ancestors 'none'"
)

NOT_INSTALLED = (
    "The web browser part is an extra that is not installed here; "
    "`pip install 'loombook[web]'` brings it."
)


@dataclass(frozen=True)
class Serving:
    """Where to listen, on which book, and whether it may write."""

    book: Path
    acting: str
    host: str = "127.0.0.1"
    port: int = 8722
    may_write: bool = False
    key: str = field(default_factory=lambda: secrets.token_urlsafe(12))

    @property
    def address(self) -> str:
        """What to open; the key in it is what lets somebody in."""
        host = f"[{self.host}]" if ":" in self.host else self.host
        return f"http://{host}:{self.port}/?key={self.key}"

    @property
    def command(self) -> str:
        """What runs for each tablet, as the shell takes it: a process of its own."""
        start = "from tui.main import main; raise SystemExit(main())"
        words = [sys.executable, "-c", start, "--db", str(self.book), "--as", self.acting]
        words += ["browse"] if self.may_write else ["browse", "--read-only"]
        return shlex.join(words)

    def words(self) -> list[str]:
        """What is said before it starts, the risk included."""
        said = [f"Open {self.address}", "Ctrl+C ends it."]
        if self.may_write:
            said.append(
                f"It may write: whoever has that address acts as {self.acting} in this book."
            )
        else:
            said.append("It only reads; --may-write changes that.")
        if self.host not in LOOPBACK:
            said.append(
                "Anyone on this network who has the address can read the book, and the key in it "
                "is not encrypted on its way: use a network of your own, never a guest one."
            )
        return said


def serve(serving: Serving) -> None:
    """Serve until it is ended. Raises Refused where the extra is missing or the port is taken."""
    try:
        server = _server(serving)
    except ImportError:
        raise Refused(NOT_INSTALLED) from None
    try:
        server.serve()
    except OSError as fault:
        raise Refused(
            f"{serving.host} port {serving.port} cannot be used ({fault.strerror or fault}); "
            "name another with --port."
        ) from None


def _server(serving: Serving) -> Any:
    from aiohttp import web
    from textual_serve.server import Server

    @web.middleware
    async def key_needed(
        request: web.Request, handler: Callable[[web.Request], Awaitable[web.StreamResponse]]
    ) -> web.StreamResponse:
        given = request.query.get("key", "") if request.path == "/" else ""
        kept = request.cookies.get(COOKIE, "")
        if not any(hmac.compare_digest(one, serving.key) for one in (given, kept)):
            return web.Response(status=403, text="Open the whole address that was printed.\n")
        if request.headers.get("Origin", "").partition("://")[2] not in ("", request.host):
            return web.Response(status=403, text="Another page may not use this one.\n")
        # The page's own links go back to where the tablet found it.
        server.public_url = f"{request.scheme}://{request.host}"
        response = await handler(request)
        if not response.prepared:
            # A page about one's own shop fetches nothing from anywhere else.
            response.headers["Content-Security-Policy"] = ONLY_OURS
            response.headers["Referrer-Policy"] = "no-referrer"
            if given:
                response.set_cookie(COOKIE, serving.key, httponly=True, samesite="Strict")
        return response

    class Fenced(Server):
        """The server behind the key, silent but for what the command says."""

        async def _make_app(self) -> web.Application:
            app = await super()._make_app()
            app.middlewares.append(key_needed)
            return app

        def initialize_logging(self) -> None:
            """Nothing is logged: addresses hold the key."""

        async def on_startup(self, app: web.Application) -> None:
            """The command has said it all."""

    server = Fenced(serving.command, host=serving.host, port=serving.port, title="Loombook")
    return server
