"""What no field holds and another command tells: who signed an entry, why, on which evidence.

Data, one line for each: the subject, the words that are tried as a field, and where the answer is.
Apart from the catalogue because nothing here can be asked, and only refused words look it up.
"""

from __future__ import annotations

from grammar.tree import Words

_TOLD: tuple[tuple[str, frozenset[str], str], ...] = (
    (
        "entries",
        frozenset(
            {"reason", "reasons", "why", "reviewer", "reviewed", "verifier", "signer", "signed"}
            | {"verified", "returned"}
            | {"lead", "alone", "parent", "acts", "history", "comment", "comments"}
        ),
        "Who signed or returned an entry, when and why: `loombook history ENTRY`.",
    ),
    (
        "entries",
        frozenset({"evidence", "method", "methods", "changes", "findings", "note", "notes"}),
        "What changed in an entry, and the evidence for it: `loombook review ENTRY`.",
    ),
)


def told_by_command(subject: str, words: Words) -> str | None:
    """Which command tells what these words ask about: `reason`, `verified by lena`."""
    asked = {words.key, words.parts[0].casefold(), words.parts[-1].casefold()}
    return next((told for of, own, told in _TOLD if of == subject and asked & own), None)
