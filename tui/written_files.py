"""What a command writes with -o: all of it or nothing, and only over a file of its own kind.

It stands alone because a letter too few in a name must not cost anybody a document, a picture or a
day's readings, whichever command was asked.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable
from pathlib import Path

from kb.errors import Refused
from kb.store.application_mark import must_be_no_book


def must_be_own(path: Path, kind: str, is_own: Callable[[bytes], bool]) -> None:
    """Raises Refused where a file is there that may not be written over.

    An empty file holds nothing to lose. `is_own` is asked of all that the file holds, and may
    itself refuse where it is one of ours but must stay.
    """
    must_be_no_book(path)
    try:
        if not path.exists():
            return
        present = path.read_bytes() if path.is_file() else None
    except OSError as fault:
        raise Refused(f"{path} cannot be read: {fault.strerror or fault}.") from fault
    if present is None or (present and not is_own(present)):
        raise Refused(f"{path} exists and is no {kind}; name another file with -o.")


def write_whole(path: Path, text: str) -> None:
    """Put the text in the file's place once all of it is on the disk. Raises Refused."""
    try:
        handle, draft = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name[:40]}.")
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="") as out:
                out.write(text)
            Path(draft).chmod(0o644)
            Path(draft).replace(path)
        except BaseException:
            Path(draft).unlink(missing_ok=True)
            raise
    except OSError as fault:
        raise Refused(f"{path} cannot be written: {fault.strerror or fault}.") from fault
