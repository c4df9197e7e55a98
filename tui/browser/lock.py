"""A file that one process holds at a time, given back by the system itself when that process ends.

It stands alone because a kill must not leave anything shut.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

try:
    import fcntl
except ImportError:  # a system without it: one browser at a time is then a person's own care
    fcntl = None  # type: ignore[assignment]


class Lock:
    """Taken by one, told to the next who has it."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._file: int | None = None

    def take(self) -> str | None:
        """None where it is ours now; else who has it."""
        if fcntl is None or self._file is not None:
            return None
        while True:
            try:
                self._path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
                file = os.open(self._path, os.O_RDWR | os.O_CREAT, 0o600)
            except OSError:
                return None  # what cannot be kept on disk needs no keeping apart
            try:
                fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                holder = os.read(file, 20).decode("ascii", "replace").strip()
                os.close(file)
                return f"process {holder}" if holder.isdecimal() else "another process"
            except OSError:
                os.close(file)
                return None
            if self._is_at_its_path(file):
                break
            os.close(file)  # whoever had it took the file away as it was opened here
        os.truncate(file, 0)
        os.pwrite(file, str(os.getpid()).encode(), 0)
        self._file = file
        return None

    def _is_at_its_path(self, file: int) -> bool:
        try:
            return os.path.samestat(os.fstat(file), self._path.stat())
        except OSError:
            return False

    def release(self) -> None:
        """Give it back."""
        if self._file is not None:
            with suppress(OSError):
                self._path.unlink()
            os.close(self._file)
            self._file = None
