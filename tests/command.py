"""The command as a process, as a shop would run it: real arguments, streams and exit status."""

import os
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parent.parent


def let_others_in(folder: Path) -> None:
    """Open a folder of pytest's, and those around it that pytest made, to whoever is not root."""
    for outer in (folder, *folder.parents):
        if outer == Path(tempfile.gettempdir()).resolve() or outer.stat().st_uid != os.getuid():
            return
        outer.chmod(outer.stat().st_mode | 0o055)


@dataclass(frozen=True)
class Ran:
    """What a process left behind."""

    status: int
    out: str
    err: str


def environment(**extra: str) -> dict[str, str]:
    """The environment of a stranger: no book, no name, no colour, eighty columns.

    Python may keep its compiled modules, as it does wherever a command is installed; otherwise each
    process would compile our modules anew, and only ours, and a bench would count that.
    """
    not_theirs = ("LOOMBOOK", "PYTHONDONTWRITEBYTECODE")
    kept = {k: v for k, v in os.environ.items() if not k.startswith(not_theirs)}
    return {**kept, "NO_COLOR": "1", "COLUMNS": "80", "PYTHONIOENCODING": "utf-8", **extra}


def loombook(
    *arguments: str | Path,
    stdin: bytes | None = None,
    cwd: Path | None = None,
    timeout: float = 120,
    **extra: str,
) -> Ran:
    """Run `loombook` and wait; `extra` goes into its environment."""
    done = subprocess.run(
        [sys.executable, "-m", "tui", *map(str, arguments)],
        input=stdin if stdin is not None else b"",
        capture_output=True,
        cwd=cwd or ROOT,
        env=environment(PYTHONPATH=str(ROOT), **extra),
        timeout=timeout,
        check=False,
    )
    return Ran(done.returncode, done.stdout.decode(), done.stderr.decode())


def assert_refused(ran: Ran, *words: str, status: int = 1) -> None:
    """One clear message on standard error, nothing on standard output, no traceback."""
    assert ran.status == status, ran
    assert ran.out == "", ran
    assert "Traceback" not in ran.err and "mistake of Loombook's own" not in ran.err, ran
    assert ran.err.startswith("loombook: "), ran
    for word in words:
        assert word in ran.err, ran
