"""What evidence is of must be in the document.

It stands alone because every kind of document may carry evidence.
"""

from collections.abc import Iterator, Mapping

from kb.documents.findings import Problem
from kb.documents.rows import missing, top_rows


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
