"""The nearest known word, for hints: named only where it is really near."""

from __future__ import annotations

from collections.abc import Iterable

LEAST_LIKENESS = 70.0  # of 100; below it a hint misleads more often than it helps


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word nearest to `word` in spelling, or None where nothing is near."""
    from rapidfuzz import fuzz, process

    folded = {candidate.casefold(): candidate for candidate in known}
    found = process.extractOne(
        word.casefold(), folded.keys(), scorer=fuzz.ratio, score_cutoff=LEAST_LIKENESS
    )
    return folded[found[0]] if found else None
