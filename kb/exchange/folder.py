"""A shared folder as bytes: what lies in it, read under limits, with no path from inside a file.

It stands alone because everything that a file system can do to a reader ends here: links, pipes,
huge files, names that are not hashes, bytes that are not what their name says.
"""

from __future__ import annotations

import hashlib
import os
import re
import stat
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from kb.documents.bounds import LARGEST_FILE
from kb.documents.shown import visible
from kb.errors import Refused

Kind = Literal["revisions", "records"]
KINDS: tuple[Kind, ...] = ("revisions", "records")
LARGEST: dict[Kind, int] = {"revisions": LARGEST_FILE, "records": 16_384}
"""Bytes of one file."""
LONGEST_PATH = 120
MOST_FILES = 200_000
MOST_BYTES = 1_000_000_000

_PREFIX = re.compile(r"[0-9a-f]{2}")
_NAME = re.compile(r"([0-9a-f]{64})\.json")


class BadFile(Refused):
    """One file of a shared folder that cannot be taken, and therefore none of them."""

    def __init__(self, name: str, why: str) -> None:
        super().__init__(
            f"{visible(name, LONGEST_PATH)}: {why}. Nothing of this folder was taken in."
        )


@dataclass(frozen=True, slots=True)
class Shared:
    """One file whose bytes are what its name says."""

    kind: Kind
    hash: str
    name: str
    data: bytes


def path_of(folder: Path, kind: Kind, hash: str) -> Path:
    """Where the file of a hash belongs."""
    return folder / kind / hash[:2] / f"{hash}.json"


def read_folder(folder: Path) -> Iterator[Shared]:
    """Every file, each checked against its name. Raises BadFile at the first that is not right.

    Files whose name begins with a dot are a sync program's own, and are passed over.
    """
    if not folder.is_dir():
        raise Refused(f"There is no folder {folder}; name the one that the shops share.")
    files = size = 0
    for kind in KINDS:
        for hash, name, path in _files(folder, kind):
            files += 1
            if files > MOST_FILES:
                raise Refused(f"{folder} holds more than {MOST_FILES:,} files; nothing was taken.")
            data = _read(path, name, LARGEST[kind])
            size += len(data)
            if size > MOST_BYTES:
                raise Refused(f"{folder} holds more than {MOST_BYTES:,} bytes; nothing was taken.")
            if hashlib.sha256(data).hexdigest() != hash:
                raise BadFile(name, "its content is not what its name says, cut short or changed")
            yield Shared(kind, hash, name, data)
    if not any((folder / kind).is_dir() for kind in KINDS):
        raise Refused(
            f"{folder} holds nothing shared: no folder `revisions` and none `records`; "
            "`loombook share out FOLDER` makes them."
        )


def _files(folder: Path, kind: Kind) -> Iterator[tuple[str, str, Path]]:
    root = folder / kind
    if not root.is_symlink() and not root.exists():
        return
    for prefix in _entries(root, kind):
        where = f"{kind}/{prefix.name}"
        if not _PREFIX.fullmatch(prefix.name):
            raise BadFile(where, "only folders of two digits of a hash belong here")
        for file in _entries(Path(prefix.path), where):
            name = f"{where}/{file.name}"
            found = _NAME.fullmatch(file.name)
            if found is None:
                raise BadFile(name, "its name is not a hash with .json; a copy by a sync program?")
            if not found[1].startswith(prefix.name):
                raise BadFile(name, f"it belongs into {kind}/{found[1][:2]}")
            yield found[1], name, Path(file.path)


def _entries(folder: Path, name: str) -> list[os.DirEntry[str]]:
    if folder.is_symlink():
        raise BadFile(name, "it is a link, and links are not followed")
    if not folder.is_dir():
        raise BadFile(name, "a folder belongs here")
    with os.scandir(folder) as entries:
        return sorted(
            (entry for entry in entries if not entry.name.startswith(".")),
            key=lambda entry: entry.name,
        )


def _read(path: Path, name: str, largest: int) -> bytes:
    """The bytes of a plain file; a link, a pipe or a device is never opened for reading."""
    flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
    flags |= getattr(os, "O_BINARY", 0)
    if path.is_symlink():
        raise BadFile(name, "it is a link, and links are not followed")
    try:
        handle = os.open(path, flags)
    except OSError as fault:
        raise BadFile(name, f"it cannot be read ({fault.strerror or fault})") from fault
    with os.fdopen(handle, "rb") as file:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise BadFile(name, "it is no plain file")
        data = file.read(largest + 1)
    if len(data) > largest:
        raise BadFile(name, f"it is larger than {largest:,} bytes")
    return data
