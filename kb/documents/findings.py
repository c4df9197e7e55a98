"""What is read and what is found: sources, documents, findings.

A finding is one clear sentence about one place. It stands alone so that whoever shows findings
needs none of the machinery that makes them."""

from dataclasses import dataclass, field
from typing import Any, Literal

Path = tuple[str | int, ...]
Level = Literal["error", "warning"]
Format = Literal["toml", "json"]

TOP = "top of the file"


@dataclass(frozen=True, slots=True)
class Source:
    """One file as it came: its name for messages, its bytes, its format (None: told from the
    text)."""

    name: str
    data: bytes
    format: Format | None = None


@dataclass(frozen=True, slots=True)
class Document:
    """A document that passed every rule; `content` has the keys as written, positions as text."""

    kind: str
    id: str
    content: dict[str, Any]
    source: str


@dataclass(frozen=True, slots=True)
class Finding:
    """One mistake (error) or doubt (warning), with its place: lines and columns count from 1, and
    `path` leads to it through the document's tables."""

    level: Level
    source: str
    table: str
    line: int | None
    column: int | None
    what: str
    right: str
    path: Path = ()
    stands_for: int = 1  # how many, where it only tells of those that are not listed

    @property
    def sentence(self) -> str:
        """File, line, table, what is wrong and what would be right, on one line."""
        place = self.source if self.line is None else f"{self.source}, line {self.line}"
        table = "" if self.table == TOP else f"{self.table}: "
        return f"{place}: {table}{self.what}; {self.right}"


@dataclass(frozen=True, slots=True)
class Reading:
    """All documents that may be stored, and all findings of all files, in the files' order."""

    documents: list[Document] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    @property
    def errors(self) -> list[Finding]:
        """The findings that refuse; while there is one, nothing should be stored."""
        return [finding for finding in self.findings if finding.level == "error"]

    @property
    def warnings(self) -> list[Finding]:
        """The findings that only inform."""
        return [finding for finding in self.findings if finding.level == "warning"]


@dataclass(frozen=True, slots=True)
class Problem:
    """A finding before it has a file and a line: where in the content, what is wrong, what is
    right."""

    path: Path
    what: str
    right: str
    level: Level = "error"
    line: int | None = None
    column: int | None = None
