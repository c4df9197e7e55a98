"""Evidence that no longer speaks of a pin: it was brought before the pin was told otherwise.

A line that a revision took over from its parents was of the pin as it stood in the first of them
that bore it. Where the pin now carries something else, or its wire is another colour, that line
vouches for nothing here. Where a colour or size was only written since, it vouches for the circuit
still, and not for that wire. It stands alone because what counts as measured hangs on it.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from kb.documents.carried import carried
from kb.documents.colours import read_colour
from kb.store.rows import pins_named, ways_of
from kb.wire_sizes import read_awg

if TYPE_CHECKING:
    import sqlite3

Content = Mapping[str, Any]
Pin = tuple[str, str]
Line = tuple[int, str, str]
"""The position of a line of evidence, and connector and way of a pin that it names."""
Told = tuple[frozenset[str] | None, str | None, str | None]
"""What a pin carries, its wire's colour and its size, each where it is known."""


def older_evidence(
    revision: str, contents: Mapping[str, Content], parents: Mapping[str, str | None]
) -> set[Line]:
    """All evidence that fell away.

    `contents` and `parents` are those of the entry's revisions by hash; a parent that is not in
    the book ends the line of descent.
    """
    return {
        line
        for line, then, now in _taken_over(revision, contents, parents)
        if then is None or told_otherwise(then, now)
    }


def of_the_circuit_alone(
    revision: str, contents: Mapping[str, Content], parents: Mapping[str, str | None]
) -> set[Line]:
    """All evidence that stands, and that is older than the colour or size as written now."""
    return {
        line
        for line, then, now in _taken_over(revision, contents, parents)
        if then is not None and not told_otherwise(then, now) and wire_told_anew(then, now)
    }


def descent(
    connection: sqlite3.Connection, number: int
) -> tuple[str, dict[str, Content], dict[str, str | None]]:
    """A revision's hash, and the contents and parents of all that it was made from, as asked for
    above."""
    rows = connection.execute(
        "WITH RECURSIVE line (hash, parent, content) AS ("
        " SELECT hash, parent, content FROM revision WHERE number = ?"
        " UNION SELECT v.hash, v.parent, v.content FROM line JOIN revision v"
        "   ON v.hash = line.parent)"
        " SELECT hash, parent, content FROM line",
        (number,),
    ).fetchall()
    contents = {row["hash"]: json.loads(row["content"]) for row in rows}
    return rows[0]["hash"], contents, {row["hash"]: row["parent"] for row in rows}


def standing_evidence(before: Content, after: Content) -> list[Any]:
    """The lines of evidence that still speak of some pin as it is told after a change.

    Each is kept as it was brought, whole, for a line that is written anew is somebody else's: where
    it names pins that were told otherwise, it has fallen away for those, by the rule above.
    """
    then, now, ways = told(before), told(after), ways_of(before)

    def stands(line: Any) -> bool:
        pins = [pin for name in line["of"] for pin in pins_named(name, ways)]
        return not pins or any(
            pin in now and not told_otherwise(then[pin], now[pin]) for pin in pins
        )

    return [line for line in before.get("evidence", ()) if stands(line)]


def told_otherwise(before: Told, after: Told) -> bool:
    """Whether a measurement of the one says nothing of the other. A colour that was only added, or
    taken away, leaves the circuit as it was."""
    return before[0] != after[0] or (
        before[1] is not None and after[1] is not None and before[1] != after[1]
    )


def wire_told_anew(before: Told, after: Told) -> bool:
    """Whether a colour or size is written that was not: of that, what was read before is silent."""
    return any(
        now is not None and now != then for then, now in zip(before[1:], after[1:], strict=True)
    )


def _taken_over(
    revision: str, contents: Mapping[str, Content], parents: Mapping[str, str | None]
) -> Iterator[tuple[Line, Told | None, Told]]:
    """Each pin that a line from a parent names, as it was told then and as it is told now."""
    content = contents[revision]
    lines = content.get("evidence", ())
    if not lines or parents.get(revision) not in contents:
        return
    now = told(content)
    ways = ways_of(content)
    for position, line in enumerate(lines):
        first = _first_with(line, revision, contents, parents)
        if first == revision:
            continue
        then = told(contents[first])
        for name in line["of"]:
            for pin in pins_named(name, ways):
                yield (position, *pin), then.get(pin), now[pin]


def _first_with(
    line: object,
    revision: str,
    contents: Mapping[str, Content],
    parents: Mapping[str, str | None],
) -> str:
    first = revision
    while (parent := parents.get(first)) in contents and parent is not None:
        if line not in contents[parent].get("evidence", ()):
            break
        first = parent
    return first


def told(content: Content) -> dict[Pin, Told]:
    """What a document tells of each of its pins."""
    scheme = content.get("colours", "iec")
    return {
        (connector["id"], str(pin["at"])): (
            None if (circuits := carried(pin)) is None else frozenset(circuits),
            read_colour(pin["wire"], scheme).code if "wire" in pin else None,
            _size(pin),
        )
        for connector in content.get("connector", ())
        for pin in connector.get("pins", ())
    }


def _size(pin: Mapping[str, Any]) -> str | None:
    if "awg" in pin:
        return f"{read_awg(pin['awg'])} AWG"
    return f"{pin['mm2']:g} mm2" if "mm2" in pin else None
