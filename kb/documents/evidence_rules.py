"""What evidence is of must be in the document.

It stands alone because every kind of document may carry evidence.
"""

from collections.abc import Iterator, Mapping

from kb.documents.bounds import MOST_PINS_PROVEN
from kb.documents.findings import Problem
from kb.documents.rows import Row, missing, top_rows


def evidence_problems(
    content: Mapping[str, object], names: set[str] | None, word: str
) -> Iterator[Problem]:
    """References of evidence that name nothing; none where the names cannot all be read."""
    if names is None:
        return
    for evidence in top_rows(content, "evidence"):
        for path, name in evidence.texts("of"):
            if name not in names:
                yield missing(path, word, name, names)


def breadth_problems(content: Mapping[str, object], connectors: list[Row]) -> Iterator[Problem]:
    """Evidence of more pins than a document may prove, said once, where it passes the bound."""
    pins = {connector.text("id"): len(connector.rows("pins")) for connector in connectors}
    proven = 0
    for evidence in top_rows(content, "evidence"):
        proven += sum(pins.get(name, 1) for _, name in evidence.texts("of"))
        if proven > MOST_PINS_PROVEN:
            yield Problem(
                evidence.path,
                f"the evidence up to here is of {proven:,} pins, each counted as often as proven",
                f"{MOST_PINS_PROVEN:,} is the most; name the pins that were measured",
            )
            return
