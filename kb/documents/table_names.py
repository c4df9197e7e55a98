"""The table of a path as a person finds it: `connector A1, pin 3`, `route sill-left to bench-left`.

It stands alone because every finding names its table the same way.
"""

from collections.abc import Mapping

from kb.documents.findings import TOP, Path
from kb.documents.shown import visible

_SINGULAR = {"pins": "pin", "leads": "lead"}
_NAMED_BY = ("id", "at", "lead", "channel", "speaker")


def table_name(content: Mapping[str, object], path: Path) -> str:
    """The tables around the value at `path`, outermost first."""
    if len(path) < 2:
        return TOP
    names: list[str] = []
    value: object = content
    for index, part in enumerate(path):
        if isinstance(part, int):
            if not isinstance(value, list):
                break
            value = value[part] if part < len(value) else None
            if isinstance(value, dict) and isinstance(path[index - 1], str):
                names.append(_row_name(str(path[index - 1]), value, part))
        else:
            value = value.get(part) if isinstance(value, dict) else None
            if index == 0 and isinstance(value, dict):
                names.append(visible(part))
    return ", ".join(names) or TOP


def _row_name(table: str, row: Mapping[str, object], index: int) -> str:
    word = _SINGULAR.get(table, visible(table))
    if table == "route" and isinstance(row.get("from"), str) and isinstance(row.get("to"), str):
        return f"route {visible(str(row['from']))} to {visible(str(row['to']))}"
    for key in _NAMED_BY:
        name = row.get(key)
        if isinstance(name, str) and name:
            return f"{word} {visible(name)}"
        if isinstance(name, int) and not isinstance(name, bool) and name.bit_length() < 64:
            return f"{word} {name}"
    return f"{word} number {index + 1}"
