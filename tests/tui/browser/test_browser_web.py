"""The browser in a web browser: who gets in, and the first minute in headless Chromium."""

from __future__ import annotations

import asyncio
import base64
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tui.browser.web import Serving

pytest.importorskip("textual_serve", reason="the extra `web` is not installed")
aiohttp = pytest.importorskip("aiohttp")
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
START = "from tui.main import main; raise SystemExit(main())"


@pytest.fixture
def served(book: Path) -> Iterator[str]:
    """The address that the command prints, of a real process on a free port."""
    import socket

    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    process = subprocess.Popen(
        [sys.executable, "-c", START, "--db", str(book), "browse", "--web", "--port", str(port)],
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
    )
    assert process.stdout is not None
    try:
        address = process.stdout.readline().split()[1]
        assert "It only reads" in process.stdout.readline() + process.stdout.readline()
        yield address
    finally:
        process.terminate()
        process.wait(10)
        process.stdout.close()


async def get(address: str, **headers: str) -> tuple[int, Any]:
    async with aiohttp.ClientSession() as session:
        for _ in range(50):
            try:
                async with session.get(address, headers=headers) as response:
                    return response.status, response.headers
            except aiohttp.ClientConnectionError:
                await asyncio.sleep(0.1)
    raise AssertionError("nobody listens")


def test_nobody_gets_in_without_the_key(served: str) -> None:
    root = served.partition("?")[0]

    async def script() -> None:
        assert (await get(served))[0] == 200
        for wrong in (root, root + "?key=", root + "?key=wrong", root + "ws", root + "static/"):
            assert (await get(wrong))[0] == 403
        key = served.partition("=")[2]
        assert (await get(root + "ws", Cookie="loombook_key=wrong"))[0] == 403
        stranger = {"Cookie": f"loombook_key={key}", "Origin": "http://elsewhere.example"}
        assert (await get(root, **stranger))[0] == 403
        _, headers = await get(served)
        assert "HttpOnly" in headers["Set-Cookie"] and "SameSite=Strict" in headers["Set-Cookie"]
        assert "default-src 'self'" in headers["Content-Security-Policy"]

    asyncio.run(script())


def test_it_says_the_risk_plainly() -> None:
    book = Path("book.db")
    here = " ".join(Serving(book, "mira").words())
    assert "only reads" in here and "network" not in here
    there = " ".join(Serving(book, "mira", host="0.0.0.0", may_write=True).words())
    assert "acts as mira" in there and "not encrypted" in there


def test_it_only_reads_unless_told_otherwise_and_quotes_what_it_runs() -> None:
    quiet = Serving(Path("a b;rm -rf x.db"), "mira $(id)")
    assert "browse --read-only" in quiet.command
    assert "'a b;rm -rf x.db'" in quiet.command and "'mira $(id)'" in quiet.command
    assert "--read-only" not in Serving(Path("x"), "mira", may_write=True).command


@pytest.mark.skipif(CHROMIUM is None, reason="no Chromium here")
def test_the_flags_are_found_in_chromium(served: str, tmp_path: Path) -> None:
    assert CHROMIUM is not None
    chromium = subprocess.Popen(
        [
            CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--remote-debugging-port=0",
            f"--user-data-dir={tmp_path / 'profile'}", "--window-size=1200,760", "about:blank",
        ],
        stderr=subprocess.PIPE,
        stdout=subprocess.DEVNULL,
        text=True,
    )  # fmt: skip
    assert chromium.stderr is not None
    try:
        devtools = next(line for line in chromium.stderr if "DevTools listening" in line)
        port = devtools.split(":")[2].split("/")[0]
        received = asyncio.run(first_minute(served, port))
    finally:
        chromium.terminate()
        chromium.wait(10)
        chromium.stderr.close()
    assert b"OF 10 SPEAKERS" in received and b"read only" in received


async def first_minute(address: str, port: str) -> bytes:
    """Type as a person would, and hand back all that the page was sent."""
    received = b""
    async with aiohttp.ClientSession() as session:
        async with session.get(f"http://127.0.0.1:{port}/json") as response:
            tabs = json.loads(await response.text())
        page = next(tab for tab in tabs if tab["type"] == "page")["webSocketDebuggerUrl"]
        async with session.ws_connect(page, max_msg_size=0) as socket:
            number = 0

            async def call(method: str, **parameters: object) -> None:
                nonlocal number, received
                number += 1
                await socket.send_json({"id": number, "method": method, "params": parameters})
                while True:
                    message = json.loads((await socket.receive()).data)
                    if message.get("method") == "Network.webSocketFrameReceived":
                        frame = message["params"]["response"]
                        text = frame["payloadData"]
                        received += (
                            base64.b64decode(text) if frame["opcode"] == 2 else text.encode()
                        )
                    if message.get("id") == number:
                        return

            async def until(words: bytes) -> None:
                for _ in range(100):
                    await call("Runtime.evaluate", expression="1")
                    if words in received:
                        return
                    await asyncio.sleep(0.1)
                raise AssertionError(f"{words!r} never came")

            await call("Network.enable")
            await call("Page.enable")
            await call("Page.navigate", url=address)
            await until(b"vehicles in this book")
            for kind in ("mousePressed", "mouseReleased"):
                await call("Input.dispatchMouseEvent", type=kind, x=200, y=45, button="left",
                           clickCount=1)  # fmt: skip
            await call("Input.insertText", text="tarn")
            await until(b"3 vehicles fit")
            for words in (b"KITS THAT PLUG IN", b"OF 10 SPEAKERS"):
                await call("Input.dispatchKeyEvent", type="keyDown", key="Enter", code="Enter",
                           windowsVirtualKeyCode=13, unmodifiedText="\r", text="\r")  # fmt: skip
                await until(words)
    return received
