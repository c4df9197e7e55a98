"""A document's tables read leniently: what can be read is checked, whatever else is broken.

The rules that compare tables must still speak when some key beside them is wrong, so that all
findings of a file come at once. A `Row` therefore answers with what is there in the right type,
else with nothing."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from kb.documents.bounds import hidden_character
from kb.documents.findings import Path, Problem
from kb.nearest import nearest

_LONGEST = 200


@dataclass(frozen=True, slots=True)
class Row:
    """A table with its path in the content."""

    path: Path
    values: Mapping[str, object]

    def text(self, key: str) -> str | None:
        """The text under the key, if it is text that a name can be."""
        value = self.values.get(key)
        return value if isinstance(value, str) and _readable(value) else None

    def position(self, key: str) -> str | None:
        """A way of a connector, as text."""
        value = self.values.get(key)
        if isinstance(value, int) and not isinstance(value, bool) and value.bit_length() < 32:
            return str(value)
        return self.text(key)

    def whole(self, key: str) -> int | None:
        """The whole number under the key, if it is one that can be counted."""
        value = self.values.get(key)
        if not isinstance(value, int) or isinstance(value, bool):
            return None
        return value if value.bit_length() < 32 else None

    def texts(self, key: str) -> list[tuple[Path, str]]:
        """The texts of a list, or a text alone, each with its path."""
        value = self.values.get(key)
        if isinstance(value, str):
            return [((*self.path, key), value)] if _readable(value) else []
        return [
            ((*self.path, key, index), item)
            for index, item in enumerate(value if isinstance(value, list) else ())
            if isinstance(item, str) and _readable(item)
        ]

    def rows(self, key: str) -> list["Row"]:
        """The tables of a list."""
        value = self.values.get(key)
        if not isinstance(value, list):
            return []
        return [
            Row((*self.path, key, index), item)
            for index, item in enumerate(value)
            if isinstance(item, dict)
        ]

    def at(self, key: str) -> Path:
        """The path of one of its keys."""
        return (*self.path, key)


def _readable(text: str) -> bool:
    """Whether a sentence may quote the text whole; what is not is said by the bounds."""
    return len(text) <= _LONGEST and hidden_character(text) is None


def head(content: Mapping[str, object], key: str) -> Row:
    """A single table at the top, empty where it is missing."""
    value = content.get(key)
    return Row((key,), value if isinstance(value, dict) else {})


def top_rows(content: Mapping[str, object], table: str) -> list[Row]:
    """The rows of a [[table]]."""
    return Row((), content).rows(table)


def known(rows: list[Row], key: str = "id") -> set[str] | None:
    """All ids of a table; None where one cannot be read, so that nobody calls it missing."""
    ids = [row.text(key) for row in rows]
    return None if None in ids else {name for name in ids if name is not None}


def repeated_ids(rows: list[Row], word: str, key: str = "id") -> Iterator[Problem]:
    """Ids that stand twice, or differ by letter case alone."""
    seen: dict[str, str] = {}
    for row in rows:
        name = row.text(key)
        if name is None:
            continue
        first = seen.get(name.casefold())
        if first is None:
            seen[name.casefold()] = name
        else:
            alike = "twice" if first == name else f'beside "{first}"'
            yield Problem(
                row.at(key), f'{word} "{name}" stands {alike}', "give each an id of its own"
            )


def missing(path: Path, what: str, name: str, names: set[str]) -> Problem:
    """A reference to what does not exist, with the nearest that does."""
    near = nearest(name, names)
    some = ", ".join(sorted(names)[:8]) if names else "none is listed"
    right = f'the nearest is "{near}"' if near else f"known here: {some}"
    return Problem(path, f'{what} "{name}" does not exist here', right)
