"""Evidence that no longer speaks of a pin: it was brought before the pin was told otherwise.

A line that a revision took over from its parents was of the pin as it stood in the first of them
that bore it. Where the pin now carries something else, or its wire is another colour, that line
vouches for nothing here. It stands alone because what counts as measured hangs on it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kb.documents.carried import carried
from kb.documents.colours import read_colour
from kb.store.rows import pins_named, ways_of

Content = Mapping[str, Any]
Pin = tuple[str, str]
Told = tuple[frozenset[str] | None, str | None]
"""What a pin carries, and its wire's colour, each where it is known."""


def older_evidence(
    revision: str, contents: Mapping[str, Content], parents: Mapping[str, str | None]
) -> set[tuple[int, str, str]]:
    """Position of the line, connector and way of all evidence that fell away.

    `contents` and `parents` are those of the entry's revisions by hash; a parent that is not in
    the book ends the line of descent.
    """
    content = contents[revision]
    lines = content.get("evidence", ())
    if not lines or parents.get(revision) not in contents:
        return set()
    now = told(content)
    ways = ways_of(content)
    found = set()
    for position, line in enumerate(lines):
        first = _first_with(line, revision, contents, parents)
        if first == revision:
            continue
        then = told(contents[first])
        for name in line["of"]:
            for pin in pins_named(name, ways):
                if pin not in then or told_otherwise(then[pin], now[pin]):
                    found.add((position, *pin))
    return found


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
        )
        for connector in content.get("connector", ())
        for pin in connector.get("pins", ())
    }
